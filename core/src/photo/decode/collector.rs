//! Gathers a decoder's rows into RGB samples, whatever channels they come in.

use super::alpha::OverPaper;
use super::colour::{self, Channels, Colour};
use crate::photo::encoding::Depth;
use crate::photo::stored::{Encoding, Samples, Stored};
use crate::photo::{Noticed, OpenError, Orientation};

/// Takes rows from the top down and keeps them as RGB.
pub(super) struct Collector {
    width: u32,
    height: u32,
    channels: Channels,
    encoding: Encoding,
    over_paper: Option<OverPaper>,
    samples: Samples,
    /// Samples filled so far.
    filled: usize,
    see_through: bool,
    noticed: Vec<Noticed>,
}

/// What a sample of 8 or 16 bits has in common.
pub(super) trait Sample: Copy + Into<u32> {
    const DEPTH: Depth;
    const FULL: u32;
    fn from_code(code: usize) -> Self;
    fn zeroed(count: usize) -> Samples;
    fn of(samples: &mut Samples) -> &mut [Self];
}

impl Sample for u8 {
    const DEPTH: Depth = Depth::Eight;
    const FULL: u32 = 255;
    fn from_code(code: usize) -> Self {
        code as Self
    }
    fn zeroed(count: usize) -> Samples {
        Samples::Rgb8(vec![0; count])
    }
    fn of(samples: &mut Samples) -> &mut [Self] {
        match samples {
            Samples::Rgb8(samples) => samples,
            Samples::Rgb16(_) => unreachable!("a collector is fed at the depth that it was made for"),
        }
    }
}

impl Sample for u16 {
    const DEPTH: Depth = Depth::Sixteen;
    const FULL: u32 = 65_535;
    fn from_code(code: usize) -> Self {
        code as Self
    }
    fn zeroed(count: usize) -> Samples {
        Samples::Rgb16(vec![0; count])
    }
    fn of(samples: &mut Samples) -> &mut [Self] {
        match samples {
            Samples::Rgb16(samples) => samples,
            Samples::Rgb8(_) => unreachable!("a collector is fed at the depth that it was made for"),
        }
    }
}

impl Collector {
    /// For a picture of `width` x `height` (already admitted) whose rows come as samples of type `S`.
    pub(super) fn new<S: Sample>(
        width: u32,
        height: u32,
        channels: Channels,
        colour: Colour,
    ) -> Result<Self, OpenError> {
        let (encoding, noticed) = colour::encoding(colour, channels, S::DEPTH)?;
        let samples = S::zeroed(width as usize * height as usize * 3);
        Ok(Self {
            width,
            height,
            channels,
            over_paper: None,
            encoding,
            samples,
            filled: 0,
            see_through: false,
            noticed: noticed.into_iter().collect(),
        })
    }

    /// The picture from all its RGB samples at once, moved.
    pub(super) fn whole(
        width: u32,
        height: u32,
        samples: Vec<u8>,
        colour: Colour,
        orientation: Orientation,
        noticed: Vec<Noticed>,
    ) -> Result<Stored, OpenError> {
        let (encoding, about_colour) = colour::encoding(colour, Channels::Rgb, Depth::Eight)?;
        let noticed = about_colour.into_iter().chain(noticed).collect();
        Ok(Stored { width, height, samples: Samples::Rgb8(samples), orientation, encoding, noticed })
    }

    /// Takes one row or several whole ones.
    pub(super) fn push<S: Sample>(&mut self, rows: &[S]) {
        let count = rows.len() / self.channels.count() * 3;
        let to = (self.filled + count).min(self.width as usize * self.height as usize * 3);
        let out = &mut S::of(&mut self.samples)[self.filled..to];
        self.filled = to;
        match self.channels {
            Channels::Rgb => out.copy_from_slice(&rows[..out.len()]),
            Channels::Grey => {
                for (pixel, &grey) in out.chunks_exact_mut(3).zip(rows) {
                    pixel.fill(grey);
                }
            }
            Channels::GreyAlpha => {
                let pixels = rows.chunks_exact(2).map(|pixel| ([pixel[0]; 3], pixel[1]));
                self.see_through |= blend(out, pixels, &self.encoding.linear_from_code, &mut self.over_paper);
            }
            Channels::RgbAlpha => {
                let pixels = rows.chunks_exact(4).map(|pixel| ([pixel[0], pixel[1], pixel[2]], pixel[3]));
                self.see_through |= blend(out, pixels, &self.encoding.linear_from_code, &mut self.over_paper);
            }
        }
    }

    /// The picture, with what else was noticed. Rows that never came are middle grey, and said to be missing.
    pub(super) fn finish(mut self, orientation: Orientation, noticed: Vec<Noticed>) -> Stored {
        if self.see_through {
            self.noticed.push(Noticed::OverPaperWhite);
        }
        let missing = match &mut self.samples {
            Samples::Rgb8(samples) => fill_rest(samples, self.filled, 0x80),
            Samples::Rgb16(samples) => fill_rest(samples, self.filled, 0x8080),
        };
        if missing {
            self.noticed.push(Noticed::Incomplete);
        }
        self.noticed.extend(noticed);
        Stored {
            width: self.width,
            height: self.height,
            samples: self.samples,
            orientation,
            encoding: self.encoding,
            noticed: self.noticed,
        }
    }
}

fn fill_rest<S: Copy>(samples: &mut [S], filled: usize, with: S) -> bool {
    let rest = &mut samples[filled..];
    rest.fill(with);
    !rest.is_empty()
}

/// Writes pixels over paper white; whether any of them let it through.
fn blend<S: Sample>(
    out: &mut [S],
    pixels: impl Iterator<Item = ([S; 3], S)>,
    tables: &[Vec<f32>; 3],
    over_paper: &mut Option<OverPaper>,
) -> bool {
    let mut see_through = false;
    for (shown, (colours, alpha)) in out.chunks_exact_mut(3).zip(pixels) {
        let alpha: u32 = alpha.into();
        if alpha == S::FULL {
            shown.copy_from_slice(&colours);
            continue;
        }
        see_through = true;
        let over = over_paper.get_or_insert_with(|| OverPaper::new(tables));
        let opacity = alpha as f32 / S::FULL as f32;
        for (channel, colour) in colours.into_iter().enumerate() {
            let code: u32 = colour.into();
            shown[channel] = S::from_code(over.code(tables, channel, code as usize, opacity));
        }
    }
    see_through
}
