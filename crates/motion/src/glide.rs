//! Moves along a straight line in the openings, each certified from end to end.
//!
//! # The certificate
//! Seen from one block, another moves by the openings of the hinges between
//! them, at a steady rate each. The speed of its points is at most v (from
//! where its middle and the pins are now), and it changes by at most A a unit
//! of time (the chain's length times the square of the sum of the rates). So
//! two bodies that are d apart stay more than [`Clearway::air`]/2 apart for a
//! time t with v·t + A·t²/2 = d − air/2. Taking the least such t over all pairs
//! and levels, moving that far and looking again covers the whole line: no
//! angle goes unseen, nothing is sampled. A pair nearer than `air` ends the
//! move. (This is conservative advancement; B. Mirtich (1996), Impulse-based
//! dynamic simulation, PhD thesis, Berkeley: source from memory.)
//!
//! The two blocks of a hinge are looked at without their knuckles at that pin,
//! for the reason that `reach` gives, and their opening must stay between side
//! by side and side by side.

use std::f64::consts::FRAC_PI_2;

use lattice::Piece;
use reach::Plan;

use crate::apart::{Mask, Shapes};
use crate::linkage::{Link, Linkage, Stand};

/// How far beyond side by side a hinge may open, in radians: for rounding.
const SLACK: f64 = 1e-9;

/// What a pair of blocks looks like on the levels that matter.
#[derive(Clone, Debug)]
struct Pair {
    blocks: [usize; 2],
    masks: Vec<(Mask, Mask)>,
    links: Vec<Link>,
    /// Longest that the chain between them can be, the second body included.
    length: f64,
}

/// A linkage with bodies round it.
#[derive(Clone, Debug)]
pub(crate) struct Clearway {
    pub(crate) linkage: Linkage,
    shapes: Shapes,
    pairs: Vec<Pair>,
    /// Air that ends a move, in pitches.
    air: f64,
    /// How often the bodies have been looked at.
    pub(crate) looks: u64,
}

/// How a move went.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Glide {
    /// All the way.
    Through,
    /// As far as this part of the way is certified.
    Stopped(f64),
}

impl Clearway {
    pub(crate) fn new(piece: &Piece, plan: &Plan) -> Self {
        let linkage = Linkage::new(piece);
        let sizes = plan.sizes();
        let shapes = Shapes::new(sizes);
        // Well below all air that neighbours keep, so that no lattice pose ends a move.
        let air = (sizes.gap.min(sizes.clearance) / sizes.pitch / 4.0).min(1e-3);
        let mut pairs = Vec::new();
        for a in 0..linkage.blocks {
            for b in a + 1..linkage.blocks {
                let links = linkage.path(a, b);
                let masks = masks(piece, a, b);
                let bounds = links.len() as f64 * std::f64::consts::SQRT_2 + shapes.radius(15);
                pairs.push(Pair { blocks: [a, b], masks, links, length: bounds });
            }
        }
        Clearway { linkage, shapes, pairs, air, looks: 0 }
    }

    /// Moves from one point to another in a straight line.
    pub(crate) fn glide(&mut self, from: &[f64], to: &[f64]) -> Glide {
        let rates: Vec<f64> = from.iter().zip(to).map(|(a, b)| b - a).collect();
        let allowed = FRAC_PI_2 - SLACK..=3.0 * FRAC_PI_2 + SLACK;
        if !to.iter().all(|o| allowed.contains(o)) {
            return Glide::Stopped(0.0);
        }
        let mut t = 0.0;
        loop {
            let at: Vec<f64> = from.iter().zip(&rates).map(|(a, r)| a + t * r).collect();
            match self.safe(&at, &rates) {
                None => return Glide::Stopped(t),
                Some(_) if t >= 1.0 => return Glide::Through,
                Some(step) => t = (t + step).min(1.0),
            }
        }
    }

