//! Pictures of times: how long outlines take, what was foretold of tries, when a
//! race is won. Times are minutes above 0 and stand on a logarithmic scale, with
//! one look for all three: what is fitted is blue and filled, what was seen is
//! black, what was given up is an open triangle that points to longer times.

mod axis;
mod curve;
mod foretold;
mod key;
mod ladder;

pub use curve::{CurvePoint, RaceCurve, race};
pub use foretold::{Foretold, foretold};
pub use ladder::{Rung, Seen, ladder};

use crate::colour::Rgb;
use crate::error::PaperError;
use crate::lettering::{self, Weight};
use crate::plate::{MARGIN, TITLE};
use crate::sheet::{Sheet, Words};

/// Blue and vermilion of the Okabe-Ito list, and a tint of either.
const FIT: Rgb = [0x00, 0x72, 0xB2];
const TINT: Rgb = [0xB8, 0xD6, 0xE8];
const SECOND: Rgb = [0xD5, 0x5E, 0x00];
const SECOND_TINT: Rgb = [0xF3, 0xD3, 0xBC];

/// Size of letters at axes and in keys.
const SMALL: f64 = 2.7;

/// Times that have a place on a scale.
fn sound(times: impl IntoIterator<Item = f64>) -> Result<(), PaperError> {
    match times.into_iter().find(|t| !(t.is_finite() && *t > 0.0)) {
        Some(time) => Err(PaperError::NoTime { time: time.to_string() }),
        None => Ok(()),
    }
}

fn title(sheet: &mut Sheet, title: &str, width: f64) {
    let shown = lettering::fit(Weight::Bold, TITLE, title, width - 2.0 * MARGIN);
    sheet.words("title", (MARGIN, MARGIN + 4.2), Words::new(Weight::Bold, TITLE, &shown));
}

/// Words that end at a point.
fn ending(sheet: &mut Sheet, at: (f64, f64), words: Words<'_>) {
    let width = lettering::width(words.weight, words.size, words.text);
    sheet.words("", (at.0 - width, at.1), words);
}
