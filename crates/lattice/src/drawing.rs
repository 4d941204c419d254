//! Outlines as text: vertex rows and cell rows in turn, the top row first.
//!
//! `+` a vertex, `o` a vertex with a pocket, `#` a cell of the outline, `.` a
//! cell outside. White space between the marks is free, blank lines do not
//! count. The lower left vertex of the drawing is (0, 0).

use crate::geometry::{Cell, Vertex};
use crate::outline::{Outline, OutlineError, VertexKind};

/// What is wrong with a drawing.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DrawingFault {
    /// No marks at all, or no cell of the outline.
    #[error("the drawing has no cells: mark each cell of the outline with '#'")]
    Empty,
    /// A mark that does not belong in this row.
    #[error("'{found}' does not belong in a {}", row_name(*.vertex_row))]
    Mark {
        /// The mark.
        found: char,
        /// Whether the row is one of vertices.
        vertex_row: bool,
    },
    /// A row with too few or too many marks.
    #[error("this {} has {found} marks, but {expected} are needed to match the first row", row_name(*.vertex_row))]
    Ragged {
        /// Marks found.
        found: usize,
        /// Marks needed.
        expected: usize,
        /// Whether the row is one of vertices.
        vertex_row: bool,
    },
    /// The drawing ends in a row of cells.
    #[error("the drawing ends with a row of cells; a row of vertices must close it")]
    NotClosed,
    /// A pocket inside, where there is no wall, or away from the opening.
    #[error("a pocket must stand on the edge of the outline; this vertex is {}", .kind.place())]
    PocketOffEdge {
        /// Inside or away.
        kind: VertexKind,
    },
}

fn row_name(vertex_row: bool) -> &'static str {
    if vertex_row { "row of vertices" } else { "row of cells" }
}

impl VertexKind {
    /// The kind as it stands in a sentence.
    pub fn place(self) -> &'static str {
        match self {
            VertexKind::Inside => "inside it, where there is no wall",
            VertexKind::Edge => "on its edge",
            VertexKind::Away => "away from it",
        }
    }
}

/// A fault and where it stands in the text.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {}, column {}: {fault}", .line + 1, .column + 1)]
pub struct DrawingError {
    /// Line of the text, from 0.
    pub line: usize,
    /// Character of the line, from 0.
    pub column: usize,
    /// How many characters are at fault, at least 1.
    pub width: usize,
    /// What is wrong.
    pub fault: DrawingFault,
}

struct Row {
    line: usize,
    marks: Vec<(usize, char)>,
}

