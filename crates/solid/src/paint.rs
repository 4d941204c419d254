//! The order in which faces are painted from far to near: a tree of planes
//! (H. Fuchs, Z. Kedem, B. Naylor 1980, "On visible surface generation by a
//! priori tree structures", from memory). Faces that cross a plane are cut, so
//! the order is right for any solid, however its faces lie.

use crate::near::{dot, minus};

/// A flat face that looks towards the eye.
#[derive(Clone)]
pub(crate) struct Face {
    pub points: Vec<[f64; 3]>,
    /// Whether the edge from each point to the next is a sharp edge of the solid.
    pub sharp: Vec<bool>,
    pub normal: [f64; 3],
    pub shade: [u8; 3],
}

/// Nearer than this to a plane counts as on it.
const FLAT: f64 = 1e-6;

enum Work {
    Sort(Vec<Face>),
    Paint(Vec<Face>),
}

/// All faces, cut where needed, farthest first. Every face must look towards the eye.
pub(crate) fn far_to_near(faces: Vec<Face>) -> Vec<Face> {
    let mut done = Vec::with_capacity(faces.len());
    let mut work = vec![Work::Sort(faces)];
    while let Some(next) = work.pop() {
        let mut faces = match next {
            Work::Paint(faces) => {
                done.extend(faces);
                continue;
            }
            Work::Sort(faces) if faces.len() <= 1 => {
                done.extend(faces);
                continue;
            }
            Work::Sort(faces) => faces,
        };
        let pivot = faces.swap_remove(choose(&faces));
        let level = dot(pivot.normal, pivot.points[0]);
        let (mut behind, mut on, mut before) = (Vec::new(), vec![pivot.clone()], Vec::new());
        for face in faces {
            let heights: Vec<f64> = face.points.iter().map(|p| dot(pivot.normal, *p) - level).collect();
            let above = heights.iter().any(|h| *h > FLAT);
            let below = heights.iter().any(|h| *h < -FLAT);
            match (above, below) {
                (false, false) => on.push(face),
                (true, false) => before.push(face),
                (false, true) => behind.push(face),
                (true, true) => {
                    let (up, down) = cut(&face, &heights);
                    before.extend(up);
                    behind.extend(down);
                }
            }
        }
        // The eye is in front of every face: what lies behind the plane is painted first.
        work.push(Work::Sort(before));
        work.push(Work::Paint(on));
        work.push(Work::Sort(behind));
    }
    done
}

/// A face whose plane cuts few others and parts them evenly, out of a handful.
fn choose(faces: &[Face]) -> usize {
    let tries = 6.min(faces.len());
    let sample = faces.len().div_ceil(60);
    let score = |i: usize| {
        let pivot = &faces[i];
        let level = dot(pivot.normal, pivot.points[0]);
        let (mut cuts, mut above, mut below) = (0i64, 0i64, 0i64);
        for face in faces.iter().step_by(sample) {
            let up = face.points.iter().any(|p| dot(pivot.normal, *p) - level > FLAT);
            let down = face.points.iter().any(|p| dot(pivot.normal, *p) - level < -FLAT);
            cuts += i64::from(up && down);
            above += i64::from(up && !down);
            below += i64::from(down && !up);
        }
        4 * cuts + (above - below).abs()
    };
    (0..tries).map(|t| t * faces.len() / tries).min_by_key(|&i| (score(i), i)).expect("there are faces")
}

fn cut(face: &Face, heights: &[f64]) -> (Option<Face>, Option<Face>) {
    let (mut up, mut down): (Vec<_>, Vec<_>) = (Vec::new(), Vec::new());
    for i in 0..face.points.len() {
        let j = (i + 1) % face.points.len();
        let (p, h, g, sharp) = (face.points[i], heights[i], heights[j], face.sharp[i]);
        // Where a side leaves its half, the edge that follows is the cut itself.
        if h >= -FLAT {
            up.push((p, sharp && (h > FLAT || g >= -FLAT)));
        }
        if h <= FLAT {
            down.push((p, sharp && (h < -FLAT || g <= FLAT)));
        }
        if (h > FLAT && g < -FLAT) || (h < -FLAT && g > FLAT) {
            let way = minus(face.points[j], p);
            let t = h / (h - g);
            let q = std::array::from_fn(|k| p[k] + t * way[k]);
            up.push((q, sharp && g > FLAT));
            down.push((q, sharp && g < -FLAT));
        }
    }
    let make = |corners: Vec<([f64; 3], bool)>| {
        let (points, sharp) = corners.into_iter().unzip();
        let face = Face { points, sharp, ..*face };
        (face.points.len() > 2).then_some(face)
    };
    (make(up), make(down))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_floor_seen_through_a_hole_is_painted_before_the_rim() {
        let quad = |z: f64, x0: f64, x1: f64| Face {
            points: vec![[x0, 0.0, z], [x1, 0.0, z], [x1, 9.0, z], [x0, 9.0, z]],
            sharp: vec![false; 4],
            normal: [0.0, 0.0, 1.0],
            shade: [z as u8, 0, 0],
        };
        let order = far_to_near(vec![
            quad(3.0, 0.0, 4.0),
            quad(1.0, 4.0, 5.0),
            quad(3.0, 5.0, 90.0),
            quad(2.0, 0.0, 90.0),
        ]);
        let heights: Vec<u8> = order.iter().map(|f| f.shade[0]).collect();
        assert_eq!(heights, [1, 2, 3, 3]);
    }

    #[test]
    fn faces_that_cross_are_cut() {
        let lying = Face {
            points: vec![[-1.0, -1.0, 0.0], [1.0, -1.0, 0.0], [1.0, 1.0, 0.0], [-1.0, 1.0, 0.0]],
            sharp: vec![true; 4],
            normal: [0.0, 0.0, 1.0],
            shade: [1, 1, 1],
        };
        let leaning = Face {
            points: vec![[0.0, -1.0, -1.0], [0.0, 1.0, -1.0], [0.0, 1.0, 1.0], [0.0, -1.0, 1.0]],
            sharp: vec![true; 4],
            normal: [1.0, 0.0, 0.0],
            shade: [2, 2, 2],
        };
        let order = far_to_near(vec![lying, leaning]);
        assert_eq!(order.len(), 3);
        // Eight sides stay sharp, two of them in halves; the cut does not become an edge.
        assert_eq!(order.iter().flat_map(|f| &f.sharp).filter(|s| **s).count(), 10);
    }
}
