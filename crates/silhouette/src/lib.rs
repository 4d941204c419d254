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
