//! The test coupon: a strip of five hinges at clearances round the set's, each
//! with its figure beside it. Print it first; the tightest hinge that turns
//! freely gives the printer's clearance.

use lattice::{Cell, Hinge, Level, Piece, Vertex};

use crate::area::Area;
use crate::kernel::{KernelError, Move, Solid};
use crate::piece;
use crate::section::Proportions;
use crate::sizes::{SizeFault, Sizes};
use crate::text::engraving;

/// Difference of two neighbouring clearances on the coupon, in mm.
const STEP: f64 = 0.05;

/// The coupon on the bed.
pub(crate) struct Coupon {
    /// The strip with its five leaves, then the five eyes.
    pub solids: Vec<Solid>,
    /// Sizes of each hinge; all have one height.
    pub hinges: Vec<Sizes>,
    /// The two-block piece that each hinge is.
    pub piece: Piece,
    /// Where each hinge's piece stands.
    pub places: Vec<Move>,
}

/// The sizes of the five hinges: round the set's clearance, moved up or down
/// as a whole where the knuckle leaves no room.
pub(crate) fn clearances(sizes: &Sizes) -> Result<Vec<Sizes>, Vec<SizeFault>> {
    let at = |steps: i32| {
        let clearance = ((sizes.clearance + STEP * f64::from(steps)) * 1e6).round() / 1e6;
        Sizes {
            clearance,
            gap: sizes.gap.max(clearance),
            fit: sizes.fit.max(clearance / 2.0),
            // The strip is low and its blocks small: one level, no board.
            pitch: sizes.pitch.max(14.0),
            height: 40.0,
            ..sizes.clone()
        }
    };
    let mut last = Vec::new();
    for first in [-2, -1, -3, 0, -4] {
        let five: Vec<Sizes> = (first..first + 5).map(at).collect();
        let faults: Vec<SizeFault> = five.iter().flat_map(|s| s.faults(1)).collect();
        if faults.is_empty() {
            let needed = five.iter().map(|s| Proportions::of(s).least_height(s, 1)).fold(0.0, f64::max);
            let layers = ((needed - sizes.first_layer) / sizes.layer).ceil() + 2.0;
            let height = sizes.first_layer + layers * sizes.layer;
            return Ok(five.into_iter().map(|s| Sizes { height, ..s }).collect());
        }
        if last.is_empty() {
            last = faults;
        }
    }
    Err(last)
}

/// Builds the coupon for hinges of the given sizes.
pub(crate) fn build(hinges: Vec<Sizes>) -> Result<Coupon, KernelError> {
    let piece = Piece::hinged(
        vec![Cell::new(0, 0), Cell::new(0, 1)],
        vec![Hinge { pin: Vertex::new(1, 1), joins: [0, 1], level: Level(0) }],
    )
    .expect("two blocks and their hinge are a sound piece");
    let first = &hinges[0];
    let pitch = first.pitch;
    // Room for an eye's far corner to swing past the next leaf.
    let step = (1.0 + std::f64::consts::SQRT_2) * pitch + 1.0;
    let cap = 5.0;
    let bar = (cap + 3.0, (1.6f64).max(2.5 * first.nozzle) + first.mark_depth);
    let low = -0.5 - bar.0;
    let mut strip = vec![Solid::prism(
        // The figures are wider than a block.
        &Area::rectangle([-cap, low], [step * 4.0 + pitch + cap, -0.5]),
        0.0,
        bar.1,
    )?];
    let mut eyes = Vec::new();
    let mut places = Vec::new();
    let mut figures = Vec::new();
    for (i, sizes) in hinges.iter().enumerate() {
        let place = Move::shift(step * i as f64, 0.0, 0.0);
        let made = piece::build(&piece, sizes, 1, "")?;
        strip.push(made.solids[0].moved(&place));
        eyes.push(made.solids[1].moved(&place));
        let x = step * i as f64;
        let neck = sizes.relief() + sizes.chamfer + 0.4;
        strip.push(Solid::prism(&Area::rectangle([x + neck, -1.0], [x + pitch - neck, 2.0]), 0.0, bar.1)?);
        figures.push(
            engraving(&format!("{:.2}", sizes.clearance), cap, sizes)
                .shifted(x + pitch / 2.0, low + bar.0 / 2.0),
        );
        places.push(place);
    }
    let figures = Solid::prism(&Area::sum(&figures), bar.1 - first.mark_depth, bar.1 + 1.0)?;
    let mut solids = vec![Solid::sum(&strip)?.minus(&figures)?];
    solids.extend(eyes);
    Ok(Coupon { solids, hinges, piece, places })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn five_clearances_round_the_set_s() {
        let figures = |sizes: &Sizes| -> Vec<f64> {
            clearances(sizes).unwrap().iter().map(|s| (s.clearance * 100.0).round()).collect()
        };
        assert_eq!(figures(&Sizes::default()), [20.0, 25.0, 30.0, 35.0, 40.0]);
        let tight = Sizes { clearance: 0.15, chord_error: 0.01, ..Sizes::default() };
        assert_eq!(figures(&tight), [10.0, 15.0, 20.0, 25.0, 30.0]);
    }

    #[test]
    fn the_coupon_is_a_strip_and_five_eyes() {
        let coupon = build(clearances(&Sizes::default()).unwrap()).unwrap();
        assert_eq!(coupon.solids.len(), 6);
        for solid in &coupon.solids {
            let mesh = solid.mesh();
            assert_eq!(mesh.open_edges(), None);
            assert_eq!(mesh.shells().len(), 1);
        }
    }
}
