//! Time, filament and mass of a part, from its layers and a printer profile.
//!
//! An estimate, and it says so: walls by contour length, skins and infill by
//! area, travel by contours, and a fixed time a layer. Acceleration is left out.

use rayon::prelude::*;

use crate::area::Area;
use crate::layers::Layers;
use crate::printer::Printer;
use crate::sizes::Sizes;

/// An estimate for one part.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    /// Printing time in minutes.
    pub minutes: f64,
    /// Filament laid down in mm³.
    pub filament_mm3: f64,
    /// Filament length in m.
    pub metres: f64,
    /// Mass in g.
    pub grams: f64,
    /// Layers.
    pub layers: usize,
}

struct Lengths {
    wall: f64,
    fill: f64,
    travel: f64,
    laid: f64,
}

/// Estimates a part from its layers; `colour_changes` are made by hand.
pub(crate) fn estimate(layers: &Layers, printer: &Printer, sizes: &Sizes, colour_changes: usize) -> Estimate {
    let plans: Vec<Area> = (0..layers.middles.len()).into_par_iter().map(|n| layers.all(n)).collect();
    let cut = Cut {
        areas: plans.iter().map(Area::area).collect(),
        outlines: plans.iter().map(Area::outline).collect(),
        plans: &plans,
    };
    let each: Vec<Lengths> =
        (0..plans.len()).into_par_iter().map(|n| of_layer(&cut, n, printer, sizes)).collect();
    let mut seconds = colour_changes as f64 * printer.colour_change;
    let mut volume = 0.0;
    for (n, l) in each.iter().enumerate() {
        let first = n == 0;
        let at = |speed: f64| if first { speed.min(printer.first_layer_speed) } else { speed };
        seconds += l.wall / at(printer.wall_speed)
            + l.fill / at(printer.infill_speed)
            + l.travel / printer.travel_speed
            + printer.layer_change;
        volume += l.laid * if first { sizes.first_layer } else { sizes.layer };
    }
    let section = std::f64::consts::PI * printer.filament * printer.filament / 4.0;
    Estimate {
        minutes: seconds / 60.0,
        filament_mm3: volume,
        metres: volume / section / 1000.0,
        grams: volume / 1000.0 * printer.density,
        layers: plans.len(),
    }
}

/// All layers, with what is asked of them more than once.
struct Cut<'a> {
    plans: &'a [Area],
    areas: Vec<f64>,
    outlines: Vec<f64>,
}

fn of_layer(cut: &Cut, n: usize, printer: &Printer, sizes: &Sizes) -> Lengths {
    let Cut { plans, areas, outlines } = cut;
    let (plan, area) = (&plans[n], areas[n]);
    // A line is as wide as the nozzle; a thin place holds no more lines than its area.
    let wall = (outlines[n] * f64::from(printer.walls)).min(area / sizes.nozzle);
    let inside = (area - wall * sizes.nozzle).max(0.0);
    // Inside that is not covered by `skins` layers on both sides is solid.
    let bare = |other: Option<usize>| match other {
        None => inside,
        Some(m) if (areas[m] - area).abs() < 1e-6 && (outlines[m] - outlines[n]).abs() < 1e-6 => 0.0,
        Some(m) => plan.minus(&plans[m]).area(),
    };
    let skins = usize::from(printer.skins);
    let solid =
        (bare(n.checked_sub(skins)) + bare((n + skins < plans.len()).then_some(n + skins))).min(inside);
    let laid_inside = solid + (inside - solid) * printer.infill;
    // One hop to each contour, a quarter of the layer's diagonal long.
    let diagonal = plan.bounds().map_or(0.0, |(lo, hi)| (hi[0] - lo[0]).hypot(hi[1] - lo[1]));
    Lengths {
        wall,
        fill: laid_inside / sizes.nozzle,
        travel: plan.contours().len() as f64 * f64::from(printer.walls) * diagonal / 4.0,
        laid: wall * sizes.nozzle + laid_inside,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kernel::Solid;

    #[test]
    fn a_solid_cube_weighs_its_volume() {
        let (sizes, printer) = (Sizes::default(), Printer { infill: 1.0, ..Printer::default() });
        let cube = Solid::prism(&Area::rectangle([0.0, 0.0], [10.0, 10.0]), 0.0, 10.0).unwrap();
        let found = estimate(&Layers::cut(&[cube], 10.0, &sizes), &printer, &sizes, 0);
        assert_eq!(found.layers, 50);
        assert!((found.filament_mm3 - 1000.0).abs() < 1e-6 && (found.grams - 1.24).abs() < 1e-9);
        // By hand: 1000 mm³ through 2.40528 mm² of 1.75 mm filament.
        assert!((found.metres - 1.0 / 2.405_28).abs() < 1e-5);
        // Walls: 40 mm × 3 lines; the rest of 100 mm² at 0.4 mm a line.
        let layer = 120.0 / 80.0 + (100.0 - 48.0) / 0.4 / 120.0 + 3.0 * 200f64.sqrt() / 4.0 / 150.0 + 1.0;
        let first = 250.0 / 30.0 + 3.0 * 200f64.sqrt() / 4.0 / 150.0 + 1.0;
        assert!((found.minutes - (49.0 * layer + first) / 60.0).abs() < 1e-6);
    }

    #[test]
    fn infill_lies_only_under_skins() {
        let (sizes, printer) = (Sizes::default(), Printer::default());
        let cube = Solid::prism(&Area::rectangle([0.0, 0.0], [20.0, 20.0]), 0.0, 20.0).unwrap();
        let found = estimate(&Layers::cut(&[cube], 20.0, &sizes), &printer, &sizes, 0);
        let inside = 400.0 - 240.0 * 0.4;
        let by_hand = 20.0 * 96.0 + inside * (8.0 * 0.2 + (20.0 - 1.6) * 0.15);
        assert!((found.filament_mm3 - by_hand).abs() < 1e-6);
    }
}
