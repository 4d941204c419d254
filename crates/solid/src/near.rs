//! Distances between meshes, and rays through them: what the checks measure with.
//!
//! A tree of boxes over the triangles; the distance of two triangles is the
//! library's. It knows nothing of how a mesh was built, so it judges what is
//! written to the file.

use manifold_rust::collider::distance_triangle_triangle_squared;
use manifold_rust::linalg::Vec3;

use crate::kernel::Move;
use crate::mesh::Mesh;

/// A mesh made ready for questions of distance.
#[derive(Clone)]
pub(crate) struct Tree {
    triangles: Vec<[[f64; 3]; 3]>,
    normals: Vec<[f64; 3]>,
    nodes: Vec<Node>,
}

#[derive(Clone, Copy)]
struct Node {
    lo: [f64; 3],
    hi: [f64; 3],
    /// Triangles below this node; children are the next node and `other`.
    from: u32,
    to: u32,
    other: u32,
}

const LEAF: usize = 4;

/// Gaps are found to within this: half a micrometre. Surfaces that turn in each
/// other have hundreds of pairs at one distance, of which one is enough.
const CLOSE: f64 = 5e-4;

/// Where two meshes come closest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Gap {
    /// The distance, 0 where they touch or cross; the bound where nothing is nearer.
    pub distance: f64,
    /// A point near both, if anything was nearer than the bound.
    pub at: Option<[f64; 3]>,
    /// The two triangles that come closest, by their places in the trees.
    pub pair: Option<(u32, u32)>,
}

/// A ray's first surface.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hit {
    pub distance: f64,
    /// Outward unit normal of the triangle met.
    pub normal: [f64; 3],
}

pub(crate) fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub(crate) fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(crate) fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Unit normal and area of a triangle; the normal is zero when it has none.
pub(crate) fn facing([a, b, c]: [[f64; 3]; 3]) -> ([f64; 3], f64) {
    let n = cross(minus(b, a), minus(c, a));
    let length = dot(n, n).sqrt();
    (if length > 0.0 { n.map(|v| v / length) } else { [0.0; 3] }, length / 2.0)
}

impl Tree {
    pub fn of(mesh: &Mesh) -> Self {
        let mut triangles: Vec<_> = (0..mesh.triangles.len()).map(|t| mesh.corners(t)).collect();
        let mut nodes = Vec::new();
        let all = triangles.len();
        if all > 0 {
            split(&mut triangles, 0, all, &mut nodes);
        }
        let normals = triangles.iter().map(|t| facing(*t).0).collect();
        let mut tree = Tree { triangles, normals, nodes };
        tree.fit();
        tree
    }

    /// The same tree carried by a motion.
    pub fn moved(&self, by: &Move) -> Self {
        let triangles = self.triangles.iter().map(|t| t.map(|p| by.apply(p))).collect();
        let turn = Move { shift: [0.0; 3], ..*by };
        let normals = self.normals.iter().map(|n| turn.apply(*n)).collect();
        let mut tree = Tree { triangles, normals, nodes: self.nodes.clone() };
        tree.fit();
        tree
    }

    /// Boxes from the leaves up: children stand behind their parent.
    fn fit(&mut self) {
        for n in (0..self.nodes.len()).rev() {
            let node = self.nodes[n];
            let (lo, hi) = if node.other == 0 {
                let points = self.triangles[node.from as usize..node.to as usize].iter().flatten();
                points.fold(([f64::MAX; 3], [f64::MIN; 3]), |(lo, hi), p| {
                    (std::array::from_fn(|i| lo[i].min(p[i])), std::array::from_fn(|i| hi[i].max(p[i])))
                })
            } else {
                let (a, b) = (self.nodes[n + 1], self.nodes[node.other as usize]);
                (std::array::from_fn(|i| a.lo[i].min(b.lo[i])), std::array::from_fn(|i| a.hi[i].max(b.hi[i])))
            };
            self.nodes[n].lo = lo;
            self.nodes[n].hi = hi;
        }
    }

