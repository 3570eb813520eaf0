//! Bars, read back.

use super::super::sheet::tests::{DOT, PAPERS, Svg, curve, hostile, leaves, lightness, paints, svg};
use super::*;
use crate::{Laid, PaintedStep, PaintedStrip, Paper};

fn printed_as(form: SheetForm, paper: Paper, paints: &[(String, Curve)]) -> Vec<u8> {
    let bands = Bands::even(5).unwrap();
    paint_bars(paints, &bands, "Low water", "25 November 2026", Sheet { paper, form, turned: false }).unwrap()
}

fn drawn(paints: &[(String, Curve)]) -> Svg {
    svg(&printed_as(SheetForm::Svg, Paper::A4, paints))
}

#[test]
fn pages_are_of_their_paper_and_a_line_of_100_mm_is_one() {
    let wanted = 100.0 * 72.0 / 25.4;
    for (paper, (width, height)) in PAPERS {
        for count in [0, 1, 12, 13, 60] {
            let pages = leaves(&printed_as(SheetForm::Pdf, paper, &paints(count)));
            assert_eq!(pages.len(), count.div_ceil(12).max(1), "{paper:?}, {count}");
            for page in &pages {
                assert!((page.size.0 - width).abs() < DOT && (page.size.1 - height).abs() < DOT);
                let level = |[a, b]: &&[(f64, f64); 2]| (a.1 - b.1).abs() < DOT;
                let long = |[a, b]: &[(f64, f64); 2]| (b.0 - a.0).abs();
                let checks = page.lines.iter().filter(level).filter(|line| (long(line) - wanted).abs() < DOT);
                assert_eq!(checks.count(), 1, "{paper:?}, {count}");
                assert!(
                    page.text.contains("Thislineis100mmlongifitwasprintedatitstruesize."),
                    "{}",
                    page.text
                );
                assert!(page.text.contains("2mmtooneL*.") && page.text.contains("Lowwater"), "{}", page.text);
            }
            let text: String = pages.iter().map(|page| page.text.as_str()).collect();
            for number in 0..count {
                assert!(text.contains(&format!("Washnumber{number}")), "{paper:?}, {count}: {number}");
            }
            assert_eq!(text.contains("Therearenopaintstoshow."), count == 0, "{text}");
            assert_eq!(text.contains("page2"), count > 12, "{text}");
        }
    }
}

/// The ladder is 200 mm high on paper, and a bar as long as its range; each slice has the tone of its place.
#[test]
fn a_bar_stands_at_its_tones() {
    for (tones, tint) in [
        ([92.0, 90.0, 88.0, 86.0], [-4.0, 80.0]),
        ([88.0, 60.0, 40.0, 21.0], [30.0, -60.0]),
        ([40.0, 30.0, 9.0, 1.0], [1.0, 0.0]),
        ([108.0, 90.0, 70.0, 60.0], [2.0, 9.0]),
    ] {
        let print = drawn(&[("Ebb".to_owned(), curve(&tones, tint))]);
        let bar: Vec<_> = print.rects.iter().filter(|rect| rect.x > RUNGS + RUNG).collect();
        let (light, dark) = (tones[0].min(100.0), tones[3]);
        assert!((bar[0].y - (LADDER + 2.0 * (100.0 - light))).abs() < 1e-3, "{tones:?}");
        assert!((bar[0].height - 2.0 * (light - dark)).abs() < 2e-3, "{tones:?}: {:?}", bar[0]);
        for (at, slice) in bar.iter().enumerate() {
            let next = bar.get(at + 1).map_or(bar[0].y + bar[0].height, |next| next.y);
            let place = 100.0 - ((slice.y + next) / 2.0 - LADDER) / 2.0;
            // Half a code of 8-bit sRGB is less than .3 L*.
            assert!((lightness(slice.srgb) - place).abs() < 0.5, "{tones:?}: {slice:?} at {place}");
        }
        // Each step has its number, and the range is said.
        for number in ["1", "2", "3", "4"] {
            assert!(print.texts.iter().any(|text| text == number), "{:?}", print.texts);
        }
        let range = format!("L* {light:.0}–{dark:.0}");
        assert!(print.texts.contains(&range), "{range}: {:?}", print.texts);
    }
}

/// Everything but the paints is grey; the ladder's rungs are those of its bands.
#[test]
fn all_but_the_paints_is_grey() {
    let print = drawn(&[]);
    assert!(print.colours.iter().all(|[r, g, b]| r == g && g == b), "{:?}", print.colours);
    let rungs: Vec<u8> = print.rects.iter().map(|rect| rect.srgb[0]).collect();
    assert_eq!(rungs, Bands::even(5).unwrap().greys());
    assert_eq!(print.size, (210.0, 297.0));
}

#[test]
fn one_sheet_is_as_wide_as_its_paints_and_no_bar_lies_on_another() {
    for count in [1, 12, 13, 60] {
        let print = drawn(&paints(count));
        assert!(print.size.0 >= 210.0 && (print.size.1 - 297.0).abs() < 1e-9, "{:?}", print.size);
        let mut lefts: Vec<f64> =
            print.rects.iter().filter(|rect| rect.x > RUNGS + RUNG).map(|rect| rect.x).collect();
        lefts.dedup();
        assert_eq!(lefts.len(), count);
        assert!(lefts.windows(2).all(|pair| pair[1] - pair[0] > BAR + 5.0), "{lefts:?}");
        assert!(lefts[count - 1] + PITCH <= print.size.0 - MARGIN + 1e-6, "{lefts:?}");
    }
}

#[test]
fn what_a_strip_leaves_open_is_said() {
    let step = |lightness: f64| PaintedStep { lightness, plus_minus: 1.5, tint: [2.0, -30.0], quad: None };
    let strip = PaintedStrip {
        laid: Laid::Washes,
        wet: true,
        day: String::new(),
        paper: String::new(),
        paper_lightness: 94.5,
        quarters: 0,
        steps: [90.0, 60.0, 30.0, 41.0].map(step).to_vec(),
        wet_lightness: None,
    };
    let print = drawn(&[("Bronze".to_owned(), Curve::through(&[strip]).unwrap())]);
    let text = print.texts.concat();
    assert!(text.contains("lighter from step 3") && text.contains("read while wet"), "{text}");
}

#[test]
fn whatever_it_is_called_it_is_printed_within_the_paper() {
    let names = hostile();
    let paints: Vec<(String, Curve)> =
        names.iter().map(|name| (name.clone(), curve(&[90.0, 50.0, 20.0], [10.0, 20.0]))).collect();
    for title in &names {
        for (paper, form) in [(Paper::A4, SheetForm::Pdf), (Paper::Letter, SheetForm::Svg)] {
            let bands = Bands::by_hand(vec![99.0, 50.0, 1.0]).unwrap();
            let print =
                paint_bars(&paints, &bands, title, title, Sheet { paper, form, turned: false }).unwrap();
            match form {
                SheetForm::Pdf => assert_eq!(leaves(&print).len(), paints.len().div_ceil(12)),
                SheetForm::Svg => {
                    let read = svg(&print);
                    assert!(read.texts.iter().any(|text| text.contains("<b>")), "{:?}", read.texts);
                    assert!(read.texts.iter().any(|text| text == "Paint 1"), "{:?}", read.texts);
                }
            }
        }
    }
}

#[test]
fn the_same_print_is_the_same_file() {
    for form in [SheetForm::Pdf, SheetForm::Svg] {
        let made = || printed_as(form, Paper::Letter, &paints(14));
        assert!(made() == made(), "{form:?}");
    }
}
