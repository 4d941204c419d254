//! Keys: marks with their words, flowing in lines, and notes beneath.

use std::collections::BTreeSet;

use lattice::{Level, Pin};

use crate::block::{self, mark};
use crate::colour::{INK, SOFT_INK, WALL, WHITE};
use crate::lettering::{self, Weight};
use crate::line::{Line, Point};
use crate::plate::{self, POCKET, Use};
use crate::sheet::{Paint, Sheet, Words};
use crate::style::PieceStyle;

const SIZE: f64 = 3.1;
const ROW: f64 = 6.0;
const NOTE_ROW: f64 = 4.4;
const GAP: f64 = 4.5;
/// Pitch at which marks are drawn, and the room they take.
const PITCH: f64 = 9.0;

/// What a key explains.
#[derive(Clone, Debug)]
pub(crate) enum Symbol {
    Piece(PieceStyle),
    Hinge { level: Level, levels: u8 },
    Pocket,
    EmptyPocket,
    Spare,
    Order,
    Home,
    Moving,
    Turning,
}

impl Symbol {
    fn width(&self) -> f64 {
        if matches!(self, Symbol::Piece(_)) { 5.0 } else { 4.4 }
    }

    fn draw(&self, sheet: &mut Sheet, (x, y): Point) {
        // `x` is the left end, `y` the middle.
        let centre = (x + self.width() / 2.0, y);
        match self {
            Symbol::Piece(style) => {
                let side = self.width();
                block::swatch(sheet, (x, y - side / 2.0), side, style);
            }
            &Symbol::Hinge { level, levels } => {
                let mut disc = Line::default();
                disc.circle(centre, block::KNUCKLE * PITCH);
                sheet.path("", &disc, Paint::fill(WHITE).outlined(INK, 0.035 * PITCH));
                mark(sheet, "", centre, PITCH, level, levels, INK);
            }
            Symbol::Pocket | Symbol::EmptyPocket => {
                let used = if matches!(self, Symbol::Pocket) { Use::Open } else { Use::Empty };
                let r = POCKET * PITCH;
                let size = (2.0 * self.width().min(2.2 * r) / 2.0, 2.0 * r);
                sheet.rect("", (centre.0 - size.0 / 2.0, y - r), size, 0.0, Paint::fill(WALL));
                sheet.circle("", centre, 0.85 * r, Paint::fill(WHITE).outlined(INK, 0.3));
                plate::pocket(sheet, "", centre, PITCH, used);
            }
            Symbol::Spare => block::spare(sheet, "", (x, y - 2.0), 4.0),
            Symbol::Order => block::order(sheet, "", centre, PITCH, 1),
            Symbol::Home => {
                sheet.rect("", (x + 0.3, y - 1.7), (3.6, 3.4), 0.6, Paint::fill(WHITE).outlined(INK, 0.6))
            }
            Symbol::Turning => {
                block::turning(sheet, centre, 5.5);
                sheet.circle("", centre, 1.0, Paint::fill(WHITE).outlined(INK, 0.25));
            }
            Symbol::Moving => {
                let paint = Paint::fill(WHITE).outlined(INK, 0.25);
                sheet.rect("", (x + 0.3, y - 1.8), (3.6, 3.6), 0.3, paint);
                let mut line = Line::default();
                crate::pattern::Pattern::Rising.hatch(&mut line, (x + 0.1, y - 2.0), 4.0);
                sheet.path("", &line, Paint::stroke(SOFT_INK, 0.2));
            }
        }
    }
}

/// A mark and its words.
#[derive(Clone, Debug)]
pub(crate) struct Entry {
    symbol: Symbol,
    text: String,
}

impl Entry {
    pub fn new(symbol: Symbol, text: impl Into<String>) -> Self {
        Entry { symbol, text: text.into() }
    }
}

/// One entry for each level that occurs; `levels` is the set's number of them.
pub(crate) fn levels<'a>(pins: impl IntoIterator<Item = &'a Pin>, levels: u8) -> impl Iterator<Item = Entry> {
    let found: BTreeSet<Level> = pins.into_iter().map(|pin| pin.level).collect();
    found.into_iter().map(move |level| {
        let words = match (level.0, levels) {
            (_, 1) => "hinge".to_owned(),
            (0, 2) => "low hinge".to_owned(),
            (1, 2) => "high hinge".to_owned(),
            (l, _) => format!("hinge, level {l}"),
        };
        Entry::new(Symbol::Hinge { level, levels }, words)
    })
}

/// Entries laid out in lines.
pub(crate) struct Legend {
    /// Left end, line, entry, the words as they fit.
    placed: Vec<(f64, usize, Entry)>,
    rows: usize,
    notes: Vec<String>,
}

impl Legend {
    pub fn new(entries: Vec<Entry>, notes: &[String], room: f64) -> Self {
        let (mut x, mut row) = (0.0, 0);
        let mut placed = Vec::new();
        for mut entry in entries {
            let mark = entry.symbol.width() + 1.6;
            entry.text = lettering::fit(Weight::Regular, SIZE, &entry.text, room - mark);
            let width = mark + lettering::width(Weight::Regular, SIZE, &entry.text);
            // A break between pieces and marks, and where the line is full.
            let pieces = |e: &Entry| matches!(e.symbol, Symbol::Piece(_));
            let ends = placed.last().is_some_and(|(_, _, last)| pieces(last) && !pieces(&entry));
            if x > 0.0 && (x + width > room || ends) {
                (x, row) = (0.0, row + 1);
            }
            placed.push((x, row, entry));
            x += width + GAP;
        }
        let rows = if placed.is_empty() { 0 } else { row + 1 };
        let notes = notes.iter().flat_map(|n| lettering::wrap(Weight::Regular, SIZE, n, room)).collect();
        Legend { placed, rows, notes }
    }

    pub fn height(&self) -> f64 {
        self.rows as f64 * ROW + self.notes.len() as f64 * NOTE_ROW
    }

    pub fn draw(&self, sheet: &mut Sheet, (x, y): Point) {
        let drop = lettering::capital(SIZE) / 2.0;
        sheet.open("legend");
        for (left, row, entry) in &self.placed {
            let middle = y + (*row as f64 + 0.5) * ROW;
            entry.symbol.draw(sheet, (x + left, middle));
            let at = (x + left + entry.symbol.width() + 1.6, middle + drop);
            sheet.words("", at, Words::new(Weight::Regular, SIZE, &entry.text));
        }
        for (i, note) in self.notes.iter().enumerate() {
            let base = y + self.rows as f64 * ROW + (i as f64 + 0.72) * NOTE_ROW;
            sheet.words("note", (x, base), Words::new(Weight::Regular, SIZE, note).in_colour(SOFT_INK));
        }
        sheet.close();
    }
}
