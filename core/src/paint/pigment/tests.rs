use super::*;
use crate::random::Random;

/// What is written, and the name it is; the forms are those on tubes and in tables (common practice).
const WRITTEN: [(&str, &str); 33] = [
    ("PB29", "PB29"),
    ("pb29", "PB29"),
    ("pb 29", "PB29"),
    (" PB 29 ", "PB29"),
    ("PB\u{a0}29", "PB29"),
    ("P.B.29", "PB29"),
    ("P.B. 29.", "PB29"),
    ("PB-29", "PB29"),
    ("PB_29", "PB29"),
    ("PB029", "PB29"),
    ("Pigment Blue 29", "PB29"),
    ("pigment blue29", "PB29"),
    ("C.I. Pigment Blue 29", "PB29"),
    ("CI PB29", "PB29"),
    ("Colour Index Pigment Blue 29", "PB29"),
    ("PB15:3", "PB15:3"),
    ("PB15.3", "PB15:3"),
    ("PB 15 : 3", "PB15:3"),
    ("Pigment Blue 15:3 (phthalocyanine)", "PB15:3"),
    ("PR 108 (cadmium red, C.I. 77202)", "PR108"),
    ("PR 108 (cadmium", "PR108"),
    ("PR108 [light (warm)]", "PR108"),
    ("PBK9", "PBk9"),
    ("pbk 9", "PBk9"),
    ("Pigment Black 9", "PBk9"),
    ("PBR7", "PBr7"),
    ("P.Br.7", "PBr7"),
    ("Pigment Brown 7", "PBr7"),
    ("NR4", "NR4"),
    ("C.I. Natural Red 4", "NR4"),
    ("ny 24", "NY24"),
    ("PM2", "PM2"),
    ("PV19", "PV19"),
];

#[test]
fn names_are_read_as_painters_write_them() {
    for (written, name) in WRITTEN {
        let read = written.parse::<Pigment>().map(|pigment| pigment.to_string());
        assert_eq!(read.as_deref(), Ok(name), "{written}");
    }
}

#[test]
fn what_is_no_name_is_told_with_what_to_write() {
    let text = |text: &str| text.to_owned();
    let cases = [
        ("", PigmentError::Empty),
        (" . ", PigmentError::Empty),
        ("(PB29)", PigmentError::Empty),
        ("ultramarine", PigmentError::Letters(text("ultramarine"))),
        ("29", PigmentError::Letters(text("29"))),
        ("C.I. 77007", PigmentError::Letters(text("C.I. 77007"))),
        ("PX29", PigmentError::Letters(text("PX29"))),
        ("NM1", PigmentError::Letters(text("NM1"))),
        ("ＰＢ29", PigmentError::Letters(text("ＰＢ29"))),
        ("P\u{202e}B29", PigmentError::Letters(text("P\u{fffd}B29"))),
        ("PB", PigmentError::Number(text("PB"))),
        ("PB0", PigmentError::Number(text("PB0"))),
        ("PB1000", PigmentError::Number(text("PB1000"))),
        ("PB99999999999999999999", PigmentError::Number(text("PB99999999999999999999"))),
        ("PB٢٩", PigmentError::Number(text("PB٢٩"))),
        ("PB15:", PigmentError::Form(text("PB15:"))),
        ("PB15:0", PigmentError::Form(text("PB15:0"))),
        ("PB15:33", PigmentError::Form(text("PB15:33"))),
        ("PB15:x", PigmentError::Form(text("PB15:x"))),
        ("PB29a", PigmentError::Rest(text("PB29a"))),
        ("PB29)", PigmentError::Rest(text("PB29)"))),
        ("PB29 PV19", PigmentError::Rest(text("PB29 PV19"))),
        ("PB15:3:1", PigmentError::Rest(text("PB15:3:1"))),
    ];
    for (written, error) in cases {
        assert_eq!(written.parse::<Pigment>(), Err(error), "{written:?}");
    }
    for error in [PigmentError::Empty, PigmentError::Number("PB".into()), PigmentError::Rest("PB29a".into())]
    {
        assert!(error.to_string().contains("write"), "{error}");
    }
}

#[test]
fn a_text_beyond_the_limits_is_not_read() {
    let remark = |length: usize| format!("PB29 ({})", "x".repeat(length - 7));
    assert!(remark(LONGEST_NAME).parse::<Pigment>().is_ok());
    let long = remark(LONGEST_NAME + 1).parse::<Pigment>();
    let Err(PigmentError::Long(shown)) = long else { panic!("{long:?}") };
    assert_eq!(shown.chars().count(), SHOWN + 1);
    assert!(matches!("é".repeat(1 << 20).parse::<Pigment>(), Err(PigmentError::Long(_))));
    let many = PigmentList::read(&"PB29,".repeat(100_000));
    assert!(many.pigments.is_empty() && matches!(many.unread[..], [PigmentError::Long(_)]), "{many:?}");
}

