//! Where the marks of a drawing stand in its file, and how to change only
//! those that differ.
//!
//! A drawing is a string of TOML. When its lines stand in the file as they are
//! read (a string in three quotes, no escapes), each character has its place;
//! otherwise the drawing can only be pointed at as a whole, or written anew.

use std::ops::Range;

use lattice::drawing::{self, DrawingError};
use lattice::{Cell, Outline, Vertex};

use crate::limits;

/// The text of a drawing and where its lines start in the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct DrawingText<'a> {
    text: &'a str,
    /// Byte of the file at which each line starts.
    starts: Option<Vec<usize>>,
}

impl<'a> DrawingText<'a> {
    /// `raw`: the value as it stands in the file, from byte `at` on; `text`:
    /// what it is read as.
    pub(crate) fn new(raw: &str, at: usize, text: &'a str) -> Self {
        DrawingText { text, starts: line_starts(raw, at, text) }
    }

    /// Columns and rows of cells, if they are more than an outline may have.
    pub(crate) fn too_large(&self) -> Option<(usize, usize)> {
        let (mut rows, mut widest) = (0, 0);
        for line in self.text.lines() {
            let marks = line.chars().filter(|c| !c.is_whitespace()).count();
            rows += usize::from(marks > 0);
            widest = widest.max(marks);
        }
        let (columns, rows) = (widest.saturating_sub(1), rows / 2);
        (columns.max(rows) > limits::OUTLINE_SIDE).then_some((columns, rows))
    }

    /// The bytes of the file that a fault of the drawing is about.
    pub(crate) fn place(&self, error: &DrawingError) -> Option<Range<usize>> {
        let start = *self.starts.as_ref()?.get(error.line)?;
        let line = self.text.lines().nth(error.line)?;
        let byte = |chars: usize| line.char_indices().nth(chars).map_or(line.len(), |(i, _)| i);
        Some(start + byte(error.column)..start + byte(error.column + error.width))
    }

    /// The changes of single bytes that make this drawing, which shows `from`,
    /// show `to`; `None` unless both have one bounding box and the drawing's
    /// marks can be placed.
    pub(crate) fn marks_to_change(&self, from: &Outline, to: &Outline) -> Option<Vec<(usize, char)>> {
        let starts = self.starts.as_ref()?;
        if from.bounds() != to.bounds() {
            return None;
        }
        let lines = self.text.lines().zip(starts).filter(|(line, _)| !line.trim().is_empty());
        let rows: Vec<(&str, usize)> = lines.map(|(line, &start)| (line, start)).collect();
        let height = (rows.len() / 2) as i32;
        let mut changes = Vec::new();
        for (r, (line, start)) in rows.into_iter().enumerate() {
            let y = height - (r / 2) as i32;
            let marks = line.char_indices().filter(|(_, c)| !c.is_whitespace());
            for (x, (byte, mark)) in marks.enumerate() {
                let x = x as i32;
                let wanted = if r % 2 == 1 {
                    if to.has(Cell::new(x, y - 1)) { '#' } else { '.' }
                } else if to.pockets().binary_search(&Vertex::new(x, y)).is_ok() {
                    'o'
                } else {
                    '+'
                };
                if mark != wanted {
                    changes.push((start + byte, wanted));
                }
            }
        }
        Some(changes)
    }
}

/// The drawing of an outline as a new value for a file whose lines end so.
pub(crate) fn print_value(outline: &Outline, newline: &str) -> String {
    let text = drawing::print(outline).replace('\n', newline);
    format!("\"\"\"{newline}{text}\"\"\"")
}

fn line_starts(raw: &str, at: usize, text: &str) -> Option<Vec<usize>> {
    let quotes = ["\"\"\"", "'''"].into_iter().find(|q| raw.starts_with(q))?;
    let body = raw.strip_prefix(quotes)?.strip_suffix(quotes)?;
    // TOML leaves out a line break right after the opening quotes.
    let inner = body.strip_prefix("\r\n").or_else(|| body.strip_prefix('\n')).unwrap_or(body);
    if !inner.lines().eq(text.lines()) {
        return None;
    }
    let first = at + quotes.len() + (body.len() - inner.len());
    let ends = inner.match_indices('\n').map(|(i, _)| first + i + 1);
    Some(std::iter::once(first).chain(ends).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use lattice::drawing::parse;

    #[test]
    fn each_line_has_its_place_unless_the_string_has_escapes() {
        assert_eq!(line_starts("\"\"\"\n+ +\n #\"\"\"", 10, "+ +\n #"), Some(vec![14, 18]));
        assert_eq!(line_starts("'''\r\n+ +\r\n'''", 0, "+ +\r\n"), Some(vec![5, 10]));
        assert_eq!(line_starts("\"\"\"+ +\n\"\"\"", 0, "+ +\n"), Some(vec![3, 7]));
        assert_eq!(line_starts("\"\"\"\n+\\u0020+\n\"\"\"", 0, "+ +\n"), None);
        assert_eq!(line_starts("\"+ +\\n #\"", 0, "+ +\n #"), None);
    }

    #[test]
    fn only_the_marks_that_differ_are_changed() {
        let text = "+o  +\n\n #\n+ +\n";
        let raw = format!("'''\n{text}'''");
        let drawn = |text: &str| parse(text, 0).unwrap();
        let (from, to) = (drawn("o +\n #\n+ +"), drawn("+ +\n #\n+ o"));
        // The text's first row has three marks here: too many for one column.
        assert!(parse(text, 0).is_err());
        let text = "o   +\n\n #\n+ +\n";
        let raw = raw.replace("+o  +", "o   +");
        let there = DrawingText::new(&raw, 0, text);
        assert_eq!(there.marks_to_change(&from, &to), Some(vec![(4, '+'), (16, 'o')]));
        assert_eq!(there.marks_to_change(&from, &drawn("+ + +\n # #\n+ + +")), None);
    }
}
