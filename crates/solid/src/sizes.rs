//! The sizes of a set in millimetres, and the limits within which they work.
//!
//! [`Sizes::faults`] tells every limit that is broken, with the names of the
//! sizes that break it, so that nobody has to mend a file one message at a
//! time. Solids are built from checked sizes only.

use crate::board::Lug;
use crate::section::Proportions;

/// All lengths of a set, in millimetres unless said otherwise.
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
    /// Air between surfaces that turn in each other, on each side.
    pub clearance: f64,
    /// 45° bevel on the bottom and top edges of blocks and the squashed edge of plates.
    pub chamfer: f64,
    /// Printed layer.
    pub layer: f64,
    /// First printed layer.
    pub first_layer: f64,
    /// Nozzle width; one line is taken to be as wide.
    pub nozzle: f64,
    /// Greatest distance of a chord from its arc.
    pub chord_error: f64,
    /// How deep marks and figures are cut.
    pub mark_depth: f64,
    /// Air between a block's lattice cell and a plate's wall.
    pub fit: f64,
    /// A plate's wall, in lines.
    pub wall_lines: u8,
    /// The board's base below its lattice grooves.
    pub base: f64,
    /// Depth of the board's lattice grooves, which a plate's foot stands in.
    pub groove: f64,
    /// Air between a plate's foot and the board's tiles, on each side.
    pub seat: f64,
    /// Width that a cutter takes away.
    pub kerf: f64,
}

