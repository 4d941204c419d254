//! A piece as solids: one body a block (or one in all, when rigid), in the
//! home pose, standing on z = 0 with its lattice at the origin.

use lattice::{Cell, Corner, Level, Piece, Pose, Vertex};
use rayon::prelude::*;

use crate::area::{Point, sides_for};
use crate::kernel::{KernelError, Move, Solid};
use crate::mesh::Mesh;
use crate::section::{Section, stack};
use crate::sizes::Sizes;
use crate::text::engraving;

/// The bodies of one piece.
pub(crate) struct PieceBodies {
    pub solids: Vec<Solid>,
    pub meshes: Vec<Mesh>,
}

/// What a block carries at one of its corners.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Half {
    Leaf,
    Eye,
}

/// Builds every body of `piece`, `mark` cut into the top of its first block.
pub(crate) fn build(
    piece: &Piece,
    sizes: &Sizes,
    levels: u8,
    mark: &str,
) -> Result<PieceBodies, KernelError> {
    let shop = Shop::new(sizes, levels);
    let mut solids: Vec<Solid> = if piece.is_rigid() {
        vec![shop.rigid(piece.blocks())?]
    } else {
        (0..piece.blocks().len()).into_par_iter().map(|b| shop.block(piece, b)).collect::<Result<_, _>>()?
    };
    let words = mark;
    let mark = engraving(words, 0.42 * sizes.side(), sizes);
    if !mark.is_empty() {
        let fits = 0.8 * sizes.side();
        let (lo, hi) = mark.bounds().expect("not empty");
        let centre = cell_centre(piece.blocks()[0], sizes);
        // A long mark is drawn smaller until it fits.
        let small = 0.42 * sizes.side() * fits / (hi[0] - lo[0]);
        let mark = if hi[0] - lo[0] > fits { engraving(words, small, sizes) } else { mark };
        let cutter = Solid::prism(
            &mark.shifted(centre[0], centre[1]),
            sizes.height - sizes.mark_depth,
            sizes.height + 1.0,
        )?;
        solids[0] = solids[0].minus(&cutter)?;
    }
    let meshes = solids.par_iter().map(Solid::mesh).collect();
    Ok(PieceBodies { solids, meshes })
}

pub(crate) fn cell_centre(cell: Cell, sizes: &Sizes) -> Point {
    [(f64::from(cell.x) + 0.5) * sizes.pitch, (f64::from(cell.y) + 0.5) * sizes.pitch]
}

pub(crate) fn vertex_point(vertex: Vertex, sizes: &Sizes) -> Point {
    [f64::from(vertex.x) * sizes.pitch, f64::from(vertex.y) * sizes.pitch]
}

/// The rigid motion that carries each body of a piece from home to a pose.
pub(crate) fn moves(pose: &Pose, sizes: &Sizes) -> Vec<Move> {
    pose.motions()
        .iter()
        .map(|m| {
            // Turned over about the y axis: x and z change sign, as the lattice's mirror says.
            let over = Move {
                columns: [[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, -1.0]],
                shift: [0.0, 0.0, sizes.height],
            };
            let turn = Move::about([0.0, 0.0], 90.0 * f64::from(m.turn.quarters()));
            let shift = Move::shift(f64::from(m.dx) * sizes.pitch, f64::from(m.dy) * sizes.pitch, 0.0);
            let start = if m.mirrored { over } else { Move::STILL };
            start.then(&turn).then(&shift)
        })
        .collect()
}

/// Tools for one set of sizes: profiles turned once, then moved into place.
pub(crate) struct Shop<'a> {
    sizes: &'a Sizes,
    sections: Vec<Section>,
    sides: u32,
}

impl<'a> Shop<'a> {
    pub fn new(sizes: &'a Sizes, levels: u8) -> Self {
        let sides = sides_for(sizes.relief(), sizes.chord_error);
        Shop { sizes, sections: stack(sizes, levels), sides }
    }

    /// A pin-like body: its corners lie on the profile.
    fn pin(&self, profile: &[Point]) -> Result<Solid, KernelError> {
        Solid::revolve(profile, self.sides)
    }

