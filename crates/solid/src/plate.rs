//! A plate: the light wall round an outline, with its pockets, number and grade.
//!
//! In the board's frame (z = 0 on the tiles) the wall stands from the grooves'
//! floor up to the widest part of the highest hinge, so that a hinge at any
//! level wants its pocket. It is printed face down, the squashed first layer on
//! top, where its edge is bevelled; a plate with loose parts is tied by strips
//! in the grooves and printed foot down.

use lattice::{Motion, Outline, Vertex};

use crate::area::{Area, Point, sides_for};
use crate::board::{Lug, across, bevel_steps};
use crate::kernel::{KernelError, Move, Solid};
use crate::key::{one_place, wall_sides};
use crate::layers::layers_to;
use crate::piece::vertex_point;
use crate::section::stack;
use crate::sizes::Sizes;
use crate::text::engraving;
use crate::tie::{Untied, tie};

/// Why a plate can't be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PlateFault {
    /// The outline is larger than the board.
    #[error("the outline is {} × {} cells, the board only {} × {}", .outline.0, .outline.1, .board.0, .board.1)]
    LargerThanBoard {
        /// Columns and rows of the outline.
        outline: (i32, i32),
        /// Columns and rows of the board.
        board: (i32, i32),
    },
    /// Nowhere on the board has the plate one place only.
    #[error(
        "the plate fits the board in more than one place wherever it is put; make the board a cell larger or smaller"
    )]
    NoOnePlace,
    /// A part of the wall that no strip can reach.
    #[error("a part of the wall near ({:.1}, {:.1}) mm would come loose: {why}", .at[0], .at[1])]
    Loose {
        /// A point of the part, from the outline's lower left vertex.
        at: Point,
        /// What was tried.
        why: Untied,
    },
    /// The solid library failed.
    #[error(transparent)]
    Kernel(#[from] KernelError),
}

/// What is written on a plate.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Label {
    /// Its number in the set.
    pub number: String,
    /// Its grade.
    pub grade: String,
}

/// Which side of a plate lies on the bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayUp {
    /// The face: the way a plate is meant to be printed.
    FaceDown,
    /// The foot: a plate whose parts are tied by strips in the board's grooves.
    FootDown,
}

/// A plate in the board's frame.
pub(crate) struct Plate {
    pub solid: Solid,
    /// From the board's frame to the bed.
    pub to_bed: Move,
    pub way_up: WayUp,
    /// Its foot's plan in the grooves, lugs and strips included.
    pub foot: Area,
    /// Where the outline's own coordinates lie on the board.
    pub on_board: Motion,
    pub lugs: usize,
    pub strips: usize,
    /// Volume by the plan areas, figures and label's corbel left out; `None` if they can't be.
    pub plan_volume: f64,
}

/// The opening of an outline in the plan: cells and fit, and its pockets.
pub(crate) fn opening(outline: &Outline, sizes: &Sizes) -> Area {
    let cells: Vec<Area> = outline
        .cells()
        .iter()
        .map(|c| {
            let low = vertex_point(Vertex::new(c.x, c.y), sizes);
            Area::rectangle(low, [low[0] + sizes.pitch, low[1] + sizes.pitch])
        })
        .collect();
    let sides = sides_for(sizes.relief(), sizes.chord_error);
    let pockets =
        outline.pockets().iter().map(|&v| Area::disc_round(vertex_point(v, sizes), sizes.relief(), sides));
    let mut all = vec![Area::sum(&cells).grown_sharp(sizes.fit)];
    all.extend(pockets);
    Area::sum(&all)
}

/// The wall of an outline's plate seen from above, as closed lines in mm in the
/// outline's own frame: outer lines and the opening's, filled even-odd. Label,
/// lugs and strips are left out.
pub fn plate_plan(outline: &Outline, sizes: &Sizes) -> Vec<Vec<Point>> {
    let opening = opening(outline, sizes);
    opening.grown(sizes.wall(), sizes.chord_error).minus(&opening).contours()
}

/// Top of the wall above the tiles: two layers above the highest hinge's widest part.
pub(crate) fn wall_top(sizes: &Sizes, levels: u8) -> f64 {
    let highest = stack(sizes, levels).pop().expect("at least one level");
    let total = sizes.groove + highest.wide + 2.0 * sizes.layer;
    // Whole layers, so that the printed height is the modelled one.
    let layers = layers_to(sizes, total);
    crate::layers::layer_top(sizes, layers - 1) - sizes.groove
}

