//! Pictures as PNG.

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

use crate::error::PaperError;
use crate::sheet::Picture;

/// The most pixels a PNG may have, 100 million (400 MB while it is drawn).
pub const MAX_PIXELS: u64 = 100_000_000;

impl Picture {
    /// The picture as a PNG of a width in pixels; the height follows.
    ///
    /// # Errors
    /// A width of 0, or more than [`MAX_PIXELS`] in all.
    pub fn png(&self, width: u32) -> Result<Vec<u8>, PaperError> {
        if width == 0 {
            return Err(PaperError::NoPixels);
        }
        let (w, h) = self.size_mm();
        let scale = f64::from(width) / w;
        let height = (h * scale).ceil().max(1.0) as u64;
        if u64::from(width).saturating_mul(height) > MAX_PIXELS {
            return Err(PaperError::TooManyPixels { width: width.into(), height, limit: MAX_PIXELS });
        }
        let raster = |reason: String| PaperError::Raster { reason };
        let tree = Tree::from_str(self.svg(), &Options::default()).map_err(|e| raster(e.to_string()))?;
        let mut pixels =
            Pixmap::new(width, height as u32).ok_or_else(|| raster("no room for the pixels".into()))?;
        let scale = width as f32 / tree.size().width();
        resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
        // The paper is opaque; rounding must not leave a clear last row.
        let (last, row) = (height as usize - 1, width as usize * 4);
        for byte in &mut pixels.data_mut()[last * row..] {
            *byte = 255;
        }
        pixels.encode_png().map_err(|e| raster(e.to_string()))
    }
}
