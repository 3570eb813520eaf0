//! HEIC through `heifer`, held to what its headers ask for.

use super::work::{self, Work};
use crate::photo::decode::code_points::CodePoints;
use crate::photo::decode::collector::Collector;
use crate::photo::decode::colour::{Channels, Colour};
use crate::photo::decode::{Claim, Kind, Limits};
use crate::photo::stored::Stored;
use crate::photo::{Noticed, OpenError, Orientation, Progress};
use heifer::heifer_hevc_dec::params::Sps;
use heifer::heifer_isobmff::boxes::{ColorInfo, Property};
use heifer::heifer_isobmff::{HeifFile, ItemId};
use heifer::{Error, Options};

const FORMAT: &str = Kind::Heic.name();

/// Decodes the primary picture. The decoder crops, turns and mirrors it as the file's own properties say; EXIF beside
/// them repeats the turn and is not read.
pub(in crate::photo::decode) fn decode(
    bytes: &[u8],
    limits: &Limits,
    progress: &Progress,
) -> Result<Stored, OpenError> {
    let file = HeifFile::parse(bytes).map_err(|error| broken(&error.to_string()))?;
    let id = file.primary_id;
    let size = size_of(&file, id)?;
    let parameters = work::parameters(&file, id);
    let depth = parameters.as_ref().map_or(8, |it| it.bit_depth_luma.max(it.bit_depth_chroma));
    let sample = if depth > 8 { 2 } else { 1 };
    // The decoder's four channels and the same again once turned, its planes of 2 bytes at 4:4:4, and ours.
    limits.admit(FORMAT, size, Claim { peak_bytes: 8 * sample + 6 + 3 * sample, file_bytes: bytes.len() })?;
    let work = work::of(&file, id, broken)?;
    refuse_needless_work(work, size, bytes.len())?;
    let points = code_points(&file, id).or_else(|| points_of_stream(parameters.as_ref()?));
    let colour = colour_of(&file, id, points, limits);
    colour.refuse_high_dynamic_range(FORMAT)?;
    let noticed = notices(&file, id);
    progress.reach(0.1)?;
    let options = Options { max_threads: 0, max_pixels: work.largest.max(pixels(size)) };
    let stored = if sample == 2 {
        let image = heifer::decode_with_options(bytes, &options).map_err(|error| of_decoder(&error))?;
        progress.reach(0.8)?;
        let full = u32::from(image.max_value());
        let mut samples = image.data;
        for value in &mut samples {
            *value = ((u32::from(*value).min(full) * 65_535 + full / 2) / full) as u16;
        }
        let channels = if image.has_alpha { Channels::RgbAlpha } else { opaque(&mut samples) };
        let size = (image.width, image.height);
        Collector::whole(size, channels, samples, colour, Orientation::UPRIGHT, noticed)
    } else {
        let image = heifer::decode_rgba8(bytes, &options).map_err(|error| of_decoder(&error))?;
        progress.reach(0.8)?;
        let mut samples = image.data;
        let channels = if image.has_alpha { Channels::RgbAlpha } else { opaque(&mut samples) };
        let size = (image.width, image.height);
        Collector::whole(size, channels, samples, colour, Orientation::UPRIGHT, noticed)
    };
    if stored.width == 0 || stored.height == 0 {
        return Err(broken("nothing is left of it once it is cropped"));
    }
    progress.reach(1.0)?;
    Ok(stored)
}

/// Drops an opacity that says nothing, in place.
fn opaque<S: Copy>(samples: &mut Vec<S>) -> Channels {
    let count = samples.len() / 4;
    for pixel in 0..count {
        for channel in 0..3 {
            samples[3 * pixel + channel] = samples[4 * pixel + channel];
        }
    }
    samples.truncate(3 * count);
    samples.shrink_to_fit();
    Channels::Rgb
}

/// Width and height before the turn, from the grid or the item's own size.
fn size_of(file: &HeifFile<'_>, id: ItemId) -> Result<(u32, u32), OpenError> {
    if let Ok(grid) = file.grid(id) {
        return Ok((grid.output_width, grid.output_height));
    }
    let size = file.image_size(id).map_err(|error| broken(&error.to_string()))?;
    let coded = || {
        let sps = work::parameters(file, id)?;
        Some((sps.pic_width_in_luma_samples, sps.pic_height_in_luma_samples))
    };
    size.or_else(coded).ok_or_else(|| broken("it does not say how large it is"))
}

