//! What a decoder hands over: a picture as its file stores it, neither turned nor reduced, in its own encoding.

use super::{Noticed, OpenError, Orientation};

/// A picture, still lying as the file stores it; its samples are there, or come from a [`Source`].
pub(crate) struct Stored<S = Samples> {
    /// Columns as stored.
    pub(crate) width: u32,
    /// Rows as stored.
    pub(crate) height: u32,
    /// Interleaved RGB, row-major, in the file's own encoding.
    pub(crate) samples: S,
    /// How to turn it upright.
    pub(crate) orientation: Orientation,
    /// What the samples mean.
    pub(crate) encoding: Encoding,
    /// What the painter should be told.
    pub(crate) noticed: Vec<Noticed>,
    /// So many rows from the top came out of the file, where not all did and the decoder can tell.
    pub(crate) decoded: Option<u32>,
}

/// Interleaved RGB samples: `3 * width * height` of them.
#[derive(Clone)]
pub(crate) enum Samples {
    /// 8 bits a channel.
    Rgb8(Vec<u8>),
    /// 16 bits a channel; deeper than 8 is scaled so that 65,535 is the encoding's 1.
    Rgb16(Vec<u16>),
}

/// Where samples come from.
pub(crate) enum Source<'a> {
    /// They are all there.
    Held(Samples),
    /// They are decoded as they are asked for, so that others work on them meanwhile and no one need hold them all.
    Rows(Box<dyn Rows + 'a>),
}

/// The rows of a picture from the top down, in interleaved RGB of 8 bits a channel.
pub(crate) trait Rows {
    /// Fills `rows`, any number of whole ones, with the next; there are no more than the picture has.
    fn next(&mut self, rows: &mut [u8]) -> Result<(), OpenError>;
    /// What was noticed on the way, once there are no more.
    fn noticed(&self) -> Option<Noticed>;
    /// So many rows came out of the file, where not all did; known once there are no more.
    fn decoded(&self) -> Option<u32>;
}

/// From a file's samples to linear light, as three tables and a matrix: no clipping, so wide gamuts survive.
///
/// Linear light is relative to the encoding's white: equal full samples have Y = 1.
#[derive(Clone)]
pub(crate) struct Encoding {
    /// Linear light of each code, per channel: 256 entries for 8-bit samples, 65,536 for 16-bit.
    /// Monotone, so that linear light can be encoded again.
    pub(crate) linear_from_code: [Vec<f32>; 3],
    /// Luminance under D65 of linear RGB in the source's own space; sums to 1.
    pub(crate) y_row: [f32; 3],
    /// Linear sRGB (unclipped, D65) from linear RGB in the source's own space.
    pub(crate) srgb_from_source: [[f32; 3]; 3],
}

impl Stored {
    /// The same, for those who take samples from wherever they come.
    pub(crate) fn into_source(self) -> Stored<Source<'static>> {
        let Self { width, height, samples, orientation, encoding, noticed, decoded } = self;
        Stored { width, height, samples: Source::Held(samples), orientation, encoding, noticed, decoded }
    }
}

#[cfg(any(test, feature = "fuzzing"))]
impl Stored<Source<'_>> {
    /// The same, with all samples there.
    pub(crate) fn held(self) -> Result<Stored, OpenError> {
        let Self { width, height, samples, orientation, encoding, mut noticed, mut decoded } = self;
        let samples = match samples {
            Source::Held(samples) => samples,
            Source::Rows(mut rows) => {
                let mut samples = vec![0; 3 * width as usize * height as usize];
                rows.next(&mut samples)?;
                noticed.extend(rows.noticed());
                decoded = rows.decoded();
                Samples::Rgb8(samples)
            }
        };
        Ok(Stored { width, height, samples, orientation, encoding, noticed, decoded })
    }
}

impl Samples {
    /// Linear light of the samples `range`.
    pub(crate) fn linear(&self, range: std::ops::Range<usize>, encoding: &Encoding, linear: &mut [f32]) {
        match self {
            Self::Rgb8(samples) => encoding.linear(&samples[range], 256, usize::from, linear),
            Self::Rgb16(samples) => encoding.linear(&samples[range], 65_536, usize::from, linear),
        }
    }
}

impl Encoding {
    /// Linear light of interleaved samples; `index` says where in the tables, `codes` entries long, a sample stands.
    #[inline]
    pub(crate) fn linear<T: Copy>(
        &self,
        samples: &[T],
        codes: usize,
        index: impl Fn(T) -> usize,
        linear: &mut [f32],
    ) {
        // A length known to the compiler saves a check at every sample.
        let [red, green, blue] = &self.linear_from_code;
        let (red, green, blue) = (&red[..codes], &green[..codes], &blue[..codes]);
        for (out, &[r, g, b]) in linear.as_chunks_mut().0.iter_mut().zip(samples.as_chunks().0) {
            *out = [red[index(r)], green[index(g)], blue[index(b)]];
        }
    }

    /// Linear sRGB, not clipped, of linear light in the source's own space.
    pub(crate) fn srgb(&self, [r, g, b]: [f32; 3]) -> [f32; 3] {
        self.srgb_from_source.map(|row| row[0] * r + row[1] * g + row[2] * b)
    }

    /// What each code of each channel adds to Y.
    pub(crate) fn y_tables(&self) -> [Vec<f32>; 3] {
        std::array::from_fn(|channel| {
            self.linear_from_code[channel].iter().map(|&linear| linear * self.y_row[channel]).collect()
        })
    }

    /// For each channel, the sample's code that lies nearest to each of 65,536 even steps of linear light.
    pub(crate) fn codes_from_linear(&self) -> [Vec<u16>; 3] {
        self.linear_from_code.each_ref().map(|table| {
            let mut code = 0;
            (0..=u16::MAX)
                .map(|step| {
                    let linear = f32::from(step) / f32::from(u16::MAX);
                    while code + 1 < table.len() && (table[code] + table[code + 1]) / 2.0 <= linear {
                        code += 1;
                    }
                    code as u16
                })
                .collect()
        })
    }
}
