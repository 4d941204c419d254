//! In which order panels are chosen, and what they touch.
//!
//! A step chooses one panel and with it all those that symmetry ties to it.
//! What has been chosen meets what has not along a frontier of seams; the order
//! keeps it short: row by row of the shorter way, or from the rim to the middle
//! where halves or quarters mirror each other.

use std::ops::Range;

use super::joining::Joining;
use crate::geometry::{End, Sheet, Side};

/// What an ornament is equal to itself under.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Symmetry {
    /// Nothing asked.
    None,
    /// A quarter turn about the middle: squares of odd size.
    Quarter,
    /// A mirror between two rows, or between two columns: one of the two even.
    Mirror,
}

/// A symmetry that a sheet can't have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SymmetryError {
    /// Quarter turns keep σ only there.
    #[error(
        "{columns} × {rows} has no quarter turn that holds closed and turned: columns and rows must be equal and odd"
    )]
    Quarter {
        /// Of the sheet.
        columns: usize,
        /// Of the sheet.
        rows: usize,
    },
    /// A mirror line must run between blocks.
    #[error("{columns} × {rows} has no mirror that holds closed and turned: columns or rows must be even")]
    Mirror {
        /// Of the sheet.
        columns: usize,
        /// Of the sheet.
        rows: usize,
    },
}

impl Symmetry {
    /// Whether a sheet can have it.
    ///
    /// # Errors
    /// Why it can't.
    pub fn fits(self, sheet: &Sheet) -> Result<(), SymmetryError> {
        steps(sheet, self).map(|_| ())
    }
}

/// One choice: the blocks it settles, with where each side of the first goes.
pub(crate) struct Step {
    pub copies: Vec<(usize, [u8; 4])>,
    pub choices: Vec<Joining>,
}

/// The steps of a sheet.
pub(crate) fn steps(sheet: &Sheet, symmetry: Symmetry) -> Result<Vec<Step>, SymmetryError> {
    const SAME: [u8; 4] = [0, 1, 2, 3];
    let (m, n) = (sheet.columns(), sheet.rows());
    let all: Vec<Joining> = Joining::all().collect();
    let step = |copies: Vec<(usize, [u8; 4])>| {
        let choices = all.iter().copied().filter(|j| j.fits(sheet, copies[0].0)).collect();
        Step { copies, choices }
    };
    match symmetry {
        Symmetry::None => {
            let at = |a: usize, b: usize| if m <= n { sheet.at(a, b) } else { sheet.at(b, a) };
            let (short, long) = (m.min(n), m.max(n));
            Ok((0..long)
                .flat_map(|b| (0..short).map(move |a| (a, b)))
                .map(|(a, b)| step(vec![(at(a, b), SAME)]))
                .collect())
        }
        Symmetry::Mirror => {
            let line = mirror_line(sheet).ok_or(SymmetryError::Mirror { columns: m, rows: n })?;
            if line == Line::Rows {
                let pair = |i, j| vec![(sheet.at(i, j), SAME), (sheet.at(i, n - 1 - j), [0, 3, 2, 1])];
                Ok((0..n / 2)
                    .flat_map(|j| (0..m).map(move |i| (i, j)))
                    .map(|(i, j)| step(pair(i, j)))
                    .collect())
            } else {
                let pair = |i, j| vec![(sheet.at(i, j), SAME), (sheet.at(m - 1 - i, j), [2, 1, 0, 3])];
                Ok((0..m / 2)
                    .flat_map(|i| (0..n).map(move |j| (i, j)))
                    .map(|(i, j)| step(pair(i, j)))
                    .collect())
            }
        }
        Symmetry::Quarter => {
            if m != n || m.is_multiple_of(2) {
                return Err(SymmetryError::Quarter { columns: m, rows: n });
            }
            let mut steps = Vec::new();
            for ring in 0..n / 2 {
                for i in ring..n - 1 - ring {
                    let (mut x, mut y) = (i, ring);
                    let copies = (0..4u8)
                        .map(|q| {
                            let copy = (sheet.at(x, y), SAME.map(|k| (k + q) % 4));
                            (x, y) = (n - 1 - y, x);
                            copy
                        })
                        .collect();
                    steps.push(step(copies));
                }
            }
            let middle = sheet.at(n / 2, n / 2);
            let choices = all.iter().copied().filter(|j| j.turned(1) == *j).collect();
            steps.push(Step { copies: vec![(middle, SAME)], choices });
            Ok(steps)
        }
    }
}

