//! Pictures that came in with snapshots whose photos were left out: decoded and encoded anew, so that nothing of their
//! files is kept but pixels. They can't be made again here.

use super::disk::{Disk, Whose};
use super::{DRAWN, Studio, StudioError, THUMBNAILS};
use crate::area::Region;
use crate::photo::OpenOptions;
use crate::{Bands, Photo, Progress, View, ViewSettings, render};
use image::codecs::png::PngEncoder;
use image::{ExtendedColorType, ImageEncoder};
use std::path::Path;

/// Pictures of one snapshot, as they lie in a parcel.
#[derive(Debug, Default)]
pub(super) struct Carried {
    pub(super) uuid: String,
    /// To find it by.
    pub(super) small: Option<Vec<u8>>,
    /// As it is drawn for the painter's own folder: the picture with its pins, the ladder, and what was read.
    pub(super) drawn: Option<Vec<u8>>,
}

impl Studio {
    /// The drawn picture (a PNG) that came in with a snapshot whose photo was left out.
    ///
    /// # Errors
    /// [`StudioError::Gone`] where the snapshot is, and others.
    pub fn drawn(&self, snapshot: i64) -> Result<Option<Vec<u8>>, StudioError> {
        drawing(&*self.disk, &self.folder, &self.snapshot(snapshot)?.uuid)
    }

    /// Keeps what came in; what is no picture is left out.
    pub(super) fn keep_carried(&self, carried: &Carried) -> Result<(), StudioError> {
        for (folder, picture) in [(THUMBNAILS, &carried.small), (DRAWN, &carried.drawn)] {
            let Some(png) = picture.as_deref().and_then(encoded_anew) else { continue };
            let folder = self.folder.join(folder);
            self.disk.make_folder(&folder, Whose::Studio)?;
            let temporary = self.disk.write_temporary(&folder, &png, Whose::Studio)?;
            self.disk.persist(temporary, &folder.join(format!("{}.png", carried.uuid)))?;
            self.disk.sync_folder(&folder)?;
        }
        Ok(())
    }
}

/// The drawn picture that came in with the snapshot of a uuid.
pub(super) fn drawing(disk: &dyn Disk, studio: &Path, uuid: &str) -> Result<Option<Vec<u8>>, StudioError> {
    let path = studio.join(DRAWN).join(format!("{uuid}.png"));
    if disk.has(&path) { Ok(Some(disk.read(&path)?)) } else { Ok(None) }
}

/// A picture's pixels as a PNG, without anything else that its file held; none where it is no picture.
pub(super) fn encoded_anew(bytes: &[u8]) -> Option<Vec<u8>> {
    let photo = Photo::open(bytes, &OpenOptions::default(), &Progress::new()).ok()?;
    let (width, height) = photo.size();
    let bands = Bands::even(crate::MIN_BANDS).ok()?;
    let settings = ViewSettings { view: View::Colour, bands: &bands, soft: None, frame: None, line: 1 };
    let rgba = render(&photo, &settings, Region::whole(width, height), width, height);
    let rgb: Vec<u8> = rgba.as_chunks::<4>().0.iter().flat_map(|&[r, g, b, _]| [r, g, b]).collect();
    let mut png = Vec::new();
    PngEncoder::new(&mut png).write_image(&rgb, width, height, ExtendedColorType::Rgb8).ok()?;
    Some(png)
}
