//! The ink of a picture: which of its pixels belong to the silhouette.
//!
//! What this crate promises: PNG, JPEG and SVG, told apart by their bytes and
//! not by a name; whatever the bytes are, an answer or one clear sentence, in
//! bounded memory; no files but those bytes, not even ones that an SVG asks
//! for. Equal bytes give equal ink.
//!
//! A pixel is ink if it is more than half opaque, where the picture has
//! anything clear. Where all is opaque, grey levels are parted in two (N. Otsu,
//! "A threshold selection method from gray-level histograms", 1979), and the
//! part that most of the border has is the ground: dark on light and light on
//! dark are read alike. Pictures of more than [`LONGEST`] pixels on a side are
//! scaled down first, each pixel the mean of those it stands for.

mod parting;
mod pixels;
mod vector;

use scout::like::{Ink, InkError};

/// The longest side that ink has, in pixels.
pub const LONGEST: u32 = 2048;
/// The most pixels that are unpacked, 100 million.
pub const MOST_PIXELS: u64 = 100_000_000;
/// The largest file that is read, in bytes: 64 million.
pub const MOST_BYTES: usize = 64_000_000;

/// Why bytes give no ink.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// There are no bytes.
    #[error("the file is empty")]
    Empty,
    /// None of the three kinds.
    #[error("it is not a picture: its bytes are neither PNG, JPEG nor SVG")]
    Unknown,
    /// More bytes than are read.
    #[error("it has {bytes} bytes; at most {MOST_BYTES} are read")]
    Heavy {
        /// How many it has.
        bytes: usize,
    },
    /// More pixels than are unpacked.
    #[error("it has {width} × {height} pixels; at most {MOST_PIXELS} in all are unpacked")]
    Huge {
        /// Pixels in a row.
        width: u32,
        /// Rows.
        height: u32,
    },
    /// The kind is clear, but the rest is damaged or cut off.
    #[error("the {kind} is damaged or cut off: {reason}")]
    Damaged {
        /// PNG, JPEG or SVG.
        kind: &'static str,
        /// What its reader says.
        reason: String,
    },
    /// There is no silhouette in it.
    #[error(transparent)]
    Ink(#[from] InkError),
}