impl Default for Sizes {
    /// Sound with a 0.4 mm nozzle and 0.2 mm layers, for one or two levels.
    fn default() -> Self {
        Sizes {
            pitch: 15.0,
            height: 15.0,
            gap: 0.3,
            knuckle: 3.0,
            clearance: 0.3,
            chamfer: 0.4,
            layer: 0.2,
            first_layer: 0.2,
            nozzle: 0.4,
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

/// A limit that a set of sizes breaks.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SizeFault {
    /// A size that is no number, or out of its own range.
    #[error("{name} is {found}; it must be between {least} and {most} mm")]
    Range {
        /// The size.
        name: &'static str,
        /// What it is.
        found: f64,
        /// Least that works.
        least: f64,
        /// Most that works.
        most: f64,
    },
    /// Several sizes that do not go together.
    #[error("{names}: {what} is {found:.3}, but must be {} {limit:.3} mm", if *.at_least { "at least" } else { "at most" })]
    Together {
        /// The sizes, as a list.
        names: &'static str,
        /// What comes of them.
        what: &'static str,
        /// What it is.
        found: f64,
        /// Whether the limit is a lower one.
        at_least: bool,
        /// The limit.
        limit: f64,
    },
    /// A count out of its range.
    #[error("{name} is {found}; it must be between {least} and {most}")]
    Count {
        /// The count.
        name: &'static str,
        /// What it is.
        found: u32,
        /// Least that works.
        least: u32,
        /// Most that works.
        most: u32,
    },
}

impl Sizes {
    /// Every limit that these sizes break in a set of `levels` levels; empty if they are sound.
    pub fn faults(&self, levels: u8) -> Vec<SizeFault> {
        let mut faults = Vec::new();
        for (name, found, least, most) in [
            ("pitch", self.pitch, 6.0, 60.0),
            ("height", self.height, 3.0, 120.0),
            ("gap", self.gap, 0.05, 1.2),
            ("knuckle", self.knuckle, 1.0, 20.0),
            ("clearance", self.clearance, 0.1, 1.0),
            ("chamfer", self.chamfer, 0.0, 2.0),
            ("layer", self.layer, 0.04, 0.8),
            ("first_layer", self.first_layer, 0.04, 0.8),
            ("nozzle", self.nozzle, 0.1, 1.2),
            ("chord_error", self.chord_error, 0.001, 0.1),
            ("mark_depth", self.mark_depth, 0.2, 3.0),
            ("fit", self.fit, 0.0, 1.0),
            ("base", self.base, 0.6, 20.0),
            ("groove", self.groove, 0.2, 5.0),
            ("seat", self.seat, 0.05, 1.0),
            ("kerf", self.kerf, 0.0, 3.0),
        ] {
            // Written so that a value that is no number fails too.
            if !(found >= least && found <= most) {
                faults.push(SizeFault::Range { name, found, least, most });
            }
        }
        for (name, found, least, most) in
            [("levels", u32::from(levels), 1, 8), ("wall_lines", u32::from(self.wall_lines), 4, 12)]
        {
            if found < least || found > most {
                faults.push(SizeFault::Count { name, found, least, most });
            }
        }
        // What comes of broken sizes says nothing new.
        if faults.is_empty() {
            self.faults_together(levels, &mut faults);
        }
        faults
    }

    fn faults_together(&self, levels: u8, faults: &mut Vec<SizeFault>) {
        let p = Proportions::of(self);
        let mut want = |names, what, found: f64, at_least: bool, limit: f64| {
            let short = if at_least { limit - found } else { found - limit };
            if short > 1e-9 {
                faults.push(SizeFault::Together { names, what, found, at_least, limit });
            }
        };
        let two_lines = 2.0 * self.nozzle;
        // The first layer of a leaf's point, ¾ π layer² at most, must be a nozzle spot.
        want("layer, nozzle", "the layer", self.layer, false, 0.65 * self.nozzle);
        want("first_layer, nozzle", "the first layer", self.first_layer, false, 0.8 * self.nozzle);
        want("clearance, nozzle", "the clearance", self.clearance, false, self.nozzle);
        want("gap, clearance", "the gap between turning blocks", self.gap, true, 0.9 * self.clearance);
        want("chord_error, clearance", "the chord error", self.chord_error, false, 0.1 * self.clearance);
        want("knuckle, clearance, nozzle", "the pin and eye's wall", p.pin, true, two_lines);
        want(
            "gap, knuckle, clearance",
            "half the gap, which the pin must bridge",
            self.gap / 2.0,
            false,
            p.pin / 3.0,
        );
        want(
            "knuckle, clearance, nozzle",
            "the 45° face that holds the eye down",
            p.hold,
            true,
            0.75 * self.clearance,
        );
        let reach = self.knuckle + self.clearance;
        let left = self.pitch - 2.0 * reach;
        want(
            "pitch, knuckle, clearance, nozzle",
            "the wall left between two relieved corners",
            left,
            true,
            2.0 * two_lines,
        );
        want(
            "height, levels, knuckle, clearance, layer, nozzle",
            "the block's height",
            self.height,
            true,
            p.least_height(self, levels),
        );
        want("chamfer, height", "the chamfer", self.chamfer, false, self.height / 6.0);
        want("chamfer, pitch, knuckle, clearance", "two chamfers", 2.0 * self.chamfer, false, left / 2.0);
        want("mark_depth, height", "the mark's depth", self.mark_depth, false, self.height / 5.0);
        want("mark_depth, layer", "the mark's depth", self.mark_depth, true, 2.0 * self.layer);
        want(
            "groove, layer, nozzle, clearance",
            "the groove's depth, which holds a strip and air over it",
            self.groove,
            true,
            two_lines + self.strip_air(),
        );
        want(
            "fit, gap, clearance",
            "half the gap and the fit, a block's air to the wall",
            self.fit + self.gap / 2.0,
            true,
            0.9 * self.clearance,
        );
        want(
            "pitch, knuckle, clearance, wall_lines, nozzle, seat",
            "what is left of a board's tile beside its notch",
            Lug::tile_left(self),
            true,
            two_lines,
        );
        want("base, nozzle", "the board's base", self.base, true, two_lines);
        want("kerf, pitch", "the kerf", self.kerf, false, self.pitch / 10.0);
    }

    /// Side of a block: pitch less gap.
    pub fn side(&self) -> f64 {
        self.pitch - self.gap
    }

    /// Radius of the relief at a block's corner and of a pocket: knuckle and clearance.
    pub fn relief(&self) -> f64 {
        self.knuckle + self.clearance
    }

    /// A plate's wall.
    pub fn wall(&self) -> f64 {
        f64::from(self.wall_lines) * self.nozzle
    }

    /// The least gap allowed between the solids of a filled plate.
    pub(crate) fn least_gap(&self) -> f64 {
        0.9 * self.clearance.min(self.gap).min(self.fit + self.gap / 2.0)
    }

    /// Air between a strip in its groove and the block above it: whole layers, so
    /// that what is printed is what is drawn.
    pub(crate) fn strip_air(&self) -> f64 {
        (self.least_gap() / self.layer - 1e-9).ceil() * self.layer
    }

    /// Half the width of the board's grooves: a wall that stands on its line, with air.
    pub(crate) fn half_groove(&self) -> f64 {
        self.fit + self.wall() + self.seat
    }

    /// Radius of the board's round node at a vertex: a wall round a pocket, with air.
    pub(crate) fn node(&self) -> f64 {
        self.relief() + self.wall() + self.seat
    }
}
