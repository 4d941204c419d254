//! Outlines like a picture, the most alike first: the best lies of the picture
//! are tried, and from what they give the search goes on by exchanges, always
//! from the most alike that is not yet looked at.
//!
//! No number is drawn: equal ink gives equal candidates.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use lattice::{Cell, Motion, Turn};
use rayon::prelude::*;
use rustc_hash::{FxHashMap, FxHashSet};

use super::choice::{Cells, Choice};
use super::cover::{Grain, STEPS, turns};
use super::field::Field;
use super::{Candidate, Ink};

/// Lies that are kept of each turn and scale.
const KEPT: usize = 12;
/// Lies from which outlines are made.
const STARTS: usize = 160;
/// Sets of cells that are gone on from, for each outline that is wanted: of few
/// cells there are not so many outlines, but the same ones everywhere.
const PATIENCE: usize = 8;
/// Exchanges that are followed from each outline.
const FOLLOWED: usize = 20;

/// The wish and its neighbours.
pub(crate) struct Ranked {
    /// The best cells of the best lie, whether or not they hang together: no candidate is more alike.
    pub(crate) wish: Candidate,
    /// The parts of the wish, in its cells.
    pub(crate) parts: Vec<Vec<Cell>>,
    /// Outlines that hang together, the most alike first, no two the same but for a turn.
    pub(crate) candidates: Vec<Candidate>,
}

/// What to rank.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ranking {
    pub(crate) cells: usize,
    pub(crate) upright: bool,
    pub(crate) corners: bool,
    pub(crate) most: usize,
}

struct State {
    likeness: f64,
    choice: usize,
    cells: Cells,
}

impl State {
    fn order(&self, other: &State) -> Ordering {
        let by_place = (other.choice, &other.cells).cmp(&(self.choice, &self.cells));
        self.likeness.total_cmp(&other.likeness).then(by_place)
    }
}

impl PartialEq for State {
    fn eq(&self, other: &State) -> bool {
        self.order(other) == Ordering::Equal
    }
}

impl Eq for State {}

impl PartialOrd for State {
    fn partial_cmp(&self, other: &State) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for State {
    fn cmp(&self, other: &State) -> Ordering {
        self.order(other)
    }
}

/// Ranks outlines like the ink.
pub(crate) fn rank(ink: &Ink, ranking: &Ranking) -> Ranked {
    let field = Field::of(ink, ranking.cells);
    let choices = lies(&field, ranking);
    let best = choices[0].first();
    let wish = candidate(&field, &choices[0], &best);
    let parts = choices[0].parts(&best).iter().map(|part| placed(&choices[0], part, &best)).collect();
    let starts: Vec<State> = choices
        .par_iter()
        .enumerate()
        .flat_map_iter(|(k, choice)| {
            let from = std::iter::once(choice.best()).chain(choice.mirrored());
            let mended = from.filter_map(|cells| choice.mended(cells));
            mended.map(move |cells| State { likeness: choice.likeness(&cells), choice: k, cells })
        })
        .collect();
    let mut heap: BinaryHeap<State> = starts.into();
    let mut seen: FxHashSet<(usize, Cells)> = FxHashSet::default();
    let mut found: FxHashMap<Vec<Cell>, Candidate> = FxHashMap::default();
    while let Some(state) = heap.pop() {
        if found.len() >= ranking.most || seen.len() >= PATIENCE * ranking.most {
            break;
        }
        if !seen.insert((state.choice, state.cells.clone())) {
            continue;
        }
        let choice = &choices[state.choice];
        let key = turned_alike(&outline(choice, &state.cells));
        // The first to come is the most alike, but for what later exchanges bring up.
        found.entry(key).or_insert_with(|| candidate(&field, choice, &state.cells));
        for cells in choice.neighbours(&state.cells, FOLLOWED) {
            let likeness = choice.likeness(&cells);
            heap.push(State { likeness, choice: state.choice, cells });
        }
    }
    let mut candidates: Vec<Candidate> = found.into_values().collect();
    candidates.sort_by(|a, b| b.likeness.total_cmp(&a.likeness).then_with(|| a.cells.cmp(&b.cells)));
    Ranked { wish, parts, candidates }
}

/// The lies worth a look, the most alike first.
fn lies(field: &Field, ranking: &Ranking) -> Vec<Choice> {
    let worth = |choice: &Choice| choice.likeness(&choice.first());
    let of_turn = |&(degrees, scale): &(i32, u32)| {
        let grain = Grain::of(field, degrees, scale);
        let positions = (0..STEPS).flat_map(|x| (0..STEPS).map(move |y| [x, y]));
        let mut all: Vec<(f64, Choice)> = positions
            .map(|at| Choice::new(grain.cover(at), ranking.cells, ranking.corners))
            // A cover with too few cells that hold ink cannot be that large.
            .filter(|choice| choice.cover.gain.len() >= ranking.cells)
            .map(|choice| (worth(&choice), choice))
            .collect();
        all.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.lie().cmp(&b.1.lie())));
        all.truncate(KEPT);
        all
    };
    let all = turns(ranking.upright);
    let mut all: Vec<(f64, Choice)> = all.par_iter().flat_map_iter(of_turn).collect();
    all.sort_by(|a, b| {
        let plainest = |c: &Choice| (c.lie().degrees.abs(), c.lie());
        b.0.total_cmp(&a.0).then_with(|| plainest(&a.1).cmp(&plainest(&b.1)))
    });
    let mut seen: FxHashSet<Vec<Cell>> = FxHashSet::default();
    // All its sets are noted, though one that is new is enough.
    let new = |c: &Choice, seen: &mut FxHashSet<Vec<Cell>>| {
        let sets = std::iter::once(c.best()).chain(c.mirrored());
        sets.filter(|cells| seen.insert(turned_alike(&outline(c, cells)))).count() > 0
    };
    all.into_iter().map(|a| a.1).filter(|c| new(c, &mut seen)).take(STARTS).collect()
}

