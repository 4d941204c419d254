//! PNG and JPEG as shades: how opaque and how light each pixel is.

use std::io::Cursor;

use image::error::ImageError;
use image::imageops::thumbnail;
use image::{DynamicImage, GrayImage, ImageFormat, ImageReader, Limits, Luma};

use crate::{LONGEST, MOST_PIXELS, PictureError};

/// What ink is told from.
pub(crate) enum Shades {
    /// How opaque each pixel is: something is clear.
    Cover(GrayImage),
    /// How light each pixel is: nothing is clear.
    Light(GrayImage),
}

/// Memory that unpacking may take, in bytes: 8 for each of the most pixels.
const MOST_MEMORY: u64 = 8 * MOST_PIXELS;

/// The kind of the bytes, if it is one of pixels that is read.
pub(crate) fn kind(bytes: &[u8]) -> Option<ImageFormat> {
    image::guess_format(bytes).ok().filter(|f| matches!(f, ImageFormat::Png | ImageFormat::Jpeg))
}

/// Unpacks a picture of pixels, and scales it down if it is large.
pub(crate) fn shades(bytes: &[u8], kind: ImageFormat) -> Result<Shades, PictureError> {
    let name = if kind == ImageFormat::Png { "PNG" } else { "JPEG" };
    let damaged = |e: ImageError| PictureError::Damaged { kind: name, reason: e.to_string() };
    let reader = || ImageReader::with_format(Cursor::new(bytes), kind);
    let (width, height) = reader().into_dimensions().map_err(damaged)?;
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(PictureError::Huge { width, height });
    }
    let mut limits = Limits::default();
    limits.max_alloc = Some(MOST_MEMORY);
    let mut reader = reader();
    reader.limits(limits);
    Ok(of_image(&reader.decode().map_err(damaged)?))
}

fn of_image(image: &DynamicImage) -> Shades {
    if image.color().has_alpha() {
        let image = image.to_rgba8();
        let cover =
            GrayImage::from_fn(image.width(), image.height(), |x, y| Luma([image.get_pixel(x, y)[3]]));
        if cover.as_raw().iter().any(|&a| a < u8::MAX) {
            return Shades::Cover(scaled(cover));
        }
    }
    Shades::Light(scaled(image.to_luma8()))
}

/// Scaled down until no side is longer than [`LONGEST`], by the mean of areas.
fn scaled(image: GrayImage) -> GrayImage {
    let longest = image.width().max(image.height());
    if longest <= LONGEST {
        return image;
    }
    let side = |n: u32| ((u64::from(n) * u64::from(LONGEST) / u64::from(longest)) as u32).max(1);
    thumbnail(&image, side(image.width()), side(image.height()))
}

#[cfg(test)]
pub(crate) fn png(image: &DynamicImage) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    image.write_to(&mut bytes, ImageFormat::Png).unwrap();
    bytes.into_inner()
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{Rgba, RgbaImage};

    #[test]
    fn a_picture_with_anything_clear_is_told_by_cover() {
        let mut image = RgbaImage::from_pixel(4, 4, Rgba([255, 255, 255, 255]));
        assert!(matches!(of_image(&DynamicImage::from(image.clone())), Shades::Light(_)));
        image.put_pixel(0, 0, Rgba([0, 0, 0, 0]));
        assert!(matches!(of_image(&DynamicImage::from(image)), Shades::Cover(_)));
    }

    #[test]
    fn a_large_picture_is_the_mean_of_its_areas() {
        // Stripes one pixel wide become an even grey.
        let stripes = GrayImage::from_fn(2 * LONGEST, 8, |x, _| Luma([if x % 2 == 0 { 0 } else { 200 }]));
        let small = scaled(stripes);
        assert_eq!(small.dimensions(), (LONGEST, 4));
        assert!(small.as_raw().iter().all(|&v| (99..=101).contains(&v)));
    }

    #[test]
    fn a_bomb_is_refused_before_it_is_unpacked() {
        // A PNG that says it has 50 000 × 50 000 pixels, in 33 bytes and a little.
        let mut bytes = png(&DynamicImage::from(GrayImage::new(1, 1)));
        bytes[16..20].copy_from_slice(&50_000u32.to_be_bytes());
        bytes[20..24].copy_from_slice(&50_000u32.to_be_bytes());
        let checked = crc(&bytes[12..29]).to_be_bytes();
        bytes[29..33].copy_from_slice(&checked);
        let refused = crate::read(&bytes);
        assert!(matches!(refused, Err(PictureError::Huge { width: 50_000, height: 50_000 })), "{refused:?}");
    }

    /// The check sum of a PNG's chunks, as the standard has it.
    fn crc(bytes: &[u8]) -> u32 {
        let step = |crc: u32, &byte: &u8| {
            (0..8)
                .fold(crc ^ u32::from(byte), |c, _| if c & 1 == 1 { 0xEDB8_8320 ^ (c >> 1) } else { c >> 1 })
        };
        !bytes.iter().fold(u32::MAX, step)
    }
}