/// The ink of a PNG, JPEG or SVG file of these bytes.
///
/// # Errors
/// Bytes that are no such picture, are damaged, or have no silhouette.
pub fn read(bytes: &[u8]) -> Result<Ink, PictureError> {
    if bytes.is_empty() {
        return Err(PictureError::Empty);
    }
    if bytes.len() > MOST_BYTES {
        return Err(PictureError::Heavy { bytes: bytes.len() });
    }
    let shades = match pixels::kind(bytes) {
        Some(kind) => pixels::shades(bytes, kind)?,
        None if vector::is_svg(bytes) => vector::shades(bytes)?,
        None => return Err(PictureError::Unknown),
    };
    Ok(parting::ink(&shades)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use image::{DynamicImage, GrayImage, ImageFormat, Luma, Rgb, RgbImage, Rgba, RgbaImage};
    use std::io::Cursor;

    fn bytes(image: &DynamicImage, kind: ImageFormat) -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        image.write_to(&mut bytes, kind).unwrap();
        bytes.into_inner()
    }

    /// Whether a pixel is in a shape of 600 pixels.
    fn shape(x: u32, y: u32) -> bool {
        (10..40).contains(&x) && (20..40).contains(&y)
    }

    fn grey(ink: u8, ground: u8) -> DynamicImage {
        GrayImage::from_fn(60, 50, |x, y| Luma([if shape(x, y) { ink } else { ground }])).into()
    }

    #[test]
    fn dark_on_light_light_on_dark_and_on_clear_ground_are_the_same_ink() {
        let clear = RgbaImage::from_fn(60, 50, |x, y| Rgba([200, 30, 30, if shape(x, y) { 255 } else { 0 }]));
        let colours =
            RgbImage::from_fn(60, 50, |x, y| Rgb(if shape(x, y) { [150, 0, 0] } else { [90, 255, 90] }));
        let svg = br#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 50"><rect x="10" y="20" width="30" height="20"/></svg>"#;
        let on_paper = br#"<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 50"><rect width="60" height="50" fill="navy"/><rect x="10" y="20" width="30" height="20" fill="white"/></svg>"#;
        let pictures = [
            bytes(&grey(20, 230), ImageFormat::Png),
            bytes(&grey(230, 20), ImageFormat::Png),
            bytes(&grey(100, 160), ImageFormat::Jpeg),
            bytes(&clear.into(), ImageFormat::Png),
            bytes(&colours.into(), ImageFormat::Png),
            svg.to_vec(),
            on_paper.to_vec(),
        ];
        for (k, picture) in pictures.iter().enumerate() {
            let ink = read(picture).unwrap_or_else(|e| panic!("{k}: {e}"));
            let scale = ink.width() as f64 / 60.0;
            let moments = ink.moments();
            assert!((moments.area / scale / scale - 600.0).abs() < 3.0, "{k}: {moments:?}");
            let [x, y] = moments.centroid.map(|c| c / scale);
            assert!((x - 25.0).abs() < 0.05 && (y - 30.0).abs() < 0.05, "{k}: {x} {y}");
        }
    }

    #[test]
    fn each_wrong_file_has_its_sentence() {
        let png = bytes(&grey(20, 230), ImageFormat::Png);
        let jpeg = bytes(&grey(20, 230), ImageFormat::Jpeg);
        let sentence = |bytes: &[u8]| read(bytes).unwrap_err().to_string();
        assert_eq!(sentence(b""), "the file is empty");
        assert!(sentence(b"Dear harbour master,").starts_with("it is not a picture"));
        assert!(sentence(b"GIF89a").starts_with("it is not a picture"));
        assert!(sentence(b"<html></html>").starts_with("it is not a picture"));
        assert!(sentence(&png[..png.len() / 2]).starts_with("the PNG is damaged or cut off"));
        assert!(sentence(&jpeg[..200]).starts_with("the JPEG is damaged or cut off"));
        assert!(sentence(b"<svg xmlns=").starts_with("the SVG is damaged or cut off"));
        assert!(sentence(&bytes(&grey(255, 255), ImageFormat::Png)).starts_with("there is no ink"));
        assert!(sentence(&bytes(&grey(130, 127), ImageFormat::Png)).starts_with("there is no ink"));
        assert!(sentence(&bytes(&grey(0, 0), ImageFormat::Png)).starts_with("it is ink all over"));
        let clear: DynamicImage = RgbaImage::new(9, 9).into();
        assert!(sentence(&bytes(&clear, ImageFormat::Png)).starts_with("there is no ink"));
        let empty = br#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><text>tug</text></svg>"#;
        assert!(sentence(empty).starts_with("there is no ink"));
    }

    #[test]
    fn no_bytes_do_harm() {
        let pictures = [bytes(&grey(20, 230), ImageFormat::Png), bytes(&grey(20, 230), ImageFormat::Jpeg)];
        for picture in &pictures {
            for cut in (0..picture.len()).step_by(7) {
                let _ = read(&picture[..cut]);
                let mut wrong = picture.clone();
                wrong[cut] ^= 0x55;
                let _ = read(&wrong);
            }
        }
    }

    #[test]
    fn an_svg_that_grows_without_end_is_refused_or_drawn_in_bounded_time() {
        // Each group uses the one before ten times.
        let mut doc = r#"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 9 9"><g id="a0"><rect width="4" height="4"/></g>"#.to_owned();
        for k in 1..12 {
            let uses = format!(r##"<use xlink:href="#a{}"/>"##, k - 1).repeat(10);
            doc += &format!(r#"<g id="a{k}">{uses}</g>"#);
        }
        doc += "</svg>";
        assert!(matches!(read(doc.as_bytes()), Err(PictureError::Damaged { kind: "SVG", .. })));
        let entities = r#"<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">&c;<rect width="4" height="4"/></svg>"#;
        let _ = read(entities.as_bytes());
    }

    #[test]
    fn an_svg_reads_no_files() {
        let ours = concat!(env!("CARGO_MANIFEST_DIR"), "/../../quayside/pictures/anchor.svg");
        let doc = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><image href="{ours}" width="9" height="9"/></svg>"#
        );
        assert!(matches!(read(doc.as_bytes()), Err(PictureError::Ink(InkError::None))));
    }
}
