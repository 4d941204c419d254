//! `[sizes]`: the measures of what is printed, in millimetres.

use crate::reader::{Figure, Page, Table};

/// Sizes in millimetres, but for the lines of a wall. Each is a finite figure, fit
/// and kerf not negative, the others positive; whether they go together is for the solids to say.
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
    /// Depth of the marks and figures cut into faces.
    pub mark_depth: f64,
    /// Air between a block's cell and the wall of a plate.
    pub fit: f64,
    /// A plate's wall, in lines as wide as the nozzle.
    pub wall_lines: u8,
    /// The board's thickness below its grooves.
    pub base: f64,
    /// Depth of the board's grooves, which plates stand in.
    pub groove: f64,
    /// Air between a plate's foot and the sides of its groove.
    pub seat: f64,
    /// Width that a cutter takes away.
    pub kerf: f64,
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
            mark_depth: 0.6,
            fit: 0.15,
            wall_lines: 4,
            base: 1.6,
            groove: 1.2,
            seat: 0.2,
            kerf: 0.15,
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
            ("mark_depth", &mut sizes.mark_depth),
            ("base", &mut sizes.base),
            ("groove", &mut sizes.groove),
            ("seat", &mut sizes.seat),
        ] {
            table.figure(page, key, Figure::Positive, into);
        }
        table.figure(page, "fit", Figure::NotNegative, &mut sizes.fit);
        table.figure(page, "kerf", Figure::NotNegative, &mut sizes.kerf);
        if let Some(lines) = table.optional("wall_lines").and_then(|item| item.integer(page, 1..=100)) {
            sizes.wall_lines = lines as u8;
        }
        table.close(page);
        sizes
    }
}
