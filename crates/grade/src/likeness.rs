//! How like two answers are: the share of cells of the smaller outline that,
//! best aligned over turns and shifts, are covered by the same piece in the same
//! shape. From 0, nothing alike, to 1, one answer holds the other.

use lattice::{Cell, Class, Folding, Motion, Set, Turn};
use rustc_hash::FxHashMap;

/// Answers of an outline that are compared.
const ANSWERS: usize = 8;

/// A piece as it lies: its class, its cells sorted, and its shape.
struct Laid {
    class: usize,
    cells: Vec<Cell>,
    shape: Vec<Cell>,
}

fn laid(set: &Set, classes: &[Class], folding: &Folding, turn: Turn) -> Vec<Laid> {
    let motion = Motion::about_origin(false, turn);
    let one = |placed: &lattice::Placed| {
        let class = classes.iter().position(|c| c.pieces.contains(&placed.piece));
        let cells = placed.pose.cells(&set.pieces[placed.piece]);
        let mut cells: Vec<Cell> = cells.into_iter().map(|c| motion.cell(c)).collect();
        cells.sort_unstable();
        let x = cells.iter().map(|c| c.x).min().unwrap_or(0);
        let y = cells.iter().map(|c| c.y).min().unwrap_or(0);
        let shape = cells.iter().map(|c| c.shifted(-x, -y)).collect();
        Laid { class: class.expect("every piece is of a class"), cells, shape }
    };
    folding.placed.iter().map(one).collect()
}

/// How like two foldings are.
pub fn likeness(set: &Set, classes: &[Class], a: &Folding, b: &Folding) -> f64 {
    let still = laid(set, classes, b, Turn::NONE);
    let cells = |folding: &Folding| -> usize {
        folding.placed.iter().map(|p| set.pieces[p.piece].blocks().len()).sum()
    };
    let smaller = cells(a).min(cells(b)).max(1);
    let mut best = 0;
    for turn in Turn::ALL {
        // How many pairs of alike cells each shift lays on each other.
        let mut shifts: FxHashMap<(i32, i32), usize> = FxHashMap::default();
        for from in laid(set, classes, a, turn) {
            for to in still.iter().filter(|to| to.class == from.class && to.shape == from.shape) {
                for (p, q) in from.cells.iter().flat_map(|p| to.cells.iter().map(move |q| (p, q))) {
                    *shifts.entry((q.x - p.x, q.y - p.y)).or_default() += 1;
                }
            }
        }
        best = best.max(shifts.into_values().max().unwrap_or(0));
    }
    best as f64 / smaller as f64
}

/// The same for two outlines by their answers: the most like of the first few of
/// each. 0 where one has none.
pub fn likeness_of_answers(set: &Set, classes: &[Class], a: &[Folding], b: &[Folding]) -> f64 {
    let pairs = a.iter().take(ANSWERS).flat_map(|a| b.iter().take(ANSWERS).map(move |b| (a, b)));
    pairs.map(|(a, b)| likeness(set, classes, a, b)).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use fill::sample::small_instance;
    use fill::{Ask, fill};

    fn answers(seed: u64) -> Option<(Set, Vec<Class>, Vec<Folding>)> {
        let (set, outline) = small_instance(seed);
        let classes = set.classes();
        let ask = Ask { answers: 3, ..Ask::default() };
        let found = fill(&set, &classes, &outline.open(), &ask).answers;
        (found.len() > 1).then(|| (set, classes, found.into_iter().map(|a| a.folding).collect()))
    }

    #[test]
    fn an_answer_is_like_itself_however_turned_and_shifted() {
        let mut seen = 0;
        for (set, classes, all) in (0..60).filter_map(answers) {
            let turned = |f: &Folding, turn| {
                let motion = Motion::about_origin(false, turn).shifted(5, -3);
                let placed =
                    f.placed.iter().map(|p| lattice::Placed { pose: p.pose.moved(motion), ..p.clone() });
                Folding { placed: placed.collect() }
            };
            let [a, b] = [&all[0], &all[1]];
            let like = likeness(&set, &classes, a, b);
            assert!((0.0..=1.0).contains(&like));
            assert_eq!(like, likeness(&set, &classes, b, a));
            for turn in Turn::ALL {
                assert_eq!(likeness(&set, &classes, &turned(a, turn), a), 1.0);
                assert_eq!(likeness(&set, &classes, &turned(a, turn), b), like);
            }
            seen += 1;
        }
        assert!(seen > 20, "{seen}");
    }

    /// Two dominoes side by side, and the same two with one of them upright: one
    /// domino of two can be laid on its like.
    #[test]
    fn shared_cells_are_counted() {
        let rigid = |w: i32, h: i32| {
            let cells = (0..w).flat_map(|x| (0..h).map(move |y| Cell::new(x, y)));
            lattice::Piece::rigid(cells.collect()).unwrap()
        };
        let set = Set { pieces: vec![rigid(2, 1), rigid(3, 1)], levels: 1, turn_over: false };
        let classes = set.classes();
        let at = |piece: usize, motion| lattice::Placed {
            piece,
            pose: lattice::Pose::home(&set.pieces[piece]).moved(motion),
        };
        let up = Motion::STILL.shifted(0, 1);
        let flat = Folding { placed: vec![at(0, Motion::STILL), at(1, up)] };
        let upright = Motion::about_origin(false, Turn::new(1)).shifted(-1, 0);
        let corner = Folding { placed: vec![at(0, upright), at(1, Motion::STILL)] };
        // The bar of three alone can be laid on its like: three of five cells.
        assert_eq!(likeness(&set, &classes, &flat, &corner), 0.6);
    }
}
