//! Overhangs, layer by layer: what would be printed on air.
//!
//! What a layer has beyond the layer below, grown by layer × tan 45°, must be
//! a bridge between two sides of its own body, or lie within two layers above
//! the part's own release gap (another body of the part close below), or be no
//! larger than a nozzle spot. Anything else is an overhang.

use rayon::prelude::*;

use crate::area::{Area, Point};
use crate::layers::{Layers, layer_top};
use crate::section::Proportions;
use crate::sizes::Sizes;

/// The longest bridge that carries itself.
pub(crate) const BRIDGE: f64 = 6.0;

/// A place that nothing carries.
#[derive(Clone, Debug, PartialEq)]
pub struct Overhang {
    /// The body.
    pub body: usize,
    /// The layer, from 1.
    pub layer: usize,
    /// Height of the layer's underside above the bed.
    pub z: f64,
    /// Unsupported area in mm².
    pub area: f64,
    /// A point of it, or near its middle.
    pub at: Point,
    /// Its contours.
    pub contours: Vec<Vec<Point>>,
}

/// What was found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Overhangs {
    /// Places that nothing carries.
    pub unsupported: Vec<Overhang>,
    /// Area in mm² that bridges between two sides.
    pub bridged: f64,
    /// Area in mm² carried over the part's own release gaps.
    pub over_release: f64,
}

/// Finds every overhang of a part cut into layers.
pub(crate) fn find(layers: &Layers, sizes: &Sizes) -> Overhangs {
    let found: Vec<Overhangs> =
        (0..layers.bodies.len()).into_par_iter().map(|body| of_body(layers, sizes, body)).collect();
    found.into_iter().fold(Overhangs::default(), |mut all, one| {
        all.unsupported.extend(one.unsupported);
        all.bridged += one.bridged;
        all.over_release += one.over_release;
        all
    })
}

fn of_body(layers: &Layers, sizes: &Sizes, body: usize) -> Overhangs {
    let mut found = Overhangs::default();
    // 45° and the chords' and the rounding's share.
    let reach = sizes.layer + sizes.chord_error;
    let own = &layers.bodies[body];
    let release = Proportions::of(sizes).slant.max(Proportions::of(sizes).release);
    // A release gap lies over the other body and, by the clearance, all round it.
    let aside = reach.max(sizes.clearance + sizes.chord_error);
    let look_down = ((release + 2.0 * sizes.layer) / sizes.layer + 1e-6).floor() as usize + 1;
    let spot = sizes.nozzle * sizes.nozzle;
    for n in 1..own.len() {
        if own[n].is_empty() {
            continue;
        }
        // Most layers of a wall are the one below: nothing to look at.
        if own[n].minus(&own[n - 1]).area() < spot {
            continue;
        }
        let mut loose = own[n].minus(&own[n - 1].grown(reach, sizes.chord_error));
        if loose.area() < spot {
            continue;
        }
        let before = loose.area();
        loose = unbridged(loose, &own[n - 1].grown(reach + 0.01, sizes.chord_error), sizes);
        found.bridged += before - loose.area();
        if loose.area() >= spot {
            let before = loose.area();
            for (other, sections) in layers.bodies.iter().enumerate() {
                if other != body {
                    let below: Vec<Area> = sections[n.saturating_sub(look_down)..n].to_vec();
                    loose = loose.minus(&Area::sum(&below).grown(aside, sizes.chord_error));
                }
            }
            found.over_release += before - loose.area();
        }
        for part in loose.parts() {
            if part.area() > spot {
                let (lo, hi) = part.bounds().expect("it has an area");
                found.unsupported.push(Overhang {
                    body,
                    layer: n + 1,
                    z: layer_top(sizes, n - 1),
                    area: part.area(),
                    at: [(lo[0] + hi[0]) / 2.0, (lo[1] + hi[1]) / 2.0],
                    contours: part.contours(),
                });
            }
        }
    }
    found
}

