//! The marks of the charts, and the key that explains them.

use crate::colour::{INK, Rgb, SOFT_INK, WHITE};
use crate::lettering::{self, Weight};
use crate::line::{Line, Point};
use crate::sheet::{Paint, Sheet, Words};

use super::{FIT, SMALL, TINT};

/// A mark.
#[derive(Clone, Copy, Debug)]
pub(super) enum Mark {
    /// Where the typical tester lies, with the median.
    Bar,
    /// Where a new tester lies.
    Whisker,
    /// A try that was finished.
    Done,
    /// A try that was given up; pointing up or to the right.
    GivenUp { up: bool },
    /// A curve with its band; dashed or not.
    Curve { colour: Rgb, tint: Rgb, dashed: bool },
    /// The line on which what is seen is what was foretold.
    Equal,
}

const WIDE: f64 = 8.0;
pub(super) const ROW: f64 = 5.0;

/// A try that was finished: an upright stroke.
pub(super) fn done(sheet: &mut Sheet, (x, y): Point) {
    let mut line = Line::default();
    line.segment((x, y - 1.5), (x, y + 1.5));
    sheet.path("", &line, Paint::stroke(INK, 0.4));
}

/// A try that was given up: an open triangle that points to longer times.
pub(super) fn given_up(sheet: &mut Sheet, (x, y): Point, up: bool) {
    let mut line = Line::default();
    if up {
        line.to((x - 1.2, y + 0.9)).line((x + 1.2, y + 0.9)).line((x, y - 1.3)).close();
    } else {
        line.to((x - 0.9, y - 1.2)).line((x - 0.9, y + 1.2)).line((x + 1.3, y)).close();
    }
    sheet.path("", &line, Paint::fill(WHITE).outlined(INK, 0.3));
}

pub(super) fn bar(sheet: &mut Sheet, (low, middle, high): (f64, f64, f64), y: f64) {
    sheet.rect("", (low, y - 1.3), ((high - low).max(0.4), 2.6), 0.6, Paint::fill(FIT));
    sheet.circle("", (middle, y), 0.85, Paint::fill(WHITE).outlined(FIT, 0.3));
}

pub(super) fn whisker(sheet: &mut Sheet, (low, high): (f64, f64), y: f64) {
    sheet.rect("", (low, y - 0.45), ((high - low).max(0.4), 0.9), 0.0, Paint::fill(TINT));
    let mut ends = Line::default();
    ends.segment((low, y - 1.1), (low, y + 1.1)).segment((high, y - 1.1), (high, y + 1.1));
    sheet.path("", &ends, Paint::stroke(FIT, 0.3));
}

impl Mark {
    fn draw(self, sheet: &mut Sheet, (x, y): Point) {
        let middle = x + WIDE / 2.0;
        match self {
            Mark::Bar => bar(sheet, (x, middle, x + WIDE), y),
            Mark::Whisker => whisker(sheet, (x, x + WIDE), y),
            Mark::Done => done(sheet, (middle, y)),
            Mark::GivenUp { up } => given_up(sheet, (middle, y), up),
            Mark::Curve { colour, tint, dashed } => {
                sheet.rect("", (x, y - 1.4), (WIDE, 2.8), 0.0, Paint::fill(tint));
                let mut line = Line::default();
                line.segment((x, y), (x + WIDE, y));
                let paint = Paint::stroke(colour, 0.6);
                sheet.path("", &line, if dashed { paint.dashed(2.0, 1.4) } else { paint });
            }
            Mark::Equal => {
                let mut line = Line::default();
                line.segment((x, y + 1.4), (x + WIDE, y - 1.4));
                sheet.path("", &line, Paint::stroke(SOFT_INK, 0.3).dashed(1.2, 1.0));
            }
        }
    }
}

/// Marks with their words, flowing in lines; and notes beneath.
pub(super) struct Key {
    placed: Vec<(f64, usize, Mark, String)>,
    rows: usize,
    notes: Vec<String>,
}

impl Key {
    pub fn new(entries: &[(Mark, &str)], notes: &[String], room: f64) -> Self {
        let (mut x, mut row) = (0.0, 0);
        let mut placed = Vec::new();
        for &(mark, words) in entries {
            let words = lettering::fit(Weight::Regular, SMALL, words, room - WIDE - 1.6);
            let width = WIDE + 1.6 + lettering::width(Weight::Regular, SMALL, &words);
            if x > 0.0 && x + width > room {
                (x, row) = (0.0, row + 1);
            }
            placed.push((x, row, mark, words));
            x += width + 4.5;
        }
        let notes = notes.iter().flat_map(|n| lettering::wrap(Weight::Regular, SMALL, n, room)).collect();
        Key { placed, rows: row + 1, notes }
    }

    pub fn height(&self) -> f64 {
        (self.rows + self.notes.len()) as f64 * ROW
    }

    pub fn draw(&self, sheet: &mut Sheet, (x, y): Point) {
        sheet.open("legend");
        let drop = lettering::capital(SMALL) / 2.0;
        for (left, row, mark, words) in &self.placed {
            let middle = y + (*row as f64 + 0.5) * ROW;
            mark.draw(sheet, (x + left, middle));
            let at = (x + left + WIDE + 1.6, middle + drop);
            sheet.words("", at, Words::new(Weight::Regular, SMALL, words));
        }
        for (i, note) in self.notes.iter().enumerate() {
            let at = (x, y + ((self.rows + i) as f64 + 0.5) * ROW + drop);
            sheet.words("note", at, Words::new(Weight::Regular, SMALL, note).in_colour(SOFT_INK));
        }
        sheet.close();
    }
}
