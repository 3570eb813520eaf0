//! From a file's bytes to a stored picture: what kind it is, whether it fits, and the decoder it is handed to.

use super::stored::{Source, Stored};
use super::{OpenError, Progress};
use std::panic::{AssertUnwindSafe, catch_unwind};

mod alpha;
mod code_points;
mod collector;
mod colour;
mod framed;
mod gif_frames;
mod heic;
mod jpeg;
mod jpeg_input;
mod jpeg_segments;
mod png;
mod png_chunks;
mod sample;
mod sniff;
mod tiff;
mod tiff_input;
mod tiff_samples;
mod webp_chunks;

/// Decodes a picture, by its content and never by its name.
///
/// The picture comes as its file stores it, neither turned nor reduced; of some kinds its rows are decoded later, as they
/// are asked for. A decoder's panic is caught here.
///
/// # Errors
/// Any [`OpenError`]; what a file asks for is held against `limits` before memory is taken for it.
pub(crate) fn decode<'a>(
    bytes: &'a [u8],
    limits: &Limits,
    progress: &'a Progress,
) -> Result<Stored<Source<'a>>, OpenError> {
    if bytes.is_empty() {
        return Err(OpenError::Empty);
    }
    let kind = sniff::kind(bytes)?;
    progress.reach(0.0)?;
    guarded(kind, bytes, limits, progress)
}

/// How a file's name usually ends, by its content; "bin" where it is no picture that is read here.
pub(crate) fn usual_ending(bytes: &[u8]) -> &'static str {
    match sniff::kind(bytes) {
        Ok(Kind::Jpeg) => "jpg",
        Ok(Kind::Png) => "png",
        Ok(Kind::WebP) => "webp",
        Ok(Kind::Gif) => "gif",
        Ok(Kind::Bmp) => "bmp",
        Ok(Kind::Tiff) => "tif",
        Ok(Kind::Heic) => "heic",
        Err(_) => "bin",
    }
}

/// As [`decode`], as HEIC whatever the bytes look like.
#[cfg(feature = "fuzzing")]
pub(crate) fn heic<'a>(
    bytes: &'a [u8],
    limits: &Limits,
    progress: &'a Progress,
) -> Result<Stored<Source<'a>>, OpenError> {
    guarded(Kind::Heic, bytes, limits, progress)
}

/// Hands the file to its decoder, and stops a panic.
fn guarded<'a>(
    kind: Kind,
    bytes: &'a [u8],
    limits: &Limits,
    progress: &'a Progress,
) -> Result<Stored<Source<'a>>, OpenError> {
    let decoded = catch_unwind(AssertUnwindSafe(|| {
        let stored = match kind {
            Kind::Jpeg => return jpeg::decode(bytes, limits, progress),
            Kind::Png => png::decode(bytes, limits, progress),
            Kind::WebP | Kind::Gif | Kind::Bmp => framed::decode(kind, bytes, limits, progress),
            Kind::Tiff => tiff::decode(bytes, limits, progress),
            Kind::Heic => heic::decode(bytes, limits, progress),
        };
        stored.map(Stored::into_source)
    }));
    decoded.unwrap_or(Err(OpenError::DecoderFailed { format: kind.name() }))
}

/// What a picture may ask for.
#[derive(Debug, Clone)]
pub(crate) struct Limits {
    /// Pixels, width times height.
    pub(crate) pixels: u64,
    /// Pixels along either side.
    pub(crate) side: u32,
    /// Bytes of an embedded colour profile, once inflated.
    pub(crate) profile_bytes: usize,
    /// Bytes that decoding may hold at its peak, by an estimate made from the header.
    pub(crate) memory: u64,
    /// Bytes that decoding may hold whatever the size of the file: they are soon filled.
    pub(crate) soon_filled: u64,
    /// Pixels a byte of the file that a picture beyond that may have. Photographs have about 4, pressed hard 16;
    /// drawings, screens and scanned text have hundreds, and stay below [`Self::soon_filled`].
    pub(crate) pixels_per_byte: u64,
}

