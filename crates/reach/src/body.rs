//! One block on one level, seen from above, with the pin of a swing at the
//! origin. Lengths in pitches.

use std::f64::consts::FRAC_PI_2;

use lattice::{Cell, Corner, Vertex};

use crate::plan::Plan;

/// What rounding may hide of a point that lies in a body, in pitches. A point
/// of the body is always taken for one; so is a point this far outside.
const SLACK: f64 = 1e-12;

/// A point of the plane.
pub(crate) type Point = (f64, f64);

/// The corners at which a block carries a knuckle on one level: bit k is
/// geometric corner k of its cell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) struct Knuckles(pub(crate) u8);

impl Knuckles {
    pub(crate) fn has(self, corner: Corner) -> bool {
        self.0 >> corner.index() & 1 == 1
    }

    pub(crate) fn with(self, corner: Corner) -> Self {
        Knuckles(self.0 | 1 << corner.index())
    }

    pub(crate) fn without(self, corner: Corner) -> Self {
        Knuckles(self.0 & !(1 << corner.index()))
    }

    /// The same block after `n` quarter turns anticlockwise.
    pub(crate) fn turned(self, n: u8) -> Self {
        Knuckles((self.0 << (n % 4) | self.0 >> (4 - n % 4)) & 15)
    }

    /// The same block in a mirror with a vertical axis: 0 and 1 change places, 2 and 3 too.
    pub(crate) fn mirrored(self) -> Self {
        Knuckles((self.0 & 5) << 1 | (self.0 & 10) >> 1)
    }
}

/// A block's plan on one level.
#[derive(Clone, Copy)]
pub(crate) struct Body<'a> {
    plan: &'a Plan,
    cell: Cell,
    knuckles: Knuckles,
}

fn at(v: Vertex) -> Point {
    (f64::from(v.x), f64::from(v.y))
}

fn near(p: Point, v: Vertex) -> f64 {
    let v = at(v);
    (p.0 - v.0).hypot(p.1 - v.1)
}

impl<'a> Body<'a> {
    pub(crate) fn new(plan: &'a Plan, cell: Cell, knuckles: Knuckles) -> Self {
        Body { plan, cell, knuckles }
    }

    fn middle(&self) -> Point {
        (f64::from(self.cell.x) + 0.5, f64::from(self.cell.y) + 0.5)
    }

    fn knuckled(&self) -> impl Iterator<Item = Vertex> {
        Corner::ALL.into_iter().filter(|&c| self.knuckles.has(c)).map(|c| self.cell.corner(c))
    }

    /// Whether a point belongs to the body.
    fn holds(&self, p: Point) -> bool {
        let m = self.middle();
        let in_square = (p.0 - m.0).abs().max((p.1 - m.1).abs()) <= self.plan.half + SLACK;
        let relieved =
            |c: Corner| !self.knuckles.has(c) && near(p, self.cell.corner(c)) < self.plan.relief - SLACK;
        (in_square && !Corner::ALL.into_iter().any(relieved))
            || self.knuckled().any(|v| near(p, v) <= self.plan.knuckle + SLACK)
    }

    /// The points among which is every one from which no path in the body
    /// leads farther from the pin: two tips at each relief, the far point of
    /// each knuckle. A knuckle round the pin itself has no far point.
    pub(crate) fn tops(&self) -> impl Iterator<Item = Point> {
        let Plan { inset, tip, knuckle, .. } = *self.plan;
        Corner::ALL.into_iter().flat_map(move |c| {
            let (v, m) = (at(self.cell.corner(c)), self.middle());
            let (inx, iny) = ((m.0 - v.0).signum(), (m.1 - v.1).signum());
            let away = v.0.hypot(v.1);
            let points = if !self.knuckles.has(c) {
                [Some((v.0 + inx * tip, v.1 + iny * inset)), Some((v.0 + inx * inset, v.1 + iny * tip))]
            } else if away > 0.0 {
                let stretch = 1.0 + knuckle / away;
                [Some((v.0 * stretch, v.1 * stretch)), None]
            } else {
                [None, None]
            };
            points.into_iter().flatten()
        })
    }

