//! `[printer]`: the bed, the layers, the speeds and the filament that the
//! estimate reckons with.

use crate::reader::{Figure, Page, Table};

/// A printer and its filament. Lengths in millimetres, speeds in millimetres a
/// second. The defaults for bed, layers, nozzle, density and filament are those
/// the solids are designed to; the others are common practice, no source.
#[derive(Clone, Debug, PartialEq)]
pub struct Printer {
    /// Width and depth of the bed.
    pub bed: [f64; 2],
    /// Greatest height of a part.
    pub bed_height: f64,
    /// Air between parts on one bed.
    pub spacing: f64,
    /// Layer height.
    pub layer: f64,
    /// Height of the first layer.
    pub first_layer: f64,
    /// Nozzle diameter.
    pub nozzle: f64,
    /// Lines round every contour.
    pub walls: u8,
    /// Solid layers below and above.
    pub skins: u8,
    /// Share of the inside that is filled, 0 to 1.
    pub infill: f64,
    /// Speed of walls.
    pub wall_speed: f64,
    /// Speed of filling.
    pub infill_speed: f64,
    /// Speed of moves that print nothing.
    pub travel_speed: f64,
    /// Speed of the first layer.
    pub first_layer_speed: f64,
    /// Seconds lost at each change of layer.
    pub layer_change: f64,
    /// Seconds lost when the filament is changed by hand.
    pub colour_change: f64,
    /// The filament's material, in words.
    pub material: String,
    /// The material's density in grams a cubic centimetre.
    pub density: f64,
    /// Diameter of the filament.
    pub filament_diameter: f64,
}

impl Default for Printer {
    fn default() -> Self {
        Printer {
            bed: [220.0, 220.0],
            bed_height: 250.0,
            spacing: 5.0,
            layer: 0.2,
            first_layer: 0.2,
            nozzle: 0.4,
            walls: 3,
            skins: 4,
            infill: 0.15,
            wall_speed: 80.0,
            infill_speed: 120.0,
            travel_speed: 150.0,
            first_layer_speed: 30.0,
            layer_change: 1.0,
            colour_change: 120.0,
            material: "PLA".into(),
            density: 1.24,
            filament_diameter: 1.75,
        }
    }
}

impl Printer {
    pub(crate) fn read(mut table: Table, page: &mut Page) -> Self {
        let mut printer = Printer::default();
        for (key, figure, into) in [
            ("layer", Figure::Positive, &mut printer.layer),
            ("first_layer", Figure::Positive, &mut printer.first_layer),
            ("nozzle", Figure::Positive, &mut printer.nozzle),
            ("spacing", Figure::NotNegative, &mut printer.spacing),
            ("bed_height", Figure::Positive, &mut printer.bed_height),
            ("infill", Figure::Fraction, &mut printer.infill),
            ("wall_speed", Figure::Positive, &mut printer.wall_speed),
            ("infill_speed", Figure::Positive, &mut printer.infill_speed),
            ("travel_speed", Figure::Positive, &mut printer.travel_speed),
            ("first_layer_speed", Figure::Positive, &mut printer.first_layer_speed),
            ("layer_change", Figure::NotNegative, &mut printer.layer_change),
            ("colour_change", Figure::NotNegative, &mut printer.colour_change),
            ("density", Figure::Positive, &mut printer.density),
            ("filament_diameter", Figure::Positive, &mut printer.filament_diameter),
        ] {
            table.figure(page, key, figure, into);
        }
        if let Some(item) = table.optional("bed")
            && let Some([width, depth]) = item.tuple(page, "bed = [220, 220]")
            && let (Some(width), Some(depth)) =
                (width.figure(page, Figure::Positive), depth.figure(page, Figure::Positive))
        {
            printer.bed = [width, depth];
        }
        for (key, into) in [("walls", &mut printer.walls), ("skins", &mut printer.skins)] {
            if let Some(count) = table.optional(key).and_then(|item| item.integer(page, 1..=100)) {
                *into = count as u8;
            }
        }
        if let Some(material) =
            table.optional("material").and_then(|item| item.title(page, "material = \"PLA\""))
        {
            printer.material = material;
        }
        table.close(page);
        printer
    }
}
