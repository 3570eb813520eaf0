//! Paints and strips, as they are kept, deleted, handed out and brought in.

use super::*;
use crate::Progress;
use crate::paint::{PaintAbout, PaintBox, PaintRecord, PaintedStrip};
use std::io::Cursor;

fn clay() -> PaintAbout {
    PaintAbout { name: "Clay".to_owned(), pigments: "PBr7".to_owned(), ..PaintAbout::default() }
}

pub(super) fn painted(tones: &[f64]) -> PaintedStrip {
    let steps: Vec<_> = tones
        .iter()
        .map(|lightness| serde_json::json!({ "lightness": lightness, "plusMinus": 3.1, "tint": [12.5, 1.0 / 3.0] }))
        .collect();
    let strip =
        serde_json::json!({ "laid": "washes", "paper": "rough", "paperLightness": 94.53, "steps": steps });
    serde_json::from_value(strip).unwrap()
}

/// A studio with a paint and its strip, read in a photo.
fn with_paint(folder: &Path) -> (Studio, i64, i64) {
    let (mut studio, ..) = begun(folder);
    let paint = studio.begin_paint(&clay(), NOON).unwrap();
    let photo = Some(("strip.jpg", &b"a photo of a strip"[..]));
    let strip = studio.keep_strip(paint, &painted(&[90.1, 60.0, 30.7]), photo, NOON).unwrap();
    (studio, paint, strip)
}

#[test]
fn a_paint_is_there_again_to_the_digit() {
    let folder = TempDir::new().unwrap();
    let (mut studio, paint, strip) = with_paint(folder.path());
    let about = PaintAbout { notes: "sinks in".to_owned(), ..clay() };
    studio.describe_paint(paint, &about).unwrap();
    let again = PaintedStrip { quarters: 3, ..painted(&[90.1, 60.0, 1.0 / 3.0 + 30.0]) };
    studio.change_strip(strip, &again).unwrap();
    drop(studio);
    let studio = opened(folder.path());
    let [kept] = &studio.paints().unwrap()[..] else { panic!() };
    assert_eq!((kept.id, &kept.about, kept.begun), (paint, &about, NOON));
    assert_eq!((kept.strips.len(), &kept.strips[0].painted), (1, &again));
    assert_eq!(studio.photo(kept.strips[0].photo.as_ref().unwrap()).unwrap(), b"a photo of a strip");
    assert_eq!(studio.paint(paint).unwrap(), *kept);
}

#[test]
fn what_is_no_paint_and_no_strip_is_not_kept() {
    let folder = TempDir::new().unwrap();
    let (mut studio, paint, strip) = with_paint(folder.path());
    assert!(matches!(studio.begin_paint(&PaintAbout::default(), NOON), Err(StudioError::Odd(_))));
    assert!(matches!(studio.change_strip(strip, &painted(&[50.0])), Err(StudioError::Odd(_))));
    assert!(matches!(studio.keep_strip(paint, &painted(&[]), None, NOON), Err(StudioError::Odd(_))));
    assert!(matches!(studio.keep_strip(99, &painted(&[60.0, 50.0]), None, NOON), Err(StudioError::Gone)));
    assert!(matches!(studio.paint(99), Err(StudioError::Gone)));
    assert_eq!(studio.paints().unwrap()[0].strips.len(), 1);
}

#[test]
fn what_was_deleted_comes_back_for_thirty_days_with_its_photo() {
    let folder = TempDir::new().unwrap();
    let (mut studio, paint, strip) = with_paint(folder.path());
    let photo = studio.paints().unwrap()[0].strips[0].photo.clone().unwrap();
    studio.delete(Kept::Strip(strip), NOON).unwrap();
    assert_eq!(studio.paints().unwrap()[0].strips, []);
    studio.delete(Kept::Paint(paint), NOON).unwrap();
    assert_eq!(studio.paints().unwrap(), []);
    let listed: Vec<_> = studio.deleted().unwrap().into_iter().map(|it| (it.what, it.title)).collect();
    assert_eq!(listed, [(Kept::Paint(paint), "Clay".to_owned()), (Kept::Strip(strip), "Clay".to_owned())]);
    days_pass(&mut studio, 29);
    studio.bring_back(Kept::Paint(paint)).unwrap();
    studio.bring_back(Kept::Strip(strip)).unwrap();
    assert_eq!(studio.photo(&photo).unwrap(), b"a photo of a strip");
    studio.delete(Kept::Paint(paint), NOON).unwrap();
    days_pass(&mut studio, 30);
    assert!(matches!(studio.bring_back(Kept::Paint(paint)), Err(StudioError::Gone)));
    assert!(matches!(studio.photo(&photo), Err(StudioError::Gone)));
}

