//! Triangle meshes as they are written to files, and what can be said of them
//! without any solid library: closed, oriented, bodies, volume, bounds.

use std::collections::BTreeMap;

use crate::kernel::Move;

/// Points in millimetres and triangles that see them anticlockwise from outside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Mesh {
    /// Corner points.
    pub points: Vec<[f64; 3]>,
    /// Positions in `points`, three a triangle.
    pub triangles: Vec<[u32; 3]>,
}

/// What keeps a mesh from being closed and oriented.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OpenEdges {
    /// Directed edges without exactly one partner in the other direction.
    pub unpaired: usize,
    /// Triangles that name a point twice.
    pub collapsed: usize,
}

impl Mesh {
    /// Points rounded to a nanometre and sorted, triangles sorted: the same
    /// shape gives the same mesh whatever order it was built in. Points in one
    /// place stay apart, since merging them could tie two bodies together.
    pub(crate) fn canonical(points: Vec<[f64; 3]>, triangles: Vec<[u32; 3]>) -> Self {
        let grid = |v: f64| {
            let r = (v * 1e6).round() / 1e6;
            if r == 0.0 { 0.0 } else { r }
        };
        let points: Vec<[f64; 3]> = points.into_iter().map(|p| p.map(grid)).collect();
        let triangles = without_empty_edges(&points, triangles);
        let mut used = vec![false; points.len()];
        triangles.iter().flatten().for_each(|&v| used[v as usize] = true);
        let mut order: Vec<usize> = (0..points.len()).filter(|&i| used[i]).collect();
        order.sort_by(|&a, &b| points[a].partial_cmp(&points[b]).expect("finite points"));
        let mut place = vec![0u32; points.len()];
        for (new, &old) in order.iter().enumerate() {
            place[old] = new as u32;
        }
        let mut triangles: Vec<[u32; 3]> = triangles
            .into_iter()
            .map(|t| {
                let mut t = t.map(|v| place[v as usize]);
                let least = (0..3).min_by_key(|&i| t[i]).expect("three corners");
                t.rotate_left(least);
                t
            })
            .collect();
        triangles.sort_unstable();
        Mesh { points: order.into_iter().map(|i| points[i]).collect(), triangles }
    }

    /// The corners of a triangle.
    pub fn corners(&self, triangle: usize) -> [[f64; 3]; 3] {
        self.triangles[triangle].map(|v| self.points[v as usize])
    }

    /// Closed and consistently oriented, or what is not.
    pub fn open_edges(&self) -> Option<OpenEdges> {
        let mut seen: BTreeMap<(u32, u32), i32> = BTreeMap::new();
        let mut collapsed = 0;
        for &[a, b, c] in &self.triangles {
            collapsed += usize::from(a == b || b == c || c == a);
            for edge in [(a, b), (b, c), (c, a)] {
                *seen.entry(edge).or_default() += 1;
            }
        }
        let unpaired = seen.iter().filter(|&(&(a, b), &n)| n != 1 || seen.get(&(b, a)) != Some(&1)).count();
        (unpaired + collapsed > 0).then_some(OpenEdges { unpaired, collapsed })
    }

    /// The same question for the mesh as a program sees it that reads single
    /// precision and merges equal points, as STL must be read: triangles that
    /// collapse are dropped, and what is left must be closed.
    pub fn open_edges_in_single_precision(&self) -> Option<OpenEdges> {
        let mut place: BTreeMap<[u32; 3], u32> = BTreeMap::new();
        let merged: Vec<u32> = self
            .points
            .iter()
            .map(|p| {
                let next = place.len() as u32;
                *place.entry(p.map(|v| (v as f32).to_bits())).or_insert(next)
            })
            .collect();
        let triangles = self.triangles.iter().map(|t| t.map(|v| merged[v as usize]));
        let standing = triangles.filter(|t| t[0] != t[1] && t[1] != t[2] && t[2] != t[0]);
        Mesh { points: Vec::new(), triangles: standing.collect() }.open_edges()
    }

    /// The separate surfaces, as meshes of their own, in order of their first point.
    pub fn shells(&self) -> Vec<Mesh> {
        let mut root: Vec<u32> = (0..self.points.len() as u32).collect();
        fn find(root: &mut [u32], mut v: u32) -> u32 {
            while root[v as usize] != v {
                root[v as usize] = root[root[v as usize] as usize];
                v = root[v as usize];
            }
            v
        }
        for t in &self.triangles {
            for pair in [(t[0], t[1]), (t[1], t[2])] {
                let (a, b) = (find(&mut root, pair.0), find(&mut root, pair.1));
                root[a.max(b) as usize] = a.min(b);
            }
        }
        let mut groups: BTreeMap<u32, Vec<[u32; 3]>> = BTreeMap::new();
        for t in &self.triangles {
            groups.entry(find(&mut root, t[0])).or_default().push(*t);
        }
        groups.into_values().map(|t| Mesh::canonical(self.points.clone(), t)).collect()
    }