/// The steps of a part of a sheet: the blocks of these columns and rows.
pub(crate) fn part_steps(sheet: &Sheet, columns: Range<usize>, rows: Range<usize>) -> Vec<Step> {
    let across = columns.len() <= rows.len();
    let (short, long) = if across { (columns, rows) } else { (rows, columns) };
    let at = |a: usize, b: usize| if across { sheet.at(a, b) } else { sheet.at(b, a) };
    long.flat_map(|b| short.clone().map(move |a| (a, b)))
        .map(|(a, b)| {
            let block = at(a, b);
            let choices = Joining::all().filter(|j| j.fits(sheet, block)).collect();
            Step { copies: vec![(block, [0, 1, 2, 3])], choices }
        })
        .collect()
}

/// Where a mirror line runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Line {
    /// Between the middle rows.
    Rows,
    /// Between the middle columns.
    Columns,
}

/// Of the lines that there can be, the one that is mirrored at.
pub(crate) fn mirror_line(sheet: &Sheet) -> Option<Line> {
    let (m, n) = (sheet.columns(), sheet.rows());
    match (m.is_multiple_of(2), n.is_multiple_of(2)) {
        (false, false) => None,
        (true, true) if m <= n => Some(Line::Rows),
        (false, true) => Some(Line::Rows),
        _ => Some(Line::Columns),
    }
}

/// How many seams of an end lie on the mirror line: the fewest loops there. The
/// seams on the line in one class of a half are one part, with a hole between
/// every two next to each other.
pub(crate) fn seams_on_line(sheet: &Sheet, line: Line, end: End) -> usize {
    (0..sheet.blocks()).filter(|&b| crosses(sheet, line, b, end)).count()
}

/// Whether a block of the lower or left half has a band over the mirror line.
fn crosses(sheet: &Sheet, line: Line, block: usize, end: End) -> bool {
    let [i, j] = sheet.place(block);
    let (there, facing) = match line {
        Line::Rows => (j + 1 == sheet.rows() / 2, Side::North),
        Line::Columns => (i + 1 == sheet.columns() / 2, Side::East),
    };
    there && sheet.bounds_void(block, facing.turned(-sheet.quarters(block, end)))
}

/// Whether a step of a mirrored sheet has a band over the line.
pub(crate) fn step_crosses(sheet: &Sheet, line: Line, step: &Step, end: End) -> bool {
    step.copies.iter().any(|&(b, _)| crosses(sheet, line, b, end))
}

/// Seams and vertices of one end, by block.
pub(crate) struct Places {
    /// The seam under each side of a block's own frame; `None` where it has no band.
    pub seams: Vec<[Option<usize>; 4]>,
    /// The vertex under each corner; `None` on the rim.
    pub vertices: Vec<[Option<usize>; 4]>,
}

/// Where the sides and corners of every panel lie at an end.
pub(crate) fn places(sheet: &Sheet, end: End) -> Places {
    let mut known = 0;
    let mut seams = vec![[None; 4]; sheet.blocks()];
    let mut vertices = vec![[None; 4]; sheet.blocks()];
    for block in 0..sheet.blocks() {
        let [i, j] = sheet.place(block);
        for side in Side::ALL {
            let facing = sheet.facing(block, side, end);
            if sheet.bounds_void(block, side) {
                let next = sheet.beyond(block, facing).expect("there is a block across a void's side");
                let theirs = facing.turned(2 - sheet.quarters(next, end));
                let met = if next < block { seams[next][theirs as usize] } else { None };
                seams[block][side as usize] = Some(met.unwrap_or_else(|| {
                    known += 1;
                    known - 1
                }));
            }
            // Corner k, between side k and the next, turns with the block.
            let [x, y] = [[i + 1, j + 1], [i, j + 1], [i, j], [i + 1, j]][facing as usize];
            let outer = x == 0 || y == 0 || x == sheet.columns() || y == sheet.rows();
            vertices[block][side as usize] = (!outer).then_some(y * (sheet.columns() + 1) + x);
        }
    }
    Places { seams, vertices }
}