    /// The least distance to `other`, if it is below `within`. A body wholly
    /// inside the other counts as distance 0.
    pub fn gap(&self, other: &Tree, within: f64) -> Gap {
        self.gap_from(other, within, None)
    }

    /// The same, looking first at a pair of triangles that was closest before:
    /// a near bound to begin with spares most of the search.
    pub fn gap_from(&self, other: &Tree, within: f64, first: Option<(u32, u32)>) -> Gap {
        let mut best = Gap { distance: within, at: None, pair: None };
        if let Some((a, b)) = first {
            let (p, q) = (self.triangles[a as usize], other.triangles[b as usize]);
            let d = distance_triangle_triangle_squared(p.map(vec3), q.map(vec3)).max(0.0).sqrt();
            if d < within {
                best = Gap { distance: d, at: Some(between(&p, &q)), pair: first };
            }
        }
        if self.nodes.is_empty() || other.nodes.is_empty() {
            return best;
        }
        let mut stack = vec![(0usize, 0usize, apart(&self.nodes[0], &other.nodes[0]))];
        while let Some((a, b, far)) = stack.pop() {
            if far >= (best.distance - CLOSE).max(1e-9) {
                continue;
            }
            let (na, nb) = (&self.nodes[a], &other.nodes[b]);
            if na.other == 0 && nb.other == 0 {
                for a in na.from..na.to {
                    for b in nb.from..nb.to {
                        let (p, q) = (self.triangles[a as usize], other.triangles[b as usize]);
                        let near_enough = (best.distance - CLOSE).max(1e-9);
                        if tri_box_apart(&p, &q) >= near_enough
                            || beyond(&p, self.normals[a as usize], &q) >= near_enough
                            || beyond(&q, other.normals[b as usize], &p) >= near_enough
                        {
                            continue;
                        }
                        let d = distance_triangle_triangle_squared(p.map(vec3), q.map(vec3)).max(0.0).sqrt();
                        if d < best.distance {
                            best = Gap { distance: d, at: Some(between(&p, &q)), pair: Some((a, b)) };
                        }
                    }
                }
                if best.distance == 0.0 {
                    return best;
                }
                continue;
            }
            // Open the larger box; look into the nearer child first.
            let open_a = nb.other == 0 || (na.other != 0 && size(na) >= size(nb));
            let children = if open_a {
                [(a + 1, b), (na.other as usize, b)]
            } else {
                [(a, b + 1), (a, nb.other as usize)]
            };
            let mut next = children.map(|(x, y)| (x, y, apart(&self.nodes[x], &other.nodes[y])));
            if next[0].2 < next[1].2 {
                next.swap(0, 1);
            }
            stack.extend(next);
        }
        let swallowed = |inner: &Tree, outer: &Tree| {
            let p = inner.triangles[0][0];
            let within = (0..3).all(|i| outer.nodes[0].lo[i] <= p[i] && p[i] <= outer.nodes[0].hi[i]);
            (within && outer.holds(p)).then_some(p)
        };
        if let Some(p) = swallowed(self, other).or_else(|| swallowed(other, self)) {
            best = Gap { distance: 0.0, at: Some(p), pair: None };
        }
        best
    }

    /// Whether a point lies inside, by the parity of a ray in a slanting direction.
    fn holds(&self, p: [f64; 3]) -> bool {
        let way = [0.557_301_7, 0.290_473_2, 0.777_824_9];
        self.crossings(p, way).len() % 2 == 1
    }

    /// The nearest surface met from `p` along the unit vector `way`, past `skip`.
    pub fn first_hit(&self, p: [f64; 3], way: [f64; 3], skip: f64) -> Option<Hit> {
        let mut best: Option<Hit> = None;
        self.visit(p, way, |t, distance| {
            if distance > skip && best.is_none_or(|b| distance < b.distance) {
                best = Some(Hit { distance, normal: facing(self.triangles[t]).0 });
            }
        });
        best
    }

