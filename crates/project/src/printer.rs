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
    /// Air between parts on one bed.
    pub spacing: f64,
    /// Layer height.
    pub layer: f64,
    /// Height of the first layer.
    pub first_layer: f64,
    /// Nozzle diameter.
    pub nozzle: f64,
    /// Width of one printed line.
    pub line_width: f64,
    /// Lines in an outer wall.
    pub walls: u32,
    /// Share of the inside that is filled, 0 to 1.
    pub infill: f64,
    /// Speed of the outermost wall line.
    pub outer_speed: f64,
    /// Speed of the other wall lines.
    pub inner_speed: f64,
    /// Speed of filling.
    pub infill_speed: f64,
    /// Speed of moves that print nothing.
    pub travel_speed: f64,
    /// Speed of the first layer.
    pub first_layer_speed: f64,
    /// Seconds lost at each change of layer.
    pub layer_change: f64,
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
            spacing: 5.0,
            layer: 0.2,
            first_layer: 0.2,
            nozzle: 0.4,
            line_width: 0.45,
            walls: 2,
            infill: 0.15,
            outer_speed: 40.0,
            inner_speed: 60.0,
            infill_speed: 80.0,
            travel_speed: 150.0,
            first_layer_speed: 20.0,
            layer_change: 1.0,
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
            ("line_width", Figure::Positive, &mut printer.line_width),
            ("infill", Figure::Fraction, &mut printer.infill),
            ("outer_speed", Figure::Positive, &mut printer.outer_speed),
            ("inner_speed", Figure::Positive, &mut printer.inner_speed),
            ("infill_speed", Figure::Positive, &mut printer.infill_speed),
            ("travel_speed", Figure::Positive, &mut printer.travel_speed),
            ("first_layer_speed", Figure::Positive, &mut printer.first_layer_speed),
            ("layer_change", Figure::NotNegative, &mut printer.layer_change),
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
        if let Some(walls) = table.optional("walls").and_then(|item| item.integer(page, 1..=20)) {
            printer.walls = walls as u32;
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
