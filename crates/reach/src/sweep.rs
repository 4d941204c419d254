//! Whether two blocks meet while one of them turns a quarter turn about a pin.
//!
//! # The rule
//! Take the pin as origin. Two bodies that are apart at both ends of the swing
//! meet on its way exactly when
//!
//! 1. a *top* of the moving body, carried along, meets the standing body, or
//! 2. a top of the standing body, carried the other way, meets the moving body.
//!
//! A top is a point of a body from which no path in the body leads farther
//! from the pin. Only points on circular paths are ever tested, each against
//! straight lines and circles: exact up to rounding, and nothing is sampled.
//!
//! # Why
//! That 1 or 2 means a meeting is plain: the point belongs to one body and
//! meets the other. Conversely, let the bodies meet. Write points as (r, φ);
//! a swing adds the same θ to every φ of the moving body A. Let T be the set
//! of all (r, a, b) with (r, a) in A, (r, b) in the standing body B and b − a
//! in [0, π/2], angles counted without wrapping round. T is closed and
//! bounded, modulo whole turns of a and b together, and not empty. Take a
//! point of T with the largest r of its connected part. There b − a is neither
//! 0 nor π/2, because the bodies are apart at both ends. If neither (r, a) nor
//! (r, b) were a top, a path would lead outward from each; followed together,
//! at equal r, for a short way, b − a stays inside (0, π/2), and T would hold
//! a larger r in the same part. So one of the two is a top, and its path
//! meets the other body at θ = b − a. (Clockwise is the mirror image.)
//!
//! # Which points are tops
//! Points inside a body are none. On a straight side the distance from the pin
//! grows towards at least one end. On the hollow arc of a relief whose outward
//! normal points away from the pin, it grows to both sides. Where a knuckle's
//! arc runs into its block's side, the knuckle itself leads on. That leaves the
//! tips of reliefs and the farthest point of each knuckle. Points taken for
//! tops in excess do no harm, by the first half of the proof.
//!
//! A knuckle round the pin itself (on another level than the hinge that
//! turns) is all tops, but turning does not move it and nothing comes into
//! it: a block with a corner at the pin is relieved there, as no two hinges
//! stand on one vertex and level; any other block keeps half the gap more than
//! a whole pitch from the pin, its knuckles more than half a pitch.
//!
//! # Apart at both ends
//! On the lattice two blocks in different cells keep the gap. A knuckle
//! reaches less than half a pitch, so it comes near only to blocks with a
//! corner at its vertex, and these are relieved there unless they carry a
//! knuckle on the same vertex and level themselves. Both cases, one cell and
//! one vertex with two knuckles, are looked for first.
//!
//! # The two blocks of the turning hinge
//! Their knuckles share the pin and are made to turn in each other, so on the
//! hinge's level what lies within knuckle + clearance of the pin is left out
//! for this pair alone (as if both were relieved there), by the caller. It may
//! be: beyond the knuckles each block keeps to its own quadrant, less half the
//! gap along either face, and two quadrants with the pin as their corner stay
//! apart through the whole half turn from side by side to side by side. What
//! the leaf and the eye do inside that disc is for the solid's own checks.
//! Everything else of the two blocks is tested like any other pair.
//!
//! # Levels
//! A level on which neither block carries a knuckle needs no test once another
//! level has passed: a relieved body is a part of a knuckled one.

use lattice::{Cell, Corner, Motion, Turn, Vertex};
use rustc_hash::FxHashMap;

use crate::body::{Body, Knuckles};
use crate::plan::Plan;

/// A block by its cell, with the pin as origin, and its knuckles on one level.
pub(crate) type Block = (Cell, Knuckles);

/// Answers for pairs of blocks under one plan, each worked out once.
///
/// Only a finite number of pairs can come up, and the pieces of a set share
/// most of them. Mirrored and turned pairs are one.
#[derive(Debug)]
pub(crate) struct Pairs {
    plan: Plan,
    known: FxHashMap<(Block, Block), bool>,
}

const ORIGIN: Vertex = Vertex::new(0, 0);

pub(crate) fn turned((cell, knuckles): Block, n: u8) -> Block {
    (Motion::about(ORIGIN, Turn::new(n)).cell(cell), knuckles.turned(n))
}

fn mirrored((cell, knuckles): Block) -> Block {
    (Motion::about_origin(true, Turn::NONE).cell(cell), knuckles.mirrored())
}

/// One cell, or one vertex with a knuckle of both.
pub(crate) fn clash(a: Block, b: Block) -> bool {
    let doubled = |c: &Corner| {
        let v = a.0.corner(*c);
        a.1.has(*c) && b.0.corner_at(v).is_some_and(|d| b.1.has(d))
    };
    a.0 == b.0 || Corner::ALL.iter().any(doubled)
}

impl Pairs {
    pub(crate) fn new(plan: Plan) -> Self {
        Pairs { plan, known: FxHashMap::default() }
    }

    pub(crate) fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Whether `standing` is out of the way of `moving` on a quarter turn
    /// about the origin, anticlockwise or else clockwise, on one level.
    pub(crate) fn clear(&mut self, moving: Block, standing: Block, anticlockwise: bool) -> bool {
        let (a, b) = if anticlockwise { (moving, standing) } else { (mirrored(moving), mirrored(standing)) };
        let home = (4 - quadrant(a.0)) % 4;
        let (a, b) = (turned(a, home), turned(b, home));
        let plan = &self.plan;
        *self.known.entry((a, b)).or_insert_with(|| never_meet(plan, a, b))
    }
}

