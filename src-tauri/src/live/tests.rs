use super::*;
use serde_json::{Value, json};

/// A flat grey of `size`, RGBA.
fn flat(grey: u8, size: (u32, u32)) -> Vec<u8> {
    [grey, grey, grey, 255].repeat(size.0 as usize * size.1 as usize)
}

fn pin(letter: &str, x: f64) -> Value {
    json!({ "letter": letter, "x": x, "y": 300.0, "radius": 10.0, "left": x - 20.0, "top": 280.0, "size": [40, 40] })
}

fn paper(number: u32) -> Value {
    json!({ "number": number, "x": 640.0, "y": 360.0, "radius": 12.0, "lightness": 94.5, "confirmed": false,
        "left": 480.0, "top": 200.0, "step": 5.0, "size": [64, 64] })
}

fn ask(time: f64, paper: Value, pins: Value) -> String {
    json!({ "time": time, "edges": [80, 60, 40, 20], "overview": [64, 36], "paper": paper,
        "pins": pins, "pair": ["A", "B"] })
    .to_string()
}

/// 8-bit sRGB 119 is L* 50.03, 64 is 27.09, 192 is 77.70 (colour-science 0.4.7). Held to paper that reads 192 and is
/// 94.5, Y .5271 becomes .8657, so that 119 (.18447) comes to .30298: L* 61.91 by CIE 15:2018.
#[test]
fn pins_settle_and_are_held_to_the_paper() {
    let live = Mutex::default();
    let pins = json!([pin("A", 200.0), pin("B", 900.0)]);
    let body = [flat(119, (64, 36)), flat(119, (40, 40)), flat(64, (40, 40))].concat();
    let unheld = answer(&live, &ask(0.0, Value::Null, pins.clone()), &body).unwrap();
    assert_eq!(unheld.against, LiveAgainst::Camera);
    let read = |info: &LiveInfo| serde_json::to_value(info).unwrap();
    assert!((read(&unheld)["readings"][0]["reading"]["lightness"].as_f64().unwrap() - 50.03).abs() < 0.01);
    assert_eq!(read(&unheld)["difference"]["verdict"], json!({ "kind": "darker", "step": "clear" }));
    assert_eq!(unheld.shares, [0.0, 0.0, 1.0, 0.0, 0.0]);

    let body = [flat(119, (64, 36)), flat(192, (64, 64)), flat(119, (40, 40)), flat(64, (40, 40))].concat();
    for message in 1..=5 {
        let held = answer(&live, &ask(f64::from(message) / 5.0, paper(1), pins.clone()), &body).unwrap();
        assert_eq!((held.against, held.paper.as_ref().unwrap().drifted), (LiveAgainst::Paper, false));
        let held = read(&held);
        // The held patch has 8 bits, a step of which is about .4 L* there: it may be half of that off.
        assert!(
            (held["readings"][0]["reading"]["lightness"].as_f64().unwrap() - 61.91).abs() < 0.25,
            "{held}"
        );
        assert_eq!(held["readings"][0]["settled"], json!(message >= 5));
        assert_eq!(held["paper"]["sight"], "followed");
    }
}

/// Held to paper that reads 128 (Y .2159) and is 94.5 (Y .8657), 250 (Y .9559) would come to 3.8: no tone.
#[test]
fn paper_darker_than_the_frame_waits_for_an_answer_and_no_pin_is_lighter_than_white() {
    let live = Mutex::default();
    let pins = json!([pin("A", 200.0), pin("B", 900.0)]);
    let body = [flat(250, (64, 36)), flat(128, (64, 64)), flat(250, (40, 40)), flat(64, (40, 40))].concat();
    let asked = answer(&live, &ask(0.0, paper(1), pins.clone()), &body).unwrap();
    assert_eq!((asked.questioned, asked.against), (Some(1.0), LiveAgainst::Camera));
    assert_eq!(asked.readings.len(), 2);
    let mut confirmed = paper(2);
    confirmed["confirmed"] = json!(true);
    let held = answer(&live, &ask(0.2, confirmed, pins), &body).unwrap();
    assert_eq!((held.questioned, held.against), (None, LiveAgainst::Paper));
    let said = serde_json::to_value(&held).unwrap();
    assert_eq!(said["unread"], json!([{ "letter": "A", "why": "lighterThanWhite" }]));
    assert_eq!((said["readings"][0]["letter"].as_str(), &said["difference"]), (Some("B"), &Value::Null));
}

#[test]
fn what_is_no_paper_is_refused_until_another_is_tapped() {
    let live = Mutex::default();
    let dark = [flat(119, (64, 36)), flat(64, (64, 64))].concat();
    let light = [flat(119, (64, 36)), flat(192, (64, 64))].concat();
    for (time, number, body, refused) in
        [(0.0, 1, &dark, true), (0.2, 1, &light, true), (0.4, 2, &light, false)]
    {
        let info = answer(&live, &ask(time, paper(number), json!([])), body).unwrap();
        assert_eq!(info.refused.is_some(), refused, "{time}");
        assert_eq!(info.against, if refused { LiveAgainst::Camera } else { LiveAgainst::Paper });
    }
}

#[test]
fn nonsense_is_refused_and_never_panics() {
    let live = Mutex::default();
    let good = [flat(119, (64, 36)), flat(119, (40, 40))].concat();
    let pins = json!([pin("A", 200.0)]);
    let mut far = pin("A", 200.0);
    far["left"] = json!(5000.0);
    for (about, body) in [
        (String::new(), good.clone()),
        (ask(0.0, Value::Null, pins.clone()), good[..9].to_vec()),
        (ask(0.0, Value::Null, pins.clone()), [good.clone(), vec![0; 4]].concat()),
        (ask(0.0, Value::Null, json!([far])), good.clone()),
        (ask(0.0, Value::Null, pins.clone()).replace("80,", "10,"), good.clone()),
        (ask(0.0, Value::Null, pins.clone()).replace("[64,36]", "[4000000000,4000000000]"), good.clone()),
    ] {
        assert!(answer(&live, &about, &body).is_err(), "{about}");
    }
    assert!(answer(&live, &ask(0.0, Value::Null, pins), &good).is_ok());
}
