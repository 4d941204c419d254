//! Plan areas: polygons with holes, and the Booleans and offsets on them.
//!
//! Outer contours run anticlockwise, holes clockwise. Lengths in millimetres.
//! Arcs become chords whose greatest distance from the arc is a stated chord
//! error. This file and `kernel.rs` alone name the library.

use manifold_rust::cross_section::CrossSection;
use manifold_rust::linalg::Vec2;

/// A point of the plan, x and y.
pub(crate) type Point = [f64; 2];

/// A region of the plan.
#[derive(Clone, Default)]
pub(crate) struct Area(CrossSection);

impl Area {
    pub(crate) fn to_library(&self) -> Vec<Vec<Vec2>> {
        self.0.to_polygons()
    }

    pub(crate) fn from_library(section: CrossSection) -> Self {
        Area(section)
    }

    /// The region that some contours wind round.
    pub fn from_contours<'a>(contours: impl IntoIterator<Item = &'a [Point]>) -> Self {
        let vec2 = |c: &[Point]| c.iter().map(|p| Vec2::new(p[0], p[1])).collect();
        Area(CrossSection::new(contours.into_iter().map(vec2).collect()))
    }

    /// An upright rectangle between two opposite corners, lower left first.
    pub fn rectangle(low: Point, high: Point) -> Self {
        Self::from_contours([&[low, [high[0], low[1]], high, [low[0], high[1]]][..]])
    }

    /// A disc that covers the true one: its sides touch the circle.
    pub fn disc_round(centre: Point, radius: f64, sides: u32) -> Self {
        let half = std::f64::consts::PI / f64::from(sides);
        let r = radius / half.cos();
        let corner = |i| {
            let a = 2.0 * half * f64::from(i);
            [centre[0] + r * a.cos(), centre[1] + r * a.sin()]
        };
        Self::from_contours([&(0..sides).map(corner).collect::<Vec<_>>()[..]])
    }

    pub fn contours(&self) -> Vec<Vec<Point>> {
        self.0.to_polygons().iter().map(|c| c.iter().map(|p| [p.x, p.y]).collect()).collect()
    }

    pub fn minus(&self, other: &Area) -> Self {
        if self.is_empty() || other.is_empty() {
            return self.clone();
        }
        Area(self.0.difference(&other.0))
    }

    pub fn common(&self, other: &Area) -> Self {
        if self.is_empty() || other.is_empty() {
            return Area::default();
        }
        Area(self.0.intersection(&other.0))
    }

    pub fn sum(all: &[Area]) -> Self {
        let contours: Vec<_> = all.iter().flat_map(Area::contours).collect();
        Self::from_contours(contours.iter().map(Vec::as_slice))
    }

    /// Grown by `by` all round (shrunk where negative), corners rounded.
    pub fn grown(&self, by: f64, chord_error: f64) -> Self {
        if self.is_empty() || by == 0.0 {
            return self.clone();
        }
        Area(self.0.offset_with_params(by, 1, 2.0, sides_for(by.abs(), chord_error) as i32))
    }

    /// Grown with corners kept sharp.
    pub fn grown_sharp(&self, by: f64) -> Self {
        if self.is_empty() || by == 0.0 {
            return self.clone();
        }
        Area(self.0.offset_with_params(by, 2, 2.0, 0))
    }

    pub fn area(&self) -> f64 {
        self.0.area()
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The parts that hang together, each with its holes.
    pub fn parts(&self) -> Vec<Area> {
        if self.is_empty() {
            return Vec::new();
        }
        self.0.decompose().into_iter().map(Area).collect()
    }

    /// Length of all contours.
    pub fn outline(&self) -> f64 {
        let length = |c: &Vec<Vec2>| -> f64 {
            (0..c.len())
                .map(|i| {
                    let (a, b) = (c[i], c[(i + 1) % c.len()]);
                    (b.x - a.x).hypot(b.y - a.y)
                })
                .sum()
        };
        self.0.to_polygons().iter().map(length).sum()
    }

    pub fn shifted(&self, dx: f64, dy: f64) -> Self {
        Area(self.0.translate(Vec2::new(dx, dy)))
    }

    /// Turned anticlockwise about the origin.
    pub fn turned(&self, degrees: f64) -> Self {
        Area(self.0.rotate(degrees))
    }

    /// Whether a point lies inside (not reliable within rounding of the edge).
    pub fn holds(&self, p: Point) -> bool {
        let mut inside = false;
        for c in self.0.to_polygons() {
            for i in 0..c.len() {
                let (a, b) = (c[i], c[(i + 1) % c.len()]);
                if (a.y > p[1]) != (b.y > p[1]) && p[0] < a.x + (p[1] - a.y) / (b.y - a.y) * (b.x - a.x) {
                    inside = !inside;
                }
            }
        }
        inside
    }

    /// Where the line at height `y` runs inside: pairs of x, ascending.
    pub fn along(&self, y: f64) -> Vec<[f64; 2]> {
        let mut xs = Vec::new();
        for c in self.0.to_polygons() {
            for i in 0..c.len() {
                let (a, b) = (c[i], c[(i + 1) % c.len()]);
                if (a.y > y) != (b.y > y) {
                    xs.push(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
                }
            }
        }
        xs.sort_by(f64::total_cmp);
        xs.chunks_exact(2).map(|p| [p[0], p[1]]).collect()
    }

    /// Mirrored left to right.
    pub fn mirrored(&self) -> Self {
        Area(self.0.mirror(Vec2::new(1.0, 0.0)))
    }

    /// Lower left and upper right of the bounding box; `None` if empty.
    pub fn bounds(&self) -> Option<(Point, Point)> {
        let mut all = self.0.to_polygons().into_iter().flatten();
        let first = all.next()?;
        let start = ([first.x, first.y], [first.x, first.y]);
        Some(
            all.fold(start, |(lo, hi), p| {
                ([lo[0].min(p.x), lo[1].min(p.y)], [hi[0].max(p.x), hi[1].max(p.y)])
            }),
        )
    }
}

/// Sides of a polygon whose corners lie on a circle and whose sides stay
/// within `chord_error` of it: a multiple of 8, so that quarter turns map it
/// onto itself.
pub(crate) fn sides_for(radius: f64, chord_error: f64) -> u32 {
    let ratio = (1.0 - chord_error / radius.max(chord_error)).clamp(-1.0, 1.0);
    let sides = std::f64::consts::PI / ratio.acos().max(1e-3);
    (((sides / 8.0).ceil() as u32) * 8).clamp(8, 256)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chords_stay_within_their_error() {
        for (radius, error) in [(3.3, 0.02), (3.3, 0.005), (1.0, 0.02), (0.2, 0.02)] {
            let sides = sides_for(radius, error);
            let sagitta = radius * (1.0 - (std::f64::consts::PI / f64::from(sides)).cos());
            assert!(sagitta <= error + 1e-12 && sides.is_multiple_of(8));
        }
    }

    #[test]
    fn a_round_disc_covers_the_true_one() {
        let disc = Area::disc_round([1.0, 2.0], 3.0, 32);
        assert!(disc.area() > std::f64::consts::PI * 9.0);
        let hole = Area::rectangle([-9.0, -9.0], [9.0, 9.0]).minus(&disc);
        assert_eq!(hole.contours().len(), 2);
        assert!((hole.area() + disc.area() - 324.0).abs() < 1e-6);
    }
}