    /// The least and largest distance from the pin, or a little beyond.
    pub(crate) fn span(&self) -> (f64, f64) {
        let (m, half) = (self.middle(), self.plan.half);
        let (x, y) = (m.0.abs(), m.1.abs());
        let square = ((x - half).max(0.0).hypot((y - half).max(0.0)), (x + half).hypot(y + half));
        self.knuckled().fold(square, |(low, high), v| {
            let (away, k) = (near((0.0, 0.0), v), self.plan.knuckle);
            (low.min((away - k).max(0.0)), high.max(away + k))
        })
    }

    /// Whether a point meets the body on a quarter turn about the pin,
    /// anticlockwise or else clockwise.
    ///
    /// The path is cut wherever it may enter or leave: at the lines of the
    /// four faces and the circles of the four corners. Between two cuts it is
    /// all inside or all outside, so one point tells.
    pub(crate) fn met_by(&self, point: Point, anticlockwise: bool) -> bool {
        let r = point.0.hypot(point.1);
        let (low, high) = self.span();
        if r < low - SLACK || r > high + SLACK {
            return false;
        }
        let from = point.1.atan2(point.0);
        let way = if anticlockwise { 1.0 } else { -1.0 };
        let mut cuts = [FRAC_PI_2; 18];
        cuts[0] = 0.0;
        let mut n = 1;
        // The circle of radius r is at most `spread` off direction `axis` where it crosses.
        let mut cross = |axis: f64, cosine: f64| {
            if cosine.abs() <= 1.0 {
                let spread = cosine.acos();
                for angle in [axis - spread, axis + spread] {
                    let offset = (way * (angle - from)).rem_euclid(std::f64::consts::TAU);
                    if offset < FRAC_PI_2 {
                        cuts[n] = offset;
                        n += 1;
                    }
                }
            }
        };
        let m = self.middle();
        for side in [-self.plan.half, self.plan.half] {
            cross(0.0, (m.0 + side) / r);
            cross(FRAC_PI_2, (m.1 + side) / r);
        }
        for c in Corner::ALL {
            let v = at(self.cell.corner(c));
            let away = v.0.hypot(v.1);
            if away > 0.0 {
                let s = if self.knuckles.has(c) { self.plan.knuckle } else { self.plan.relief };
                cross(v.1.atan2(v.0), (r * r + away * away - s * s) / (2.0 * r * away));
            }
        }
        let cuts = &mut cuts[..=n];
        cuts.sort_unstable_by(f64::total_cmp);
        cuts.windows(2).any(|w| {
            let angle = from + way * (w[0] + w[1]) / 2.0;
            self.holds((r * angle.cos(), r * angle.sin()))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn knuckles_turn_and_mirror_with_their_block() {
        let one = Knuckles::default().with(Corner::new(0)).with(Corner::new(3));
        assert_eq!(one.turned(1), Knuckles(0b0011));
        assert_eq!(one.turned(4), one);
        assert_eq!(one.mirrored(), Knuckles(0b0110));
        assert_eq!(one.without(Corner::new(3)), Knuckles(1));
        for k in (0..16).map(Knuckles) {
            assert_eq!(k.mirrored().mirrored(), k);
            assert_eq!(k.turned(1).mirrored(), k.mirrored().turned(3));
        }
    }

    #[test]
    fn a_body_holds_its_middle_and_its_tops_and_not_its_reliefs() {
        let plan = Plan::default();
        let body = Body::new(&plan, Cell::new(2, -1), Knuckles(0b0100));
        assert!(body.holds((2.5, -0.5)));
        assert!(body.holds((2.0, -1.0)) && body.holds((1.85, -1.0)));
        assert!(!body.holds((2.95, -0.05)) && !body.holds((2.5, 0.0)));
        assert_eq!(body.tops().count(), 7);
        assert!(body.tops().all(|p| body.holds(p)));
        let (low, high) = body.span();
        assert!(body.tops().all(|p| (low..=high).contains(&p.0.hypot(p.1))));
    }

    #[test]
    fn a_path_meets_what_stands_on_it_and_nothing_before_or_behind() {
        let plan = Plan::default();
        let body = Body::new(&plan, Cell::new(-1, 2), Knuckles::default());
        assert!(body.met_by((2.5, 0.1), true));
        assert!(!body.met_by((2.5, -0.5), true));
        assert!(!body.met_by((2.5, 0.1), false));
        assert!(body.met_by((-2.5, 0.1), false));
        assert!(!body.met_by((1.9, 0.1), true));
        // Through the relief of the nearest corner and out again: nothing met.
        assert!(!body.met_by((2.05, 0.0), true));
    }
}
