//! The figures of a piece, from its poses and their classes at once.
//!
//! Folds are counted up to turning the whole first, each with the number of
//! different ones its four turns are. That is what `FoldSet` and `Reach` count,
//! by other means (the tests compare them), without building either.

use lattice::{Cell, Motion, Piece, Pose, Turn};
use reach::Classes;
use rustc_hash::{FxHashMap, FxHashSet};

/// The figures of an entry.
#[derive(Clone, Copy)]
pub(crate) struct Counts {
    pub(crate) folds: usize,
    pub(crate) shapes: usize,
    pub(crate) reached: usize,
    pub(crate) reached_shapes: usize,
    pub(crate) farthest: u32,
}

/// The folds that each pose takes, up to turning the whole.
pub(crate) struct Folds {
    /// By pose, its fold and its shape up to turning.
    of: Vec<(usize, usize)>,
    /// How many folds, or shapes, each stands for when turned.
    turned: [Vec<usize>; 2],
}

type Packed = Vec<u32>;

impl Folds {
    pub(crate) fn of(piece: &Piece, classes: &Classes) -> Self {
        let (mut folds, mut shapes) = (Numbers::default(), Numbers::default());
        let of = classes
            .poses()
            .iter()
            .map(|pose| {
                let turns = Turn::ALL.map(|turn| packed(piece, pose, turn));
                (folds.number(turns.clone().map(|t| t.1)), shapes.number(turns.map(|t| t.0)))
            })
            .collect();
        Folds { of, turned: [folds.turned, shapes.turned] }
    }

    /// The figures of a class with this home.
    pub(crate) fn counts(&self, classes: &Classes, class: usize, home: usize) -> Counts {
        let distance = distances(classes, home);
        let (mut folds, mut shapes) = (FxHashSet::default(), FxHashSet::default());
        let mut near: FxHashMap<usize, u32> = FxHashMap::default();
        for (pose, &(fold, shape)) in self.of.iter().enumerate() {
            if classes.classes()[pose] == class {
                folds.insert(fold);
                shapes.insert(shape);
                let d = distance[pose].expect("a class is joined by swings");
                near.entry(fold).and_modify(|n| *n = d.min(*n)).or_insert(d);
            }
        }
        let sum =
            |which: usize, chosen: &FxHashSet<usize>| chosen.iter().map(|&i| self.turned[which][i]).sum();
        Counts {
            folds: self.turned[0].iter().sum(),
            shapes: self.turned[1].iter().sum(),
            reached: sum(0, &folds),
            reached_shapes: sum(1, &shapes),
            farthest: near.into_values().max().unwrap_or(0),
        }
    }
}

#[derive(Default)]
struct Numbers {
    known: FxHashMap<Packed, usize>,
    turned: Vec<usize>,
}

impl Numbers {
    fn number(&mut self, mut turns: [Packed; 4]) -> usize {
        turns.sort_unstable();
        let different = 1 + turns.windows(2).filter(|w| w[0] != w[1]).count();
        let next = self.turned.len();
        let [least, ..] = turns;
        let number = *self.known.entry(least).or_insert(next);
        if number == next {
            self.turned.push(different);
        }
        number
    }
}

/// The cells of a turned pose, and its cells and pins, with the lower left at the origin.
fn packed(piece: &Piece, pose: &Pose, turn: Turn) -> (Packed, Packed) {
    let whole = Motion::about_origin(false, turn);
    let cells: Vec<Cell> =
        piece.blocks().iter().zip(pose.motions()).map(|(&c, m)| whole.cell(m.cell(c))).collect();
    let low = |of: fn(&Cell) -> i32| cells.iter().map(of).min().expect("a piece has blocks");
    let (x, y) = (low(|c| c.x), low(|c| c.y));
    let pack = |px: i32, py: i32, mark: u32| mark << 16 | ((px - x) as u32) << 8 | (py - y) as u32;
    let mut shape: Packed = cells.iter().map(|c| pack(c.x, c.y, 0)).collect();
    shape.sort_unstable();
    let mut fold = shape.clone();
    fold.extend(piece.hinges().iter().map(|h| {
        let v = whole.vertex(pose.motions()[h.joins[0]].vertex(h.pin));
        pack(v.x, v.y, 1 + u32::from(h.level.0))
    }));
    fold[shape.len()..].sort_unstable();
    (shape, fold)
}

/// The least number of swings from a pose to each pose.
fn distances(classes: &Classes, home: usize) -> Vec<Option<u32>> {
    let mut near = vec![vec![]; classes.poses().len()];
    for s in classes.swings() {
        let [a, b] = s.poses;
        near[a].push(b);
        near[b].push(a);
    }
    let mut distance = vec![None; near.len()];
    distance[home] = Some(0);
    let mut queue = std::collections::VecDeque::from([(home, 0)]);
    while let Some((a, d)) = queue.pop_front() {
        for &b in &near[a] {
            if distance[b].is_none() {
                distance[b] = Some(d + 1);
                queue.push_back((b, d + 1));
            }
        }
    }
    distance
}
