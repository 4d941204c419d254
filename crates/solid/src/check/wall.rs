//! The least wall: rays from every face straight into the material.
//!
//! A wall is material between two faces that look away from each other, their
//! normals opposed to within 30°. Where faces meet at an edge there is always
//! some thin material; edges are no walls.

use crate::near::{Tree, facing};

/// The thinnest wall of a body and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// Thickness in mm.
    pub thickness: f64,
    /// A point on one of its faces.
    pub at: [f64; 3],
}

/// Faces are sampled at least this densely.
const STEP: f64 = 2.0;

/// The least wall of a body; `None` if no two faces look away from each other.
pub(crate) fn least(tree: &Tree) -> Option<Wall> {
    let opposed = -30f64.to_radians().cos();
    let mut best: Option<Wall> = None;
    for triangle in tree.triangles() {
        let (normal, area) = facing(*triangle);
        if area < 1e-6 {
            continue;
        }
        for p in samples(triangle) {
            let inward = normal.map(|v| -v);
            let Some(hit) = tree.first_hit(p, inward, 1e-5) else { continue };
            let cosine = hit.normal[0] * normal[0] + hit.normal[1] * normal[1] + hit.normal[2] * normal[2];
            if cosine < opposed && best.is_none_or(|b| hit.distance < b.thickness) {
                best = Some(Wall { thickness: hit.distance, at: p });
            }
        }
    }
    best
}

/// Points inside a triangle, about one a step each way, at least its middle.
fn samples(&[a, b, c]: &[[f64; 3]; 3]) -> Vec<[f64; 3]> {
    let length = |p: [f64; 3], q: [f64; 3]| {
        ((p[0] - q[0]).powi(2) + (p[1] - q[1]).powi(2) + (p[2] - q[2]).powi(2)).sqrt()
    };
    let (u, v) = (length(a, b), length(a, c));
    let rows = (u / STEP).ceil().clamp(1.0, 40.0) as u32;
    let columns = (v / STEP).ceil().clamp(1.0, 40.0) as u32;
    let mut points = Vec::new();
    for i in 0..rows {
        for j in 0..columns {
            let (s, t) = (
                (f64::from(i) + 1.0 / 3.0) / f64::from(rows),
                (f64::from(j) + 1.0 / 3.0) / f64::from(columns),
            );
            if s + t < 1.0 {
                points.push(std::array::from_fn(|k| a[k] + s * (b[k] - a[k]) + t * (c[k] - a[k])));
            }
        }
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::area::Area;
    use crate::kernel::Solid;

    #[test]
    fn a_thin_wall_is_found_and_a_wedge_is_none() {
        let u = Area::rectangle([0.0, 0.0], [10.0, 10.0]).minus(&Area::rectangle([0.6, 1.5], [8.0, 11.0]));
        let wall = least(&Tree::of(&Solid::prism(&u, 0.0, 5.0).unwrap().mesh())).unwrap();
        assert!((wall.thickness - 0.6).abs() < 1e-9);
        let wedge = Area::from_contours([&[[0.0, 0.0], [9.0, 0.0], [9.0, 9.0]][..]]);
        let wall = least(&Tree::of(&Solid::prism(&wedge, 0.0, 5.0).unwrap().mesh())).unwrap();
        assert!((wall.thickness - 5.0).abs() < 1e-9, "only its two flat sides make a wall");
    }
}
