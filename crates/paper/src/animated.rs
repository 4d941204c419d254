//! Frames as one animated PNG, which every reader of PNG opens: those that know
//! no animation show the first frame (PNG, third edition, W3C 2025: APNG).
//!
//! A frame holds only the rectangle that changed.

use rayon::prelude::*;

use crate::colour::Rgb;
use crate::error::PaperError;
use crate::raster::{MAX_PIXELS, Pixels};
use crate::swinging::MovingFrame;

/// An animated PNG of some frames, each fitted into a size in pixels on a
/// ground; it goes round for ever.
///
/// # Errors
/// No frames, no pixels, or more of them, over all frames, than are drawn.
pub fn animated_png(frames: &[MovingFrame], size: (u32, u32), ground: Rgb) -> Result<Vec<u8>, PaperError> {
    let (width, height) = (u64::from(size.0), u64::from(size.1) * frames.len() as u64);
    if width.saturating_mul(height) > MAX_PIXELS {
        return Err(PaperError::TooManyPixels { width, height, limit: MAX_PIXELS });
    }
    let drawn: Result<Vec<Pixels>, PaperError> =
        frames.par_iter().map(|f| f.picture.pixels(size, ground)).collect();
    let drawn = drawn?;
    let first = drawn.first().ok_or(PaperError::Nothing)?;
    let raster = |e: png::EncodingError| PaperError::Raster { reason: e.to_string() };
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, first.width, first.height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_animated(frames.len() as u32, 0).map_err(raster)?;
    let mut writer = encoder.write_header().map_err(raster)?;
    for (n, now) in drawn.iter().enumerate() {
        let all = (0, 0, now.width, now.height);
        let (x, y, w, h) = if n == 0 { all } else { now.changed(&drawn[n - 1]) };
        if n > 0 {
            // The frame must fit at every step: smaller first, then moved.
            writer.reset_frame_position().map_err(raster)?;
            writer.set_frame_dimension(w, h).map_err(raster)?;
            writer.set_frame_position(x, y).map_err(raster)?;
        }
        writer.set_frame_delay(frames[n].milliseconds, 1000).map_err(raster)?;
        writer.write_image_data(&now.part((x, y, w, h))).map_err(raster)?;
    }
    writer.finish().map_err(raster)?;
    Ok(bytes)
}
