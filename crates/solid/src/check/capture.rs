//! Capture: how far an eye can move along and across its pin before surfaces meet.
//!
//! Measured by rays both ways between the two blocks' meshes, from the corners
//! and middles of all triangles near the hinge, with the hinge at 0°, 90° and
//! 180° of its range. A direction in which nothing is met is no capture.

use std::collections::BTreeMap;

use lattice::Piece;

use super::gap::start_angle;
use crate::kernel::Move;
use crate::near::{Tree, dot, facing};
use crate::piece::vertex_point;
use crate::sizes::Sizes;

/// Play of one hinge in mm; infinite where nothing holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capture {
    /// The hinge, by its position in the piece.
    pub hinge: usize,
    /// Up along the pin, at the worst angle.
    pub up: f64,
    /// Down along the pin, at the worst angle.
    pub down: f64,
    /// Across the pin, in the worst of eight directions and three angles.
    pub across: f64,
}

/// A point of the surface, once, with the normals of all faces round it.
type Spot = ([f64; 3], Vec<[f64; 3]>);

/// Measures the play of a hinge.
pub(crate) fn measure(piece: &Piece, trees: &[Tree], sizes: &Sizes, hinge: usize) -> Capture {
    let h = &piece.hinges()[hinge];
    let pin = vertex_point(h.pin, sizes);
    let start = start_angle(piece, hinge);
    let [leaf, eye] = h.joins.map(|b| &trees[piece.body_of(b)]);
    // Beyond the blocks' middles nothing belongs to this hinge.
    let reach = sizes.relief() + sizes.gap;
    let near = |tree: &Tree| -> Vec<Spot> {
        let mut points: BTreeMap<[u64; 3], Spot> = BTreeMap::new();
        for t in tree.triangles() {
            let normal = facing(*t).0;
            let middle = std::array::from_fn(|i| (t[0][i] + t[1][i] + t[2][i]) / 3.0);
            for p in t.iter().copied().chain([middle]) {
                if (p[0] - pin[0]).hypot(p[1] - pin[1]) < reach {
                    let spot = points.entry(p.map(f64::to_bits)).or_insert_with(|| (p, Vec::new()));
                    spot.1.push(normal);
                }
            }
        }
        points.into_values().collect()
    };
    let leaf_points = near(leaf);
    let mut play = Capture { hinge, up: 0.0, down: 0.0, across: 0.0 };
    for angle in [0.0, 90.0, 180.0] {
        let eye = eye.moved(&Move::about(pin, start + angle));
        let eye_points = near(&eye);
        let until = |way: [f64; 3]| {
            let back = way.map(|v| -v);
            let meet = |points: &[Spot], tree: &Tree, way: [f64; 3]| {
                points
                    .iter()
                    .filter(|(_, normals)| normals.iter().any(|n| dot(*n, way) > 1e-6))
                    .filter_map(|(p, _)| tree.first_hit(*p, way, 0.0).map(|h| h.distance))
                    .fold(f64::INFINITY, f64::min)
            };
            meet(&eye_points, leaf, way).min(meet(&leaf_points, &eye, back))
        };
        play.up = play.up.max(until([0.0, 0.0, 1.0]));
        play.down = play.down.max(until([0.0, 0.0, -1.0]));
        for step in 0..8 {
            let (s, c) = (45.0 * f64::from(step)).to_radians().sin_cos();
            play.across = play.across.max(until([c, s, 0.0]));
        }
    }
    play
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{piece, samples};

    #[test]
    fn every_eye_is_held_within_twice_the_clearance() {
        let sizes = Sizes::default();
        for (name, piece) in samples::pieces() {
            let made = piece::build(&piece, &sizes, 2, "").unwrap();
            let trees: Vec<Tree> = made.meshes.iter().map(Tree::of).collect();
            for hinge in 0..piece.hinges().len() {
                let play = measure(&piece, &trees, &sizes, hinge);
                for way in [play.up, play.down, play.across] {
                    assert!(way > 0.9 * sizes.clearance && way <= 2.0 * sizes.clearance, "{name} {play:?}");
                }
            }
        }
    }

    #[test]
    fn an_eye_without_its_leaf_is_not_held() {
        let sizes = Sizes::default();
        let (_, piece) = &samples::pieces()[0];
        let made = piece::build(piece, &sizes, 2, "").unwrap();
        let mut trees: Vec<Tree> = made.meshes.iter().map(Tree::of).collect();
        // The leaf drilled out of its block: the eye lifts off.
        let drill = crate::area::Area::disc_round([15.0, 15.0], 3.6, 32);
        let drill = crate::kernel::Solid::prism(&drill, -1.0, 20.0).unwrap();
        trees[0] = Tree::of(&made.solids[0].minus(&drill).unwrap().mesh());
        assert_eq!(measure(piece, &trees, &sizes, 0).up, f64::INFINITY);
    }
}
