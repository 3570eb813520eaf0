use super::*;
use crate::paint::pigment::PigmentList;
use std::collections::BTreeSet;

fn caution(names: &str) -> Caution {
    let list = PigmentList::read(names);
    assert_eq!(list.unread, [], "{names}");
    Caution::of(&list.pigments)
}

fn pigment(name: &str) -> Pigment {
    name.parse().expect("a name")
}

fn hazards(name: &str) -> Vec<Hazard> {
    match caution(name) {
        Caution::Toxic { which, .. } => which.into_iter().map(|(_, hazard)| hazard).collect(),
        _ => vec![],
    }
}

#[test]
fn each_row_is_named_once_as_it_is_shown_and_has_a_source() {
    let mut names = BTreeSet::new();
    for record in PigmentRecord::all() {
        assert_eq!(pigment(record.name).to_string(), record.name);
        assert!(names.insert(record.name), "{} stands twice", record.name);
        assert!(
            !record.sources.is_empty() && record.sources.iter().all(|source| source.len() > 10),
            "{record:?}"
        );
        assert!(!record.holds.is_empty(), "{record:?}");
        let once: BTreeSet<_> = record.hazards.iter().collect();
        assert_eq!(once.len(), record.hazards.len(), "{record:?}");
        assert_eq!(PigmentRecord::of(pigment(record.name)), Some(record));
    }
}

/// Index numbers of Regulation (EC) 1272/2008, Annex VI, part 1, 1.1.1.1: ABC is the atomic number of the element, and
/// the last digit is made as the tenth of an ISBN (ISO 2108: places by their digits, modulo 11, ten being X). What is
/// from memory in the table has to agree with both. Atomic numbers: IUPAC.
#[test]
fn index_numbers_agree_with_their_check_digit_and_their_element() {
    let elements = [
        ("024", "chrom"),
        ("025", "manganese"),
        ("029", "copper"),
        ("030", "zinc"),
        ("033", "arsenic"),
        ("048", "cadmium"),
        ("051", "antimon"),
        ("056", "barium"),
        ("080", "mercury"),
        ("082", "lead"),
    ];
    let mut numbers = BTreeSet::new();
    for source in PigmentRecord::all().flat_map(|record| record.sources) {
        let looks = |word: &&str| word.split('-').map(str::len).eq([3, 3, 2, 1]);
        let words = source.split([' ', ':']);
        for number in words.filter(looks) {
            let digits: Vec<u32> = number.chars().filter_map(|c| c.to_digit(10)).collect();
            let sum: u32 = (1..).zip(&digits[..8]).map(|(place, digit)| place * digit).sum();
            let check = if sum % 11 == 10 { "X".to_owned() } else { (sum % 11).to_string() };
            assert!(number.ends_with(&check), "{number}: its check digit is {check}");
            let element = elements.iter().find(|(atomic, _)| number.starts_with(atomic));
            assert!(element.is_some_and(|(_, element)| source.contains(element)), "{source}");
            numbers.insert(number);
        }
    }
    assert!(numbers.len() >= 16, "{numbers:?}");
}

/// Chapters of the Colour Index by constitution number, as its introduction lists them (from memory): azo 11000–19999,
/// azomethine 48000–48999 and 480000–489999, anthraquinone 58000–72999, phthalocyanine 74000–74999, natural
/// 75000–75999, inorganic 77000–77999.
#[test]
fn constitution_numbers_lie_in_the_chapter_of_what_the_pigment_holds() {
    for record in PigmentRecord::all() {
        let chapter = match record.holds {
            holds if holds.contains("azomethine") || holds.contains("dioxime") => "48",
            holds if holds.contains("azo complex") => "12",
            holds if holds.contains(" azo ") => "1",
            holds if holds.contains("isoindolinone") => "56",
            holds if holds.contains("indanthrone") => "69",
            holds if holds.contains("phthalocyanine") => "74",
            holds if holds.contains("carmine") => "75",
            _ => "77",
        };
        for number in record.constitution {
            assert!(number.starts_with(chapter), "{record:?}");
            let (number, form) = number.split_once(':').unwrap_or((number, "1"));
            assert!(number.parse::<u32>().is_ok() && form.parse::<u8>().is_ok(), "{record:?}");
        }
    }
}