/// Builds the plate of `outline` for a board of `board` cells.
pub(crate) fn build(
    outline: &Outline,
    label: &Label,
    sizes: &Sizes,
    levels: u8,
    board: (i32, i32),
) -> Result<Plate, PlateFault> {
    let (_, w, h) = outline.bounds();
    if w > board.0 || h > board.1 {
        return Err(PlateFault::LargerThanBoard { outline: (w, h), board });
    }
    let on_board = one_place(outline, board.0, board.1).ok_or(PlateFault::NoOnePlace)?;
    let outline = &outline.moved(on_board);
    let opening = opening(outline, sizes);
    let wall = opening.grown(sizes.wall(), sizes.chord_error).minus(&opening);
    let tied = tie(outline, &wall, sizes).map_err(|(at, why)| {
        let shift = vertex_point(Vertex::new(on_board.dx, on_board.dy), sizes);
        PlateFault::Loose { at: [at[0] - shift[0], at[1] - shift[1]], why }
    })?;
    let lug = Lug::of(sizes);
    let outer = sizes.fit + sizes.wall();
    let lugs: Vec<Area> = wall_sides(outline)
        .into_iter()
        .map(|s| across(s, outer - sizes.nozzle, outer + lug.depth, lug.width, sizes))
        .collect();
    // A lug must not stand in another part of the opening.
    let mut standing = vec![wall.clone()];
    standing.extend(lugs.iter().map(|l| l.minus(&opening)));
    let standing = Area::sum(&standing);
    let way_up = if tied.is_empty() { WayUp::FaceDown } else { WayUp::FootDown };
    let (bottom, top) = (-sizes.groove, wall_top(sizes, levels));

    let mut parts = Vec::new();
    let mut plan_volume = 0.0;
    let mut slab = |plan: &Area, low: f64, high: f64| -> Result<(), KernelError> {
        plan_volume += plan.area() * (high - low);
        parts.push(Solid::prism(plan, low, high)?);
        Ok(())
    };
    // The bevelled edge stays a wall of two lines.
    let spare = sizes.wall() - 2.0 * sizes.nozzle - 4.0 * sizes.chord_error;
    let steps = bevel_steps(sizes).min((spare / (2.0 * sizes.layer)).max(0.0) as usize);
    let bevel = steps as f64 * sizes.layer;
    let inset = |i: usize| standing.grown(-(i as f64) * sizes.layer, sizes.chord_error);
    match way_up {
        WayUp::FaceDown => {
            slab(&standing, bottom, top - bevel)?;
            for i in 1..=steps {
                let low = top - bevel + (i - 1) as f64 * sizes.layer;
                slab(&inset(i), low, low + sizes.layer)?;
            }
        }
        WayUp::FootDown => {
            for i in 1..=steps {
                let high = bottom + bevel - (i - 1) as f64 * sizes.layer;
                slab(&inset(i), high - sizes.layer, high)?;
            }
            slab(&standing, bottom + bevel, top)?;
        }
    }
    let mut solid = Solid::sum(&parts)?;
    let strips = Area::sum(&tied);
    if !strips.is_empty() {
        solid = solid.plus(&Solid::prism(&strips, bottom, -sizes.strip_air())?)?;
    }
    if let Some(tab) = Tab::of(outline, label, &opening, sizes) {
        solid = solid.plus(&tab.solid(way_up, top, &opening, sizes)?)?;
        if !tab.words.is_empty() {
            solid = solid.minus(&Solid::prism(&tab.words, top - sizes.mark_depth, top + 1.0)?)?;
        }
    }
    let to_bed = match way_up {
        WayUp::FaceDown => Move::turned_over(top),
        WayUp::FootDown => Move::shift(0.0, 0.0, -bottom),
    };
    Ok(Plate {
        solid,
        to_bed,
        way_up,
        foot: Area::sum(&[standing, strips]),
        on_board,
        lugs: lugs.len(),
        strips: tied.len(),
        plan_volume,
    })
}

/// The label's tab, below the outline's lowest side, flush with the wall's top.
struct Tab {
    plan: Area,
    words: Area,
    low: Point,
    high: Point,
}

impl Tab {
    /// Two lines and more stay under the words.
    fn thick(sizes: &Sizes) -> f64 {
        sizes.mark_depth + 2.5 * sizes.nozzle
    }

    fn of(outline: &Outline, label: &Label, opening: &Area, sizes: &Sizes) -> Option<Tab> {
        let words = format!("{} {}", label.number, label.grade);
        let cap = 5.0;
        let drawn = engraving(words.trim(), cap, sizes);
        let (lo, hi) = drawn.bounds()?;
        // The longest run of cells in the lowest row: below it nothing is in the way.
        let (low, ..) = outline.bounds();
        let row: Vec<i32> = outline.cells().iter().filter(|c| c.y == low.y).map(|c| c.x).collect();
        let runs: Vec<&[i32]> = row.chunk_by(|a, b| a + 1 == *b).collect();
        let longest = runs.iter().map(|r| r.len()).max()?;
        let run = runs.into_iter().find(|r| r.len() == longest)?;
        let middle = f64::from(run[0] + run[run.len() - 1] + 1) / 2.0 * sizes.pitch;
        let edge = f64::from(low.y) * sizes.pitch;
        let half = (hi[0] - lo[0]) / 2.0 + 1.6;
        // Words keep clear of pockets and of the wall's bevelled top.
        let pocket_near = outline
            .pockets()
            .iter()
            .any(|v| v.y == low.y && (f64::from(v.x) * sizes.pitch - middle).abs() < half + sizes.relief());
        let start = (if pocket_near { sizes.relief() } else { sizes.fit + sizes.wall() }) + 0.8;
        let depth = start + (hi[1] - lo[1]) + 1.2;
        let (low, high) =
            ([middle - half, edge - depth], [middle + half, edge - sizes.fit - sizes.wall() / 2.0]);
        let words = drawn.shifted(middle, edge - start - (hi[1] - lo[1]) / 2.0);
        Some(Tab { plan: Area::rectangle(low, high).minus(opening), words, low, high })
    }

