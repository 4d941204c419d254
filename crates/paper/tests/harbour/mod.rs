//! A made-up set of hinged pieces, some outlines, and a plain search for one
//! folding: specimens for the pictures, not part of the product.
#![allow(dead_code)]

use lattice::{Cell, Folding, Hinge, Level, Motion, Outline, Piece, Pin, Placed, Set, Vertex, drawing};
use paper::Style;

/// A chain of blocks: each pin (x, y, level) ties a block to the next.
pub fn chain(cells: &[(i32, i32)], pins: &[(i32, i32, u8)]) -> Piece {
    let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let hinges = pins
        .iter()
        .enumerate()
        .map(|(i, &(x, y, l))| Hinge { pin: Vertex::new(x, y), joins: [i, i + 1], level: Level(l) })
        .collect();
    Piece::hinged(blocks, hinges).unwrap()
}

/// Four pieces of four blocks on two levels.
pub fn set() -> Set {
    Set {
        pieces: vec![
            chain(&[(0, 0), (1, 0), (2, 0), (2, 1)], &[(1, 1, 0), (2, 0, 1), (3, 1, 0)]),
            chain(&[(0, 0), (1, 0), (1, 1), (2, 1)], &[(1, 0, 1), (2, 1, 0), (2, 2, 1)]),
            chain(&[(0, 0), (1, 0), (2, 0), (3, 0)], &[(1, 0, 0), (2, 1, 0), (3, 0, 1)]),
            chain(&[(0, 0), (0, 1), (1, 1), (1, 0)], &[(0, 1, 0), (1, 2, 1), (2, 1, 0)]),
        ],
        levels: 2,
        turn_over: false,
    }
}

/// Colours of Okabe & Ito (2002, rev. 2008), Color Universal Design.
pub fn style() -> Style {
    Style::new([
        ("cleat", [0x00, 0x72, 0xB2]),
        ("anchor", [0xE6, 0x9F, 0x00]),
        ("bollard", [0x00, 0x9E, 0x73]),
        ("crane", [0xCC, 0x79, 0xA7]),
    ])
}

pub fn outline(text: &str, spare: usize) -> Outline {
    drawing::parse(text, spare).unwrap()
}

pub fn tug() -> Outline {
    outline(
        "+ + + o + + +\n . . # # . .\n+ + + + + + +\n . . # # # .\n+ + o + + o +\n # # # # # #\n+ + + + + + +\n . # # # # #\n+ + + o + o +",
        0,
    )
}

pub fn lighthouse() -> Outline {
    outline(
        "+ + o + +\n . # # .\n+ + + + +\n . # # .\n+ o + + +\n . # # .\n+ + + + +\n # # # #\n+ + + + o\n # # # #\no + + + +\n # # . #\n+ + + o +",
        1,
    )
}

/// The first folding in a fixed order, with a pocket wherever it needs one.
pub fn fill(set: &Set, outline: &Outline) -> Option<Folding> {
    let open = outline.open();
    let options: Vec<Vec<Placed>> = (0..set.pieces.len())
        .map(|piece| {
            let folds = set.folds(piece);
            let mut all = Vec::new();
            for fold in folds.folds() {
                for cell in open.cells() {
                    let first = fold.cells[0];
                    let shift = Motion::STILL.shifted(cell.x - first.x, cell.y - first.y);
                    let pose = fold.pose.moved(shift);
                    let inside = pose.cells(&set.pieces[piece]).iter().all(|&c| open.has(c));
                    let held = pose.pins(&set.pieces[piece], set.levels);
                    if inside && held.iter().all(|p| open.allows_hinge(p.at)) {
                        all.push(Placed { piece, pose });
                    }
                }
            }
            all
        })
        .collect();
    let mut search = Search { set, outline: &open, options, placed: Vec::new(), left: open.spare() };
    let mut covered = Vec::new();
    search.go(&mut covered, &mut Vec::new()).then_some(())?;
    search.placed.sort_by_key(|p| p.piece);
    Some(Folding { placed: search.placed })
}

struct Search<'a> {
    set: &'a Set,
    outline: &'a Outline,
    options: Vec<Vec<Placed>>,
    placed: Vec<Placed>,
    left: usize,
}

impl Search<'_> {
    fn go(&mut self, covered: &mut Vec<Cell>, pins: &mut Vec<Pin>) -> bool {
        let Some(&cell) = self.outline.cells().iter().find(|c| !covered.contains(c)) else {
            return self.placed.len() == self.set.pieces.len();
        };
        for piece in (0..self.set.pieces.len()).rev() {
            if self.placed.iter().any(|p| p.piece == piece) {
                continue;
            }
            for option in self.options[piece].clone() {
                let cells = option.pose.cells(&self.set.pieces[piece]);
                let held = option.pose.pins(&self.set.pieces[piece], self.set.levels);
                let clash =
                    cells.iter().any(|c| covered.contains(c)) || held.iter().any(|p| pins.contains(p));
                if clash || !cells.contains(&cell) {
                    continue;
                }
                let (c, p) = (covered.len(), pins.len());
                covered.extend(cells);
                pins.extend(held);
                self.placed.push(option);
                if self.go(covered, pins) {
                    return true;
                }
                self.placed.pop();
                covered.truncate(c);
                pins.truncate(p);
            }
        }
        if self.left > 0 {
            self.left -= 1;
            covered.push(cell);
            if self.go(covered, pins) {
                return true;
            }
            covered.pop();
            self.left += 1;
        }
        false
    }
}

/// The outline with the pockets its folding needs and `more` beside.
pub fn pocketed(set: &Set, outline: &Outline, folding: &Folding) -> Outline {
    let mut pockets = folding.footprint(set, &outline.open());
    pockets.extend(outline.pockets());
    outline.with_pockets(pockets).unwrap()
}

/// A way by swings from home: each step turns what lies past a hinge of a chain.
pub fn way(piece: &Piece, swings: &[(usize, u8)]) -> Vec<lattice::Pose> {
    let mut poses = vec![lattice::Pose::home(piece)];
    for &(hinge, turn) in swings {
        let last = poses.last().unwrap();
        let h = &piece.hinges()[hinge];
        let pin = last.motions()[h.joins[0]].vertex(h.pin);
        let turned = Motion::about(pin, lattice::Turn::new(turn));
        let motions = last.motions().iter().enumerate();
        let motions = motions.map(|(b, m)| if b > hinge { m.then(turned) } else { *m }).collect();
        poses.push(lattice::Pose::from_motions(motions));
    }
    poses
}

/// Twelve single blocks on a rack, to see every pattern.
pub fn rack() -> (Set, Style, Outline, Folding) {
    let pieces = (0..12).map(|_| Piece::rigid(vec![Cell::new(0, 0)]).unwrap()).collect();
    let set = Set { pieces, levels: 1, turn_over: false };
    let greys = [[170, 170, 170], [60, 60, 70], [230, 230, 220]];
    let style = Style::new((0..12).map(|i| (format!("block {i}"), greys[i % 3])));
    let outline = Outline::new((0..12).map(|i| Cell::new(i % 6, i / 6)), [], 0).unwrap();
    let placed = (0..12).map(|i| Placed {
        piece: i,
        pose: lattice::Pose::from_motions(vec![Motion::STILL.shifted(i as i32 % 6, i as i32 / 6)]),
    });
    let folding = Folding { placed: placed.collect() };
    (set, style, outline, folding)
}