/// What a header claims, beside the size.
#[derive(Debug, Clone, Copy)]
struct Claim {
    /// Bytes that decoding holds per pixel at its peak, output included.
    peak_bytes: u32,
    /// Bytes of the whole file.
    file_bytes: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            pixels: 200_000_000,
            side: 65_535,
            profile_bytes: 4 << 20,
            memory: 2 << 30,
            soon_filled: 192 << 20,
            pixels_per_byte: 64,
        }
    }
}

impl Limits {
    /// Refuses what would not fit, before anything is allocated.
    fn admit(
        &self,
        format: &'static str,
        (width, height): (u32, u32),
        claim: Claim,
    ) -> Result<(), OpenError> {
        if width == 0 || height == 0 {
            return Err(OpenError::Broken { format, detail: "it has no pixels".to_owned() });
        }
        if width > self.side || height > self.side {
            let what = format!("{width} x {height}, where a side may have {} pixels", self.side);
            return Err(OpenError::TooLarge { what });
        }
        let pixels = u64::from(width) * u64::from(height);
        if pixels > self.pixels {
            let what = format!("{width} x {height}, where {} million pixels fit", self.pixels / 1_000_000);
            return Err(OpenError::TooLarge { what });
        }
        let bytes = pixels * u64::from(claim.peak_bytes);
        if bytes > self.soon_filled && pixels / (claim.file_bytes as u64).max(1) > self.pixels_per_byte {
            let what = format!(
                "{width} x {height} in a file of {} bytes, more than a picture packs together",
                claim.file_bytes
            );
            return Err(OpenError::TooLarge { what });
        }
        if bytes > self.memory {
            let what = format!(
                "{width} x {height}, where {} million pixels of a {format} picture like this one fit into memory",
                self.memory / u64::from(claim.peak_bytes) / 1_000_000
            );
            return Err(OpenError::TooLarge { what });
        }
        Ok(())
    }
}

/// A kind of file that is decoded here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Jpeg,
    Png,
    WebP,
    Tiff,
    Gif,
    Bmp,
    Heic,
}

impl Kind {
    /// The name in messages.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::WebP => "WebP",
            Self::Tiff => "TIFF",
            Self::Gif => "GIF",
            Self::Bmp => "BMP",
            Self::Heic => "HEIC",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_beyond_the_limits_are_refused_in_words() {
        let admit = |size, peak_bytes, file_bytes| {
            Limits::default().admit("PNG", size, Claim { peak_bytes, file_bytes })
        };
        assert!(admit((20_000, 10_000), 3, 10_000_000).is_ok());
        assert!(admit((8_000, 8_000), 3, 100).is_ok());
        assert!(matches!(admit((0, 1), 3, 100), Err(OpenError::Broken { .. })));
        for (size, peak, file, word) in [
            ((65_536, 1), 3, 1_000_000, "side"),
            ((20_000, 10_001), 3, 10_000_000, "million"),
            ((20_000, 10_000), 12, 10_000_000, "memory"),
            ((20_000, 10_000), 3, 100_000, "packs"),
        ] {
            let error = admit(size, peak, file).unwrap_err().to_string();
            assert!(error.contains(word), "{error}");
        }
    }

    /// By hand: 2 GiB hold 126.3 million pixels of 17 bytes. What is told must be met by what would open.
    #[test]
    fn the_limit_that_is_told_is_the_one_that_holds() {
        let claim = Claim { peak_bytes: 17, file_bytes: 60_000_000 };
        let error = Limits::default().admit("HEIC", (16_320, 12_240), claim).unwrap_err();
        assert!(error.to_string().contains("126 million") && !error.hint().contains("200"), "{error}");
        assert!(Limits::default().admit("HEIC", (12_600, 10_000), claim).is_ok());
    }

    #[test]
    fn nothing_at_all_is_empty() {
        assert!(matches!(decode(&[], &Limits::default(), &Progress::new()), Err(OpenError::Empty)));
    }
}
