//! Pieces, outlines and foldings made up for the tests, through lattice types alone.

use lattice::{Cell, Hinge, Level, Piece, Vertex};

fn piece(blocks: &[(i32, i32)], hinges: &[(i32, i32, usize, usize, u8)]) -> Piece {
    let blocks = blocks.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let hinges = hinges
        .iter()
        .map(|&(x, y, a, b, l)| Hinge { pin: Vertex::new(x, y), joins: [a, b], level: Level(l) })
        .collect();
    Piece::hinged(blocks, hinges).expect("a sound sample")
}

/// Five pieces of four and five blocks: chains on one and two levels, a
/// branched one, one with two hinges on one vertex, and a sheet.
#[allow(dead_code)]
pub fn pieces() -> Vec<(&'static str, Piece)> {
    vec![
        (
            "chain of four",
            piece(&[(0, 0), (1, 0), (2, 0), (3, 0)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 0), (3, 1, 2, 3, 0)]),
        ),
        (
            "chain on two levels",
            piece(&[(0, 0), (1, 0), (2, 0), (2, 1)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 1), (3, 1, 2, 3, 0)]),
        ),
        (
            "branched five",
            piece(
                &[(1, 1), (0, 1), (2, 1), (1, 0), (1, 2)],
                &[(1, 2, 0, 1, 0), (2, 1, 0, 2, 0), (1, 1, 0, 3, 1), (2, 2, 0, 4, 1)],
            ),
        ),
        (
            "two on one vertex",
            piece(
                &[(0, 0), (1, 0), (1, 1), (0, 1), (2, 0)],
                &[(1, 1, 0, 1, 0), (1, 1, 1, 2, 1), (1, 2, 2, 3, 0), (2, 0, 4, 1, 0)],
            ),
        ),
        (
            "corner to corner",
            piece(
                &[(0, 0), (1, 1), (2, 1), (3, 0), (3, 1)],
                &[(1, 1, 0, 1, 0), (2, 2, 1, 2, 1), (3, 1, 2, 3, 0), (4, 1, 3, 4, 1)],
            ),
        ),
    ]
}

/// Outlines drawn for the tests: a plain one, one with spare cells and
/// pockets, one with a hole, one of corner-joined parts.
#[allow(dead_code)]
pub fn outlines() -> Vec<(&'static str, lattice::Outline)> {
    let drawn = |text: &str| lattice::drawing::parse(text, 0).expect("a sound sample");
    vec![
        (
            "barge",
            drawn(
                "
+ + o + + +
 # # # # #
+ + + + + o
 # # # # #
o + + + + +
 # # # # #
+ + + + + +
 # # # # #
+ + + o + +",
            ),
        ),
        (
            "tug",
            drawn(
                "
+ + o + + +
 # # . . .
+ + + o + +
 # # # # #
o + + + + o
 # # # # #
+ o + + o +",
            ),
        ),
        (
            "lock",
            drawn(
                "
+ + + + + +
 # # # # #
+ + + + + +
 # # . # #
+ + o + + o
 # # . # #
+ + + + + +
 # # # # #
+ + + + + +",
            ),
        ),
        (
            "two basins",
            drawn(
                "
+ + + + + +
 # # . . .
+ + + + + +
 # # . . .
+ + o + + +
 . . # # #
+ + + + + +
 . . # # #
+ + + + + +",
            ),
        ),
    ]
}

/// A rectangle of `cells` cells, or the nearest one with a row left short.
#[allow(dead_code)]
pub fn block_of(cells: usize) -> lattice::Outline {
    let width = (cells as f64).sqrt().ceil() as usize;
    let all = (0..cells).map(|i| Cell::new((i % width) as i32, (i / width) as i32));
    lattice::Outline::new(all, [], 0).expect("a sound sample")
}

/// The first foldings of an outline, by plain backtracking: the first empty
/// cell is covered by each fold in turn. For small sets only.
#[allow(dead_code)]
pub fn foldings(set: &lattice::Set, outline: &lattice::Outline, limit: usize) -> Vec<lattice::Folding> {
    let folds: Vec<lattice::FoldSet> = (0..set.pieces.len()).map(|p| set.folds(p)).collect();
    let mut search = Search { outline, folds: &folds, levels: set.levels, set, limit, found: Vec::new() };
    search.go(&mut Vec::new(), &mut Vec::new(), &mut Vec::new());
    search.found
}

struct Search<'a> {
    outline: &'a lattice::Outline,
    folds: &'a [lattice::FoldSet],
    set: &'a lattice::Set,
    levels: u8,
    limit: usize,
    found: Vec<lattice::Folding>,
}

impl Search<'_> {
    fn go(
        &mut self,
        placed: &mut Vec<lattice::folding::Placed>,
        cells: &mut Vec<Cell>,
        pins: &mut Vec<lattice::Pin>,
    ) {
        let Some(&empty) = self.outline.cells().iter().find(|c| !cells.contains(c)) else {
            let mut placed = placed.clone();
            placed.sort_by_key(|p| p.piece);
            self.found.push(lattice::Folding { placed });
            return;
        };
        for piece in 0..self.folds.len() {
            if placed.iter().any(|p| p.piece == piece) {
                continue;
            }
            let folds = self.folds;
            for fold in folds[piece].folds() {
                for first in &fold.cells {
                    if self.found.len() >= self.limit {
                        return;
                    }
                    let motion = lattice::Motion::STILL.shifted(empty.x - first.x, empty.y - first.y);
                    let pose = fold.pose.moved(motion);
                    let here = pose.cells(&self.set.pieces[piece]);
                    let stand = pose.pins(&self.set.pieces[piece], self.levels);
                    if here.iter().any(|c| !self.outline.has(*c) || cells.contains(c))
                        || stand.iter().any(|p| !self.outline.allows_hinge(p.at) || pins.contains(p))
                    {
                        continue;
                    }
                    let (c, p) = (cells.len(), pins.len());
                    cells.extend(here);
                    pins.extend(stand);
                    placed.push(lattice::folding::Placed { piece, pose });
                    self.go(placed, cells, pins);
                    placed.pop();
                    cells.truncate(c);
                    pins.truncate(p);
                }
            }
        }
    }
}

/// Ten outlines of as many cells as the five pieces have blocks, each with the
/// pockets of its first folding, and that folding.
#[allow(dead_code)]
pub fn plates(set: &lattice::Set, count: usize) -> Vec<(lattice::Outline, lattice::Folding)> {
    let cells = set.blocks() as i32;
    let mut found = Vec::new();
    for width in [5, 6, 4, 7] {
        for cut in 0..4 {
            if found.len() == count {
                return found;
            }
            // Rows of `width`, the short row's cells kept to one side, one corner moved on top.
            let rows = cells / width;
            let mut all: Vec<Cell> = (0..rows * width).map(|i| Cell::new(i % width, i / width)).collect();
            all.extend((0..cells - rows * width).map(|i| Cell::new(i + cut % 2, rows)));
            if cut >= 2 {
                all.retain(|c| *c != Cell::new(width - 1, 0));
                all.push(Cell::new(width, 1));
            }
            let Ok(outline) = lattice::Outline::new(all, [], 0) else { continue };
            if outline.cells().len() != cells as usize {
                continue;
            }
            let Some(folding) = foldings(set, &outline.open(), 1).pop() else { continue };
            let own =
                outline.with_pockets(folding.footprint(set, &outline)).expect("a footprint is on the edge");
            found.push((own, folding));
        }
    }
    found
}