#[test]
fn a_list_is_read_once_each_and_tells_what_is_no_name() {
    let names = |text: &str| {
        let list = PigmentList::read(text);
        let names: Vec<_> = list.pigments.iter().map(Pigment::to_string).collect();
        (names.join(" "), list.unread.len())
    };
    let told = |names: &str, unread| (names.to_owned(), unread);
    assert_eq!(names("PB29, PV19 / PR122"), told("PB29 PV19 PR122", 0));
    assert_eq!(names("pb29 + PB 29; Pigment Blue 29\nPB15:3 & PB15.3"), told("PB29 PB15:3", 0));
    assert_eq!(names("PB29 PV 19 and PR122."), told("PB29 PV19 PR122", 0));
    assert_eq!(names("PR 108 (cadmium, selenium / sulphur), PY35"), told("PR108 PY35", 0));
    assert_eq!(names(""), told("", 0));
    assert_eq!(names(" , / ;"), told("", 0));
    assert_eq!(names("PB29, rose, PV19, PB15:x"), told("PB29 PV19", 2));
    assert_eq!(
        PigmentList::read("gum, PB29, PG").unread,
        [PigmentError::Letters("gum".into()), PigmentError::Number("PG".into())]
    );
}

#[test]
fn the_letters_state_a_hue() {
    let families = [("PB29", "blue"), ("PBk9", "black"), ("PBr7", "brown"), ("NR4", "red"), ("PM2", "metal")];
    for (name, word) in families {
        let pigment: Pigment = name.parse().expect("a name");
        assert_eq!((pigment.family().word(), pigment.is_natural()), (word, name.starts_with('N')), "{name}");
    }
}

/// More than three pigments raise the odds of mud: common practice.
#[test]
fn pigments_of_several_paints_are_counted_once_each() {
    let count = |paints: &[&str]| {
        let lists: Vec<_> = paints.iter().map(|text| PigmentList::read(text).pigments).collect();
        PigmentCount::of(lists.iter().map(Vec::as_slice))
    };
    assert_eq!(count(&["PB15:3", "PB15:1, PB15"]), PigmentCount { distinct: 1, unnamed: 0 });
    let three = count(&["PB29, PV19", "PV19, PY150", "PB29"]);
    assert_eq!((three.distinct, three.is_many(), three.says()), (3, false, None));
    let four = count(&["PB29, PV19", "PY150, PBr7"]);
    assert!(four.is_many());
    assert_eq!(four.says().as_deref(), Some("4 pigments: more than three raise the odds of mud."));
    let unsure = count(&["PB29", "", ""]);
    assert_eq!((unsure.distinct, unsure.unnamed, unsure.is_many()), (1, 2, false));
    let said = unsure.says().expect("it says so");
    assert!(said.contains("not known") && said.contains("2 paints name none"), "{said}");
    assert_eq!(count(&[]), PigmentCount { distinct: 0, unnamed: 0 });
}

/// Random texts out of the pieces that names are made of, and out of what else may be pasted.
#[test]
fn no_text_upsets_the_reading_and_what_is_shown_reads_as_itself() {
    const PIECES: [&str; 40] = [
        "P", "p", "N", "B", "b", "Bk", "r", "G", "M", "Y", "Pigment ", "Natural ", "blue", "black", "C.I. ",
        "1", "29", "0", "108", ":", ".", " ", "-", "(", ")", "[", "]", ",", "/", "+", "and ", "\n", "\0",
        "é", "\u{202e}", "٣", "🎨", "\u{301}", "…", "ß",
    ];
    const STARTS: [&str; 8] = ["PB", "pbk ", "N.Y.", "pigment red", "", "", "", ""];
    let mut random = Random::new(29);
    let (mut names, mut listed, mut refused) = (0, 0, 0);
    for _ in 0..200_000 {
        // Half of them begin as a name does.
        let mut piece = |pieces: &[&'static str]| pieces[(random.unit() * pieces.len() as f64) as usize];
        let mut text = format!("{}{}", piece(&STARTS), piece(&["29", "15:3", " 108", ""]));
        let longest = piece(&["", "12", "123456", "123456789"]).len();
        for _ in 0..longest {
            text.push_str(piece(&PIECES));
        }
        match text.parse::<Pigment>() {
            Ok(pigment) => {
                names += 1;
                assert_eq!(pigment.to_string().parse(), Ok(pigment), "{text:?}");
                let kept = serde_json::to_string(&pigment).expect("a name is a text");
                assert_eq!(serde_json::from_str::<Pigment>(&kept).ok(), Some(pigment), "{text:?}");
                assert_eq!(PigmentList::read(&text).pigments, [pigment], "{text:?}");
            }
            Err(error) => {
                refused += 1;
                assert!(
                    error.to_string().chars().count() < 160 && !error.to_string().contains('\0'),
                    "{text:?}"
                );
            }
        }
        let list = PigmentList::read(&text);
        listed += list.pigments.len();
        let shown: Vec<_> = list.pigments.iter().map(Pigment::to_string).collect();
        let again = PigmentList::read(&shown.join(" / "));
        assert_eq!((again.pigments, again.unread), (list.pigments, vec![]), "{text:?}");
    }
    assert!(names > 1000 && listed > names && refused > 50_000, "{names} {listed} {refused}");
}