/// What a pigment is said to be made of names the element that it is warned of.
#[test]
fn hazards_agree_with_what_a_pigment_holds() {
    let named = [
        (Hazard::Antimony, "antimon"),
        (Hazard::Arsenic, "arseni"),
        (Hazard::Azo, "azo dye"),
        (Hazard::Barium, "barium"),
        (Hazard::Cadmium, "cadmium"),
        (Hazard::ChromiumSix, "chromate"),
        (Hazard::Cobalt, "cobalt"),
        (Hazard::Copper, "copper"),
        (Hazard::Lead, "lead"),
        (Hazard::Mercury, "mercury"),
        (Hazard::Nickel, "nickel"),
        (Hazard::Zinc, "zinc"),
    ];
    for record in PigmentRecord::all() {
        for (hazard, word) in named {
            let warned = record.hazards.contains(&hazard);
            let holds =
                record.holds.contains(word) || (hazard == Hazard::Arsenic && record.holds.contains("arseno"));
            assert!(!warned || holds, "{record:?}");
            // What doesn't dissolve, or is bound for good, is held without being warned of.
            let bound = matches!(hazard, Hazard::Barium | Hazard::Zinc | Hazard::Copper);
            assert!(warned || !holds || bound, "{record:?}");
        }
    }
}

/// Pigments that any table of hazards lists (common practice).
#[test]
fn well_known_pigments_are_warned_of() {
    let expected = [
        ("PY35", vec![Hazard::Cadmium]),
        ("PR108:1", vec![Hazard::Cadmium]),
        ("PB28", vec![Hazard::Cobalt]),
        ("PW1", vec![Hazard::Lead]),
        ("PY34", vec![Hazard::Lead, Hazard::ChromiumSix]),
        ("PY53", vec![Hazard::Nickel, Hazard::Antimony]),
        ("PR106", vec![Hazard::Mercury]),
        ("PG21", vec![Hazard::Arsenic, Hazard::Copper]),
        ("PB33", vec![Hazard::Manganese, Hazard::Barium]),
        ("PW4", vec![Hazard::Zinc]),
    ];
    for (name, holds) in expected {
        assert_eq!(hazards(name), holds, "{name}");
    }
}

/// Health Canada's evaluation of Pigment Red 3 says that it gave cancer to animals in the laboratory, not to people; its
/// base PR49 isn't known because the barium salt is.
#[test]
fn a_dye_that_harmed_animals_is_said_to_have_done_that() {
    assert_eq!(hazards("PR3"), [Hazard::Azo]);
    assert!(caution("PR3").says().contains("cancer in animals"));
    assert_eq!(hazards("PR49:1"), [Hazard::Barium]);
    assert_eq!(caution("PR49"), Caution::NotKnown { which: vec![pigment("PR49")] });
}

#[test]
fn a_form_is_warned_of_like_its_base_but_never_cleared_by_it() {
    assert_eq!(hazards("PY34:1"), hazards("PY34"));
    assert_eq!(caution("PG7:1"), Caution::NotKnown { which: vec![pigment("PG7:1")] });
    assert!(caution("PY34:1").says().contains("PY34:1 (lead chromate"));
}

#[test]
fn toxic_and_not_known_are_both_said() {
    let mixed = caution("PV19, PR108, PB29, PR108, PY3");
    let which = vec![(pigment("PR108"), Hazard::Cadmium)];
    let not_known = vec![pigment("PV19"), pigment("PY3")];
    assert_eq!(mixed, Caution::Toxic { which, not_known });
    assert_eq!(
        mixed.says(),
        "PR108 (cadmium sulphoselenide) holds cadmium, which is toxic and can cause cancer. Not known: PV19, PY3."
    );
}

#[test]
fn what_is_not_known_is_never_called_safe() {
    assert_eq!(caution("PB29, PV19"), Caution::NotKnown { which: vec![pigment("PV19")] });
    assert_eq!(caution("PB29, PV19").says(), "Not known: PV19.");
    assert_eq!(caution(""), Caution::NotKnown { which: vec![] });
    assert!(caution("").says().starts_with("Add the pigment code"));
    assert_eq!(caution("PB999"), Caution::NotKnown { which: vec![pigment("PB999")] });
    let low = caution("PB29, PG18");
    assert_eq!(low, Caution::NoneKnown { which: vec![pigment("PB29"), pigment("PG18")] });
    let said = low.says();
    assert!(said.contains("no promise of safety") && said.contains("chromium(VI)"), "{said}");
    for record in PigmentRecord::all() {
        let said = caution(record.name).says();
        assert!(!said.contains("safe ") && !said.contains("non-toxic"), "{said}");
    }
    assert!(SAFETY_SHEET.contains("no promise of safety"));
    let care = USUAL_CARE.join(" ");
    assert!(["mouth", "eat", "sand", "spray", "Wash"].iter().all(|word| care.contains(word)), "{care}");
}
