//! Gathers a decoder's rows into RGB samples, whatever channels they come in.

use super::alpha::OverPaper;
use super::colour::{Channels, Colour, Meaning};
use super::sample::Sample;
use crate::photo::profile::Lookup;
use crate::photo::stored::{Samples, Stored};
use crate::photo::{Noticed, Orientation};
use rayon::prelude::*;

/// Takes rows from the top down and keeps them as RGB.
pub(super) struct Collector {
    width: u32,
    height: u32,
    channels: Channels,
    meaning: Meaning,
    over_paper: Option<OverPaper>,
    samples: Samples,
    /// Samples filled so far.
    filled: usize,
    see_through: bool,
    noticed: Vec<Noticed>,
}

impl Collector {
    /// For a picture of `width` x `height` (already admitted) whose rows come as samples of type `S`.
    pub(super) fn new<S: Sample>(width: u32, height: u32, channels: Channels, colour: Colour) -> Self {
        let (meaning, noticed) = Meaning::of(colour, channels, S::DEPTH);
        Self::meaning::<S>((width, height), channels, meaning, noticed)
    }

    /// As [`Self::new`], for what samples mean that was found out already.
    pub(super) fn meaning<S: Sample>(
        (width, height): (u32, u32),
        channels: Channels,
        meaning: Meaning,
        noticed: Option<Noticed>,
    ) -> Self {
        let count = width as usize * height as usize * 3;
        let samples = match meaning {
            Meaning::Kept(_) | Meaning::Inks(_) => S::samples(vec![S::default(); count]),
            Meaning::LookedUp(..) => Samples::Rgb16(vec![0; count]),
        };
        let noticed = noticed.into_iter().collect();
        Self {
            width,
            height,
            channels,
            meaning,
            over_paper: None,
            samples,
            filled: 0,
            see_through: false,
            noticed,
        }
    }

    /// The picture from all its samples at once: moved where they are RGB and mean what a table and a matrix say.
    pub(super) fn whole<S: Sample>(
        (width, height): (u32, u32),
        channels: Channels,
        samples: Vec<S>,
        colour: Colour,
        orientation: Orientation,
        noticed: Vec<Noticed>,
    ) -> Stored {
        let (meaning, about_colour) = Meaning::of(colour, channels, S::DEPTH);
        if let (Meaning::Kept(encoding), Channels::Rgb) = (&meaning, channels) {
            let (encoding, samples) = (encoding.clone(), S::samples(samples));
            let noticed = about_colour.into_iter().chain(noticed).collect();
            return Stored { width, height, samples, orientation, encoding, noticed, decoded: None };
        }
        let mut collector = Self::meaning::<S>((width, height), channels, meaning, about_colour);
        collector.push(&samples);
        collector.finish(orientation, noticed)
    }

    /// Takes one row or several whole ones.
    pub(super) fn push<S: Sample>(&mut self, rows: &[S]) {
        let count = rows.len() / self.channels.count() * 3;
        let to = (self.filled + count).min(self.width as usize * self.height as usize * 3);
        let taken = self.filled..to;
        self.filled = to;
        let tables = &self.meaning.encoding().linear_from_code;
        let over = &mut self.over_paper;
        match &self.meaning {
            Meaning::LookedUp(lookup, _) => {
                let out = &mut u16::of(&mut self.samples)[taken];
                look_up(lookup, self.channels, rows, out);
                let opacity = |alpha: &S| alpha.index() as f32 / S::FULL as f32;
                self.see_through |= match self.channels {
                    Channels::GreyAlpha => {
                        blend(out, rows.iter().skip(1).step_by(2).map(opacity), tables, over)
                    }
                    Channels::RgbAlpha => {
                        blend(out, rows.iter().skip(3).step_by(4).map(opacity), tables, over)
                    }
                    Channels::Grey | Channels::Rgb | Channels::Cmyk => false,
                };
            }
            Meaning::Kept(_) | Meaning::Inks(_) => {
                let out = &mut S::of(&mut self.samples)[taken];
                let opacity = |alpha: S| alpha.index() as f32 / S::FULL as f32;
                match self.channels {
                    Channels::Rgb => out.copy_from_slice(&rows[..out.len()]),
                    Channels::Grey => {
                        for (pixel, &grey) in out.chunks_exact_mut(3).zip(rows) {
                            pixel.fill(grey);
                        }
                    }
                    Channels::GreyAlpha => {
                        for (pixel, grey) in out.chunks_exact_mut(3).zip(rows.as_chunks::<2>().0) {
                            pixel.fill(grey[0]);
                        }
                        let alphas = rows.as_chunks::<2>().0.iter().map(|pixel| opacity(pixel[1]));
                        self.see_through |= blend(out, alphas, tables, over);
                    }
                    Channels::RgbAlpha => {
                        for (pixel, colour) in out.chunks_exact_mut(3).zip(rows.as_chunks::<4>().0) {
                            pixel.copy_from_slice(&colour[..3]);
                        }
                        let alphas = rows.as_chunks::<4>().0.iter().map(|pixel| opacity(pixel[3]));
                        self.see_through |= blend(out, alphas, tables, over);
                    }
                    Channels::Cmyk => {
                        for (pixel, inks) in out.chunks_exact_mut(3).zip(rows.as_chunks::<4>().0) {
                            without_profile(pixel, inks);
                        }
                    }
                }
            }
        }
    }

