//! The sizes that decide what is in the way of what, and the error bound.
//!
//! Seen from above, on one level, a block is a square of side pitch − gap in
//! the middle of its cell. At each of its four vertices it is either
//!
//! - *relieved*: less the disc of radius knuckle + clearance round the vertex; or
//! - *knuckled*, where it carries a knuckle of its own on that level: together
//!   with the disc of radius knuckle round the vertex. That is on the safe
//!   side: leaf and eye each get the whole disc over the whole level.
//!
//! # The error bound
//! Every body is grown before it is tested: its faces by [`GROWTH`] pitches,
//! its knuckles by as much in radius, its reliefs shrunk by as much. The grown
//! body is a body of the same kind (of a set with a smaller gap and clearance)
//! and holds every point within [`GROWTH`] of the true one. Growing moves a
//! face or an arc by [`GROWTH`] and a tip, where the side meets the relief, by
//! at most √2 of it: the normals of side and arc there have the cosine
//! gap / 2(knuckle + clearance), which lies between 0 and 1/√2 because the
//! knuckle is larger than gap/√2.
//!
//! A swing is *clear* when the grown bodies never meet. So a clear swing keeps
//! 2 × [`GROWTH`] = 5e-7 pitches of air, less rounding (below 1e-11), and a
//! swing that keeps [`BAND`] = 1e-6 pitches of air (more than
//! 2 × √2 × [`GROWTH`]) is always found clear. Between the two it counts as
//! blocked. At a pitch of 15 mm the whole band is 15 nanometres wide.
//!
//! Neighbours on the lattice keep the gap, and a knuckle in a relief keeps the
//! clearance: real air, far above the band. Touching is therefore never a
//! question of rounding at the ends of a swing, only along its way, and there
//! it counts as blocked.

use std::f64::consts::SQRT_2;

/// How far each body is grown before the test, in pitches.
pub const GROWTH: f64 = 2.5e-7;

/// Air that is always enough for a swing to be clear, in pitches.
pub const BAND: f64 = 1e-6;

/// Least gap and clearance, in pitches: a hundred times the band.
const LEAST_AIR: f64 = 1e-4;

/// Sizes in millimetres that the plan of a body depends on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// Lattice spacing.
    pub pitch: f64,
    /// Air between two neighbouring blocks' faces, all told.
    pub gap: f64,
    /// Outer radius of a hinge's knuckles.
    pub knuckle: f64,
    /// Air between a knuckle and the relief it turns in, radial.
    pub clearance: f64,
}

impl Default for Sizes {
    fn default() -> Self {
        Sizes { pitch: 15.0, gap: 0.3, knuckle: 3.0, clearance: 0.3 }
    }
}

/// The name of one of the [`Sizes`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// Lattice spacing.
    Pitch,
    /// Air between neighbours.
    Gap,
    /// Radius of a knuckle.
    Knuckle,
    /// Air round a knuckle.
    Clearance,
}

impl Size {
    /// The name as files and people write it.
    pub fn name(self) -> &'static str {
        match self {
            Size::Pitch => "pitch",
            Size::Gap => "gap",
            Size::Knuckle => "knuckle",
            Size::Clearance => "clearance",
        }
    }
}

/// What is wrong with a set of sizes. All values in millimetres.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// A size that is no length.
    #[error("{} is {value} mm; it must be more than 0", .size.name())]
    NotPositive {
        /// Which.
        size: Size,
        /// Its value.
        value: f64,
    },
    /// Neighbours or turning surfaces without air.
    #[error("{} is {value} mm; at this pitch it must be at least {least} mm", .size.name())]
    NoAir {
        /// Gap or clearance.
        size: Size,
        /// Its value.
        value: f64,
        /// The limit.
        least: f64,
    },
    /// Reliefs of neighbouring corners run into each other.
    #[error("knuckle + clearance is {relief} mm; it must be less than half the pitch, {half} mm")]
    ReliefsMeet {
        /// Radius of a relief.
        relief: f64,
        /// Half the pitch.
        half: f64,
    },
    /// A knuckle that does not reach its own block.
    #[error(
        "knuckle is {knuckle} mm; with this gap it must be more than gap / √2 = {least} mm to reach its block"
    )]
    KnuckleLoose {
        /// Radius of a knuckle.
        knuckle: f64,
        /// From the axis to the block's bare corner.
        least: f64,
    },
}

