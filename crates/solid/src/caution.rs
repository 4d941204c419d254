//! Cautions: where the work can hurt someone.
//!
//! The small-parts cylinder is that of 16 CFR 1501.4 (U.S. Code of Federal
//! Regulations): an article that fits in it entirely, in any orientation and
//! uncompressed, is a small part. Its figure's inches (1.25 across, 1.00 to
//! 2.25 deep under a slanting floor) are from memory; exact inches are used,
//! 31.75, 25.4 and 57.15 mm, the larger and so the safer reading.

use crate::mesh::Mesh;

const ACROSS: f64 = 31.75;
const SHALLOW: f64 = 25.4;
const DEEP: f64 = 57.15;

/// Whether a mesh fits the small-parts cylinder in one of many orientations:
/// 13 axes both ways, 24 turns of the slanting floor. An orientation that fits
/// is proof; that none of these fits is not, so sizes near the limit want the
/// real cylinder.
pub(crate) fn is_small(mesh: &Mesh) -> bool {
    let (lo, hi) = mesh.bounds();
    let size: [f64; 3] = std::array::from_fn(|i| hi[i] - lo[i]);
    let diagonal = size.iter().map(|s| s * s).sum::<f64>().sqrt();
    if diagonal > (ACROSS * ACROSS + DEEP * DEEP).sqrt() {
        return false;
    }
    // Upright first: that is how a block fits.
    let mut axes = vec![[0.0, 0.0, 1.0]];
    for x in -1i32..=1 {
        for y in -1i32..=1 {
            for z in -1i32..=1 {
                if (x, y, z) != (0, 0, 0) {
                    axes.push([f64::from(x), f64::from(y), f64::from(z)]);
                }
            }
        }
    }
    axes.iter().any(|axis| fits_along(mesh, *axis))
}

fn fits_along(mesh: &Mesh, axis: [f64; 3]) -> bool {
    let unit = |v: [f64; 3]| {
        let l = v.iter().map(|c| c * c).sum::<f64>().sqrt();
        v.map(|c| c / l)
    };
    let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    let axis = unit(axis);
    let aside = if axis[0].abs() < 0.6 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
    let d = dot(aside, axis);
    let u = unit(std::array::from_fn(|i| aside[i] - d * axis[i]));
    let v =
        [axis[1] * u[2] - axis[2] * u[1], axis[2] * u[0] - axis[0] * u[2], axis[0] * u[1] - axis[1] * u[0]];
    let points: Vec<[f64; 3]> = mesh.points.iter().map(|p| [dot(*p, u), dot(*p, v), dot(*p, axis)]).collect();
    let wide = |i: usize| {
        let (lo, hi) = points.iter().fold((f64::MAX, f64::MIN), |(lo, hi), p| (lo.min(p[i]), hi.max(p[i])));
        hi - lo
    };
    if wide(0).max(wide(1)) > ACROSS {
        return false;
    }
    let (centre, radius) = circle(&points);
    if radius > ACROSS / 2.0 {
        return false;
    }
    let top = points.iter().map(|p| p[2]).fold(f64::MIN, f64::max);
    (0..24).any(|turn| {
        let (s, c) = (15.0 * f64::from(turn)).to_radians().sin_cos();
        points.iter().all(|p| {
            // A slim part slips to the deep side.
            let across = (p[0] - centre[0]) * c + (p[1] - centre[1]) * s + (ACROSS / 2.0 - radius);
            let floor = SHALLOW + (across / ACROSS + 0.5) * (DEEP - SHALLOW);
            top - p[2] <= floor + 1e-9
        })
    })
}

/// A circle round all points in plan, by walking the centre towards the
/// farthest point (Bădoiu and Clarkson 2003, from memory): within a percent of
/// the smallest, from above.
fn circle(points: &[[f64; 3]]) -> ([f64; 2], f64) {
    let n = points.len().max(1) as f64;
    let mut centre =
        [points.iter().map(|p| p[0]).sum::<f64>() / n, points.iter().map(|p| p[1]).sum::<f64>() / n];
    let far = |c: [f64; 2]| {
        points
            .iter()
            .map(|p| ((p[0] - c[0]).hypot(p[1] - c[1]), [p[0], p[1]]))
            .fold((0.0, c), |a, b| if b.0 > a.0 { b } else { a })
    };
    for step in 1..200 {
        let (_, p) = far(centre);
        let t = 1.0 / (f64::from(step) + 1.0);
        centre = [centre[0] + t * (p[0] - centre[0]), centre[1] + t * (p[1] - centre[1])];
    }
    (centre, far(centre).0)
}

/// The cautions that go with a set.
pub(crate) fn text(small: &[String], backing: bool) -> String {
    let mut text = String::from("Cautions\n\n");
    if !small.is_empty() {
        text.push_str("Small parts. ");
        text.push_str(&format!(
            "These parts, or a block that breaks off them, fit the small-parts cylinder of 16 CFR 1501.4: {}. \
             Not for children under three; keep them away from anyone who puts things in the mouth.\n\n",
            small.join(", ")
        ));
    }
    text.push_str(
        "Printing. Nozzle and bed are hot enough to burn; keep hands away until they are cold. \
         Air the room. Let nobody print unattended where that is not allowed. \
         Break edges and strings off before the parts are handled.\n\n",
    );
    if backing {
        text.push_str(
            "Cutting. Follow the machine's and the material's own rules; \
             never cut a sheet of unknown make with a laser, since some give off poisonous gas, and never leave it alone.\n\n",
        );
    }
    text.push_str("Local rules for toys, sales and workshops come before anything said here.\n");
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::area::Area;
    use crate::kernel::Solid;

    fn bar(w: f64, d: f64, h: f64) -> Mesh {
        Solid::prism(&Area::rectangle([0.0, 0.0], [w, d]), 0.0, h).unwrap().mesh()
    }

    #[test]
    fn a_block_is_a_small_part_and_a_long_bar_is_not() {
        assert!(is_small(&bar(14.7, 14.7, 15.0)));
        // Side 31.7/√2 = 22.4 upright is the largest square that fits (derived by hand).
        assert!(is_small(&bar(22.0, 22.0, 25.0)));
        assert!(!is_small(&bar(24.0, 24.0, 25.4)));
        assert!(!is_small(&bar(60.0, 15.0, 15.0)));
        // Lying in the slant: too tall for the shallow side, not for the deep one.
        assert!(is_small(&bar(3.0, 3.0, 50.0)));
    }
}
