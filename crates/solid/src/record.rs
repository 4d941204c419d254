//! What is known of every part: plain records, one number a check.

use crate::area::Point;
use crate::check::capture::Capture;
use crate::check::gap::HingeGap;
use crate::check::overhang::Overhangs;
use crate::check::wall::Wall;
use crate::estimate::Estimate;
use crate::file::slug;
use crate::plate::WayUp;

/// What a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A piece of the set.
    Piece,
    /// The board.
    Board,
    /// A plate.
    Plate,
    /// The test coupon.
    Coupon,
}

/// A height at which the filament is changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColourChange {
    /// Height above the bed in mm at which the new colour begins.
    pub height: f64,
    /// The first layer of the new colour, from 1.
    pub layer: usize,
}

/// A check that a part did not pass.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{check}: {sentence}")]
pub struct Failure {
    /// The check, in a word.
    pub check: &'static str,
    /// What was found and what would be right.
    pub sentence: String,
    /// Where, on the bed, in mm.
    pub at: Option<[f64; 3]>,
    /// The file in which the place is drawn.
    pub drawing: Option<String>,
}

/// A folding of an outline against its plate, summed up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlateProof {
    /// Foldings measured.
    pub foldings: usize,
    /// Least distance between two bodies in any of them, in mm.
    pub between_bodies: f64,
    /// Least distance of a body to the plate, in mm.
    pub to_plate: f64,
    /// Pairs nearer than allowed.
    pub touches: usize,
}

/// Everything measured on one part, as it stands on the bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// Its 3MF file; `None` when a check failed and nothing was written.
    pub file: Option<String>,
    /// Which side is down.
    pub way_up: WayUp,
    /// Width, depth and height in mm.
    pub size: [f64; 3],
    /// Separate bodies found.
    pub bodies: usize,
    /// Whether every edge is shared by exactly two triangles.
    pub closed: bool,
    /// Whether all bodies enclose a positive volume with consistent sides.
    pub oriented: bool,
    /// Triangles in all.
    pub triangles: usize,
    /// Volume of the meshes in mm³.
    pub volume_mm3: f64,
    /// Volume by closed form or exact plan areas, where there is one.
    pub closed_form_mm3: Option<f64>,
    /// The thinnest wall.
    pub least_wall: Option<Wall>,
    /// Least gap between two bodies as printed, in mm; `None` for one body.
    pub min_gap_mm: Option<f64>,
    /// Least gap of every hinge at every 5°.
    pub hinge_gaps: Vec<HingeGap>,
    /// Play of every hinge.
    pub captures: Vec<Capture>,
    /// What prints over air.
    pub overhangs: Overhangs,
    /// Break-away posts: this design needs none.
    pub posts: usize,
    /// Whether it fits the printer.
    pub fits_bed: bool,
    /// Time and filament: an estimate.
    pub estimate: Estimate,
    /// Where the filament is changed by hand.
    pub colour_changes: Vec<ColourChange>,
    /// Whether a body, or the part as printed, fits the small-parts cylinder.
    pub small_part: bool,
    /// Lugs that key a plate to its place.
    pub lugs: usize,
    /// Strips that tie a plate's parts.
    pub strips: usize,
    /// Places on the board where a plate's lugs go in; 1 is right.
    pub places: Option<usize>,
    /// The foldings measured against a plate.
    pub proof: Option<PlateProof>,
    /// Checks it did not pass; empty when its file was written.
    pub failures: Vec<Failure>,
}

impl Part {
    /// Its files' name without an ending, also of those that were not written:
    /// `stem.3mf`, `stl/stem.stl`, `pictures/stem.svg`, `pictures/stem.png`.
    pub fn stem(&self) -> String {
        let folder = match self.kind {
            Kind::Piece => "pieces/",
            Kind::Plate => "plates/",
            Kind::Board | Kind::Coupon => "",
        };
        format!("{folder}{}", slug(&self.name))
    }
}

/// Where one part stands on a bed.
#[derive(Clone, Debug, PartialEq)]
pub struct OnBed {
    /// Its position in the list of parts.
    pub part: usize,
    /// Lower left of its bounding box in mm.
    pub at: Point,
    /// Whether it is turned a quarter turn.
    pub turned: bool,
}

/// One bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// Its 3MF file.
    pub file: String,
    /// What stands on it.
    pub parts: Vec<OnBed>,
    /// Minutes for all, one after the other or together: the sum of the estimates.
    pub minutes: f64,
    /// Grams for all.
    pub grams: f64,
}
