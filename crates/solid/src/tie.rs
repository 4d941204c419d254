//! Ties: strips in the board's grooves that hold the loose parts of a wall.
//!
//! A strip runs along lattice edges inside the opening, below the blocks, from
//! one part of the wall to another; the shortest way that joins two parts is
//! taken until all hang together.

use std::collections::{BTreeMap, VecDeque};

use lattice::{Corner, Outline, Vertex, VertexKind};

use crate::area::{Area, Point};
use crate::piece::vertex_point;
use crate::sizes::Sizes;

/// Why a part of a wall could not be tied.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Untied {
    /// No line of the lattice leads through the opening to another part.
    #[error("no lattice line leads through the opening to the rest of the wall")]
    NoWay,
}

/// Strips that tie all parts of `wall` together; none where it hangs together already.
pub(crate) fn tie(outline: &Outline, wall: &Area, sizes: &Sizes) -> Result<Vec<Area>, (Point, Untied)> {
    let parts = wall.parts();
    if parts.len() < 2 {
        return Ok(Vec::new());
    }
    let mut group: Vec<usize> = (0..parts.len()).collect();
    let edge = outline.vertices(VertexKind::Edge);
    let feet: BTreeMap<Vertex, Vec<usize>> =
        edge.iter().map(|&v| (v, parts_at(v, outline, &parts, sizes))).collect();
    let mut strips = Vec::new();
    for _ in 1..parts.len() {
        let way = shortest(outline, &feet, &group).ok_or_else(|| {
            let loose = &parts[(0..parts.len()).find(|&p| group[p] != group[0]).unwrap_or(0)];
            let (lo, hi) = loose.bounds().expect("a part has an area");
            ([(lo[0] + hi[0]) / 2.0, (lo[1] + hi[1]) / 2.0], Untied::NoWay)
        })?;
        strips.extend(way.path.windows(2).map(|w| strip(w[0], w[1], &way.path, outline, sizes)));
        let (old, new) = (group[way.to], group[way.from]);
        group.iter_mut().filter(|g| **g == old).for_each(|g| *g = new);
    }
    Ok(strips)
}

/// The wall's parts that stand at an edge vertex, in its quadrants outside.
fn parts_at(v: Vertex, outline: &Outline, parts: &[Area], sizes: &Sizes) -> Vec<usize> {
    let pocket = outline.pockets().binary_search(&v).is_ok();
    let at = vertex_point(v, sizes);
    let mut found = Vec::new();
    for corner in Corner::ALL {
        if outline.has(v.quadrant(corner)) {
            continue;
        }
        let (dx, dy) = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)][usize::from(corner.index())];
        let reach = if pocket {
            (sizes.relief() + sizes.wall() / 2.0) * std::f64::consts::FRAC_1_SQRT_2
        } else {
            sizes.fit + sizes.wall() / 3.0
        };
        let p = [at[0] + dx * reach, at[1] + dy * reach];
        found.extend(parts.iter().position(|a| a.holds(p)));
    }
    found.sort_unstable();
    found.dedup();
    found
}

struct Way {
    path: Vec<Vertex>,
    from: usize,
    to: usize,
}

/// The shortest way along edges with opening on both sides between two groups;
/// among equals one that starts and ends at vertices without pockets.
fn shortest(outline: &Outline, feet: &BTreeMap<Vertex, Vec<usize>>, group: &[usize]) -> Option<Way> {
    let mut best: Option<(usize, Way)> = None;
    let plain = |v: &Vertex| usize::from(outline.pockets().binary_search(v).is_ok());
    for (&start, starts) in feet {
        for &from in starts {
            let mut before: BTreeMap<Vertex, Vertex> = BTreeMap::from([(start, start)]);
            let mut queue = VecDeque::from([start]);
            while let Some(v) = queue.pop_front() {
                let other = |p: &&usize| group[**p] != group[from];
                if v != start
                    && let Some(&to) = feet.get(&v).and_then(|ends| ends.iter().find(other))
                {
                    let mut path = vec![v];
                    while path[path.len() - 1] != start {
                        path.push(before[&path[path.len() - 1]]);
                    }
                    path.reverse();
                    let cost = 10 * path.len() + plain(&start) + plain(&v);
                    if best.as_ref().is_none_or(|(c, _)| cost < *c) {
                        best = Some((cost, Way { path, from, to }));
                    }
                    break;
                }
                // A strip ends where it meets the wall.
                if v != start && feet.contains_key(&v) {
                    continue;
                }
                for (dx, dy) in [(1, 0), (0, 1), (-1, 0), (0, -1)] {
                    let next = v.shifted(dx, dy);
                    if open_edge(outline, v, next) && !before.contains_key(&next) {
                        before.insert(next, v);
                        queue.push_back(next);
                    }
                }
            }
        }
    }
    best.map(|(_, way)| way)
}

/// Whether both cells beside a lattice edge belong to the opening.
fn open_edge(outline: &Outline, a: Vertex, b: Vertex) -> bool {
    let (x, y) = (a.x.min(b.x), a.y.min(b.y));
    let cells = if a.y == b.y {
        [lattice::Cell::new(x, y), lattice::Cell::new(x, y - 1)]
    } else {
        [lattice::Cell::new(x, y), lattice::Cell::new(x - 1, y)]
    };
    cells.iter().all(|c| outline.has(*c))
}

/// One edge of a way as a strip; at the way's ends it reaches into the wall.
fn strip(a: Vertex, b: Vertex, path: &[Vertex], outline: &Outline, sizes: &Sizes) -> Area {
    let half = (sizes.half_groove() - sizes.seat).min(3.0 * sizes.nozzle);
    let reach = |v: Vertex| {
        let end = v == path[0] || v == path[path.len() - 1];
        match (end, outline.pockets().binary_search(&v).is_ok()) {
            (false, _) => half,
            (true, false) => sizes.fit + 0.75 * sizes.wall(),
            (true, true) => sizes.relief() + 0.75 * sizes.wall(),
        }
    };
    let (a, b) = if (a.x, a.y) < (b.x, b.y) { (a, b) } else { (b, a) };
    let (p, q) = (vertex_point(a, sizes), vertex_point(b, sizes));
    if a.y == b.y {
        Area::rectangle([p[0] - reach(a), p[1] - half], [q[0] + reach(b), q[1] + half])
    } else {
        Area::rectangle([p[0] - half, p[1] - reach(a)], [q[0] + half, q[1] + reach(b)])
    }
}
