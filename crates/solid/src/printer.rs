//! The printer's profile: bed, speeds, filament. Estimates are only as good as it.

use crate::sizes::SizeFault;

/// What an estimate and the laying out of beds need to know of a printer.
/// Lengths in mm, speeds in mm/s, times in s.
#[derive(Clone, Debug, PartialEq)]
pub struct Printer {
    /// Bed, across and away.
    pub bed: [f64; 2],
    /// Greatest height of a part.
    pub bed_height: f64,
    /// Air between parts on a bed, and to its edge.
    pub spacing: f64,
    /// Lines round every contour.
    pub walls: u8,
    /// Solid layers below and above.
    pub skins: u8,
    /// Share of the inside that is filled, 0 to 1.
    pub infill: f64,
    /// Speed of walls.
    pub wall_speed: f64,
    /// Speed of skins and infill.
    pub infill_speed: f64,
    /// Speed of everything in the first layer.
    pub first_layer_speed: f64,
    /// Speed without printing.
    pub travel_speed: f64,
    /// Time lost at every layer.
    pub layer_change: f64,
    /// Time lost at a change of filament by hand.
    pub colour_change: f64,
    /// Filament diameter.
    pub filament: f64,
    /// Filament density in g/cm³.
    pub density: f64,
}

impl Default for Printer {
    /// A 220 mm bed and unhurried speeds (common practice, no source); PLA, 1.75 mm.
    fn default() -> Self {
        Printer {
            bed: [220.0, 220.0],
            bed_height: 250.0,
            spacing: 5.0,
            walls: 3,
            skins: 4,
            infill: 0.15,
            wall_speed: 80.0,
            infill_speed: 120.0,
            first_layer_speed: 30.0,
            travel_speed: 150.0,
            layer_change: 1.0,
            colour_change: 120.0,
            filament: 1.75,
            density: 1.24,
        }
    }
}

impl Printer {
    /// Every value that is out of range; empty if the profile is sound.
    pub fn faults(&self) -> Vec<SizeFault> {
        let mut faults = Vec::new();
        for (name, found, least, most) in [
            ("bed (across)", self.bed[0], 50.0, 2000.0),
            ("bed (away)", self.bed[1], 50.0, 2000.0),
            ("bed_height", self.bed_height, 20.0, 2000.0),
            ("spacing", self.spacing, 0.0, 50.0),
            ("infill", self.infill, 0.0, 1.0),
            ("wall_speed", self.wall_speed, 1.0, 1000.0),
            ("infill_speed", self.infill_speed, 1.0, 1000.0),
            ("first_layer_speed", self.first_layer_speed, 1.0, 1000.0),
            ("travel_speed", self.travel_speed, 1.0, 2000.0),
            ("layer_change", self.layer_change, 0.0, 60.0),
            ("colour_change", self.colour_change, 0.0, 3600.0),
            ("filament", self.filament, 1.0, 4.0),
            ("density", self.density, 0.5, 12.0),
        ] {
            if !(found >= least && found <= most) {
                faults.push(SizeFault::Range { name, found, least, most });
            }
        }
        for (name, found, least, most) in [("walls", self.walls, 1, 12), ("skins", self.skins, 1, 40)] {
            let (found, least, most) = (u32::from(found), least, most);
            if found < least || found > most {
                faults.push(SizeFault::Count { name, found, least, most });
            }
        }
        faults
    }
}