fn pixels((width, height): (u32, u32)) -> u64 {
    u64::from(width) * u64::from(height)
}

/// Refuses files whose parts come to far more than the picture that they make: opacity doubles it, edges of tiles add
/// some, and small pictures are coded in whole blocks; nothing honest comes to four times as much.
fn refuse_needless_work(work: Work, size: (u32, u32), file_bytes: usize) -> Result<(), OpenError> {
    const TIMES: u64 = 4;
    const SMALL: u64 = 1 << 20;
    let too_many = work.pixels > TIMES * pixels(size).max(SMALL);
    let too_often = work.bytes > TIMES * (file_bytes as u64).max(SMALL);
    if too_many || too_often {
        let what = "its parts come to far more than the picture that they make".to_owned();
        return Err(OpenError::TooLarge { what });
    }
    Ok(())
}

/// The profile of the picture or its first tile, else its code points.
fn colour_of(file: &HeifFile<'_>, id: ItemId, points: Option<CodePoints>, limits: &Limits) -> Colour {
    match file.icc_profile(id) {
        Ok(Some(icc)) if icc.len() > limits.profile_bytes => Colour::Unusable("it is too long".to_owned()),
        Ok(Some(icc)) => Colour::Icc(icc.to_vec()),
        Ok(None) => points.map_or(Colour::Untagged, Colour::CodePoints),
        Err(error) => Colour::Unusable(error.to_string()),
    }
}

/// Code points of the item or its first tile.
fn code_points(file: &HeifFile<'_>, id: ItemId) -> Option<CodePoints> {
    let own = |id| {
        file.item_properties(id).ok()?.find_map(|property| match property {
            Property::Color(ColorInfo::Nclx { primaries, transfer, .. }) => {
                Some(CodePoints { primaries: *primaries, transfer: *transfer })
            }
            _ => None,
        })
    };
    own(id).or_else(|| own(*file.referenced_items(id, b"dimg").first()?))
}

/// Code points that only the video stream carries. Phones leave their encoder's default for television there (H.273's
/// transfers 1 and 6) while the picture is sRGB, and viewers ignore it: common practice. What can be no default counts.
fn points_of_stream(parameters: &Sps) -> Option<CodePoints> {
    let signal = parameters.vui.as_ref()?;
    let points = CodePoints {
        primaries: signal.colour_primaries.into(),
        transfer: signal.transfer_characteristics.into(),
    };
    matches!(points.transfer, 13 | 16 | 18).then_some(points)
}

/// What the painter should know of: the turn, a gain map left out, further pictures.
fn notices(file: &HeifFile<'_>, id: ItemId) -> Vec<Noticed> {
    let mut noticed = Vec::new();
    let mut turn = Orientation::UPRIGHT;
    for property in file.item_properties(id).into_iter().flatten() {
        match property {
            // Quarter turns to the left.
            Property::Rotation(quarters) => turn = turn.then_turned((4 - quarters % 4) % 4),
            Property::Mirror(top_bottom) => turn = turn.then_mirrored(*top_bottom),
            _ => {}
        }
    }
    if let Some(how) = turn.how() {
        noticed.push(Noticed::Turned { how });
    }
    if has_gain_map(file, id) {
        noticed.push(Noticed::GainMapIgnored);
    }
    if file.top_level_image_ids().len() > 1 {
        noticed.push(Noticed::FirstOfSeveral);
    }
    noticed
}

/// A gain map stands beside the picture as an auxiliary one, or derives another from it (ISO 21496-1's `tmap`).
fn has_gain_map(file: &HeifFile<'_>, id: ItemId) -> bool {
    let is_gain_map = |&auxiliary: &ItemId| {
        file.item_properties(auxiliary).into_iter().flatten().any(
            |property| matches!(property, Property::AuxiliaryType(name) if name.to_ascii_lowercase().contains("gainmap")),
        )
    };
    file.referencing_items(id, b"auxl").iter().any(is_gain_map)
        || file.items.iter().any(|item| item.item_type.0 == *b"tmap")
}

fn broken(detail: &str) -> OpenError {
    OpenError::Broken { format: FORMAT, detail: detail.to_owned() }
}

