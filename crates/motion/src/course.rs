//! A way from home that anyone can replay: the openings of all hinges at its
//! turning points, changing evenly in between.

use std::f64::consts::FRAC_PI_2;

use lattice::Piece;

use crate::linkage::{Linkage, Placement};
use crate::roadmap::Roadmap;

/// A way from home.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    knots: Vec<Vec<f64>>,
    moves: usize,
}

impl Course {
    /// The way that stays at home, of a piece without hinges.
    pub(crate) fn still() -> Self {
        Course { knots: vec![vec![]], moves: 0 }
    }

    /// The way through the map to a node.
    pub(crate) fn along(
        map: &Roadmap,
        ways: &[Option<(usize, usize)>],
        node: usize,
        linkage: &Linkage,
    ) -> Self {
        let (mut knots, mut moves) = (vec![map.nodes[node].at.clone()], 0);
        let mut at = node;
        while at != 0 {
            let (before, m) = ways[at].expect("the map joins home and the node");
            let step = &map.moves[m];
            let mut turns = step.turns.clone();
            if step.ends[0] == before {
                turns.reverse();
            }
            knots.extend(turns);
            knots.push(map.nodes[before].at.clone());
            (at, moves) = (before, moves + 1);
        }
        knots.reverse();
        Course { knots: knots.iter().map(|k| linkage.openings(k)).collect(), moves }
    }

    /// The openings of the piece's hinges in radians at each turning point,
    /// home first: the angle, anticlockwise about the pin, from the middle of
    /// the block that the hinge names first to the middle of the other. In
    /// between, all change evenly; where a loop is closed, that is meant of
    /// the hinges along a spanning tree, and the others follow.
    pub fn knots(&self) -> &[Vec<f64>] {
        &self.knots
    }

    /// How many moves: swings and motions of several hinges.
    pub fn moves(&self) -> usize {
        self.moves
    }

    /// Where the blocks of the piece are, block 0 as at home, at a part of the
    /// way from 0 to 1, each stretch between two knots taking as long as the
    /// hinge that turns most in it.
    pub fn placements(&self, piece: &Piece, part: f64) -> Vec<Placement> {
        let linkage = Linkage::new(piece);
        let open = |k: &Vec<f64>| linkage.ties.iter().map(|t| k[t.hinge]).collect::<Vec<f64>>();
        let most = |w: &[Vec<f64>]| w[0].iter().zip(&w[1]).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        let lengths: Vec<f64> = self.knots.windows(2).map(most).collect();
        let mut left = lengths.iter().sum::<f64>() * part.clamp(0.0, 1.0);
        for (w, &length) in self.knots.windows(2).zip(&lengths) {
            if left <= length && length > 0.0 {
                let (a, b) = (open(&w[0]), open(&w[1]));
                return told(&linkage, &crate::glide::between(&a, &b, left / length));
            }
            left -= length;
        }
        told(&linkage, &open(self.knots.last().expect("a course starts at home")))
    }

    /// The most that any hinge is open beyond a quarter's multiple at the end:
    /// nothing but rounding.
    pub fn rounding(&self) -> f64 {
        let off = |o: &f64| (o / FRAC_PI_2 - (o / FRAC_PI_2).round()).abs();
        self.knots.last().map_or(0.0, |k| k.iter().map(off).fold(0.0, f64::max))
    }
}

fn told(linkage: &Linkage, at: &[f64]) -> Vec<Placement> {
    linkage.place(at).iter().map(|s| Placement { middle: s.middle, turn: s.turn }).collect()
}