    fn crossings(&self, p: [f64; 3], way: [f64; 3]) -> Vec<f64> {
        let mut all = Vec::new();
        self.visit(p, way, |_, d| all.push(d));
        all
    }

    fn visit(&self, p: [f64; 3], way: [f64; 3], mut meet: impl FnMut(usize, f64)) {
        let mut stack = if self.nodes.is_empty() { vec![] } else { vec![0usize] };
        while let Some(n) = stack.pop() {
            let node = &self.nodes[n];
            let (mut near, mut far) = (0.0f64, f64::MAX);
            for i in 0..3 {
                if way[i].abs() < 1e-12 {
                    if p[i] < node.lo[i] - 1e-9 || p[i] > node.hi[i] + 1e-9 {
                        far = -1.0;
                    }
                } else {
                    let (a, b) = ((node.lo[i] - p[i]) / way[i], (node.hi[i] - p[i]) / way[i]);
                    near = near.max(a.min(b));
                    far = far.min(a.max(b));
                }
            }
            if near > far + 1e-9 {
                continue;
            }
            if node.other == 0 {
                for t in node.from as usize..node.to as usize {
                    if let Some(d) = meets(p, way, &self.triangles[t]) {
                        meet(t, d);
                    }
                }
            } else {
                stack.extend([n + 1, node.other as usize]);
            }
        }
    }

    /// The triangles, in the tree's order.
    pub fn triangles(&self) -> &[[[f64; 3]; 3]] {
        &self.triangles
    }
}

fn split(triangles: &mut [[[f64; 3]; 3]], from: usize, to: usize, nodes: &mut Vec<Node>) {
    let here = nodes.len();
    nodes.push(Node { lo: [0.0; 3], hi: [0.0; 3], from: from as u32, to: to as u32, other: 0 });
    if to - from <= LEAF {
        return;
    }
    let centre = |t: &[[f64; 3]; 3], i: usize| t[0][i] + t[1][i] + t[2][i];
    let spread = |i: usize| {
        let (lo, hi) = triangles[from..to]
            .iter()
            .map(|t| centre(t, i))
            .fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)));
        hi - lo
    };
    let axis = (0..3).max_by(|&a, &b| spread(a).total_cmp(&spread(b))).expect("three axes");
    let middle = (from + to) / 2;
    triangles[from..to]
        .select_nth_unstable_by(middle - from, |a, b| centre(a, axis).total_cmp(&centre(b, axis)));
    split(triangles, from, middle, nodes);
    nodes[here].other = nodes.len() as u32;
    split(triangles, middle, to, nodes);
}

fn vec3(p: [f64; 3]) -> Vec3 {
    Vec3::new(p[0], p[1], p[2])
}

fn size(n: &Node) -> f64 {
    (n.hi[0] - n.lo[0]) + (n.hi[1] - n.lo[1]) + (n.hi[2] - n.lo[2])
}

/// Distance of two boxes.
fn apart(a: &Node, b: &Node) -> f64 {
    let d: [f64; 3] = std::array::from_fn(|i| (a.lo[i] - b.hi[i]).max(b.lo[i] - a.hi[i]).max(0.0));
    dot(d, d).sqrt()
}

fn tri_box_apart(p: &[[f64; 3]; 3], q: &[[f64; 3]; 3]) -> f64 {
    let range =
        |t: &[[f64; 3]; 3], i: usize| (t[0][i].min(t[1][i]).min(t[2][i]), t[0][i].max(t[1][i]).max(t[2][i]));
    let mut sum = 0.0;
    for i in 0..3 {
        let ((a, b), (c, d)) = (range(p, i), range(q, i));
        let gap = (a - d).max(c - b).max(0.0);
        sum += gap * gap;
    }
    sum.sqrt()
}

