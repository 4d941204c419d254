//! A block's plan: a square less the gap, its corners relieved round the
//! vertices so that a hinge of any piece can stand there.
//!
//! One thing the plan of a level does not show: under a hinge of the level
//! above, the relief closes at 45° over the height of the ring below, so that
//! the hinge carries itself. Every knuckle on the same axis keeps its clearance
//! to that cone (`proof` measures it), but a knuckle that swings past off the
//! axis may not. Whoever judges swings by plans alone stays on the safe side by
//! calling a corner carried on the level below its hinge too.
//!
//! These are the exact numbers that swings are judged by and closed-form
//! volumes come from; solids follow them within the chord error.

use crate::area::{Area, Point, sides_for};
use crate::sizes::Sizes;

/// The plan of a block on one level, with its cell's centre at the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BlockPlan {
    /// Half the side: half of pitch less gap.
    pub half_side: f64,
    /// Distance of the corner vertices from the centre along each axis: half a pitch.
    pub vertex: f64,
    /// Radius of the relief round a vertex: knuckle and clearance.
    pub relief: f64,
    /// Radius of a knuckle.
    pub knuckle: f64,
    /// Which corners carry a knuckle on this level and are not relieved,
    /// numbered as on the lattice.
    pub carries: [bool; 4],
}

impl BlockPlan {
    /// The plan of a block that carries knuckles at the given corners.
    pub fn of(sizes: &Sizes, carries: [bool; 4]) -> Self {
        BlockPlan {
            half_side: sizes.side() / 2.0,
            vertex: sizes.pitch / 2.0,
            relief: sizes.relief(),
            knuckle: sizes.knuckle,
            carries,
        }
    }

    /// Area of the square less its reliefs in mm², knuckles not counted, arcs exact.
    pub fn area(&self) -> f64 {
        let relieved = self.carries.iter().filter(|c| !**c).count() as f64;
        4.0 * self.half_side * self.half_side
            - relieved * corner_cut(self.relief, self.vertex - self.half_side)
    }

    /// The plan as contours (outer anticlockwise), arcs divided to `chord_error`.
    pub fn contours(&self, chord_error: f64) -> Vec<Vec<[f64; 2]>> {
        let h = self.half_side;
        let square = Area::rectangle([-h, -h], [h, h]);
        let reliefs: Vec<Area> = CORNERS
            .into_iter()
            .zip(self.carries)
            .filter(|(_, carries)| !carries)
            .map(|(at, _)| {
                let centre = at.map(|s| s * self.vertex);
                Area::disc_round(centre, self.relief, sides_for(self.relief, chord_error))
            })
            .collect();
        square.minus(&Area::sum(&reliefs)).contours()
    }
}

/// Signs of the four corners, numbered as on the lattice.
const CORNERS: [Point; 4] = [[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]];

/// What a disc of `radius` takes from a quarter plane whose corner lies
/// (inset, inset) from its centre: ∫ from inset to √(r²−inset²) of √(r²−x²) − inset.
pub(crate) fn corner_cut(radius: f64, inset: f64) -> f64 {
    if radius <= inset * std::f64::consts::SQRT_2 {
        return 0.0;
    }
    let end = (radius * radius - inset * inset).sqrt();
    let under = |x: f64| {
        0.5 * (x * (radius * radius - x * x).max(0.0).sqrt() + radius * radius * (x / radius).asin())
    };
    under(end) - under(inset) - inset * (end - inset)
}

/// Volume in mm³ of a block without hinges, from its plan at every height:
/// chamfers narrow the square and widen the reliefs, which Simpson's rule on
/// the smooth plan area sums to far below a micrometre.
pub(crate) fn plain_block_volume(sizes: &Sizes) -> f64 {
    let at = |cut: f64| {
        let half = sizes.side() / 2.0 - cut;
        4.0 * half * half - 4.0 * corner_cut(sizes.relief() + cut, sizes.pitch / 2.0 - half)
    };
    let c = sizes.chamfer;
    let steps = 64;
    let h = c / f64::from(steps);
    let simpson: f64 = (0..=steps)
        .map(|i| {
            let weight = if i == 0 || i == steps {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            };
            weight * at(h * f64::from(i))
        })
        .sum::<f64>()
        * h
        / 3.0;
    2.0 * simpson + at(0.0) * (sizes.height - 2.0 * c)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_disc_on_the_corner_takes_a_quarter() {
        assert!((corner_cut(2.0, 0.0) - std::f64::consts::PI).abs() < 1e-12);
        assert_eq!(corner_cut(1.0, 0.8), 0.0);
    }

    #[test]
    fn contours_have_the_plan_s_area() {
        let sizes = Sizes::default();
        for carries in [[false; 4], [true, false, false, true], [true; 4]] {
            let plan = BlockPlan::of(&sizes, carries);
            let contours = plan.contours(0.0005);
            let drawn = Area::from_contours(contours.iter().map(Vec::as_slice)).area();
            assert!((drawn - plan.area()).abs() < 0.02, "{drawn} {}", plan.area());
            assert!(drawn <= plan.area() + 1e-6);
        }
    }
}
