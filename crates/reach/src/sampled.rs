//! The sweep against a dense sampling of angles with polygons divided from
//! arcs and intersected by a Boolean library: another geometry, another idea.
//!
//! Both directions of the answer are held, with a margin that covers what a
//! sampling can't see. Clear: bodies cut back by the margin overlap at no
//! sampled angle. Blocked: bodies widened by the margin overlap at some, as
//! true contact makes them overlap for an angle of 2 × margin / radius, and
//! the steps are finer. Nothing in between is left out.

use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use lattice::{Cell, Corner};
use proptest::prelude::*;

use crate::body::Knuckles;
use crate::plan::{Plan, Sizes};
use crate::sweep::{Block, Pairs, clash, turned};

type Shapes = Vec<Vec<Vec<[f64; 2]>>>;

const MARGIN: f64 = 0.005;

fn disc(x: i32, y: i32, radius: f64) -> Vec<[f64; 2]> {
    let point = |i: i32| {
        let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 120.0).sin_cos();
        [f64::from(x) + radius * cos, f64::from(y) + radius * sin]
    };
    (0..120).map(point).collect()
}

/// The body in pitches, straight from the sizes, wider by `margin`.
fn shape(sizes: Sizes, (cell, knuckles): Block, margin: f64) -> Shapes {
    let half = (sizes.pitch - sizes.gap) / sizes.pitch / 2.0 + margin;
    let (x, y) = (f64::from(cell.x) + 0.5, f64::from(cell.y) + 0.5);
    let square = vec![[x - half, y - half], [x + half, y - half], [x + half, y + half], [x - half, y + half]];
    Corner::ALL.into_iter().fold(vec![vec![square]], |shape, c| {
        let v = cell.corner(c);
        let (radius, rule) = if knuckles.has(c) {
            (sizes.knuckle / sizes.pitch + margin, OverlayRule::Union)
        } else {
            ((sizes.knuckle + sizes.clearance) / sizes.pitch - margin, OverlayRule::Difference)
        };
        shape.overlay(&vec![vec![disc(v.x, v.y, radius)]], rule, FillRule::NonZero)
    })
}

fn spun(shape: &Shapes, angle: f64) -> Shapes {
    let (sin, cos) = angle.sin_cos();
    let point = |p: &[f64; 2]| [p[0] * cos - p[1] * sin, p[0] * sin + p[1] * cos];
    shape.iter().map(|s| s.iter().map(|c| c.iter().map(point).collect()).collect()).collect()
}

fn extent(shape: &Shapes, axis: usize) -> (f64, f64) {
    let values = shape.iter().flatten().flatten().map(|p| p[axis]);
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}

fn overlap(a: &Shapes, b: &Shapes) -> bool {
    let apart = |axis| {
        let (a, b) = (extent(a, axis), extent(b, axis));
        a.1 < b.0 || b.1 < a.0
    };
    !apart(0) && !apart(1) && {
        let common: Shapes = a.overlay(b, OverlayRule::Intersect, FillRule::NonZero);
        let doubled = |c: &Vec<[f64; 2]>| -> f64 {
            let next = c.iter().cycle().skip(1);
            c.iter().zip(next).map(|(p, q)| p[0] * q[1] - p[1] * q[0]).sum()
        };
        common.iter().flatten().map(doubled).sum::<f64>().abs() > 1e-9
    }
}

fn sampled_overlap(sizes: Sizes, a: Block, b: Block, anticlockwise: bool, margin: f64) -> bool {
    let (moving, standing) = (shape(sizes, a, margin), shape(sizes, b, margin));
    let reach = extent(&moving, 0);
    let reach = reach.0.abs().max(reach.1.abs()) * 1.5 + 1.0;
    let steps = (std::f64::consts::FRAC_PI_2 * reach / (1.5 * MARGIN)).ceil() as u32;
    let way = if anticlockwise { 1.0 } else { -1.0 };
    (0..=steps).any(|i| {
        let angle = way * std::f64::consts::FRAC_PI_2 * f64::from(i) / f64::from(steps);
        overlap(&spun(&moving, angle), &standing)
    })
}

fn sizes() -> impl Strategy<Value = Sizes> {
    (0.2..0.8f64, 1.5..5.5f64, 0.2..0.8f64).prop_map(|(gap, knuckle, clearance)| Sizes {
        pitch: 15.0,
        gap,
        knuckle,
        clearance,
    })
}

fn knuckles() -> impl Strategy<Value = Knuckles> {
    // A block carries few knuckles more often than many.
    (0u8..16, 0u8..16).prop_map(|(a, b)| Knuckles(a & b))
}

/// A moving block and a standing one near its way, where answers are hard.
fn pair() -> impl Strategy<Value = (Block, Block, bool)> {
    let moving = ((-4i32..4, -4i32..4), knuckles());
    let standing = ((-10.0..100.0f64, -1.3..1.3f64, -1.3..1.3f64), knuckles());
    (moving, standing, any::<bool>()).prop_map(|(((x, y), j), ((degrees, dx, dy), k), way)| {
        let (sin, cos) = if way { degrees } else { -degrees }.to_radians().sin_cos();
        let (mx, my) = (f64::from(x) + 0.5, f64::from(y) + 0.5);
        let near =
            Cell::new((mx * cos - my * sin + dx).floor() as i32, (mx * sin + my * cos + dy).floor() as i32);
        ((Cell::new(x, y), j), (near, k), way)
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, max_global_rejects: 100_000, ..Default::default() })]
    #[test]
    fn the_sweep_agrees_with_dense_sampling(sizes in sizes(), (a, b, way) in pair()) {
        prop_assume!(!clash(a, b) && !clash(turned(a, if way { 1 } else { 3 }), b));
        if Pairs::new(Plan::new(sizes).unwrap()).clear(a, b, way) {
            prop_assert!(!sampled_overlap(sizes, a, b, way, -MARGIN));
        } else {
            prop_assert!(sampled_overlap(sizes, a, b, way, MARGIN));
        }
    }
}