/// The chosen cells, the lower left of their box at the origin.
fn outline(choice: &Choice, cells: &[usize]) -> Vec<Cell> {
    placed(choice, cells, cells)
}

fn at_origin(mut cells: Vec<Cell>) -> Vec<Cell> {
    let (x, y) = corner(&cells);
    for cell in &mut cells {
        *cell = cell.shifted(-x, -y);
    }
    cells.sort_unstable();
    cells
}

fn corner(cells: &[Cell]) -> (i32, i32) {
    (cells.iter().map(|c| c.x).min().unwrap_or(0), cells.iter().map(|c| c.y).min().unwrap_or(0))
}

/// One and the same for outlines that are turns of each other. Mirror images are
/// different outlines: a plate is not turned over.
fn turned_alike(cells: &[Cell]) -> Vec<Cell> {
    let turned = |turn: Turn| {
        let motion = Motion::about_origin(false, turn);
        at_origin(cells.iter().map(|&c| motion.cell(c)).collect())
    };
    Turn::ALL.into_iter().map(turned).min().expect("there are four turns")
}

/// Chosen cells where they lie if the lower left of the box of `outline` is at the origin.
fn placed(choice: &Choice, cells: &[usize], outline: &[usize]) -> Vec<Cell> {
    let (x, y) = lower_left(choice, outline);
    let mut placed: Vec<Cell> = cells.iter().map(|&c| cell(choice, c).shifted(-x, -y)).collect();
    placed.sort_unstable();
    placed
}

fn cell(choice: &Choice, number: usize) -> Cell {
    let w = choice.cover.width;
    Cell::new((number % w) as i32, (number / w) as i32)
}

fn lower_left(choice: &Choice, outline: &[usize]) -> (i32, i32) {
    corner(&outline.iter().map(|&c| cell(choice, c)).collect::<Vec<_>>())
}

fn candidate(field: &Field, choice: &Choice, chosen: &[usize]) -> Candidate {
    let cover = &choice.cover;
    let added: Vec<usize> = chosen.iter().copied().filter(|&c| cover.gain[c] < 0.5).collect();
    let missed: Vec<usize> =
        (0..cover.gain.len()).filter(|c| cover.gain[*c] >= 0.5 && chosen.binary_search(c).is_err()).collect();
    let shared: f64 = chosen.iter().map(|&c| cover.plain[c]).sum();
    let lie = choice.lie();
    let pitch = field.pitch * f64::from(lie.scale) / 100.0 * field.of_picture;
    // From the centre of the ink to the lower left, right and up as the lattice lies.
    let (x, y) = lower_left(choice, chosen);
    let (right, up) = (pitch * (f64::from(x) - cover.middle[0]), pitch * (f64::from(y) - cover.middle[1]));
    let (sin, cos) = f64::from(lie.degrees).to_radians().sin_cos();
    let [cx, cy] = field.centre_in_picture();
    Candidate {
        likeness: choice.likeness(chosen),
        overlap: shared / (cover.ink + chosen.len() as f64 - shared),
        share: (shared / cover.ink).min(1.0),
        degrees: lie.degrees,
        pitch,
        origin: [cx + right * cos + up * sin, cy + right * sin - up * cos],
        cells: placed(choice, chosen, chosen),
        added: placed(choice, &added, chosen),
        missed: placed(choice, &missed, chosen),
    }
}
