//! Least gaps between bodies: at home, and at every 5° of every hinge.

use lattice::Piece;

use crate::kernel::Move;
use crate::near::{Gap, Tree};
use crate::piece::vertex_point;
use crate::sizes::Sizes;

/// A gap is looked for no farther than this; wider ones are reported as this.
pub(crate) const FAR: f64 = 2.0;

/// Least gap of one hinge, over its range.
#[derive(Clone, Debug, PartialEq)]
pub struct HingeGap {
    /// The hinge, by its position in the piece.
    pub hinge: usize,
    /// Least gap in mm at 0°, 5°, … 180° from side by side to side by side.
    pub at: Vec<f64>,
}

impl HingeGap {
    /// The least of all angles, and the angle in degrees.
    pub fn least(&self) -> (f64, f64) {
        let (step, gap) = self.at.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1)).expect("37 angles");
        (*gap, 5.0 * step as f64)
    }
}

/// Turn of the eye's block from home, in degrees, that puts it side by side
/// with the leaf's block on its anticlockwise side: 0° of the hinge's range.
pub(crate) fn start_angle(piece: &Piece, hinge: usize) -> f64 {
    let h = &piece.hinges()[hinge];
    let quadrant = |b: usize| {
        let corner = piece.blocks()[b].corner_at(h.pin).expect("a sound hinge stands at a corner");
        i32::from(corner.opposite().index())
    };
    let ahead = (quadrant(h.joins[1]) - quadrant(h.joins[0])).rem_euclid(4);
    f64::from(1 - ahead) * 90.0
}

/// The least gap between the two blocks of a hinge at every 5° of its range.
pub(crate) fn over_range(piece: &Piece, trees: &[Tree], sizes: &Sizes, hinge: usize) -> HingeGap {
    let h = &piece.hinges()[hinge];
    let pin = vertex_point(h.pin, sizes);
    let start = start_angle(piece, hinge);
    let [leaf, eye] = h.joins.map(|b| &trees[piece.body_of(b)]);
    let mut last = None;
    let at = (0..=36)
        .map(|step| {
            let turned = eye.moved(&Move::about(pin, start + 5.0 * f64::from(step)));
            let gap = leaf.gap_from(&turned, FAR, last);
            last = gap.pair;
            gap.distance
        })
        .collect();
    HingeGap { hinge, at }
}

/// The least gap between any two bodies as printed, and where.
pub(crate) fn at_home(trees: &[Tree]) -> Option<Gap> {
    let mut best: Option<Gap> = None;
    for (i, a) in trees.iter().enumerate() {
        for b in &trees[..i] {
            let gap = a.gap(b, best.map_or(FAR, |g| g.distance));
            if gap.at.is_some() {
                best = Some(gap);
            }
        }
    }
    best
}
