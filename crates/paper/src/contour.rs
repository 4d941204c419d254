//! The edge of a set of cells as closed lines, with round cut-backs at pockets.
//!
//! The cells lie on the left of every line: outer lines run anticlockwise,
//! those of holes clockwise. Where two cells touch at a corner only, the lines
//! part them, or, with a pocket there, join them through it.

use std::collections::BTreeSet;

use lattice::{Cell, Vertex};

use crate::line::{Frame, Line};

/// Right, up, left, down.
const STEPS: [(i32, i32); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];

/// A corner of a contour, or a pocket on a straight run of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Node {
    at: Vertex,
    /// Direction of arrival and of leaving, quarter turns from rightward.
    came: usize,
    goes: usize,
}

fn loops(cells: &BTreeSet<Cell>, pockets: &BTreeSet<Vertex>) -> Vec<Vec<Node>> {
    let mut edges: BTreeSet<(Vertex, usize)> = BTreeSet::new();
    for &c in cells {
        let corners = [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(x, y)| Vertex::new(c.x + x, c.y + y));
        let across = [(0, -1), (1, 0), (0, 1), (-1, 0)];
        for side in 0..4 {
            if !cells.contains(&c.shifted(across[side].0, across[side].1)) {
                edges.insert((corners[side], side));
            }
        }
    }
    let mut found = Vec::new();
    while let Some(&start) = edges.first() {
        let mut nodes = Vec::new();
        let (mut from, mut came) = start;
        loop {
            edges.remove(&(from, came));
            let at = from.shifted(STEPS[came].0, STEPS[came].1);
            let (left, right) = ((came + 1) % 4, (came + 3) % 4);
            // Where two lines cross, keep to the cell, or through a pocket to the wall.
            let turns = if pockets.contains(&at) { [right, came, left] } else { [left, came, right] };
            let goes = turns.into_iter().find(|&d| edges.contains(&(at, d)) || (at, d) == start);
            let goes = goes.expect("every line of an edge goes on");
            nodes.push(Node { at, came, goes });
            if (at, goes) == start {
                break;
            }
            (from, came) = (at, goes);
        }
        found.push(nodes);
    }
    found
}

/// The edge of some cells, pockets cut back with `radius` pitches.
pub(crate) fn contour(frame: &Frame, cells: &[Cell], pockets: &[Vertex], radius: f64) -> Line {
    let pockets: BTreeSet<Vertex> = pockets.iter().copied().collect();
    let mut line = Line::default();
    for nodes in loops(&cells.iter().copied().collect(), &pockets) {
        let mut started = false;
        for node in nodes {
            let pocket = pockets.contains(&node.at);
            if !pocket && node.came == node.goes {
                continue;
            }
            let off = |direction: usize, by: f64| {
                let (dx, dy) = STEPS[direction];
                frame.at(f64::from(node.at.x) + by * f64::from(dx), f64::from(node.at.y) + by * f64::from(dy))
            };
            let first = if pocket { off(node.came, -radius) } else { frame.vertex(node.at) };
            if started {
                line.line(first)
            } else {
                line.to(first)
            };
            started = true;
            if pocket {
                let left_turn = node.goes == (node.came + 1) % 4;
                line.arc(radius * frame.pitch, left_turn, false, off(node.goes, radius));
            }
        }
        line.close();
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    fn count(cells: &[(i32, i32)], pockets: &[(i32, i32)]) -> (usize, usize) {
        let cells = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
        let pockets = pockets.iter().map(|&(x, y)| Vertex::new(x, y)).collect();
        let loops = loops(&cells, &pockets);
        (loops.len(), loops.iter().map(Vec::len).sum())
    }

    #[test]
    fn corners_part_cells_unless_a_pocket_joins_them() {
        assert_eq!(count(&[(0, 0)], &[]), (1, 4));
        assert_eq!(count(&[(0, 0), (1, 1)], &[]), (2, 8));
        assert_eq!(count(&[(0, 0), (1, 1)], &[(1, 1)]), (1, 8));
        let ring: Vec<_> = (0..9).filter(|i| *i != 4).map(|i| (i % 3, i / 3)).collect();
        assert_eq!(count(&ring, &[]), (2, 16));
    }

    #[test]
    fn a_pocket_is_an_arc_of_one_two_or_three_quarters() {
        let frame = Frame { left: 0.0, top: 0.0, pitch: 10.0, x0: 0, y1: 2 };
        let ell = [Cell::new(0, 0), Cell::new(1, 0), Cell::new(0, 1)];
        let line = |v: Vertex| contour(&frame, &ell, &[v], 0.2);
        assert!(line(Vertex::new(1, 0)).data().contains("8.00 20.00A2.00 2.00 0 0 0 12.00 20.00"));
        assert!(line(Vertex::new(1, 1)).data().contains("12.00 10.00A2.00 2.00 0 0 0 10.00 8.00"));
        assert!(line(Vertex::new(2, 0)).data().contains("18.00 20.00A2.00 2.00 0 1 0 20.00 18.00"));
    }
}