/// The quadrant of the origin that a cell lies in.
fn quadrant(cell: Cell) -> u8 {
    match (cell.x >= 0, cell.y >= 0) {
        (true, true) => 0,
        (false, true) => 1,
        (false, false) => 2,
        (true, false) => 3,
    }
}

/// The rule at the head of this file, for an anticlockwise turn of `a`.
fn never_meet(plan: &Plan, a: Block, b: Block) -> bool {
    if clash(a, b) || clash(turned(a, 1), b) {
        return false;
    }
    let (moving, standing) = (Body::new(plan, a.0, a.1), Body::new(plan, b.0, b.1));
    let ((low_a, high_a), (low_b, high_b)) = (moving.span(), standing.span());
    if low_a > high_b || low_b > high_a {
        return true;
    }
    !moving.tops().any(|p| standing.met_by(p, true)) && !standing.tops().any(|p| moving.met_by(p, false))
}

#[cfg(test)]
mod tests {
    use super::*;

    const BARE: Knuckles = Knuckles(0);

    fn clear(a: (i32, i32, u8), b: (i32, i32, u8), anticlockwise: bool) -> bool {
        let block = |(x, y, k)| (Cell::new(x, y), Knuckles(k));
        Pairs::new(Plan::default()).clear(block(a), block(b), anticlockwise)
    }

    #[test]
    fn two_quadrants_of_the_pin_never_meet_whatever_else_the_blocks_carry() {
        // Bare at the pin: what the caller asks of a hinge's own two blocks.
        let mut pairs = Pairs::new(Plan::default());
        let mut tried = 0;
        for (x, y) in [(-1, -1), (0, -1)] {
            let standing = Cell::new(x, y);
            let own = standing.corner_at(ORIGIN).expect("it stands at the pin");
            for (j, k) in (0..16).flat_map(|j| (0..16).map(move |k| (j, k))) {
                let a = (Cell::new(0, 0), Knuckles(j).without(Corner::new(2)));
                let b = (standing, Knuckles(k).without(own));
                if !clash(a, b) && !clash(turned(a, 1), b) {
                    tried += 1;
                    assert!(pairs.clear(a, b, true), "{a:?} {b:?}");
                }
            }
        }
        assert!(tried > 200);
    }

    #[test]
    fn the_far_corner_sweeps_the_cell_above() {
        assert!(!clear((0, 0, 0), (0, 1, 0), true));
        assert!(!clear((0, 0, 0), (-1, 1, 0), true));
        // Behind it, the other way round, it may turn.
        assert!(clear((0, 0, 0), (0, 1, 0), false));
        // And it ends below a block that stands two above the pin's left.
        assert!(clear((0, 0, 0), (-1, 2, 0), true));
    }

    #[test]
    fn relieved_corners_pass_each_other_and_a_knuckle_does_not() {
        // The far corner's tips turn at 1.26 pitches, the neighbour's begin at 1.58.
        assert!(clear((0, 0, 0), (1, 1, 0), true));
        // The moving block's knuckle leaves the neighbour's relief by way of its tip.
        assert!(!clear((0, 0, 1), (1, 1, 0), true));
        // The standing knuckle begins at 1.21.
        assert!(!clear((0, 0, 0), (1, 1, 4), true));
    }

    #[test]
    fn the_verdict_turns_within_the_stated_band() {
        // A relieved far corner's tip passes a knuckle that stands at (1, 1) in
        // the cell beyond, when the knuckle is as large as the air it leaves.
        let (gap, relief) = (0.02_f64, 0.3_f64);
        let tip = (relief.powi(2) - gap.powi(2) / 4.0).sqrt();
        let touching = std::f64::consts::SQRT_2 - (1.0 - gap / 2.0).hypot(1.0 - tip);
        let clear = |knuckle: f64| {
            let sizes = crate::Sizes { pitch: 1.0, gap, knuckle, clearance: relief - knuckle };
            let (moving, standing) = ((Cell::new(0, 0), BARE), (Cell::new(1, 1), Knuckles(4)));
            Pairs::new(Plan::new(sizes).unwrap()).clear(moving, standing, true)
        };
        assert!(clear(touching - crate::plan::BAND) && clear(touching - 1e-3));
        assert!(!clear(touching - crate::plan::GROWTH) && !clear(touching) && !clear(touching + 1e-3));
    }

    #[test]
    fn one_cell_or_one_pin_at_the_end_blocks() {
        assert!(!clear((0, 0, 0), (-1, 0, 0), true));
        assert!(!clear((0, 0, 1), (-2, 1, 8), true));
        assert!(clear((2, 0, 0), (-2, 1, 0), false));
    }

    #[test]
    fn a_knuckle_round_the_pin_on_another_level_is_in_nobodys_way() {
        for turn in 0..4 {
            let (cell, knuckles) = turned((Cell::new(0, 0), BARE.with(Corner::new(2))), turn);
            let mut pairs = Pairs::new(Plan::default());
            for (x, y) in [(-1, -1), (-2, -2), (1, -2), (-2, 0)] {
                let standing = turned((Cell::new(x, y), BARE), turn);
                assert!(pairs.clear((cell, knuckles), standing, true), "{x} {y}");
            }
        }
    }
}
