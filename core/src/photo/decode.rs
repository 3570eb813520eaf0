//! From a file's bytes to a stored picture: what kind it is, whether it fits, and the decoder it is handed to.

use super::stored::Stored;
use super::{OpenError, Progress};
use std::panic::{AssertUnwindSafe, catch_unwind};

mod alpha;
mod collector;
mod colour;
mod framed;
mod jpeg;
mod jpeg_segments;
mod png;
mod png_chunks;
mod sample;
mod sniff;

/// Decodes a picture, by its content and never by its name.
///
/// The picture comes as its file stores it, neither turned nor reduced. A decoder's panic is caught here.
///
/// # Errors
/// Any [`OpenError`]; what a file asks for is held against `limits` before memory is taken for it.
pub(crate) fn decode(bytes: &[u8], limits: &Limits, progress: &Progress) -> Result<Stored, OpenError> {
    if bytes.is_empty() {
        return Err(OpenError::Empty);
    }
    let kind = sniff::kind(bytes)?;
    progress.reach(0.0)?;
    let decoded = catch_unwind(AssertUnwindSafe(|| match kind {
        Kind::Jpeg => jpeg::decode(bytes, limits, progress),
        Kind::Png => png::decode(bytes, limits, progress),
        Kind::WebP | Kind::Gif | Kind::Bmp => framed::decode(kind, bytes, limits, progress),
        Kind::Tiff | Kind::Heic => {
            Err(OpenError::Unsupported { format: kind.name(), what: "its format".to_owned() })
        }
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
}

impl Default for Limits {
    fn default() -> Self {
        Self { pixels: 200_000_000, side: 65_535, profile_bytes: 4 << 20, memory: 2 << 30 }
    }
}

impl Limits {
    /// Refuses what would not fit, before anything is allocated.
    ///
    /// `peak_bytes` is what decoding holds per pixel at its peak, output included.
    fn admit(&self, format: &'static str, width: u32, height: u32, peak_bytes: u32) -> Result<(), OpenError> {
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
        let bytes = pixels * u64::from(peak_bytes);
        if bytes > self.memory {
            let what = format!(
                "{width} x {height} of this kind needs {} MiB of memory, where {} are set aside",
                bytes >> 20,
                self.memory >> 20
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
        let limits = Limits::default();
        assert!(limits.admit("PNG", 20_000, 10_000, 3).is_ok());
        assert!(matches!(limits.admit("PNG", 0, 1, 3), Err(OpenError::Broken { .. })));
        for (width, height, peak, word) in
            [(65_536, 1, 3, "side"), (20_000, 10_001, 3, "million"), (20_000, 10_000, 12, "memory")]
        {
            let error = limits.admit("PNG", width, height, peak).unwrap_err().to_string();
            assert!(error.contains(word), "{error}");
        }
    }

    #[test]
    fn nothing_at_all_is_empty() {
        assert!(matches!(decode(&[], &Limits::default(), &Progress::new()), Err(OpenError::Empty)));
    }
}
