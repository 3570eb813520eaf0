//! A photo as the page knows it.

use crate::light::wire::LightInfo;
use crate::picture::THUMBNAIL_SIDE;
use crate::state::OpenPhoto;
use serde::Serialize;
use tonefast_core::{Missing, Squint, Thumbnail};

/// An open photo.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct PhotoInfo {
    /// What it is known by.
    id: u32,
    /// The file's name.
    name: String,
    /// Columns of the working copy; spots and regions are in its pixels.
    width: u32,
    /// Rows of the working copy.
    height: u32,
    /// Columns in the file, upright.
    full_width: u32,
    /// Rows in the file, upright.
    full_height: u32,
    /// What was noticed, in words.
    noticed: Vec<String>,
    /// What of that bears on its tones, so that it stands beside whatever is read.
    doubts: Vec<String>,
    /// The part that the file does not have: x, y, width and height in pixels of the working copy.
    missing: Option<(u32, u32, u32, u32)>,
    /// Columns and rows of the softened pictures.
    soft: SoftSizes,
    /// Columns and rows of the thumbnail.
    thumbnail: (u32, u32),
    /// The number that stays while its light is told anew.
    subject: u32,
    /// The light that was told.
    light: Option<LightInfo>,
}

/// Columns and rows of the softened pictures.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
#[cfg_attr(test, derive(ts_rs::TS))]
pub(crate) struct SoftSizes {
    slight: (u32, u32),
    half: (u32, u32),
    nearly: (u32, u32),
}

impl SoftSizes {
    /// For a picture of so many columns and rows.
    pub(crate) fn of(size: (u32, u32)) -> Self {
        let soft = |squint: Squint| squint.size(size);
        Self { slight: soft(Squint::Slight), half: soft(Squint::Half), nearly: soft(Squint::Nearly) }
    }
}

impl PhotoInfo {
    pub(crate) fn new(id: u32, open: &OpenPhoto) -> Self {
        let photo = &open.photo;
        let ((width, height), (full_width, full_height)) = (photo.size(), photo.full_size());
        Self {
            id,
            name: open.name.clone(),
            width,
            height,
            full_width,
            full_height,
            noticed: photo.noticed().iter().map(ToString::to_string).collect(),
            doubts: photo
                .noticed()
                .iter()
                .filter(|it| it.bears_on_tones())
                .map(ToString::to_string)
                .collect(),
            missing: photo.missing().map(|Missing { x, y, width, height }| (x, y, width, height)),
            soft: SoftSizes::of(photo.size()),
            thumbnail: Thumbnail::size(photo.size(), THUMBNAIL_SIDE),
            subject: open.subject,
            light: photo.light().map(|light| LightInfo::new(light, photo.size())),
        }
    }
}
