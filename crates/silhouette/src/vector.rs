//! SVG as shades: drawn at a fixed size, without fonts, files or pictures in it.

use image::{GrayImage, RgbaImage};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

use crate::PictureError;
use crate::pixels::Shades;

/// The longer side of the drawing, in pixels.
const SIDE: f32 = 1024.0;

/// Whether bytes look like XML that has an `svg` element.
pub(crate) fn is_svg(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    text.trim_start_matches('\u{feff}').trim_start().starts_with('<') && text.contains("<svg")
}

/// Draws the file on clear ground.
pub(crate) fn shades(bytes: &[u8]) -> Result<Shades, PictureError> {
    let damaged = |reason: String| PictureError::Damaged { kind: "SVG", reason };
    let mut options = Options::default();
    // Pictures that it names, on the disk or within itself, are not its silhouette.
    options.image_href_resolver.resolve_data = Box::new(|_, _, _| None);
    options.image_href_resolver.resolve_string = Box::new(|_, _| None);
    let tree = Tree::from_data(bytes, &options).map_err(|e| damaged(e.to_string()))?;
    let size = tree.size();
    let scale = SIDE / size.width().max(size.height());
    let side = |n: f32| (n * scale).round().clamp(1.0, SIDE) as u32;
    let (width, height) = (side(size.width()), side(size.height()));
    let mut pixels = Pixmap::new(width, height).ok_or_else(|| damaged("it has no size".into()))?;
    resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
    let cover: Vec<u8> = pixels.pixels().iter().map(|p| p.alpha()).collect();
    if cover.iter().any(|&a| a < u8::MAX) {
        return Ok(Shades::Cover(GrayImage::from_raw(width, height, cover).expect("a byte for each pixel")));
    }
    // All is opaque, so that the colours are what they are.
    let drawn = RgbaImage::from_raw(width, height, pixels.take()).expect("four bytes for each pixel");
    Ok(Shades::Light(image::imageops::grayscale(&drawn)))
}
