//! Which folds a piece reaches when several hinges may move at once.
//!
//! Every fold gets one of four answers: reached by single swings; reached by a
//! motion, which is there to be replayed; never, with the proof; or not found
//! within the effort, which says nothing about whether there is a way.

use lattice::{Fold, FoldSet, Motion, Piece, Pose, Turn};
use reach::{Classes, Plan, Swings};

use crate::course::Course;
use crate::glide::Clearway;
use crate::order::orders;
use crate::roadmap::Roadmap;

/// How long to search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// How often the bodies may be looked at, in all.
    pub looks: u64,
    /// Equal seeds sample equal points.
    pub seed: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Effort { looks: 100_000, seed: 1 }
    }
}

/// What is known of a fold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Single clear swings lead to it.
    Swings,
    /// A motion of several hinges at once leads to it.
    Planned,
    /// The search ended before a way was found. There may be one.
    NotFound,
    /// No motion leads to it: it has blocks round a pin in another order than
    /// home, and blocks can't pass each other there.
    Never,
}

/// What a piece reaches with all its hinges.
#[derive(Clone, Debug)]
pub struct Planned {
    folds: FoldSet,
    answers: Vec<Answer>,
    courses: Vec<Option<Course>>,
    looks: u64,
}

impl Planned {
    /// What `piece` reaches in a set of `levels` levels, with bodies as wide as
    /// `plan` says, found within `effort`. With `turn_over`, both ways up count
    /// as home. Hinges must stand on the `levels`, as for [`FoldSet::of`].
    pub fn of(piece: &Piece, levels: u8, turn_over: bool, plan: &Plan, effort: Effort) -> Self {
        let classes = Classes::of(&mut Swings::new(piece, plan));
        let poses = classes.poses();
        let folds = FoldSet::of(piece, levels, turn_over);
        let taken: Vec<Vec<usize>> =
            poses.iter().map(|p| taken(piece, p, levels, turn_over, &folds)).collect();
        let home = orders(piece, &poses[0]);
        let possible: Vec<bool> = poses.iter().map(|p| orders(piece, p) == home).collect();
        if piece.is_rigid() {
            let answers = vec![Answer::Swings; folds.len()];
            let courses = vec![Some(Course::still()); folds.len()];
            return Planned { folds, answers, courses, looks: 0 };
        }
        let mut way = Clearway::new(piece, plan);
        let at = poses.iter().map(|p| way.linkage.coordinates(&reach::openings(piece, p))).collect();
        let mut map = Roadmap::new(at, classes.classes(), classes.swings());
        let reached = |map: &Roadmap| {
            let mut reached = vec![false; folds.len()];
            for (p, folds) in taken.iter().enumerate() {
                if map.is_home(p) {
                    folds.iter().for_each(|&f| reached[f] = true);
                }
            }
            reached
        };
        let swung = reached(&map);
        // A pose is worth joining while some fold it takes is not reached: the
        // list is remade only when something was joined.
        let memo = std::cell::RefCell::new((usize::MAX, Vec::new()));
        let wanted = |map: &Roadmap, pose: usize| {
            let mut memo = memo.borrow_mut();
            if memo.0 != map.joins {
                *memo = (map.joins, reached(map));
            }
            possible[pose] && !map.is_home(pose) && taken[pose].iter().any(|&f| !memo.1[f])
        };
        map.together(&mut way, poses.len(), effort.looks / 2, &wanted);
        map.grow(&mut way, poses.len(), effort.looks, effort.seed, &wanted);
        let found = reached(&map);
        let answer = |f: usize| {
            if swung[f] {
                Answer::Swings
            } else if found[f] {
                Answer::Planned
            } else if (0..poses.len()).any(|p| possible[p] && taken[p].contains(&f)) {
                Answer::NotFound
            } else {
                Answer::Never
            }
        };
        let answers: Vec<Answer> = (0..folds.len()).map(answer).collect();
        let ways = map.ways();
        let mut courses: Vec<Option<Course>> = vec![None; folds.len()];
        for (p, folds) in taken.iter().enumerate() {
            if !map.is_home(p) {
                continue;
            }
            let course = Course::along(&map, &ways, p, &way.linkage);
            for &f in folds {
                if courses[f].as_ref().is_none_or(|c| c.moves() > course.moves()) {
                    courses[f] = Some(course.clone());
                }
            }
        }
        Planned { folds, answers, courses, looks: way.looks.min(effort.looks) }
    }

    /// All folds of the piece, reached or not.
    pub fn folds(&self) -> &FoldSet {
        &self.folds
    }

    /// What is known of a fold, by its position in [`folds`](Self::folds).
    pub fn answer(&self, fold: usize) -> Answer {
        self.answers[fold]
    }

    /// How many folds have an answer.
    pub fn count(&self, answer: Answer) -> usize {
        self.answers.iter().filter(|&&a| a == answer).count()
    }

    /// A way from home to a fold, to be replayed; none if none was found. It
    /// ends in a pose that takes the fold once the whole piece is turned and
    /// shifted (and turned over, where the set allows).
    pub fn course(&self, fold: usize) -> Option<&Course> {
        self.courses[fold].as_ref()
    }

    /// How often the bodies were looked at.
    pub fn looks(&self) -> u64 {
        self.looks
    }
}

/// The folds that a pose takes, turned as a whole.
fn taken(piece: &Piece, pose: &Pose, levels: u8, turn_over: bool, folds: &FoldSet) -> Vec<usize> {
    let faces: &[bool] = if turn_over { &[false, true] } else { &[false] };
    let mut all = Vec::new();
    for &mirrored in faces {
        for turn in Turn::ALL {
            let fold = Fold::of(piece, &pose.moved(Motion::about_origin(mirrored, turn)), levels);
            all.push(folds.position(&fold).expect("a pose takes a fold"));
        }
    }
    all.sort_unstable();
    all.dedup();
    all
}
