//! A layout as rows of letters: read and written.

use lattice::Cell;

use crate::layout::Layout;
use crate::misread::Misread;
use crate::sheet::{Row, Sheet};

/// The mark of a cell that stays empty.
const EMPTY: char = '-';

fn is_empty_mark(c: char) -> bool {
    matches!(c, EMPTY | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

/// Whether a trimmed text is meant as rows, not as a short code.
pub(crate) fn is_rows(sheet: &Sheet, text: &str) -> bool {
    if text.contains(['/', '.', '\n', '\r']) {
        return true;
    }
    // A short code is never as long as the one row.
    sheet.rows.len() == 1 && marks(text).count() == sheet.reading.len()
}

fn marks(text: &str) -> impl Iterator<Item = char> {
    text.chars().filter(|c| !c.is_whitespace())
}

pub(crate) fn read(sheet: &Sheet, text: &str) -> Result<Layout, Vec<Misread>> {
    let parted: Vec<&str> = match text.contains('/') {
        true => text.split('/').collect(),
        false => text.split(['\n', '\r']).collect(),
    };
    // A row without a cell is blank or left out.
    let written: Vec<Vec<char>> = parted
        .iter()
        .map(|row| marks(row).collect())
        .filter(|row: &Vec<char>| row.iter().any(|&c| c != '.'))
        .collect();
    let mut wrong = Vec::new();
    let as_many = written.len() == sheet.rows.len();
    if !as_many {
        wrong.push(Misread::Rows { found: written.len(), expected: sheet.rows.len() });
    }
    let mut owners = Vec::with_capacity(sheet.reading.len());
    for (r, marks) in written.iter().enumerate() {
        let row = r + 1;
        let mut mark = 0;
        for &found in marks.iter().filter(|&&c| c != '.') {
            mark += 1;
            let piece = sheet.rules.piece_of(found);
            // A wrong letter is told once a row, where it stands first.
            let told = |w: &Misread| matches!(w, Misread::Letter { row: r, found: f, .. } if (*r, *f) == (row, found));
            if piece.is_none() && !is_empty_mark(found) && !wrong.iter().any(told) {
                let letters = sheet.rules.letters.iter().map(char::to_string).collect::<Vec<_>>().join(" ");
                wrong.push(Misread::Letter { row, mark, found, letters });
            }
            owners.push(piece);
        }
        if !as_many {
            continue;
        }
        let own = &sheet.rows[r];
        if mark != own.cells.len() {
            wrong.push(Misread::RowLength { row, found: mark, expected: own.cells.len() });
        } else if !dots_fit(sheet, own, marks) {
            wrong.push(Misread::Dots { row });
        }
    }
    if wrong.is_empty() { Ok(Layout { owners }) } else { Err(wrong) }
}

/// Whether the dots of a row, if it has any, stand where there is no cell.
fn dots_fit(sheet: &Sheet, row: &Row, marks: &[char]) -> bool {
    let has = |x: usize| sheet.outline.has(Cell::new(sheet.low.x + x as i32, row.y));
    !marks.contains(&'.') || marks.iter().enumerate().all(|(x, &c)| (c == '.') != has(x))
}

pub(crate) fn write(sheet: &Sheet, layout: &Layout) -> String {
    let letter = |owner: &Option<usize>| owner.map_or(EMPTY, |p| sheet.rules.letters[p]);
    let row = |row: &Row| layout.owners[row.cells.clone()].iter().map(letter).collect::<String>();
    sheet.rows.iter().map(row).collect::<Vec<_>>().join("/")
}
