//! Blocks against plates: the proof that the lattice model and the solids agree.
//!
//! A folding's bodies are put in their places inside the plate, and every pair
//! that could meet is measured. A folding that the lattice calls sound must
//! touch nothing, at any level; a knuckle without its pocket must collide.

use lattice::{Folding, Motion, Set};
use rayon::prelude::*;

use crate::check::gap::FAR;
use crate::kernel::Move;
use crate::near::{Gap, Tree};
use crate::piece::moves;
use crate::sizes::Sizes;

/// Two solids nearer than they may be.
#[derive(Clone, Debug, PartialEq)]
pub struct Touch {
    /// The piece and the body in it.
    pub body: (usize, usize),
    /// The other body, or `None` for the plate.
    pub other: Option<(usize, usize)>,
    /// Their distance in mm; 0 where they meet.
    pub gap: f64,
    /// Where, in the board's frame.
    pub at: [f64; 3],
}

/// What one folding measures.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// Least distance between two bodies in mm.
    pub between_bodies: f64,
    /// Least distance between a body and the plate in mm.
    pub to_plate: f64,
    /// Every pair nearer than `limit`.
    pub touches: Vec<Touch>,
    /// The least gap that is allowed in mm.
    pub limit: f64,
}

/// Measures foldings of an outline. `bodies` are the trees of each piece's
/// bodies at home; `plate` stands on the board, where `on_board` brings the
/// outline's own lattice.
pub(crate) fn prove(
    set: &Set,
    bodies: &[Vec<Tree>],
    foldings: &[Folding],
    plate: &Tree,
    on_board: Motion,
    sizes: &Sizes,
) -> Vec<Proof> {
    foldings.par_iter().map(|f| one(set, bodies, f, plate, on_board, sizes)).collect()
}

fn one(
    set: &Set,
    bodies: &[Vec<Tree>],
    folding: &Folding,
    plate: &Tree,
    on_board: Motion,
    sizes: &Sizes,
) -> Proof {
    debug_assert_eq!(set.pieces.len(), bodies.len());
    let there = moves(&lattice::Pose::from_motions(vec![on_board]), sizes)[0];
    let mut standing: Vec<((usize, usize), Tree)> = Vec::new();
    for placed in &folding.placed {
        for (body, by) in moves(&placed.pose, sizes).iter().enumerate() {
            let by: Move = by.then(&there);
            standing.push(((placed.piece, body), bodies[placed.piece][body].moved(&by)));
        }
    }
    let limit = sizes.least_gap();
    let (mut between_bodies, mut to_plate, mut touches) = (FAR, FAR, Vec::new());
    let mut note = |least: &mut f64, gap: Gap, body, other| {
        *least = least.min(gap.distance);
        if let (Some(at), true) = (gap.at, gap.distance < limit) {
            touches.push(Touch { body, other, gap: gap.distance, at });
        }
    };
    for (i, (name, tree)) in standing.iter().enumerate() {
        for (other, before) in &standing[..i] {
            let gap = tree.gap(before, between_bodies.max(limit));
            note(&mut between_bodies, gap, *name, Some(*other));
        }
        let gap = tree.gap(plate, to_plate.max(limit));
        note(&mut to_plate, gap, *name, None);
    }
    Proof { between_bodies, to_plate, touches, limit }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plate::{Label, build};
    use crate::{piece, samples};
    use lattice::{Outline, VertexKind};

    struct Bench {
        set: Set,
        trees: Vec<Vec<Tree>>,
        sizes: Sizes,
    }

    fn bench(turn_over: bool, pick: &[usize]) -> Bench {
        let sizes = Sizes::default();
        let all = samples::pieces();
        let pieces: Vec<_> = pick.iter().map(|&i| all[i].1.clone()).collect();
        let trees = pieces
            .iter()
            .map(|p| piece::build(p, &sizes, 2, "7").unwrap().meshes.iter().map(Tree::of).collect())
            .collect();
        Bench { set: Set { pieces, levels: 2, turn_over }, trees, sizes }
    }

    fn proofs(b: &Bench, outline: &Outline, foldings: &[Folding]) -> Vec<Proof> {
        let plate = build(outline, &Label::default(), &b.sizes, 2, (8, 8)).unwrap();
        let tree = Tree::of(&plate.solid.mesh());
        prove(&b.set, &b.trees, foldings, &tree, plate.on_board, &b.sizes)
    }

    #[test]
    fn every_folding_found_stands_clear_with_its_footprint_s_pockets() {
        for (turn_over, pick) in [(false, &[0, 1, 2][..]), (false, &[1, 3, 4]), (true, &[1, 4])] {
            let b = bench(turn_over, pick);
            let outline = samples::block_of(b.set.blocks());
            let foldings = samples::foldings(&b.set, &outline.open(), 24);
            assert!(!foldings.is_empty());
            for f in &foldings {
                assert_eq!(f.faults(&b.set, &outline.open()), []);
                let own = outline.with_pockets(f.footprint(&b.set, &outline)).unwrap();
                let proof = &proofs(&b, &own, std::slice::from_ref(f))[0];
                assert_eq!(proof.touches, [], "{pick:?}");
                assert!(proof.between_bodies >= proof.limit && proof.to_plate >= proof.limit);
            }
        }
    }

    #[test]
    fn blocks_stand_clear_of_the_strips_that_tie_a_hole() {
        let ring =
            lattice::drawing::parse("+ + + +\n # # #\n+ + + +\n # . #\n+ + + +\n # # #\n+ + + +", 0).unwrap();
        let mut tried = 0;
        for pick in [[0, 1], [0, 2], [1, 2], [0, 3], [1, 3], [2, 3], [1, 4]] {
            let b = bench(false, &pick);
            if b.set.blocks() != ring.cells().len() {
                continue;
            }
            for f in samples::foldings(&b.set, &ring.open(), 2) {
                let own = ring.with_pockets(f.footprint(&b.set, &ring)).unwrap();
                assert!(build(&own, &Label::default(), &b.sizes, 2, (8, 8)).unwrap().strips > 0);
                assert_eq!(proofs(&b, &own, &[f])[0].touches, []);
                tried += 1;
            }
        }
        assert!(tried > 0);
    }

    #[test]
    fn a_knuckle_without_its_pocket_collides_at_either_level() {
        let b = bench(false, &[1, 3, 4]);
        let outline = samples::block_of(b.set.blocks());
        let folding = samples::foldings(&b.set, &outline.open(), 1).remove(0);
        let footprint = folding.footprint(&b.set, &outline);
        let pins: Vec<_> = folding.pins(&b.set).into_iter().flatten().collect();
        let mut levels = [0, 0];
        for without in &footprint {
            let rest = outline.with_pockets(footprint.iter().copied().filter(|v| v != without)).unwrap();
            let proof = &proofs(&b, &rest, std::slice::from_ref(&folding))[0];
            assert!(proof.touches.iter().any(|t| t.other.is_none() && t.gap == 0.0), "{without:?}");
            for pin in pins.iter().filter(|p| p.at == *without) {
                levels[usize::from(pin.level.0)] += 1;
            }
        }
        assert!(levels[0] > 0 && levels[1] > 0, "{levels:?}");
        assert!(footprint.iter().all(|&v| outline.kind(v) == VertexKind::Edge));
    }
}
