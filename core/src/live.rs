//! The live camera: patches of its frames in, readings that settle and are held to white paper out.
//!
//! No clock and no frame of its own: times come in with the patches, in seconds from any start. The light is taken
//! from the paper by one gain a channel, in linear light, before Y ([`Light::of_paper`](crate::Light::of_paper)), and the
//! shader does the same by [`video_tables`] and the gains as uniforms.

mod paper;
mod patch;
mod settling;

pub use paper::{PaperError, PaperFollower, PaperSight, Window};
pub use patch::{FramePatch, Gains, LARGEST_PATCH, Overview, PatchError};
pub use settling::{Settled, Settling};

use crate::photo::{Depth, Encoding};

/// What the shader makes Y of a video frame by: the frame is sRGB (IEC 61966-2-1), as a picture without a profile is.
#[derive(Debug, Clone, PartialEq)]
pub struct VideoTables {
    /// Linear light of each 8-bit code of red, green and blue.
    pub linear_from_code: [Vec<f32>; 3],
    /// Luminance of linear red, green and blue; sums to 1.
    pub y_row: [f32; 3],
}

/// The tables that core itself reads patches by.
#[must_use]
pub fn video_tables() -> VideoTables {
    let Encoding { linear_from_code, y_row, .. } = Encoding::srgb_encoded(Depth::Eight);
    VideoTables { linear_from_code, y_row }
}

#[cfg(test)]
mod tests;