/// The outline that a drawing shows, with `spare` cells to stay empty.
///
/// # Errors
/// Every fault of the drawing with its place, top to bottom.
pub fn parse(text: &str, spare: usize) -> Result<Outline, Vec<DrawingError>> {
    let rows: Vec<Row> = text
        .lines()
        .enumerate()
        .map(|(line, t)| Row {
            line,
            marks: t.chars().enumerate().filter(|(_, c)| !c.is_whitespace()).collect(),
        })
        .filter(|row| !row.marks.is_empty())
        .collect();
    let mut errors = Vec::new();
    let Some(first) = rows.first() else {
        return Err(vec![DrawingError { line: 0, column: 0, width: 1, fault: DrawingFault::Empty }]);
    };
    let columns = first.marks.len().saturating_sub(1);
    let height = rows.len() / 2;
    let (mut cells, mut pockets) = (Vec::new(), Vec::new());
    for (r, row) in rows.iter().enumerate() {
        let vertex_row = r % 2 == 0;
        let expected = if vertex_row { columns + 1 } else { columns };
        let found = row.marks.len();
        if found != expected {
            let (column, width) = if found > expected {
                let start = row.marks[expected].0;
                (start, row.marks[found - 1].0 + 1 - start)
            } else {
                (row.marks[found - 1].0, 1)
            };
            let fault = DrawingFault::Ragged { found, expected, vertex_row };
            errors.push(DrawingError { line: row.line, column, width, fault });
        }
        for (i, &(column, mark)) in row.marks.iter().enumerate() {
            let (x, y) = (i as i32, height as i32 - (r / 2) as i32);
            match (vertex_row, mark) {
                (true, '+') | (false, '.') => {}
                (true, 'o') => pockets.push((Vertex::new(x, y), row.line, column)),
                (false, '#') => cells.push(Cell::new(x, y - 1)),
                (_, found) => {
                    let fault = DrawingFault::Mark { found, vertex_row };
                    errors.push(DrawingError { line: row.line, column, width: 1, fault });
                }
            }
        }
    }
    let last = rows.last().expect("there is a first row");
    if rows.len().is_multiple_of(2) {
        let fault = DrawingFault::NotClosed;
        errors.push(DrawingError { line: last.line, column: last.marks[0].0, width: 1, fault });
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    Outline::new(cells, pockets.iter().map(|p| p.0), spare).map_err(|faults| {
        let placed = |fault| match fault {
            OutlineError::NoCells => {
                DrawingError { line: 0, column: 0, width: 1, fault: DrawingFault::Empty }
            }
            OutlineError::PocketOffEdge { at, kind } => {
                let &(_, line, column) =
                    pockets.iter().find(|p| p.0 == at).expect("the fault names one of the pockets");
                DrawingError { line, column, width: 1, fault: DrawingFault::PocketOffEdge { kind } }
            }
        };
        let mut errors: Vec<_> = faults.into_iter().map(placed).collect();
        errors.sort_by_key(|e| (e.line, e.column));
        errors
    })
}

/// The drawing of an outline, its bounding box only, each line ended.
pub fn print(outline: &Outline) -> String {
    let (low, width, height) = outline.bounds();
    let mut text = String::new();
    for y in (0..=height).rev() {
        for x in 0..=width {
            let v = Vertex::new(low.x + x, low.y + y);
            text.push(if outline.pockets().binary_search(&v).is_ok() { 'o' } else { '+' });
            text.push(if x == width { '\n' } else { ' ' });
        }
        if y > 0 {
            for x in 0..width {
                text.push(' ');
                text.push(if outline.has(Cell::new(low.x + x, low.y + y - 1)) { '#' } else { '.' });
            }
            text.push('\n');
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    const TUG: &str = "+ + o +\n # # .\n+ + + o\n # # #\n+ o + +\n";

    #[test]
    fn what_is_printed_is_what_was_read() {
        let tug = parse(TUG, 0).unwrap();
        assert_eq!(tug.cells().len(), 5);
        assert_eq!(tug.pockets(), [Vertex::new(1, 0), Vertex::new(2, 2), Vertex::new(3, 1)]);
        assert_eq!(print(&tug), TUG);
        assert_eq!(parse("  ++o+ \n\n##.\n+ ++o\n###\n+o++", 0).unwrap(), tug);
    }

    #[test]
    fn every_fault_has_its_place() {
        let errors = parse("+ + +\n # x #\n+ # +\n # #\n", 0).unwrap_err();
        let seen: Vec<_> = errors.iter().map(|e| (e.line, e.column, &e.fault)).collect();
        assert_eq!(
            seen,
            [
                (1, 5, &DrawingFault::Ragged { found: 3, expected: 2, vertex_row: false }),
                (1, 3, &DrawingFault::Mark { found: 'x', vertex_row: false }),
                (2, 2, &DrawingFault::Mark { found: '#', vertex_row: true }),
                (3, 1, &DrawingFault::NotClosed),
            ]
        );
        assert_eq!(parse(" \n\n", 0).unwrap_err()[0].fault, DrawingFault::Empty);
        assert_eq!(parse("+ +\n .\n+ +", 0).unwrap_err()[0].fault, DrawingFault::Empty);
        let inside = parse("+ + +\n # #\n+ o +\n # #\n+ + +", 0).unwrap_err();
        assert_eq!((inside[0].line, inside[0].column), (2, 2));
    }
}