    /// The picture, with what else was noticed. Rows that never came are middle grey, and said to be missing.
    pub(super) fn finish(mut self, orientation: Orientation, noticed: Vec<Noticed>) -> Stored {
        if self.see_through {
            self.noticed.push(Noticed::OverPaperWhite);
        }
        let decoded = self.filled / (3 * self.width as usize).max(1);
        let missing = match &mut self.samples {
            Samples::Rgb8(samples) => fill_rest(samples, self.filled, 0x80),
            Samples::Rgb16(samples) => fill_rest(samples, self.filled, 0x8080),
        };
        if missing {
            self.noticed.push(Noticed::Incomplete);
        }
        self.noticed.extend(noticed);
        let encoding = match self.meaning {
            Meaning::Kept(encoding) | Meaning::LookedUp(_, encoding) | Meaning::Inks(encoding) => encoding,
        };
        Stored {
            width: self.width,
            height: self.height,
            samples: self.samples,
            orientation,
            encoding,
            noticed: self.noticed,
            decoded: missing.then_some(decoded as u32),
        }
    }
}

fn fill_rest<S: Copy>(samples: &mut [S], filled: usize, with: S) -> bool {
    let rest = &mut samples[filled..];
    rest.fill(with);
    !rest.is_empty()
}

/// Pixels that one thread takes at a time: about a tenth of a millisecond of work.
const PIXELS_A_GO: usize = 1024;

/// Sends every pixel through a table profile.
fn look_up<S: Sample>(lookup: &Lookup, channels: Channels, rows: &[S], out: &mut [u16]) {
    let count = channels.count();
    out.par_chunks_mut(3 * PIXELS_A_GO).zip(rows.par_chunks(count * PIXELS_A_GO)).for_each(|(out, rows)| {
        let mut device = [0; 4];
        for (shown, pixel) in out.as_chunks_mut::<3>().0.iter_mut().zip(rows.chunks_exact(count)) {
            match channels {
                // A grey picture with a profile for RGB: equal channels.
                Channels::Grey | Channels::GreyAlpha => device = [pixel[0].index(); 4],
                Channels::Rgb | Channels::RgbAlpha | Channels::Cmyk => {
                    for (code, sample) in device.iter_mut().zip(pixel) {
                        *code = sample.index();
                    }
                }
            }
            *shown = lookup.codes(&device[..lookup.inputs()]);
        }
    });
}

/// What is left of white after two inks, each taking its share: the colour's and the black's.
fn without_profile<S: Sample>(shown: &mut [S], inks: &[S; 4]) {
    let full = u64::from(S::FULL);
    let left = |ink: S| full - ink.index() as u64;
    for (channel, &ink) in shown.iter_mut().zip(inks) {
        *channel = S::from_index(((left(ink) * left(inks[3]) + full / 2) / full) as usize);
    }
}

/// Sets pixels over paper white, by their opacity; whether any of them let it through.
fn blend<S: Sample>(
    out: &mut [S],
    opacities: impl Iterator<Item = f32>,
    tables: &[Vec<f32>; 3],
    over_paper: &mut Option<OverPaper>,
) -> bool {
    let mut see_through = false;
    for (shown, opacity) in out.chunks_exact_mut(3).zip(opacities) {
        if opacity >= 1.0 {
            continue;
        }
        see_through = true;
        let over = over_paper.get_or_insert_with(|| OverPaper::new(tables));
        for (channel, sample) in shown.iter_mut().enumerate() {
            *sample = S::from_index(over.code(tables, channel, sample.index(), opacity));
        }
    }
    see_through
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Common practice for inks without a profile: (1 − C)(1 − K).
    #[test]
    fn inks_without_a_profile_take_their_share_of_white() {
        let inks: Vec<u8> = vec![0, 0, 0, 0, 255, 0, 0, 0, 0, 0, 0, 255, 51, 102, 153, 51];
        let stored = Collector::whole(
            (2, 2),
            Channels::Cmyk,
            inks,
            Colour::Untagged,
            Orientation::UPRIGHT,
            Vec::new(),
        );
        let Samples::Rgb8(samples) = stored.samples else { panic!("16 bits") };
        assert_eq!(samples, [255, 255, 255, 0, 255, 255, 0, 0, 0, 163, 122, 82]);
        assert_eq!(stored.noticed, [Noticed::InksWithoutProfile]);
    }

    #[test]
    fn a_profile_that_is_none_is_told_and_read_as_srgb() {
        let colour = Colour::Icc(vec![0; 200]);
        let stored = Collector::whole(
            (1, 1),
            Channels::Rgb,
            vec![1_u8, 2, 3],
            colour,
            Orientation::UPRIGHT,
            Vec::new(),
        );
        assert!(matches!(stored.samples, Samples::Rgb8(samples) if samples == [1, 2, 3]));
        assert_eq!(stored.noticed, [Noticed::ProfileUnusable { why: "it is damaged".to_owned() }]);
    }

    #[test]
    fn grey_with_alpha_in_sixteen_bits() {
        let samples: Vec<u16> = vec![0, 65_535, 0, 0, 1000, 32_768];
        let stored = Collector::whole(
            (3, 1),
            Channels::GreyAlpha,
            samples,
            Colour::Untagged,
            Orientation::UPRIGHT,
            Vec::new(),
        );
        let Samples::Rgb16(samples) = stored.samples else { panic!("8 bits") };
        assert_eq!(samples[..6], [0, 0, 0, 65_535, 65_535, 65_535]);
        let table = &stored.encoding.linear_from_code[0];
        let wanted = (table[1000] + 1.0) / 2.0;
        assert!((table[usize::from(samples[6])] - wanted).abs() < 2e-5);
    }
}
