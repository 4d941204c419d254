//! How far two bodies are apart, at any placement.
//!
//! On one level a body is a square with two *faces' ends* at each corner, less
//! the disc of a relief or together with the disc of a knuckle, as
//! [`reach::plan`] has it, here with the true sizes.
//!
//! # The rule
//! For bodies that do not overlap, the least distance is the least over
//!
//! - face to face, by the ends of each against the other,
//! - knuckle to face and knuckle to knuckle, by their middles less their radii,
//! - a relief's hollow arc to a knuckle or a face's end within its circle.
//!
//! Those are all pairs of features that can be nearest: where a hollow arc
//! meets a face or another hollow arc, one of its ends is nearer. (Along a
//! straight line the distance from the arc's middle has no largest value but
//! at the ends; and were two hollow arcs nearest each other, both middles
//! would lie on the line through the two points, each on the other body's
//! side of its own arc, which makes one body reach across the other.)
//! For bodies that overlap the figure means nothing: callers come from a
//! placement that is apart and never move as far as the figure.

use reach::Sizes;

use crate::linkage::{Point, Stand};

/// The corners at which a body carries a knuckle: bit k is its own corner k.
pub(crate) type Mask = u8;

/// Corners from the middle, anticlockwise from the upper right.
const CORNERS: [Point; 4] = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)];

/// A face: from one end to the other.
type Face = (Point, Point);

/// A body as at home with its middle at the origin.
#[derive(Clone, Debug)]
struct Shape {
    faces: [Face; 4],
    knuckles: Vec<Point>,
    reliefs: Vec<Point>,
    /// Largest distance from the middle.
    radius: f64,
}

/// The sixteen bodies that a block can be, in pitches.
#[derive(Clone, Debug)]
pub(crate) struct Shapes {
    knuckle: f64,
    relief: f64,
    inset: f64,
    shapes: Vec<Shape>,
}

impl Shapes {
    pub(crate) fn new(sizes: Sizes) -> Self {
        let inset = sizes.gap / sizes.pitch / 2.0;
        let knuckle = sizes.knuckle / sizes.pitch;
        let relief = (sizes.knuckle + sizes.clearance) / sizes.pitch;
        let tip = (relief * relief - inset * inset).sqrt();
        let half = 0.5 - inset;
        let shape = |mask: Mask| {
            let knuckled = |c: usize| mask >> c & 1 == 1;
            // The face from corner c to the next, shortened by the reliefs.
            let face = |c: usize| {
                let (p, q) = (CORNERS[c], CORNERS[(c + 1) % 4]);
                let along = ((q.0 - p.0) / 2.0, (q.1 - p.1) / 2.0);
                let end = |corner: Point, knuckled: bool, way: f64| {
                    let back = if knuckled { 0.0 } else { tip - inset };
                    (corner.0 * half + way * along.0 * back, corner.1 * half + way * along.1 * back)
                };
                (end(p, knuckled(c), 1.0), end(q, knuckled((c + 1) % 4), -1.0))
            };
            let at = |wanted: bool| {
                (0..4)
                    .filter(move |&c| knuckled(c) == wanted)
                    .map(|c| (CORNERS[c].0 / 2.0, CORNERS[c].1 / 2.0))
            };
            let bare = half.hypot(0.5 - tip);
            let radius = if mask == 0 { bare } else { 0.5_f64.hypot(0.5) + knuckle };
            Shape {
                faces: [face(0), face(1), face(2), face(3)],
                knuckles: at(true).collect(),
                reliefs: at(false).collect(),
                radius: radius.max(bare),
            }
        };
        Shapes { knuckle, relief, inset, shapes: (0..16).map(shape).collect() }
    }

    /// The largest distance of a body's point from its middle.
    pub(crate) fn radius(&self, mask: Mask) -> f64 {
        self.shapes[usize::from(mask)].radius
    }

    /// The least distance of two bodies that do not overlap.
    pub(crate) fn apart(&self, (p, a): (&Stand, Mask), (q, b): (&Stand, Mask)) -> f64 {
        let (a, b) = (&self.shapes[usize::from(a)], &self.shapes[usize::from(b)]);
        self.one_way(a, p, b, q).min(self.one_way(b, q, a, p))
    }

