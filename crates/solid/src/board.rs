//! The board: a base, and on it the lattice as tiles in a second colour.
//!
//! Tiles are parted by grooves along the lattice lines and round nodes at the
//! vertices, deep enough for a plate's foot: blocks stand on the tiles, plates
//! in the grooves. z = 0 is the tiles' top; the colour changes at the grooves'
//! floor. Printed as it lies.

use lattice::{Cell, Vertex};

use crate::area::{Area, sides_for};
use crate::kernel::{KernelError, Solid};
use crate::key::{Side, notch_left};
use crate::piece::vertex_point;
use crate::sizes::Sizes;

/// The board's two bodies, as they lie on the bed.
pub(crate) struct Board {
    pub base: Solid,
    pub tiles: Solid,
    /// Closed-form volumes in mm³, from the plan areas.
    pub volumes: [f64; 2],
    /// Where the second colour begins, above the bed.
    pub change_at: f64,
}

/// A plate's lug.
pub(crate) struct Lug {
    /// How far it stands out from the wall.
    pub depth: f64,
    /// Its width along the wall.
    pub width: f64,
    /// Distance of its middle from the edge's middle.
    pub aside: f64,
}

impl Lug {
    pub fn of(sizes: &Sizes) -> Self {
        let width = 3.5 * sizes.nozzle;
        Lug { depth: 2.5 * sizes.nozzle, width, aside: width / 2.0 + sizes.seat }
    }

    /// What is left of a tile's edge between its notch and the node.
    pub fn tile_left(sizes: &Sizes) -> f64 {
        let (node, half) = (sizes.node(), sizes.half_groove());
        let lug = Lug::of(sizes);
        let edge = sizes.pitch / 2.0 - (node * node - half * half).max(0.0).sqrt();
        edge - lug.aside - lug.width / 2.0 - sizes.seat
    }
}

/// Width of the rim outside the outermost lattice lines.
pub(crate) fn rim(sizes: &Sizes) -> f64 {
    sizes.node() + 4.0 * sizes.nozzle
}

/// A rectangle across a side's edge where its notch is, from `near` to `far`
/// beyond the edge in `outside`, `width` along it.
pub(crate) fn across(side: Side, near: f64, far: f64, width: f64, sizes: &Sizes) -> Area {
    let p = sizes.pitch;
    let aside = Lug::of(sizes).aside * if notch_left(side) { 1.0 } else { -1.0 };
    let middle = [
        (f64::from(side.inside.x + side.outside.x) + 1.0) * p / 2.0,
        (f64::from(side.inside.y + side.outside.y) + 1.0) * p / 2.0,
    ];
    let out = [f64::from(side.outside.x - side.inside.x), f64::from(side.outside.y - side.inside.y)];
    let corner = |along: f64, left: f64| {
        [middle[0] + out[0] * along - out[1] * left, middle[1] + out[1] * along + out[0] * left]
    };
    let (a, b) = (corner(near, aside - width / 2.0), corner(far, aside + width / 2.0));
    Area::rectangle([a[0].min(b[0]), a[1].min(b[1])], [a[0].max(b[0]), a[1].max(b[1])])
}

/// The base's plan for a board of `width` × `height` cells.
pub(crate) fn base_plan(width: i32, height: i32, sizes: &Sizes) -> Area {
    let rim = rim(sizes);
    let end = vertex_point(Vertex::new(width, height), sizes);
    let sharp = Area::rectangle([0.0, 0.0], end);
    sharp.grown(rim, sizes.chord_error)
}

/// The tiles' plan.
pub(crate) fn tile_plan(width: i32, height: i32, sizes: &Sizes) -> Area {
    let half = sizes.half_groove();
    let end = vertex_point(Vertex::new(width, height), sizes);
    let mut taken = Vec::new();
    for x in 0..=width {
        let at = f64::from(x) * sizes.pitch;
        taken.push(Area::rectangle([at - half, -half], [at + half, end[1] + half]));
    }
    for y in 0..=height {
        let at = f64::from(y) * sizes.pitch;
        taken.push(Area::rectangle([-half, at - half], [end[0] + half, at + half]));
    }
    let sides = sides_for(sizes.node(), sizes.chord_error);
    for x in 0..=width {
        for y in 0..=height {
            taken.push(Area::disc_round(vertex_point(Vertex::new(x, y), sizes), sizes.node(), sides));
        }
    }
    let lug = Lug::of(sizes);
    for x in -1..=width {
        for y in -1..=height {
            let outside = Cell::new(x, y);
            for inside in outside.sides() {
                let on_board = (0..width).contains(&inside.x) && (0..height).contains(&inside.y);
                let side = Side { inside, outside };
                if on_board {
                    let far = half + lug.depth;
                    taken.push(across(side, half - 0.1, far, lug.width + 2.0 * sizes.seat, sizes));
                }
            }
        }
    }
    base_plan(width, height, sizes).minus(&Area::sum(&taken))
}

/// Builds a board of `width` × `height` cells.
pub(crate) fn build(width: i32, height: i32, sizes: &Sizes) -> Result<Board, KernelError> {
    let (base, tiles) = (base_plan(width, height, sizes), tile_plan(width, height, sizes));
    // The bottom edge's bevel in steps of one layer.
    // A thin base keeps at least a layer of its own plan.
    let most = ((sizes.base / sizes.layer).floor() as usize).saturating_sub(1);
    let steps = bevel_steps(sizes).min(most);
    let mut solid = Vec::new();
    let mut volume = 0.0;
    for i in 0..steps {
        let plan = base.grown(-((steps - i) as f64) * sizes.layer, sizes.chord_error);
        let (low, high) = (i as f64 * sizes.layer, (i + 1) as f64 * sizes.layer);
        volume += plan.area() * (high - low);
        solid.push(Solid::prism(&plan, low, high)?);
    }
    let low = steps as f64 * sizes.layer;
    volume += base.area() * (sizes.base - low);
    solid.push(Solid::prism(&base, low, sizes.base)?);
    let change_at = sizes.base;
    Ok(Board {
        base: Solid::sum(&solid)?,
        volumes: [volume, tiles.area() * sizes.groove],
        tiles: Solid::prism(&tiles, change_at, change_at + sizes.groove)?,
        change_at,
    })
}

/// Layers that a bevel is cut in: none if the chamfer is less than half a layer.
pub(crate) fn bevel_steps(sizes: &Sizes) -> usize {
    (sizes.chamfer / sizes.layer).round() as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_board_is_base_and_tiles_of_their_plans_volumes() {
        let sizes = Sizes::default();
        let board = build(5, 3, &sizes).unwrap();
        let (base, tiles) = (board.base.mesh(), board.tiles.mesh());
        assert_eq!((base.open_edges(), tiles.open_edges()), (None, None));
        // One tile a cell, and the rim.
        assert_eq!((base.shells().len(), tiles.shells().len()), (1, 16));
        assert!((base.volume() - board.volumes[0]).abs() < 1e-2);
        assert!((tiles.volume() - board.volumes[1]).abs() < 1e-2);
    }
}
