//! The judge: whether some folding has the layout as written.

use std::collections::BTreeSet;

use lattice::{Cell, DropIn, Folding, Motion, Outline, Placed, Vertex, layout_code};

use crate::choice::Choice;
use crate::fault::Fault;
use crate::layout::Layout;
use crate::sheet::Sheet;

/// A layout that is one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// The layout's code: the same for all that are essentially the same.
    pub code: String,
    /// One folding that has it, pieces in the order of the set; it drops in unless the
    /// rules do not ask.
    pub folding: Folding,
    /// Its drop-in order, by position in the folding.
    pub drop_in: DropIn,
}

/// A piece on its cells, moved to the origin.
struct Shape {
    cells: Vec<Cell>,
    low: Cell,
}

impl Shape {
    fn of(cells: &[Cell]) -> Self {
        let low = Cell::new(
            cells.iter().map(|c| c.x).min().unwrap_or(0),
            cells.iter().map(|c| c.y).min().unwrap_or(0),
        );
        let mut cells: Vec<Cell> = cells.iter().map(|c| c.shifted(-low.x, -low.y)).collect();
        cells.sort_unstable();
        Shape { cells, low }
    }

    /// The numbers of the folds that have this shape.
    fn folds(&self, all: &lattice::FoldSet) -> std::ops::Range<usize> {
        let folds = all.folds();
        let start = folds.partition_point(|f| f.cells < self.cells);
        start..start + folds[start..].partition_point(|f| f.cells == self.cells)
    }
}

impl Sheet<'_> {
    /// Judges a layout: accepted if some folding has it that the rules allow.
    ///
    /// # Errors
    /// Everything that is wrong. Whether hinges meet is told of the pieces with nothing
    /// else wrong with them, whether pieces are interlocked if no hinges meet.
    ///
    /// # Panics
    /// Only if an accepted folding fails the lattice's own judge: a broken invariant.
    pub fn judge(&self, layout: &Layout) -> Result<Accepted, Vec<Fault>> {
        let set = &self.rules.set;
        let mut cells: Vec<Vec<Cell>> = vec![Vec::new(); set.pieces.len()];
        for (owner, &cell) in layout.owners.iter().zip(&self.reading) {
            if let Some(piece) = owner {
                cells[*piece].push(cell);
            }
        }
        let mut faults = Vec::new();
        let mut shapes = Vec::new();
        let mut choice = Choice::default();
        for (piece, cells) in cells.iter().enumerate() {
            let (found, blocks) = (cells.len(), set.pieces[piece].blocks().len());
            if found != blocks {
                faults.push(Fault::Blocks { piece, found, blocks });
                continue;
            }
            let shape = Shape::of(cells);
            let folds = shape.folds(self.rules.allowed(piece));
            if folds.is_empty() {
                faults.push(self.misshapen(piece, cells, &shape));
                continue;
            }
            let stands = stand(self.outline, &self.rules.allowed(piece).folds()[folds.clone()], shape.low);
            match stands {
                Ok(stands) => {
                    let all = stands.into_iter().map(|(at, pins)| (folds.start + at, pins)).collect();
                    choice.add(piece, all);
                    shapes.push(shape);
                }
                Err(at) => faults.push(Fault::Walled { piece, at }),
            }
        }
        let found = layout.owners.iter().filter(|o| o.is_none()).count();
        if found != self.outline.spare() {
            faults.push(Fault::Empty { found, spare: self.outline.spare() });
        }
        match choice.made(!self.rules.interlocked) {
            Ok(folds) if faults.is_empty() => Ok(self.accepted(&folds, &shapes)),
            Ok(_) => Err(faults),
            Err(more) => {
                faults.extend(more);
                Err(faults)
            }
        }
    }

    /// Why no allowed fold has this shape.
    fn misshapen(&self, piece: usize, cells: &[Cell], shape: &Shape) -> Fault {
        if let Some(cells) = loose(cells) {
            return Fault::Torn { piece, cells };
        }
        let all = self.rules.all(piece);
        if !shape.folds(all).is_empty() {
            return Fault::NotReached { piece };
        }
        let mirror = Motion { mirrored: true, ..Motion::STILL };
        let mirrored: Vec<Cell> = cells.iter().map(|&c| mirror.cell(c)).collect();
        // With both ways up, `all` has the mirrored shapes, too.
        match Shape::of(&mirrored).folds(all).is_empty() {
            true => Fault::NoFold { piece },
            false => Fault::TurnedOver { piece },
        }
    }

    fn accepted(&self, folds: &[usize], shapes: &[Shape]) -> Accepted {
        let rules = self.rules;
        let placed = folds.iter().zip(shapes).enumerate().map(|(piece, (&fold, shape))| {
            let fold = &rules.allowed(piece).folds()[fold];
            let own = &rules.set.pieces[piece];
            let class = &rules.classes[rules.class[piece]];
            // Pieces that fold alike need not be drawn alike: each takes a pose of its own.
            let pose = if *own == rules.set.pieces[class.pieces[0]] {
                &fold.pose
            } else {
                let all = rules.all(piece);
                let at = all.position(fold).expect("a fold of its class is one of the piece's folds");
                &all.folds()[at].pose
            };
            Placed { piece, pose: pose.moved(Motion::STILL.shifted(shape.low.x, shape.low.y)) }
        });
        let folding = Folding { placed: placed.collect() };
        let faults = folding.faults(&rules.set, self.outline);
        assert!(faults.is_empty(), "what was accepted is no folding: {faults:?}");
        let code = layout_code(&rules.set, &rules.classes, self.outline, &folding);
        let drop_in = folding.drop_in(&rules.set);
        Accepted { code, folding, drop_in }
    }
}

