//! Pictures as PNG.

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{Options, Tree};

use crate::colour::Rgb;
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
        let (w, h) = self.size_mm();
        let height = (h * f64::from(width) / w).ceil().max(1.0) as u64;
        let mut pixels = canvas(width, height)?;
        let tree = self.tree()?;
        let scale = width as f32 / tree.size().width();
        resvg::render(&tree, Transform::from_scale(scale, scale), &mut pixels.as_mut());
        // The paper is opaque; rounding must not leave a clear last row.
        let (last, row) = (height as usize - 1, width as usize * 4);
        for byte in &mut pixels.data_mut()[last * row..] {
            *byte = 255;
        }
        pixels.encode_png().map_err(|e| raster(e.to_string()))
    }

    /// The picture as a PNG of a size in pixels: as large as fits, in the middle,
    /// on a ground.
    ///
    /// # Errors
    /// No pixels, or more than [`MAX_PIXELS`] in all.
    pub fn png_within(&self, size: (u32, u32), ground: Rgb) -> Result<Vec<u8>, PaperError> {
        self.fitted(size, ground)?.encode_png().map_err(|e| raster(e.to_string()))
    }

    pub(crate) fn pixels(&self, size: (u32, u32), ground: Rgb) -> Result<Pixels, PaperError> {
        let drawn = self.fitted(size, ground)?;
        // The ground is opaque, so colours are as they are seen.
        let rgb = drawn.data().chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect();
        Ok(Pixels { width: size.0, height: size.1, rgb })
    }

    fn fitted(&self, (width, height): (u32, u32), ground: Rgb) -> Result<Pixmap, PaperError> {
        let mut pixels = canvas(width, height.into())?;
        let tree = self.tree()?;
        let [r, g, b] = ground;
        pixels.fill(Color::from_rgba8(r, g, b, 255));
        let (w, h) = (tree.size().width(), tree.size().height());
        let scale = (width as f32 / w).min(height as f32 / h);
        let aside = ((width as f32 - w * scale) / 2.0, (height as f32 - h * scale) / 2.0);
        let place = Transform::from_row(scale, 0.0, 0.0, scale, aside.0, aside.1);
        resvg::render(&tree, place, &mut pixels.as_mut());
        Ok(pixels)
    }

    fn tree(&self) -> Result<Tree, PaperError> {
        Tree::from_str(self.svg(), &Options::default()).map_err(|e| raster(e.to_string()))
    }
}

fn raster(reason: String) -> PaperError {
    PaperError::Raster { reason }
}

fn canvas(width: u32, height: u64) -> Result<Pixmap, PaperError> {
    if width == 0 || height == 0 {
        return Err(PaperError::NoPixels);
    }
    if u64::from(width).saturating_mul(height) > MAX_PIXELS {
        return Err(PaperError::TooManyPixels { width: width.into(), height, limit: MAX_PIXELS });
    }
    Pixmap::new(width, height as u32).ok_or_else(|| raster("no room for the pixels".into()))
}

/// A picture as pixels of red, green and blue.
pub(crate) struct Pixels {
    pub width: u32,
    pub height: u32,
    rgb: Vec<u8>,
}

/// Left, top, width and height.
pub(crate) type Part = (u32, u32, u32, u32);

impl Pixels {
    /// The least rectangle outside of which it is as another one of its size; one
    /// pixel if nothing differs.
    pub fn changed(&self, other: &Pixels) -> Part {
        let row = self.width as usize * 3;
        let differs: Vec<(usize, usize, usize)> = self
            .rgb
            .chunks_exact(row)
            .zip(other.rgb.chunks_exact(row))
            .enumerate()
            .filter_map(|(y, (a, b))| {
                let first = a.iter().zip(b).position(|(p, q)| p != q)?;
                let last = a.iter().zip(b).rposition(|(p, q)| p != q)?;
                Some((y, first / 3, last / 3))
            })
            .collect();
        let (Some(top), Some(bottom)) = (differs.first(), differs.last()) else { return (0, 0, 1, 1) };
        let left = differs.iter().map(|d| d.1).min().expect("a row differs");
        let right = differs.iter().map(|d| d.2).max().expect("a row differs");
        (left as u32, top.0 as u32, (right - left + 1) as u32, (bottom.0 - top.0 + 1) as u32)
    }

    /// The pixels of a rectangle, row by row.
    pub fn part(&self, (x, y, w, h): Part) -> Vec<u8> {
        let row = self.width as usize * 3;
        let (left, wide) = (x as usize * 3, w as usize * 3);
        let rows = (y..y + h).map(|y| y as usize * row + left);
        rows.flat_map(|at| self.rgb[at..at + wide].iter().copied()).collect()
    }
}