/// How far the plane of `p` keeps `q` away: a lower bound of their distance,
/// 0 where the plane cuts `q`.
fn beyond(p: &[[f64; 3]; 3], normal: [f64; 3], q: &[[f64; 3]; 3]) -> f64 {
    let heights = q.map(|v| dot(normal, minus(v, p[0])));
    let (low, high) = heights.iter().fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(*v), h.max(*v)));
    low.max(-high).max(0.0)
}

/// A point between two triangles that lie close: their nearest corners' middle.
fn between(p: &[[f64; 3]; 3], q: &[[f64; 3]; 3]) -> [f64; 3] {
    let mut best = (f64::MAX, [0.0; 3]);
    for a in p {
        for b in q {
            let d = minus(*a, *b);
            if dot(d, d) < best.0 {
                best = (dot(d, d), std::array::from_fn(|i| (a[i] + b[i]) / 2.0));
            }
        }
    }
    best.1
}

/// Where a ray meets a triangle (Möller and Trumbore 1997), from memory.
fn meets(p: [f64; 3], way: [f64; 3], t: &[[f64; 3]; 3]) -> Option<f64> {
    let (u, v) = (minus(t[1], t[0]), minus(t[2], t[0]));
    let h = cross(way, v);
    let det = dot(u, h);
    if det.abs() < 1e-14 {
        return None;
    }
    let s = minus(p, t[0]);
    let a = dot(s, h) / det;
    let q = cross(s, u);
    let b = dot(way, q) / det;
    let d = dot(v, q) / det;
    (a >= 0.0 && b >= 0.0 && a + b <= 1.0 && d > 0.0).then_some(d)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kernel::Solid;
    use proptest::prelude::*;

    fn cube(side: f64) -> Mesh {
        let h = side / 2.0;
        let corners: Vec<[f64; 3]> =
            (0..8).map(|i| [0, 1, 2].map(|k| if i >> k & 1 == 1 { h } else { -h })).collect();
        Solid::hull(&corners).unwrap().mesh()
    }

    proptest! {
        #[test]
        fn balls_are_as_far_apart_as_their_points_say(x in -5.0f64..5.0, y in -5.0f64..5.0, z in -5.0f64..5.0) {
            // Against every pair of corners of two hulls of random-looking points: never farther.
            let a = cube(2.0);
            let b = cube(1.0).moved(&Move::about([0.0, 0.0], 30.0)).moved(&Move::shift(x, y, z));
            let gap = Tree::of(&a).gap(&Tree::of(&b), 99.0).distance;
            let corners = a.points.iter().flat_map(|p| b.points.iter().map(move |q| {
                let d = minus(*p, *q);
                dot(d, d).sqrt()
            })).fold(f64::MAX, f64::min);
            prop_assert!(gap <= corners + 1e-9);
            let solid = |m: &Mesh| Solid::hull(&m.points).unwrap();
            let cross = solid(&a).common(&solid(&b)).unwrap().mesh().volume();
            prop_assert_eq!(cross > 1e-9, gap < 1e-7);
        }
    }

    #[test]
    fn a_body_inside_another_is_at_no_distance() {
        let gap = Tree::of(&cube(10.0)).gap(&Tree::of(&cube(1.0)), 2.0);
        assert_eq!(gap.distance, 0.0);
        let aside = cube(1.0).moved(&Move::shift(6.25, 0.0, 0.0));
        assert!((Tree::of(&cube(10.0)).gap(&Tree::of(&aside), 2.0).distance - 0.75).abs() < 1e-12);
        assert_eq!(Tree::of(&cube(10.0)).gap(&Tree::of(&aside), 0.5).distance, 0.5);
    }

    #[test]
    fn a_ray_meets_the_far_wall() {
        let hit = Tree::of(&cube(4.0)).first_hit([0.3, 0.2, 2.0], [0.0, 0.0, -1.0], 1e-6).unwrap();
        assert!((hit.distance - 4.0).abs() < 1e-12 && hit.normal == [0.0, 0.0, -1.0]);
    }
}