/// What is left of `loose` without the lines, in eight directions, that rest on
/// `carrier` at both ends and are no longer than a bridge.
fn unbridged(mut loose: Area, carrier: &Area, sizes: &Sizes) -> Area {
    let step = sizes.nozzle / 2.0;
    for turn in 0..8 {
        let degrees = 22.5 * f64::from(turn);
        let (turned, rest) = (loose.turned(degrees), carrier.turned(degrees));
        let Some((lo, hi)) = turned.bounds() else { return loose };
        let rows = ((hi[1] - lo[1]) / step).ceil().max(1.0);
        let height = (hi[1] - lo[1]) / rows;
        let mut strips = Vec::new();
        for row in 0..rows as usize {
            let y = lo[1] + (row as f64 + 0.5) * height;
            for [a, b] in turned.along(y) {
                let rests = |x: f64| rest.holds([x, y]);
                if b - a <= BRIDGE && rests(a - 0.005) && rests(b + 0.005) {
                    // A little wider than its row, so that no seams stay between rows.
                    let half = height / 2.0 + 1e-3;
                    strips.push(Area::rectangle([a - step, y - half], [b + step, y + half]));
                }
            }
        }
        if !strips.is_empty() {
            loose = turned.minus(&Area::sum(&strips)).turned(-degrees);
        }
    }
    loose
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kernel::Solid;
    use crate::{piece, samples};

    fn overhangs(solids: &[Solid], height: f64) -> Overhangs {
        let sizes = Sizes::default();
        find(&Layers::cut(solids, height, &sizes), &sizes)
    }

    fn bar(low: [f64; 3], high: [f64; 3]) -> Solid {
        Solid::prism(&Area::rectangle([low[0], low[1]], [high[0], high[1]]), low[2], high[2]).unwrap()
    }

    #[test]
    fn every_sample_piece_carries_itself() {
        let sizes = Sizes::default();
        for (name, piece) in samples::pieces() {
            let made = piece::build(&piece, &sizes, 2, "5").unwrap();
            let found = overhangs(&made.solids, sizes.height);
            assert_eq!(found.unsupported, [], "{name}");
            assert!(found.over_release > 0.0, "the eyes print over their release gaps");
        }
    }

    #[test]
    fn a_shelf_is_found_a_short_bridge_is_not() {
        let post = bar([0.0, 0.0, 0.0], [5.0, 5.0, 10.0]);
        let shelf = post.plus(&bar([0.0, 0.0, 8.0], [8.0, 5.0, 10.0])).unwrap();
        let found = overhangs(&[shelf], 10.0).unsupported;
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].layer, found[0].z), (41, 8.0));
        assert!((found[0].area - 5.0 * 2.78).abs() < 0.1, "{}", found[0].area);
        let gate = |width: f64| {
            let other = bar([5.0 + width, 0.0, 0.0], [10.0 + width, 5.0, 10.0]);
            let lintel = bar([0.0, 0.0, 8.0], [10.0 + width, 5.0, 10.0]);
            overhangs(&[post.plus(&other).unwrap().plus(&lintel).unwrap()], 10.0)
        };
        assert_eq!(gate(5.8).unsupported, []);
        assert!(gate(5.8).bridged > 20.0);
        assert_eq!(gate(6.6).unsupported.len(), 1);
    }

    #[test]
    fn a_hinge_without_its_corbel_is_found() {
        // The same block with its relief cut straight up under the high hinge.
        let block = bar([0.0, 0.0, 0.0], [15.0, 15.0, 15.0]);
        let straight = Solid::prism(&Area::disc_round([15.0, 15.0], 3.3, 32), -1.0, 8.6).unwrap();
        let found = overhangs(&[block.minus(&straight).unwrap()], 15.0).unsupported;
        // Lines from side to side of the arc bridge; the corner before them hangs free.
        assert!(found.iter().map(|o| o.area).sum::<f64>() > 4.0, "{found:?}");
    }
}