    /// The features of `b` by points, against those of `a`.
    fn one_way(&self, a: &Shape, p: &Stand, b: &Shape, q: &Stand) -> f64 {
        // Where the points of `b` are as `a` sees them.
        let (sin, cos) = (q.sin * p.cos - q.cos * p.sin, q.cos * p.cos + q.sin * p.sin);
        let (dx, dy) = (q.middle.0 - p.middle.0, q.middle.1 - p.middle.1);
        let shift = (dx * p.cos + dy * p.sin, dy * p.cos - dx * p.sin);
        let seen = |v: Point| (shift.0 + v.0 * cos - v.1 * sin, shift.1 + v.0 * sin + v.1 * cos);
        let mut least = f64::INFINITY;
        for &(end, other) in &b.faces {
            for point in [end, other] {
                least = least.min(self.to_point(a, seen(point)));
            }
        }
        for &v in &b.knuckles {
            let v = seen(v);
            least = least.min(self.to_point(a, v) - self.knuckle);
        }
        least
    }

    fn to_point(&self, a: &Shape, v: Point) -> f64 {
        let mut least = f64::INFINITY;
        for &face in &a.faces {
            least = least.min(from_face(face, v));
        }
        for &k in &a.knuckles {
            least = least.min((v.0 - k.0).hypot(v.1 - k.1) - self.knuckle);
        }
        for &r in &a.reliefs {
            let (x, y) = (v.0 - r.0, v.1 - r.1);
            let away = x.hypot(y);
            // Within the directions that the arc spans, from tip to tip.
            let tip = self.inset * away / self.relief - 1e-12;
            if away < self.relief && -x * r.0.signum() >= tip && -y * r.1.signum() >= tip {
                least = least.min(self.relief - away);
            }
        }
        least
    }
}

fn from_face((p, q): Face, v: Point) -> f64 {
    let (along, to) = ((q.0 - p.0, q.1 - p.1), (v.0 - p.0, v.1 - p.1));
    let length = along.0 * along.0 + along.1 * along.1;
    let part = ((to.0 * along.0 + to.1 * along.1) / length).clamp(0.0, 1.0);
    (to.0 - part * along.0).hypot(to.1 - part * along.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shapes() -> Shapes {
        Shapes::new(Sizes { pitch: 10.0, gap: 0.2, knuckle: 2.0, clearance: 0.3 })
    }

    fn at(x: f64, y: f64, degrees: f64) -> Stand {
        Stand::new((x, y), degrees.to_radians())
    }

    fn close(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-12
    }

    #[test]
    fn neighbours_keep_the_gap_and_a_knuckle_in_a_relief_the_clearance() {
        let s = shapes();
        let home = at(0.0, 0.0, 0.0);
        assert!(close(s.apart((&home, 0), (&at(1.0, 0.0, 90.0), 0)), 0.02));
        assert!(close(s.apart((&home, 0), (&at(2.0, 0.0, 180.0), 0)), 1.02));
        // Its lower left knuckle stands in the other's upper right relief.
        assert!(close(s.apart((&home, 0), (&at(1.0, 1.0, 0.0), 4)), 0.03));
        assert!(close(s.apart((&at(1.0, 1.0, 0.0), 4), (&home, 0)), 0.03));
        // The same knuckle, its block turned about the common vertex.
        assert!(close(s.apart((&home, 0), (&at(1.0, 0.0, -90.0), 4)), 0.02));
        // Two knuckles that look at each other.
        assert!(close(s.apart((&home, 1), (&at(2.5, 0.0, 0.0), 2)), 1.5 - 0.4));
        // A knuckle before a face.
        assert!(close(s.apart((&home, 1), (&at(1.5, 0.5, 0.0), 0)), 0.5 + 0.01 - 0.2));
    }

    #[test]
    fn a_whole_turn_changes_nothing_and_nobody_is_first() {
        let s = shapes();
        for i in 0..200 {
            let t = f64::from(i);
            let (p, q) = (at(t.sin(), t.cos(), 7.0 * t), at(2.6 * (3.0 * t).cos(), 2.6 * t.sin(), 11.0 * t));
            let (a, b) = (i as Mask % 16, (i / 3) as Mask % 16);
            let d = s.apart((&p, a), (&q, b));
            assert!(close(d, s.apart((&q, b), (&p, a))));
            let turned = |o: &Stand, m: Mask| {
                (at(o.middle.0, o.middle.1, o.turn.to_degrees() + 90.0), (m >> 1 | m << 3) & 15)
            };
            let (r, c) = turned(&p, a);
            assert!(close(d, s.apart((&r, c), (&q, b))), "a block turned about its middle, its knuckles too");
        }
    }
}
