//! What was foretold of tries against what was seen.

use crate::colour::{INK, SOFT_INK, WHITE};
use crate::error::PaperError;
use crate::lettering::{self, Weight};
use crate::line::Line;
use crate::plate::{MARGIN, TITLE_ROOM};
use crate::sheet::{Paint, Picture, Sheet, Words};

use super::axis::Axis;
use super::key::{self, Key, Mark};
use super::{FIT, SMALL, TINT, sound, title};

/// A try, foretold and seen. Times are minutes.
#[derive(Clone, Copy, Debug)]
pub struct Foretold {
    /// Low, median and high of what was foretold.
    pub told: (f64, f64, f64),
    /// What was seen.
    pub minutes: f64,
    /// Whether it was finished; if not, it was given up then.
    pub finished: bool,
    /// The outline's letter, shown where there are few enough tries.
    pub letter: char,
}

const WIDTH: f64 = 150.0;
const SIDE: f64 = 110.0;
const LEFT: f64 = 18.0;
/// Up to so many tries have letters.
const LETTERED: usize = 60;

/// Tries as points: foretold median to the right, with its 90 % as a line, seen
/// minutes upward. `letters`: the outlines' letters with their names.
///
/// # Errors
/// No tries; a time that is not a number above 0.
pub fn foretold(
    heading: &str,
    tries: &[Foretold],
    letters: &[(char, &str)],
    notes: &[String],
) -> Result<Picture, PaperError> {
    if tries.is_empty() {
        return Err(PaperError::Nothing);
    }
    let times = || tries.iter().flat_map(|t| [t.told.0, t.told.1, t.told.2, t.minutes]);
    sound(times())?;
    let room = WIDTH - 2.0 * MARGIN;
    let lettered = tries.len() <= LETTERED;
    let entries = [
        (Mark::Whisker, "foretold, 90 %"),
        (Mark::GivenUp { up: true }, "given up: longer than this"),
        (Mark::Equal, "seen as foretold"),
    ];
    let mut notes = notes.to_vec();
    if lettered {
        notes.extend(named(letters, room));
    }
    let key = Key::new(&entries, &notes, room);
    let top = MARGIN + TITLE_ROOM + key.height() + 6.0;
    let foot = top + SIDE;
    let held = tries.iter().filter(|t| !t.finished || (t.told.0..=t.told.2).contains(&t.minutes)).count();
    let words = format!("{} tries, foretold and seen; {held} as foretold.", tries.len());
    let mut sheet = Sheet::new(WIDTH, foot + 12.0 + MARGIN, heading, &words);
    title(&mut sheet, heading, WIDTH);
    key.draw(&mut sheet, (MARGIN, MARGIN + TITLE_ROOM));
    let left = MARGIN + LEFT;
    let (x, y) = (Axis::of(times(), left, left + SIDE), Axis::of(times(), foot, top));
    x.across(&mut sheet, top, foot);
    y.upward(&mut sheet, left, left + SIDE);
    sheet.rect("", (left, top), (SIDE, SIDE), 0.0, Paint::stroke(SOFT_INK, 0.3));
    let mut equal = Line::default();
    equal.segment((left, foot), (left + SIDE, top));
    sheet.path("", &equal, Paint::stroke(SOFT_INK, 0.3).dashed(1.2, 1.0));
    let under = Words::new(Weight::Regular, SMALL, "foretold without the outline's own tries").middle();
    sheet.words("", (left + SIDE / 2.0, foot + 9.5), under);
    sheet.words("", (left, top - 1.8), Words::new(Weight::Regular, SMALL, "seen"));
    for t in tries {
        let at = y.at(t.minutes);
        let mut line = Line::default();
        line.segment((x.at(t.told.0), at), (x.at(t.told.2), at));
        sheet.path("", &line, Paint::stroke(TINT, 0.5));
    }
    for t in tries {
        let at = (x.at(t.told.1), y.at(t.minutes));
        sheet.open("try");
        if !t.finished {
            key::given_up(&mut sheet, at, true);
        } else if lettered {
            sheet.circle("", at, 1.5, Paint::fill(WHITE).outlined(FIT, 0.35));
            let letter = t.letter.to_string();
            let place = (at.0, at.1 + lettering::capital(2.0) / 2.0);
            sheet.words("", place, Words::new(Weight::Bold, 2.0, &letter).middle().in_colour(INK));
        } else {
            sheet.circle("", at, 0.7, Paint::fill(FIT).outlined(WHITE, 0.15));
        }
        sheet.close();
    }
    Ok(sheet.finish())
}

/// Letters with their names on as few lines as they fit, never broken inside.
fn named(letters: &[(char, &str)], room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for (letter, name) in letters {
        let entry = format!("{letter} {name}");
        match lines.last_mut() {
            Some(line) if lettering::width(Weight::Regular, SMALL, &format!("{line}, {entry}")) <= room => {
                *line += &format!(", {entry}");
            }
            _ => lines.push(entry),
        }
    }
    lines
}