    /// Enclosed volume in mm³, by the divergence theorem; negative when inside out.
    pub fn volume(&self) -> f64 {
        let six: f64 = (0..self.triangles.len())
            .map(|t| {
                let [a, b, c] = self.corners(t);
                a[0] * (b[1] * c[2] - b[2] * c[1])
                    + a[1] * (b[2] * c[0] - b[0] * c[2])
                    + a[2] * (b[0] * c[1] - b[1] * c[0])
            })
            .sum();
        six / 6.0
    }

    /// Least and greatest coordinates. Zeros for an empty mesh.
    pub fn bounds(&self) -> ([f64; 3], [f64; 3]) {
        let Some(&first) = self.points.first() else { return ([0.0; 3], [0.0; 3]) };
        self.points.iter().fold((first, first), |(lo, hi), p| {
            (std::array::from_fn(|i| lo[i].min(p[i])), std::array::from_fn(|i| hi[i].max(p[i])))
        })
    }

    pub(crate) fn moved(&self, by: &Move) -> Mesh {
        Mesh { points: self.points.iter().map(|&p| by.apply(p)).collect(), triangles: self.triangles.clone() }
    }

    /// Several meshes side by side in one; no point is shared between them.
    pub fn together<'a>(meshes: impl IntoIterator<Item = &'a Mesh>) -> Mesh {
        let mut all = Mesh::default();
        for mesh in meshes {
            let base = all.points.len() as u32;
            all.points.extend_from_slice(&mesh.points);
            all.triangles.extend(mesh.triangles.iter().map(|t| t.map(|v| v + base)));
        }
        all
    }
}

/// Triangles with the ends of edges that have no length made one point, and the
/// triangles on such edges left out: a program that merges equal points on
/// reading would be left with them. Length is judged in single precision.
fn without_empty_edges(points: &[[f64; 3]], triangles: Vec<[u32; 3]>) -> Vec<[u32; 3]> {
    let single = |v: u32| points[v as usize].map(|c| c as f32);
    let mut place: Vec<u32> = (0..points.len() as u32).collect();
    let find = |place: &[u32], mut v: u32| {
        while place[v as usize] != v {
            v = place[v as usize];
        }
        v
    };
    for t in &triangles {
        for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
            if a != b && single(a) == single(b) {
                let (a, b) = (find(&place, a), find(&place, b));
                place[a.max(b) as usize] = a.min(b);
            }
        }
    }
    let moved = triangles.into_iter().map(|t| t.map(|v| find(&place, v)));
    moved.filter(|t| t[0] != t[1] && t[1] != t[2] && t[2] != t[0]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tetrahedron(dx: f64) -> Mesh {
        let points = vec![[dx, 0.0, 0.0], [dx + 1.0, 0.0, 0.0], [dx, 1.0, 0.0], [dx, 0.0, 1.0]];
        Mesh::canonical(points, vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    }

    #[test]
    fn a_missing_or_turned_triangle_is_seen() {
        let good = tetrahedron(0.0);
        assert_eq!(good.open_edges(), None);
        assert!((good.volume() - 1.0 / 6.0).abs() < 1e-12);
        let mut holed = good.clone();
        holed.triangles.pop();
        assert_eq!(holed.open_edges(), Some(OpenEdges { unpaired: 3, collapsed: 0 }));
        let mut turned = good;
        turned.triangles[0].swap(1, 2);
        assert!(turned.open_edges().is_some());
    }

    #[test]
    fn edges_without_length_are_closed_up() {
        let points =
            vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, 1.0 + 1e-9]];
        let split = vec![[0, 2, 1], [0, 1, 4], [1, 2, 3], [0, 3, 2], [1, 3, 4], [0, 4, 3]];
        let mesh = Mesh::canonical(points, split);
        assert_eq!((mesh.points.len(), mesh.triangles.len(), mesh.open_edges()), (4, 4, None));
        assert_eq!(mesh.triangles, tetrahedron(0.0).triangles);
    }

    #[test]
    fn points_that_single_precision_merges_may_open_a_surface() {
        // Two bodies whose edges run side by side, a tenth of a micrometre apart.
        let side = |dx: f64, out: f64| {
            let points = vec![[dx, 0.0, 0.0], [dx, 5.0, 0.0], [dx + out, 0.0, 0.0], [dx + out, 0.0, 5.0]];
            let turn = |[a, b, c]: [u32; 3]| if out > 0.0 { [a, b, c] } else { [a, c, b] };
            Mesh { points, triangles: [[0, 1, 2], [0, 3, 1], [0, 2, 3], [1, 3, 2]].map(turn).to_vec() }
        };
        let near = Mesh::together([&side(200.0, -3.0), &side(200.0 + 1e-7, 3.0)]);
        assert_eq!(near.open_edges(), None);
        assert!(near.open_edges_in_single_precision().is_some());
        let apart = Mesh::together([&side(200.0, -3.0), &side(200.3, 3.0)]);
        assert_eq!(apart.open_edges_in_single_precision(), None);
    }

    #[test]
    fn bodies_that_touch_in_a_point_stay_two() {
        let both = Mesh::together([&tetrahedron(0.0), &tetrahedron(1.0)]);
        assert_eq!(both.shells().len(), 2);
        assert_eq!(both.open_edges(), None);
    }
}
