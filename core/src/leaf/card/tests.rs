//! Cards, read back.

use super::super::sheet::tests::{DOT, PAPERS, curve, hostile, leaves, lightness, paints, svg};
use super::*;
use crate::Paper;

const TONES: [f64; 6] = [90.0, 75.0, 60.0, 50.0, 35.0, 20.0];

fn rows() -> Vec<(String, f64)> {
    TONES.into_iter().zip(1..).map(|(tone, band)| (format!("Band {band}, L* {tone:.0}"), tone)).collect()
}

fn card(rows: &[(String, f64)], paints: &[(String, Curve)], form: SheetForm, grey: bool) -> Vec<u8> {
    let sheet = Sheet { paper: Paper::A4, form, turned: false };
    tone_card(rows, paints, "Low water", "25 November 2026", sheet, grey).unwrap()
}

/// L* as palette computes it of the colours that the file names. Half a code of 8-bit sRGB is less than .3 L*.
#[test]
fn a_row_is_of_one_tone_and_in_grey_it_is_flat() {
    let paints = paints(40);
    for (label, tone) in rows() {
        let row = [(label, tone)];
        let [coloured, grey] =
            [false, true].map(|grey| svg(&card(&row, &paints, SheetForm::Svg, grey)).rects);
        let reached = paints.iter().filter(|paint| matches!(paint.1.at_tone(tone), AtTone::Reaches { .. }));
        assert_eq!(coloured.len(), reached.count(), "{tone}");
        assert!(coloured.len() == grey.len() && coloured.len() > 1, "{tone}: {}", coloured.len());
        for (patch, flat) in coloured.iter().zip(&grey) {
            assert!((lightness(patch.srgb) - tone).abs() < 0.5, "{tone}: {patch:?}");
            assert!((lightness(flat.srgb) - tone).abs() < 0.5, "{tone}: {flat:?}");
            assert_eq!((patch.x, patch.y), (flat.x, flat.y));
        }
        assert!(coloured.iter().any(|it| it.srgb[0] != it.srgb[1]), "{tone}: the paints have their colours");
        let codes = || grey.iter().flat_map(|it| it.srgb);
        assert!(codes().max().unwrap() - codes().min().unwrap() <= 1, "{tone}: {grey:?}");
    }
}

#[test]
fn all_but_the_patches_is_grey_and_patches_are_large_enough() {
    let print = svg(&card(&rows(), &paints(20), SheetForm::Svg, true));
    assert!(print.colours.iter().all(|[r, g, b]| r == g && g == b), "{:?}", print.colours);
    assert!(print.rects.iter().all(|it| it.width >= 22.0 && it.height >= 14.0), "{:?}", print.rects);
}

#[test]
fn each_paint_is_there_with_its_step_or_with_what_it_misses() {
    let ramp = |light: f64, dark: f64| {
        let tones: Vec<f64> = (0..5).map(|step| light + (dark - light) * f64::from(step) / 4.0).collect();
        curve(&tones, [5.0, 20.0])
    };
    let paints = [("Sand", 90.0, 80.0), ("Slate", 90.0, 10.0), ("Mud", 43.0, 20.0), ("Reed", 80.0, 50.3)]
        .map(|(name, light, dark)| (name.to_owned(), ramp(light, dark)));
    let text = svg(&card(&[("Half".to_owned(), 50.0)], &paints, SheetForm::Svg, false)).texts.join(" ");
    // Half way down from 90 to 10 is the third of five steps, 20 L* apart.
    assert!(text.contains("Slate step 3.0 ±"), "{text}");
    assert!(text.contains("Not as dark, by so many L*: Sand (30), Reed (<1)."), "{text}");
    assert!(text.contains("Not painted as light, by so many L*: Mud (7)."), "{text}");
    let none = svg(&card(&[("White".to_owned(), 99.0)], &paints, SheetForm::Svg, false));
    assert!(none.rects.is_empty() && none.texts.iter().any(|it| it == "No paint reaches it."));
}

#[test]
fn rows_go_on_over_pages_and_none_is_lost() {
    for (paper, (width, height)) in PAPERS {
        for (count, least) in [(0, 1), (1, 1), (7, 1), (60, 3)] {
            let sheet = Sheet { paper, form: SheetForm::Pdf, turned: false };
            let paints = paints(count);
            let pages = leaves(&tone_card(&rows(), &paints, "Low water", "", sheet, false).unwrap());
            assert!(pages.len() >= least && pages.len() <= 12, "{paper:?}, {count}: {}", pages.len());
            for page in &pages {
                assert!((page.size.0 - width).abs() < DOT && (page.size.1 - height).abs() < DOT);
                assert!(page.text.contains("Lowwater") && page.text.len() > 20, "{}", page.text);
            }
            let text: String = pages.iter().map(|page| page.text.as_str()).collect();
            assert_eq!(text.contains("Therearenopaintstoshow."), count == 0, "{text}");
            for (label, _) in rows().iter().filter(|_| count > 0) {
                let label: String = label.chars().filter(|it| !it.is_whitespace()).collect();
                assert!(text.contains(&label), "{paper:?}, {count}: {label}");
            }
            let steps = text.matches('±').count();
            let reached = |paint: &(String, Curve)| {
                TONES.into_iter().filter(|&it| matches!(paint.1.at_tone(it), AtTone::Reaches { .. })).count()
            };
            assert_eq!(steps, paints.iter().map(reached).sum::<usize>(), "{paper:?}, {count}");
        }
    }
    let sheet = svg(&card(&rows(), &paints(60), SheetForm::Svg, false));
    assert!(sheet.size.0 == 210.0 && sheet.size.1 > 297.0, "{:?}", sheet.size);
    let none = leaves(&card(&[], &paints(3), SheetForm::Pdf, false));
    assert!(none.len() == 1 && none[0].text.contains("Therearenotonestoshow."));
}

#[test]
fn whatever_it_is_called_it_is_printed_within_the_paper() {
    let names = hostile();
    let paints: Vec<(String, Curve)> =
        names.iter().map(|name| (name.clone(), curve(&[90.0, 50.0, 20.0], [10.0, 20.0]))).collect();
    let rows: Vec<(String, f64)> = names
        .iter()
        .zip([100.0, 60.0, 0.0].into_iter().cycle())
        .map(|(name, tone)| (name.clone(), tone))
        .collect();
    for title in &names {
        let of = |form| {
            tone_card(
                &rows,
                &paints,
                title,
                title,
                Sheet { paper: Paper::Letter, form, turned: false },
                false,
            )
            .unwrap()
        };
        let read = svg(&of(SheetForm::Svg));
        assert!(read.texts.iter().any(|text| text.contains("<b>")), "{:?}", read.texts);
        assert!(!leaves(&of(SheetForm::Pdf)).is_empty());
    }
}

#[test]
fn no_tone_is_refused_and_the_same_card_is_the_same_file() {
    for tone in [f64::NAN, -1.0, 100.1, f64::INFINITY] {
        let sheet = Sheet { paper: Paper::A4, form: SheetForm::Pdf, turned: false };
        let card = tone_card(&[("?".to_owned(), tone)], &paints(2), "", "", sheet, false);
        assert!(matches!(card, Err(StudioError::Odd(_))), "{tone}");
    }
    for form in [SheetForm::Pdf, SheetForm::Svg] {
        let made = || card(&rows(), &paints(14), form, false);
        assert!(made() == made(), "{form:?}");
    }
}