/// The smallest part of some cells that touches no other of them, if they are not one.
fn loose(cells: &[Cell]) -> Option<Vec<Cell>> {
    let mut left: BTreeSet<Cell> = cells.iter().copied().collect();
    let mut parts: Vec<Vec<Cell>> = Vec::new();
    while let Some(first) = left.pop_first() {
        let mut part = vec![first];
        let mut next = 0;
        while next < part.len() {
            let cell = part[next];
            next += 1;
            for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
                let near = cell.shifted(dx, dy);
                if left.remove(&near) {
                    part.push(near);
                }
            }
        }
        part.sort_unstable();
        parts.push(part);
    }
    (parts.len() > 1).then(|| parts.into_iter().min_by_key(Vec::len)).flatten()
}

type Pins = Vec<lattice::Pin>;

/// Those folds, by number and with their pins in place, that have no hinge in the
/// wall; or else some vertices in the wall of which each fold has one.
fn stand(outline: &Outline, folds: &[lattice::Fold], low: Cell) -> Result<Vec<(usize, Pins)>, Vec<Vertex>> {
    let mut stands = Vec::new();
    let mut walled: Vec<Vec<Vertex>> = Vec::new();
    for (number, fold) in folds.iter().enumerate() {
        let pins: Pins =
            fold.pins.iter().map(|p| lattice::Pin { at: p.at.shifted(low.x, low.y), ..*p }).collect();
        let mut wall: Vec<Vertex> = pins.iter().map(|p| p.at).filter(|&v| !outline.allows_hinge(v)).collect();
        wall.dedup();
        if wall.is_empty() {
            stands.push((number, pins));
        } else {
            walled.push(wall);
        }
    }
    if !stands.is_empty() {
        return Ok(stands);
    }
    // The vertex that most folds have in common, until every fold has one.
    let mut at = Vec::new();
    while !walled.is_empty() {
        let all: BTreeSet<Vertex> = walled.iter().flatten().copied().collect();
        let having = |v: &Vertex| walled.iter().filter(|w| w.contains(v)).count();
        let most = all.into_iter().rev().max_by_key(having).expect("each of them has a vertex in the wall");
        walled.retain(|w| !w.contains(&most));
        at.push(most);
    }
    at.sort_unstable();
    Err(at)
}
