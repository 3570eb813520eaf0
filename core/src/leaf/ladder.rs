//! The tone ladder: L* from 100 down to 0, bands as its rungs with their shares, pins ticking on it.

use super::sketch::{Anchor, Area, Hand, Sketch};
use super::words::numbers;
use crate::Bands;
use crate::studio::Seen;

/// How wide it is with its words and letters, in sizes of words.
pub(super) const WIDTH: f64 = 9.3;

/// Room for letters on its left, and its own width, in sizes of words.
const LETTERS: f64 = 1.7;
const SWATCH: f64 = 1.6;

/// Letters stand so far apart, in sizes of words.
const APART: f64 = 1.35;

/// Draws it into an area, words of this size; `turned` says that bands are counted from the darkest.
pub(super) fn draw(sketch: &mut Sketch, area: &Area, size: f64, bands: &Bands, seen: &Seen, turned: bool) {
    let number = numbers(seen, turned);
    let left = area.x + LETTERS * size;
    let at = |lightness: f64| area.y + area.height * (100.0 - lightness.clamp(0.0, 100.0)) / 100.0;
    let edges: Vec<f64> = bands.edges().iter().map(|&edge| f64::from(edge)).collect();
    for (band, grey) in bands.greys().into_iter().enumerate() {
        let light = if band == 0 { 100.0 } else { edges[band - 1] };
        let dark = edges.get(band).copied().unwrap_or(0.0);
        let (top, bottom) = (at(light), at(dark));
        sketch.fill(&Area { x: left, y: top, width: SWATCH * size, height: bottom - top }, grey);
        let words = left + (SWATCH + 0.45) * size;
        if band > 0 {
            sketch.line((left, top), (area.x + area.width - 0.5 * size, top), 0, 0.05 * size);
        }
        // What there is no room for is left out, the number last.
        let high = (bottom - top) / size;
        let baseline = top + if high < 1.3 { (high / 2.0 + 0.32) * size } else { 1.05 * size };
        if high >= 0.8 {
            sketch.write(
                &number(band + 1).to_string(),
                (words, baseline),
                Hand::bold(if high < 1.3 { 0.8 } else { 1.1 } * size),
            );
        }
        if high >= 1.3
            && let Some(share) = seen.shares.get(band)
        {
            let hand = Hand { anchor: Anchor::End, ..Hand::plain(0.8 * size) };
            sketch.write(&percent(*share), (area.x + area.width - 0.5 * size, baseline), hand);
        }
        if high >= 2.5 && band > 0 {
            let grey = Hand { grey: 0x40, ..Hand::plain(0.7 * size) };
            sketch.write(&format!("L* {light:.0}"), (words, baseline + size), grey);
        }
    }
    sketch.line((left, at(100.0)), (left, at(0.0)), 0, 0.05 * size);
    sketch.line((left + SWATCH * size, at(100.0)), (left + SWATCH * size, at(0.0)), 0, 0.05 * size);
    sketch.line((left, at(100.0)), (left + SWATCH * size, at(100.0)), 0, 0.05 * size);
    sketch.line((left, at(0.0)), (left + SWATCH * size, at(0.0)), 0, 0.05 * size);
    let mut pins: Vec<(&str, f64)> =
        seen.pins.iter().map(|pin| (pin.letter.as_str(), at(pin.lightness))).collect();
    pins.sort_by(|a, b| a.1.total_cmp(&b.1));
    let heights = apart(&pins.iter().map(|pin| pin.1).collect::<Vec<_>>(), APART * size, area);
    for ((letter, tick), height) in pins.into_iter().zip(heights) {
        let (from, to) = (left - 0.35 * size, left + SWATCH * size);
        sketch.line((from, tick), (to, tick), 0, 0.24 * size);
        sketch.line((from, tick), (to, tick), 255, 0.1 * size);
        let disc = (left - 1.15 * size, height);
        sketch.line((from, tick), disc, 0, 0.08 * size);
        sketch.disc(letter, disc, 0.9 * size);
    }
}

pub(super) fn percent(share: f64) -> String {
    let whole = (100.0 * share).round();
    if share > 0.0 && whole == 0.0 { "<1 %".to_owned() } else { format!("{whole:.0} %") }
}

/// Moves heights that are sorted apart, as little as that takes, within an area as far as they fit into it.
pub(super) fn apart(wanted: &[f64], gap: f64, area: &Area) -> Vec<f64> {
    let mut heights = wanted.to_vec();
    for at in 1..heights.len() {
        heights[at] = heights[at].max(heights[at - 1] + gap);
    }
    let mut limit = area.y + area.height;
    for height in heights.iter_mut().rev() {
        *height = height.min(limit);
        limit = *height - gap;
    }
    // Where all are at the bottom, the first may have been pushed out at the top: there is no more room.
    heights
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_stand_apart_in_their_order_and_inside() {
        let area = Area { x: 0.0, y: 0.0, width: 10.0, height: 100.0 };
        for wanted in [vec![50.0, 50.0, 50.0], vec![98.0, 99.0, 100.0], vec![0.0, 1.0, 2.0, 90.0]] {
            let heights = apart(&wanted, 10.0, &area);
            assert!(heights.windows(2).all(|pair| pair[1] - pair[0] >= 10.0 - 1e-9), "{heights:?}");
            assert!(heights.iter().all(|height| (0.0..=100.0).contains(height)), "{heights:?}");
        }
        assert_eq!(apart(&[20.0, 60.0], 10.0, &area), [20.0, 60.0]);
    }

    #[test]
    fn a_share_is_never_called_nothing() {
        assert_eq!([0.0, 0.001, 0.314, 1.0].map(percent), ["0 %", "<1 %", "31 %", "100 %"]);
    }
}
