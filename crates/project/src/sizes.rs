//! `[sizes]`: the measures of what is printed, in millimetres.

use crate::reader::{Figure, Page, Table};

/// Sizes in millimetres. Each is a positive, finite figure; whether they go
/// together is for the solids to say.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizes {
    /// Lattice spacing.
    pub pitch: f64,
    /// Block height.
    pub height: f64,
    /// Air between two neighbouring blocks' faces, all told.
    pub gap: f64,
    /// Outer radius of a hinge's knuckles.
    pub knuckle: f64,
    /// Air between surfaces that turn in each other.
    pub clearance: f64,
    /// Side of the 45° chamfer on bottom and top edges.
    pub chamfer: f64,
    /// Largest distance between an arc and the chords it is divided into.
    pub chord_error: f64,
}

impl Default for Sizes {
    fn default() -> Self {
        Sizes {
            pitch: 15.0,
            height: 15.0,
            gap: 0.3,
            knuckle: 3.0,
            clearance: 0.3,
            chamfer: 0.4,
            chord_error: 0.02,
        }
    }
}

impl Sizes {
    pub(crate) fn read(mut table: Table, page: &mut Page) -> Self {
        let mut sizes = Sizes::default();
        for (key, into) in [
            ("pitch", &mut sizes.pitch),
            ("height", &mut sizes.height),
            ("gap", &mut sizes.gap),
            ("knuckle", &mut sizes.knuckle),
            ("clearance", &mut sizes.clearance),
            ("chamfer", &mut sizes.chamfer),
            ("chord_error", &mut sizes.chord_error),
        ] {
            table.figure(page, key, Figure::Positive, into);
        }
        table.close(page);
        sizes
    }
}
