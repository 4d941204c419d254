//! How far apart two outlines look.

use lattice::{Cell, Motion, Turn};

use super::votes::Votes;

/// How far apart two outlines look: the share of cells that lie elsewhere when
/// one is laid on the other as well as can be, in any of its eight turns and
/// mirror images and shifted at will. With c cells in common,
/// 1 − c / max(cells of a, cells of b).
///
/// This is a metric on outlines up to turning, mirroring and shifting: 0 only for
/// the same outline, the same both ways round, and no way round is shorter.
pub fn looks_apart(a: &[Cell], b: &[Cell]) -> f64 {
    let (a, b) = (Look::new(a), Look::new(b));
    apart(a.common(&b, &mut Votes::default()), a.count().max(b.count()))
}

/// 1 − common / most, and 0 where there is nothing.
pub(crate) fn apart(common: usize, most: usize) -> f64 {
    if most == 0 { 0.0 } else { 1.0 - common as f64 / most as f64 }
}

/// An outline, made ready for many comparisons.
pub(crate) struct Look {
    /// Its distinct images, each sorted, with its lower left at the origin.
    images: Vec<Vec<(i64, i64)>>,
    /// How many cells its rows have, and its columns, most first.
    lines: [Vec<u16>; 2],
}

impl Look {
    pub fn new(cells: &[Cell]) -> Look {
        let mut images: Vec<Vec<(i64, i64)>> = Vec::new();
        for mirrored in [false, true] {
            for turn in Turn::ALL {
                let motion = Motion::about_origin(mirrored, turn);
                let image = settled(cells.iter().map(|&c| seen(c, motion)).collect());
                if !images.contains(&image) {
                    images.push(image);
                }
            }
        }
        let lines = [lines(images[0].iter().map(|c| c.1)), lines(images[0].iter().map(|c| c.0))];
        Look { images, lines }
    }

    pub fn count(&self) -> usize {
        self.images[0].len()
    }

    /// No more cells than this can be common: every cell that is not changes a
    /// row and a column, and sorting brings rows no further apart.
    pub fn most_common(&self, other: &Look) -> usize {
        let [[rr, rc], [cr, cc]] = [0, 1].map(|a| [0, 1].map(|b| differing(&self.lines[a], &other.lines[b])));
        let differing = rr.max(cc).min(rc.max(cr));
        (self.count() + other.count()).saturating_sub(differing) / 2
    }

    /// The most cells that can be laid on cells of the other. `votes` is scratch.
    pub fn common(&self, other: &Look, votes: &mut Votes) -> usize {
        other.images.iter().map(|image| laid(&self.images[0], image, votes)).max().unwrap_or(0)
    }
}

/// A cell moved, in numbers that can't overflow.
fn seen(cell: Cell, motion: Motion) -> (i64, i64) {
    let (x, y) = (i64::from(cell.x), i64::from(cell.y));
    let x = if motion.mirrored { -x } else { x };
    match motion.turn.quarters() {
        0 => (x, y),
        1 => (-y, x),
        2 => (-x, -y),
        _ => (y, -x),
    }
}

fn settled(mut cells: Vec<(i64, i64)>) -> Vec<(i64, i64)> {
    let x0 = cells.iter().map(|c| c.0).min().unwrap_or(0);
    let y0 = cells.iter().map(|c| c.1).min().unwrap_or(0);
    for cell in &mut cells {
        *cell = (cell.0 - x0, cell.1 - y0);
    }
    cells.sort_unstable();
    cells.dedup();
    cells
}

/// How many cells lines have, most first.
fn lines(places: impl Iterator<Item = i64>) -> Vec<u16> {
    let mut places: Vec<i64> = places.collect();
    places.sort_unstable();
    let mut lines: Vec<u16> = places.chunk_by(|a, b| a == b).map(|line| line.len() as u16).collect();
    lines.sort_unstable_by(|a, b| b.cmp(a));
    lines
}

fn differing(a: &[u16], b: &[u16]) -> usize {
    let (long, short) = if a.len() < b.len() { (b, a) } else { (a, b) };
    let common: usize = long.iter().zip(short).map(|(a, b)| a.abs_diff(*b) as usize).sum();
    common + long[short.len()..].iter().map(|&l| l as usize).sum::<usize>()
}

/// The most cells in common over all shifts: every pair of cells votes for the
/// shift that lays one on the other.
fn laid(a: &[(i64, i64)], b: &[(i64, i64)], votes: &mut Votes) -> usize {
    let span = |cells: &[(i64, i64)], of: fn(&(i64, i64)) -> i64| cells.iter().map(of).max().unwrap_or(0);
    let (wide, high) = (span(b, |c| c.0), span(b, |c| c.1));
    let shifts = a.iter().flat_map(|a| b.iter().map(move |b| ([a.0 - b.0 + wide, a.1 - b.1 + high], 1)));
    votes.most(wide + span(a, |c| c.0) + 1, high + span(a, |c| c.1) + 1, shifts)
}