#[test]
fn a_whole_studio_comes_back_with_its_paints() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (mut studio, paint, strip) = with_paint(folder.path());
    studio.keep_strip(paint, &painted(&[80.0, 40.0]), None, NOON).unwrap();
    studio.delete(Kept::Strip(strip), NOON).unwrap();
    let backup = |studio: &Studio| {
        let mut parcel = Cursor::new(Vec::new());
        assert_eq!(studio.back_up(Originals::With, &Progress::new(), &mut parcel).unwrap(), []);
        parcel.into_inner()
    };
    let parcel = backup(&studio);
    let mut there = opened(other.path());
    there.bring_in(&Progress::new(), Cursor::new(&parcel)).unwrap();
    assert_eq!(backup(&there), parcel);
    let strips = &there.paints().unwrap()[0].strips;
    assert_eq!((strips.len(), &strips[0].painted), (1, &painted(&[80.0, 40.0])));
    // What was deleted does not leave the machine: neither the strip nor the photo that it was read in.
    assert_eq!(there.deleted().unwrap(), []);
    assert!(matches!(there.photo(&PhotoHash::of(b"a photo of a strip")), Err(StudioError::Gone)));
    // Where there are paints already, it would not be the whole.
    let only_paints = TempDir::new().unwrap();
    let mut third = opened(only_paints.path());
    third.begin_paint(&clay(), NOON).unwrap();
    assert!(matches!(third.bring_in(&Progress::new(), Cursor::new(&parcel)), Err(StudioError::NotEmpty)));
}

#[test]
fn paints_are_taken_in_once() {
    let (folder, other) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    let (studio, ..) = with_paint(folder.path());
    let handed = PaintBox::read(studio.paint_box().unwrap().json().as_bytes()).unwrap();
    let mut there = opened(other.path());
    assert_eq!(there.take_in(&handed, NOON).unwrap().len(), 1);
    assert_eq!(there.take_in(&handed, NOON).unwrap(), [] as [i64; 0]);
    assert_eq!(there.paint_box().unwrap(), handed);
}

/// A table, whose numbers are rounded and which holds no places, is of the same paints still. JSON that differs from
/// them in anything is not.
#[test]
fn what_a_table_rounds_off_is_not_lost() {
    let folder = TempDir::new().unwrap();
    let mut studio = opened(folder.path());
    let quad = Some([[1.0, 2.0], [3.0, 2.0], [3.0, 4.5], [1.0, 4.5]]);
    let mut exact = painted(&[80.004, 40.0]);
    exact.steps[0].quad = quad;
    let of =
        |strip: &PaintedStrip| PaintBox::of(vec![PaintRecord { about: clay(), strips: vec![strip.clone()] }]);
    let table = PaintBox::read(of(&exact).csv().as_bytes()).unwrap();
    let mut count = |paints: &PaintBox| studio.take_in(paints, NOON).unwrap().len();
    assert_eq!([count(&of(&exact)), count(&table), count(&of(&exact))], [1, 0, 0]);
    let mut without_place = exact.clone();
    without_place.steps[0].quad = None;
    let rounded = of(&exact).paints[0].tabled().strips.remove(0);
    assert_eq!([count(&of(&without_place)), count(&of(&rounded)), count(&of(&rounded))], [1, 1, 0]);
    // A table that says anything else is another paint, too.
    let other = of(&exact).csv().replace(",80,", ",80.001,");
    assert_eq!(count(&PaintBox::read(other.as_bytes()).unwrap()), 1);
}
