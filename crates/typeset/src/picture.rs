//! Pictures as values: the drawing, its size on paper, and the words that a
//! reader who cannot see it hears.

use paper::Picture;
use typst::foundations::{Bytes, Dict, Value};

use crate::value::{Field, dict};

/// A picture with its words.
pub(crate) fn picture(picture: Picture, words: &str) -> Dict {
    let (width, height) = picture.size_mm();
    dict([
        ("svg", Field(Value::Bytes(Bytes::from_string(picture.into_svg())))),
        ("width", width.into()),
        ("height", height.into()),
        ("alt", words.into()),
    ])
}

/// The millimetres to a block at which everything of `extents` (in pitches)
/// fits a room (in millimetres), but no more than `most`.
pub(crate) fn pitch_for(extents: impl Iterator<Item = (f64, f64)>, room: (f64, f64), most: f64) -> f64 {
    extents.fold(most, |pitch, (w, h)| pitch.min(room.0 / w).min(room.1 / h))
}