/// Sound sizes, ready to test with: lengths in pitches, bodies grown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plan {
    sizes: Sizes,
    /// Half the side of the square.
    pub(crate) half: f64,
    /// From a block's face to the side of its cell.
    pub(crate) inset: f64,
    /// Radius of a knuckle.
    pub(crate) knuckle: f64,
    /// Radius of a relief.
    pub(crate) relief: f64,
    /// From a vertex along the side to the tip where the relief meets it.
    pub(crate) tip: f64,
}

impl Plan {
    /// The plan that `sizes` give.
    ///
    /// # Errors
    /// Every limit that the sizes break.
    pub fn new(sizes: Sizes) -> Result<Self, Vec<PlanError>> {
        let Sizes { pitch, gap, knuckle, clearance } = sizes;
        let named =
            [(Size::Pitch, pitch), (Size::Gap, gap), (Size::Knuckle, knuckle), (Size::Clearance, clearance)];
        let mut errors: Vec<PlanError> = named
            .into_iter()
            .filter(|(_, v)| !(v.is_finite() && *v > 0.0))
            .map(|(size, value)| PlanError::NotPositive { size, value })
            .collect();
        // A limit drawn from a size that is no length would only mislead.
        if !errors.is_empty() {
            return Err(errors);
        }
        let least = LEAST_AIR * pitch;
        for (size, value) in [named[1], named[3]] {
            if value < least {
                errors.push(PlanError::NoAir { size, value, least });
            }
        }
        let relief = knuckle + clearance;
        if relief >= pitch / 2.0 {
            errors.push(PlanError::ReliefsMeet { relief, half: pitch / 2.0 });
        }
        if knuckle <= gap / SQRT_2 {
            errors.push(PlanError::KnuckleLoose { knuckle, least: gap / SQRT_2 });
        }
        if errors.is_empty() { Ok(Self::grown(sizes)) } else { Err(errors) }
    }

    fn grown(sizes: Sizes) -> Self {
        let half = (sizes.pitch - sizes.gap) / (2.0 * sizes.pitch) + GROWTH;
        let relief = (sizes.knuckle + sizes.clearance) / sizes.pitch - GROWTH;
        let inset = 0.5 - half;
        Plan {
            sizes,
            half,
            inset,
            knuckle: sizes.knuckle / sizes.pitch + GROWTH,
            relief,
            tip: (relief * relief - inset * inset).sqrt(),
        }
    }

    /// The sizes it was made from.
    pub fn sizes(&self) -> Sizes {
        self.sizes
    }
}

impl Default for Plan {
    fn default() -> Self {
        Self::grown(Sizes::default())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sound_defaults_are_sound() {
        assert_eq!(Plan::new(Sizes::default()), Ok(Plan::default()));
    }

    #[test]
    fn every_broken_limit_is_told_at_once() {
        let bad = Sizes { pitch: f64::NAN, gap: 0.0, knuckle: -1.0, clearance: 0.3 };
        let told = Plan::new(bad).unwrap_err();
        assert!(matches!(
            told[..],
            [
                PlanError::NotPositive { size: Size::Pitch, .. },
                PlanError::NotPositive { size: Size::Gap, .. },
                PlanError::NotPositive { size: Size::Knuckle, .. },
            ]
        ));
        let bad = Sizes { pitch: 15.0, gap: 10.7, knuckle: 7.5, clearance: 0.001 };
        let told = Plan::new(bad).unwrap_err();
        assert!(matches!(
            told[..],
            [
                PlanError::NoAir { size: Size::Clearance, .. },
                PlanError::ReliefsMeet { .. },
                PlanError::KnuckleLoose { .. }
            ]
        ));
        assert_eq!(
            told[1].to_string(),
            "knuckle + clearance is 7.501 mm; it must be less than half the pitch, 7.5 mm"
        );
    }
}