    /// A hole-like body: its sides touch the profile from outside.
    fn hole(&self, profile: &[Point]) -> Result<Solid, KernelError> {
        let round = 1.0 / (std::f64::consts::PI / f64::from(self.sides)).cos();
        let profile: Vec<Point> = profile.iter().map(|p| [p[0] * round, p[1]]).collect();
        Solid::revolve(&profile, self.sides)
    }

    /// A square prism between two corners with bevelled bottom and top edges.
    pub fn prism(&self, low: Point, high: Point) -> Result<Solid, KernelError> {
        let (c, h) = (self.sizes.chamfer, self.sizes.height);
        let mut points = Vec::new();
        for (z, cut) in [(0.0, c), (c, 0.0), (h - c, 0.0), (h, c)] {
            for (x, y) in [
                (low[0] + cut, low[1] + cut),
                (high[0] - cut, low[1] + cut),
                (high[0] - cut, high[1] - cut),
                (low[0] + cut, high[1] - cut),
            ] {
                points.push([x, y, z]);
            }
        }
        Solid::hull(&points)
    }

    /// What is taken away at a corner on the levels that carry nothing there.
    fn reliefs(&self, carries: &[bool]) -> Result<Vec<Solid>, KernelError> {
        let (r, c, top) = (self.sizes.relief(), self.sizes.chamfer, self.sizes.height);
        let mut cutters = Vec::new();
        let mut level = 0;
        while level < carries.len() {
            if carries[level] {
                level += 1;
                continue;
            }
            let start = level;
            while level < carries.len() && !carries[level] {
                level += 1;
            }
            let mut profile = Vec::new();
            if start == 0 {
                profile.extend([[0.0, -1.0], [r + c + 1.0, -1.0], [r, c]]);
            } else {
                let floor = self.sections[start - 1].roof;
                profile.extend([[0.0, floor], [r, floor]]);
            }
            if level == carries.len() {
                profile.extend([[r, top - c], [r + c + 1.0, top + 1.0], [0.0, top + 1.0]]);
            } else {
                let apex = self.sections[level].apex;
                profile.extend([[r, apex - r], [0.0, apex]]);
            }
            cutters.push(self.hole(&profile)?);
        }
        Ok(cutters)
    }

    /// One block of a hinged piece, with its halves of its hinges.
    fn block(&self, piece: &Piece, block: usize) -> Result<Solid, KernelError> {
        let cell = piece.blocks()[block];
        let halves = |corner: Corner| -> Vec<Option<Half>> {
            (0..self.sections.len())
                .map(|level| {
                    let here = |h: &&lattice::Hinge| {
                        h.pin == cell.corner(corner)
                            && h.level == Level(level as u8)
                            && h.joins.contains(&block)
                    };
                    let hinge = piece.hinges().iter().find(here)?;
                    Some(if hinge.joins[0] == block { Half::Leaf } else { Half::Eye })
                })
                .collect()
        };
        self.block_with(cell, halves)
    }

    fn block_with(
        &self,
        cell: Cell,
        halves: impl Fn(Corner) -> Vec<Option<Half>>,
    ) -> Result<Solid, KernelError> {
        let (centre, half) = (cell_centre(cell, self.sizes), self.sizes.side() / 2.0);
        let mut solid =
            self.prism([centre[0] - half, centre[1] - half], [centre[0] + half, centre[1] + half])?;
        let mut added = Vec::new();
        for corner in Corner::ALL {
            let at = vertex_point(cell.corner(corner), self.sizes);
            let place = Move::shift(at[0], at[1], 0.0);
            let halves = halves(corner);
            let carries: Vec<bool> = halves.iter().map(Option::is_some).collect();
            for cutter in self.reliefs(&carries)? {
                solid = solid.minus(&cutter.moved(&place))?;
            }
            for (level, half) in halves.iter().enumerate() {
                let section = &self.sections[level];
                match half {
                    Some(Half::Leaf) => {
                        let r = self.sizes.relief();
                        let room = [
                            [0.0, section.cut_low],
                            [r, section.cut_low],
                            [r, section.cut_high],
                            [0.0, section.cut_high],
                        ];
                        solid = solid.minus(&self.hole(&room)?.moved(&place))?;
                        added.push(self.pin(&section.leaf())?.moved(&place));
                    }
                    Some(Half::Eye) => {
                        let next = carries.get(level + 1).copied().unwrap_or(false);
                        // Into the relief above, or out of the top.
                        let ceiling = section.roof + 0.5;
                        let room = self.hole(&section.room(next, ceiling))?.moved(&place);
                        solid = solid.minus(&room)?;
                        added.push(self.ring(section)?.moved(&place));
                    }
                    None => {}
                }
            }
        }
        for part in added {
            solid = solid.plus(&part)?;
        }
        Ok(solid)
    }