fn of_decoder(error: &Error) -> OpenError {
    match error {
        Error::Unsupported(what) => OpenError::Unsupported { format: FORMAT, what: what.clone() },
        Error::Hevc(heifer::heifer_hevc_dec::Error::Unimplemented(what)) => {
            OpenError::Unsupported { format: FORMAT, what: (*what).to_owned() }
        }
        other => broken(&other.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::stored::Samples;
    use heifer::{EncodeOptions, Metadata, encode_with_metadata};

    /// A picture of `width` x `height` by the library's encoder, from a smooth function of place.
    fn encoded(width: u32, height: u32, icc: Option<Vec<u8>>) -> (Vec<u16>, Vec<u8>) {
        let pixel = |x: u32, y: u32| [(x * 255 / width) as u16, (y * 255 / height) as u16, 128, 255];
        let data: Vec<u16> = (0..height).flat_map(|y| (0..width).flat_map(move |x| pixel(x, y))).collect();
        let image = heifer::Image { width, height, bit_depth: 8, has_alpha: false, data };
        let options = EncodeOptions { quality: 100, ..EncodeOptions::default() };
        let metadata = Metadata { exif: Some(sideways()), icc_profile: icc, ..Metadata::default() };
        let bytes = encode_with_metadata(&image, &metadata, &options).unwrap();
        (image.data, bytes)
    }

    /// EXIF that says "a quarter turn", which a HEIC repeats and which must not be followed.
    fn sideways() -> Vec<u8> {
        let mut exif = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0".to_vec();
        exif.extend([0; 4]);
        exif
    }

    fn opened(bytes: &[u8]) -> Result<Stored, OpenError> {
        decode(bytes, &Limits::default(), &Progress::new())
    }

    #[test]
    fn tiles_come_together_and_exif_does_not_turn_them() {
        let (data, bytes) = encoded(700, 530, None);
        let stored = opened(&bytes).unwrap();
        assert_eq!((stored.width, stored.height), (700, 530));
        assert_eq!(stored.orientation, Orientation::UPRIGHT);
        assert_eq!(stored.noticed, []);
        let Samples::Rgb8(samples) = stored.samples else { panic!("16 bits") };
        let mut worst = 0;
        for (found, wanted) in samples.as_chunks::<3>().0.iter().zip(data.as_chunks::<4>().0) {
            for (found, wanted) in found.iter().zip(wanted) {
                worst = worst.max(u16::from(*found).abs_diff(*wanted));
            }
        }
        // Chroma is halved and all is quantised at the finest step: a few codes at most on a smooth picture.
        assert!(worst <= 6, "{worst}");
    }

    #[test]
    fn a_profile_is_honoured() {
        let icc = moxcms::ColorProfile::new_display_p3().encode().unwrap();
        let stored = opened(&encoded(64, 64, Some(icc)).1).unwrap();
        assert_eq!(stored.noticed, [Noticed::Profile { name: "Display P3".to_owned() }]);
        assert!((stored.encoding.y_row[0] - 0.2290).abs() < 1e-3);
    }

    #[test]
    fn a_file_cut_short_is_broken() {
        let bytes = encoded(64, 64, None).1;
        for length in [20, 100, bytes.len() / 2, bytes.len() - 1] {
            assert!(matches!(opened(&bytes[..length]), Err(OpenError::Broken { .. })), "{length}");
        }
    }

    #[test]
    fn work_is_counted_tile_by_tile_and_too_much_of_it_refused() {
        let bytes = encoded(700, 530, None).1;
        let file = HeifFile::parse(&bytes).unwrap();
        let work = work::of(&file, file.primary_id, broken).unwrap();
        assert!(work.pixels >= 700 * 530 && work.pixels <= 4 * 512 * 512, "{work:?}");
        assert!(refuse_needless_work(work, (700, 530), bytes.len()).is_ok());
        let pixels = 5 << 20;
        assert!(refuse_needless_work(Work { pixels, ..work }, (700, 530), bytes.len()).is_err());
        assert!(refuse_needless_work(Work { bytes: 5 << 20, ..work }, (700, 530), bytes.len()).is_err());
    }

    #[test]
    fn opacity_that_says_nothing_is_dropped() {
        let mut samples: Vec<u8> = (0..12).collect();
        assert_eq!(opaque(&mut samples), Channels::Rgb);
        assert_eq!(samples, [0, 1, 2, 4, 5, 6, 8, 9, 10]);
    }
}