    /// For how long all pairs certainly keep their air; none where one lacks it.
    fn safe(&mut self, at: &[f64], rates: &[f64]) -> Option<f64> {
        self.looks += 1;
        let placed = self.linkage.place(at);
        let pins = self.linkage.pins(&placed);
        let mut least = f64::INFINITY;
        for pair in &self.pairs {
            let total: f64 = pair.links.iter().map(|l| rates[l.tie].abs()).sum();
            if total == 0.0 {
                continue;
            }
            let [p, q] = pair.blocks.map(|b| &placed[b]);
            let radii = |m: &(Mask, Mask)| (self.shapes.radius(m.0), self.shapes.radius(m.1));
            let (r, s) =
                pair.masks.iter().map(radii).fold((0.0_f64, 0.0_f64), |a, b| (a.0.max(b.0), a.1.max(b.1)));
            // The second body as the first sees it: a turn and a shift.
            let (mut turn, mut vx, mut vy) = (0.0, 0.0, 0.0);
            for l in &pair.links {
                let w = l.sign * rates[l.tie];
                turn += w;
                vx -= w * (q.middle.1 - pins[l.tie].1);
                vy += w * (q.middle.0 - pins[l.tie].0);
            }
            let speed = f64::hypot(vx, vy) + turn.abs() * s;
            let change = total * total * pair.length;
            let time = |air: f64| 2.0 * air / (speed + (speed * speed + 2.0 * change * air).sqrt());
            let far = (q.middle.0 - p.middle.0).hypot(q.middle.1 - p.middle.1) - r - s;
            if far > self.air && time(far - self.air / 2.0) >= least {
                continue;
            }
            let near = self.nearest(pair, p, q);
            if near < self.air {
                return None;
            }
            least = least.min(time(near - self.air / 2.0));
        }
        Some(least)
    }

    fn nearest(&self, pair: &Pair, p: &Stand, q: &Stand) -> f64 {
        let on = |&(a, b): &(Mask, Mask)| self.shapes.apart((p, a), (q, b));
        pair.masks.iter().map(on).fold(f64::INFINITY, f64::min)
    }
}

/// What two blocks look like to each other, level by level, less what another
/// level holds too.
fn masks(piece: &Piece, a: usize, b: usize) -> Vec<(Mask, Mask)> {
    let levels = piece.hinges().iter().map(|h| h.level).collect::<std::collections::BTreeSet<_>>();
    let knuckles = |block: usize, level, without: [usize; 2]| {
        let on = piece.hinges().iter().filter(|h| {
            h.level == level
                && h.joins.contains(&block)
                && !(h.joins.contains(&without[0]) && h.joins.contains(&without[1]))
        });
        on.fold(0, |mask: Mask, h| {
            let corner = piece.blocks()[block].corner_at(h.pin).expect("a sound piece's pins are at corners");
            mask | 1 << corner.index()
        })
    };
    let mut all: Vec<(Mask, Mask)> =
        levels.into_iter().map(|l| (knuckles(a, l, [a, b]), knuckles(b, l, [a, b]))).collect();
    all.push((0, 0));
    all.sort_unstable();
    all.dedup();
    let within = |x: (Mask, Mask), y: (Mask, Mask)| x != y && x.0 & !y.0 == 0 && x.1 & !y.1 == 0;
    all.iter().copied().filter(|&x| !all.iter().any(|&y| within(x, y))).collect()
}

/// Whether a piece of the way is worth keeping: it turns some hinge by that much.
pub(crate) fn far_enough(from: &[f64], to: &[f64], radians: f64) -> bool {
    from.iter().zip(to).any(|(a, b)| (a - b).abs() > radians)
}

/// A point on the way.
pub(crate) fn between(from: &[f64], to: &[f64], part: f64) -> Vec<f64> {
    from.iter().zip(to).map(|(a, b)| a + part * (b - a)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specimens::{LOCK, gangway, piece};
    use reach::{Outcome, Swings};

    /// Every swing of a piece, by both: the sweep's verdict and this one's.
    fn agree(piece: &Piece) -> (usize, usize) {
        let plan = Plan::default();
        let mut swings = Swings::new(piece, &plan);
        let mut way = Clearway::new(piece, &plan);
        let (mut clear, mut blocked) = (0, 0);
        for pose in reach::poses(piece) {
            let from = way.linkage.coordinates(&reach::openings(piece, &pose));
            for swing in swings.from(&pose) {
                let mut to = from.clone();
                let tie = way.linkage.ties.iter().position(|t| t.hinge == swing.hinge).unwrap();
                let names_mover =
                    swings.far_side(swing.hinge).unwrap().contains(&piece.hinges()[swing.hinge].joins[1]);
                let opens = (swing.turn.quarters() == 1) == names_mover;
                to[tie] += if opens { FRAC_PI_2 } else { -FRAC_PI_2 };
                let through = way.glide(&from, &to) == Glide::Through;
                assert_eq!(through, matches!(swing.outcome, Outcome::Clear(_)), "{swing:?}");
                if through { clear += 1 } else { blocked += 1 }
            }
        }
        (clear, blocked)
    }

    #[test]
    fn on_single_swings_the_exact_sweep_says_the_same() {
        let (clear, blocked) = agree(&gangway(5));
        assert!(clear > 100 && blocked > 20, "{clear} {blocked}");
        assert!(agree(&piece(LOCK.0, LOCK.1)).1 > 10);
    }
}