    /// The eye's ring: corners on the circle outside, sides round the room inside.
    fn ring(&self, section: &Section) -> Result<Solid, KernelError> {
        let disc = [
            [0.0, section.ring_low],
            [self.sizes.knuckle, section.ring_low],
            [self.sizes.knuckle, section.ring_high],
            [0.0, section.ring_high],
        ];
        self.pin(&disc)?.minus(&self.hole(&section.room(false, section.roof + 0.5))?)
    }

    /// One solid body of several blocks, relieved at every vertex where a
    /// neighbour's hinge could stand.
    fn rigid(&self, cells: &[Cell]) -> Result<Solid, KernelError> {
        let half = self.sizes.side() / 2.0;
        let span = |a: Cell, b: Cell| {
            let (a, b) = (cell_centre(a, self.sizes), cell_centre(b, self.sizes));
            self.prism([a[0] - half, a[1] - half], [b[0] + half, b[1] + half])
        };
        let mut solid = Solid::empty();
        for &cell in cells {
            solid = solid.plus(&span(cell, cell)?)?;
            let [right, up] = [cell.shifted(1, 0), cell.shifted(0, 1)];
            for next in [right, up] {
                if cells.contains(&next) {
                    solid = solid.plus(&span(cell, next)?)?;
                }
            }
            if [right, up, cell.shifted(1, 1)].iter().all(|c| cells.contains(c)) {
                solid = solid.plus(&span(cell, cell.shifted(1, 1))?)?;
            }
        }
        let cutter = &self.reliefs(&vec![false; self.sections.len()])?[0];
        let mut vertices: Vec<Vertex> = cells.iter().flat_map(|c| Corner::ALL.map(|k| c.corner(k))).collect();
        vertices.sort_unstable();
        vertices.dedup();
        for vertex in vertices {
            if !vertex.quadrants().iter().all(|c| cells.contains(c)) {
                let at = vertex_point(vertex, self.sizes);
                solid = solid.minus(&cutter.moved(&Move::shift(at[0], at[1], 0.0)))?;
            }
        }
        Ok(solid)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::samples;

    #[test]
    fn a_piece_of_n_blocks_is_n_closed_bodies() {
        let sizes = Sizes::default();
        for (name, piece) in samples::pieces() {
            let made = build(&piece, &sizes, 2, "8").unwrap();
            assert_eq!(made.meshes.len(), piece.bodies(), "{name}");
            for mesh in &made.meshes {
                assert_eq!(mesh.open_edges(), None, "{name}");
                assert_eq!(mesh.shells().len(), 1, "{name}");
                assert!(mesh.volume() > 0.0);
                let (lo, hi) = mesh.bounds();
                assert!(lo[2].abs() < 1e-9 && (hi[2] - sizes.height).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_plain_block_has_its_closed_form_volume() {
        let sizes = Sizes { chord_error: 0.002, ..Sizes::default() };
        let block = Piece::hinged(vec![Cell::new(2, -1)], vec![]).unwrap();
        let made = build(&block, &sizes, 2, "").unwrap();
        let (found, exact) = (made.meshes[0].volume(), crate::plan::plain_block_volume(&sizes));
        assert!((found - exact).abs() / exact < 2e-4 && found <= exact, "{found} {exact}");
    }

    #[test]
    fn the_same_piece_gives_the_same_mesh() {
        let (_, piece) = &samples::pieces()[0];
        let sizes = Sizes::default();
        let (a, b) = (build(piece, &sizes, 2, "3").unwrap(), build(piece, &sizes, 2, "3").unwrap());
        assert_eq!(a.meshes, b.meshes);
    }
}