    fn solid(&self, way_up: WayUp, top: f64, opening: &Area, sizes: &Sizes) -> Result<Solid, KernelError> {
        let flat = Solid::prism(&self.plan, top - Tab::thick(sizes), top)?;
        if way_up == WayUp::FaceDown {
            return Ok(flat);
        }
        // Foot down, the tab is carried out from the wall at 45°. Faces that would
        // lie in those of the tab are set off a little: they would leave slivers.
        let (off, under) = (2.0 * sizes.chord_error, top - Tab::thick(sizes));
        let (front, back) = (self.low[1] + off, self.high[1] + off);
        let foot = (under - (back - front)).max(-sizes.groove);
        let mut points = Vec::new();
        for x in [self.low[0] + off, self.high[0] - off] {
            points.extend([[x, front, under + off], [x, back, under + off]]);
            points.extend([[x, front, under], [x, back, foot]]);
            if front + (under - foot) < back - off {
                points.push([x, front + (under - foot), foot]);
            }
        }
        let corbel = Solid::hull(&points)?;
        let corbel = corbel.minus(&Solid::prism(opening, -sizes.groove - 1.0, top + 1.0)?)?;
        flat.plus(&corbel)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::board::tile_plan;
    use crate::samples;

    #[test]
    fn plates_are_one_closed_body_and_sit_in_the_grooves() {
        let sizes = Sizes::default();
        let tiles = tile_plan(9, 9, &sizes);
        for (name, outline) in samples::outlines() {
            let label = Label { number: "12".into(), grade: "C".into() };
            let plate = build(&outline, &label, &sizes, 2, (9, 9)).unwrap_or_else(|e| panic!("{name}: {e}"));
            let mesh = plate.solid.mesh();
            assert_eq!(mesh.open_edges(), None, "{name}");
            assert_eq!(mesh.shells().len(), 1, "{name}");
            // No slivers that collapse in a file of single precision.
            let single = |v: &u32| mesh.points[*v as usize].map(|c| (c as f32).to_bits());
            for t in &mesh.triangles {
                let [a, b, c] = t.each_ref().map(single);
                let corners = t.map(|v| mesh.points[v as usize]);
                assert!(a != b && b != c && c != a, "{name}: {corners:?}");
            }
            assert!(plate.foot.common(&tiles).area() < 1e-6, "{name}");
            let (lo, hi) = mesh.moved(&plate.to_bed).bounds();
            assert!(lo[2].abs() < 1e-9 && (hi[2] - wall_top(&sizes, 2) - sizes.groove).abs() < 1e-9);
            // Shifted by a pitch, the foot meets tiles.
            let shifted = plate.foot.shifted(sizes.pitch, 0.0);
            assert!(shifted.common(&tiles).area() > 1.0, "{name}");
        }
    }

    #[test]
    fn a_hole_s_wall_is_tied() {
        let sizes = Sizes::default();
        let plates: Vec<_> = samples::outlines()
            .iter()
            .map(|(name, o)| (*name, build(o, &Label::default(), &sizes, 2, (9, 9)).unwrap()))
            .collect();
        for (name, plate) in plates {
            assert_eq!(plate.strips > 0, name == "lock", "{name}");
            assert_eq!(plate.way_up == WayUp::FootDown, name == "lock");
        }
    }

    #[test]
    fn a_plan_is_the_wall_of_the_plate() {
        let sizes = Sizes::default();
        let (_, outline) = &samples::outlines()[0];
        let plan = plate_plan(outline, &sizes);
        let wall = Area::from_contours(plan.iter().map(Vec::as_slice));
        let (low, width, height) = outline.bounds();
        let (lo, hi) = wall.bounds().unwrap();
        let outer = sizes.fit + sizes.wall();
        let (x, y) = (f64::from(low.x) * sizes.pitch, f64::from(low.y) * sizes.pitch);
        // A pocket's wall stands further out than that of a side.
        assert!(lo[0] <= x - outer + 1e-6 && lo[1] <= y - outer + 1e-6, "{lo:?}");
        assert!(hi[0] - lo[0] >= f64::from(width) * sizes.pitch + 2.0 * outer - 1e-6);
        assert!(hi[1] - lo[1] >= f64::from(height) * sizes.pitch + 2.0 * outer - 1e-6);
        assert!(wall.common(&opening(outline, &sizes)).area() < 1e-6);
    }

    #[test]
    fn what_is_too_large_is_refused() {
        let (_, outline) = &samples::outlines()[0];
        let fault = build(outline, &Label::default(), &Sizes::default(), 2, (3, 9)).err().unwrap();
        assert!(matches!(fault, PlateFault::LargerThanBoard { .. }));
    }
}
