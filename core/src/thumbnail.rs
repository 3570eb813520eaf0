//! A small copy of a picture, to find it by: crisp, and made in linear light.

use crate::Photo;
use crate::area::Region;
use crate::lightness::{GREY_FROM_CODE, code_from_y};
use fast_image_resize::images::Image;
use fast_image_resize::{FilterType, PixelType, ResizeAlg, ResizeOptions, Resizer};

/// A small copy, 8-bit sRGB.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thumbnail {
    /// Columns.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// RGBA, opaque, row-major.
    pub rgba: Vec<u8>,
}

/// The picture is first averaged by area to this many times the thumbnail's size: what the filter needs, at a
/// hundredth of the memory.
const FIRST: u32 = 3;

impl Thumbnail {
    /// Columns and rows of the copy of a picture of this size.
    #[must_use]
    pub fn size(picture: (u32, u32), side: u32) -> (u32, u32) {
        fit(picture, side.max(1))
    }

    /// A copy whose longer side has `side` pixels (at least 1), or the picture's own where that is less.
    #[must_use]
    pub fn of(photo: &Photo, side: u32) -> Self {
        let (full_width, full_height) = photo.size();
        let (width, height) = Self::size((full_width, full_height), side);
        let (columns, rows) = fit((full_width, full_height), side.max(1) * FIRST);
        let linear = photo.averaged_colour(Region::whole(full_width, full_height), columns, rows);
        let codes: Vec<u8> = linear.iter().flat_map(|&channel| code_from_y(channel).to_ne_bytes()).collect();
        let small = resize(codes, (columns, rows), (width, height));
        let rgba = small.as_chunks::<6>().0.iter().flat_map(|&[r0, r1, g0, g1, b0, b1]| {
            let [r, g, b] = [[r0, r1], [g0, g1], [b0, b1]]
                .map(|code| GREY_FROM_CODE[usize::from(u16::from_ne_bytes(code))]);
            [r, g, b, 255]
        });
        Self { width, height, rgba: rgba.collect() }
    }
}

/// By Lanczos' filter, which keeps edges; on 16-bit linear light.
fn resize(codes: Vec<u8>, from: (u32, u32), to: (u32, u32)) -> Vec<u8> {
    let mut small = Image::new(to.0, to.1, PixelType::U16x3);
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::Lanczos3));
    let resized = Image::from_vec_u8(from.0, from.1, codes, PixelType::U16x3)
        .map_err(|error| error.to_string())
        .and_then(|image| {
            Resizer::new().resize(&image, &mut small, &options).map_err(|error| error.to_string())
        });
    if let Err(error) = resized {
        unreachable!("both images have the type and the size that they were made with: {error}");
    }
    small.into_vec()
}

fn fit((width, height): (u32, u32), side: u32) -> (u32, u32) {
    let scale = (f64::from(side) / f64::from(width.max(height))).min(1.0);
    let scaled = |length: u32| ((f64::from(length) * scale).round() as u32).max(1);
    (scaled(width), scaled(height))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Half of the light of black and white is sRGB 188 (IEC 61966-2-1), not 128.
    #[test]
    fn fine_stripes_come_out_as_half_the_light() {
        let samples = (0..240 * 240u32).flat_map(|at| [if at % 240 % 2 == 0 { 0 } else { 255 }; 3]);
        let thumbnail = Thumbnail::of(&Photo::from_srgb((240, 240), samples.collect()), 30);
        assert_eq!((thumbnail.width, thumbnail.height), (30, 30));
        let middle = thumbnail.rgba[4 * (15 * 30 + 15)];
        assert!((187..=189).contains(&middle), "{middle}");
    }

    #[test]
    fn proportions_stay_and_small_pictures_keep_their_size() {
        let photo = |width: u32, height: u32| {
            Photo::from_srgb((width, height), vec![90; 3 * (width * height) as usize])
        };
        let size = |thumbnail: Thumbnail| (thumbnail.width, thumbnail.height);
        assert_eq!(size(Thumbnail::of(&photo(300, 100), 60)), (60, 20));
        assert_eq!(size(Thumbnail::of(&photo(8, 5), 60)), (8, 5));
        assert_eq!(size(Thumbnail::of(&photo(500, 1), 50)), (50, 1));
        assert!(
            Thumbnail::of(&photo(300, 100), 60)
                .rgba
                .as_chunks::<4>()
                .0
                .iter()
                .all(|pixel| *pixel == [90, 90, 90, 255])
        );
    }
}
