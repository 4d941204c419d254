//! A set laid out: its pieces checked, with what is reckoned once and kept.

use std::cell::OnceCell;

use lattice::{Cell, Class, Fold, FoldSet, Motion, Piece, Pose, Set, Turn};
use reach::{Plan, Reach, poses};
#[cfg(feature = "written")]
use ruling::{Rules, RulesFault};

use crate::record::{ReachRecord, Refusal, SetRecord, pose, refuse};

/// A piece of more free hinges has too many poses to list while a page waits.
const MOST_FREE_HINGES: usize = 9;

pub(crate) struct Bench {
    pub set: Set,
    pub plan: Plan,
    pub reach: ReachRecord,
    pub interlocked: bool,
    /// By piece, under the rule `planned`: poses with block 0 as at home.
    planned: Vec<Vec<Pose>>,
    /// By piece: the poses that the rule allows, where it is not for swings alone to say.
    allowed: Vec<OnceCell<Vec<Pose>>>,
    folds: Vec<OnceCell<Reach>>,
    classes: OnceCell<Vec<Class>>,
    #[cfg(feature = "written")]
    letters: Vec<char>,
    #[cfg(feature = "written")]
    rules: OnceCell<Rules>,
    #[cfg(feature = "search")]
    live: OnceCell<crate::LiveSet>,
}

impl Bench {
    pub fn open(record: &SetRecord) -> Result<Self, Refusal> {
        let set = record.set()?;
        let plan = Plan::new(record.sizes())
            .map_err(|all| Refusal(all.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")))?;
        let mut planned = Vec::new();
        for (number, (piece, drawn)) in set.pieces.iter().zip(&record.pieces).enumerate() {
            let read = drawn.poses.iter().map(|p| pose(piece, p));
            let read = read.collect::<Result<Vec<Pose>, _>>()?;
            if let Some(torn) = read.iter().position(|p| !is_sound(piece, p)) {
                return refuse(format!("pose {torn} of piece {number} does not hold together"));
            }
            planned.push(read.iter().map(first_at_home).collect());
        }
        let count = set.pieces.len();
        Ok(Bench {
            set,
            plan,
            reach: record.reach,
            interlocked: record.interlocked,
            planned,
            allowed: vec![OnceCell::new(); count],
            folds: vec![OnceCell::new(); count],
            classes: OnceCell::new(),
            #[cfg(feature = "written")]
            letters: match &record.letters {
                Some(letters) => letters.chars().collect(),
                None => ('A'..='Z').chain('a'..='z').chain('0'..='9').take(count).collect(),
            },
            #[cfg(feature = "written")]
            rules: OnceCell::new(),
            #[cfg(feature = "search")]
            live: OnceCell::new(),
        })
    }

    pub fn piece(&self, number: usize) -> Result<&Piece, Refusal> {
        let none = || Refusal(format!("there is no piece {number}; the set has {}", self.set.pieces.len()));
        self.set.pieces.get(number).ok_or_else(none)
    }

    fn listable(&self, number: usize) -> Result<&Piece, Refusal> {
        let piece = self.piece(number)?;
        if piece.free_hinges() > MOST_FREE_HINGES {
            return refuse(format!(
                "piece {number} has {} free hinges; up to {MOST_FREE_HINGES} can be listed on a page",
                piece.free_hinges()
            ));
        }
        Ok(piece)
    }

    /// All folds of a piece with their distance by swings.
    pub fn reach(&self, number: usize) -> Result<&Reach, Refusal> {
        let piece = self.listable(number)?;
        let made = || Reach::of(piece, self.set.levels, self.set.turn_over, &self.plan);
        Ok(self.folds[number].get_or_init(made))
    }

    /// The poses, with block 0 as at home, that the rule allows beyond swings.
    pub fn allowed(&self, number: usize) -> Result<&[Pose], Refusal> {
        let piece = self.listable(number)?;
        Ok(self.allowed[number].get_or_init(|| match self.reach {
            ReachRecord::Swings => Vec::new(),
            ReachRecord::Planned => {
                let swung = Reach::of(piece, self.set.levels, false, &self.plan);
                let mut all: Vec<Pose> = swung.poses().map(|(p, _)| p.clone()).collect();
                all.extend(
                    self.planned[number].iter().filter(|p| !all.contains(p)).cloned().collect::<Vec<_>>(),
                );
                all
            }
            ReachRecord::Any => poses(piece),
        }))
    }

    /// The folds that a filling may use.
    fn usable(&self, number: usize) -> Result<FoldSet, Refusal> {
        let reach = self.reach(number)?;
        let (piece, levels) = (&self.set.pieces[number], self.set.levels);
        let mut use_all: Vec<bool> = (0..reach.folds().len())
            .map(|f| self.reach == ReachRecord::Any || reach.distance(f).is_some())
            .collect();
        let faces: &[bool] = if self.set.turn_over { &[false, true] } else { &[false] };
        for (pose, &mirrored) in self.planned[number].iter().flat_map(|p| faces.iter().map(move |m| (p, m))) {
            for turn in Turn::ALL {
                let turned = pose.moved(Motion::about_origin(mirrored, turn));
                if let Some(at) = reach.folds().position(&Fold::of(piece, &turned, levels)) {
                    use_all[at] = true;
                }
            }
        }
        let kept = reach.folds().folds().iter().zip(&use_all).filter(|(_, keep)| **keep);
        Ok(FoldSet::from_folds(kept.map(|(fold, _)| fold.clone()).collect()))
    }

    /// Whether the rule lets a filling use the fold that a pose takes.
    pub fn may_use(&self, number: usize, pose: &Pose) -> Result<bool, Refusal> {
        let fold = Fold::of(self.piece(number)?, pose, self.set.levels);
        let class = self.classes()?.iter().find(|c| c.pieces.contains(&number));
        Ok(class.is_some_and(|c| c.folds.position(&fold).is_some()))
    }

    /// What written layouts are judged by.
    #[cfg(feature = "written")]
    pub fn rules(&self) -> Result<&Rules, Refusal> {
        if self.rules.get().is_none() {
            let classes = self.classes()?.to_vec();
            let made = Rules::new(self.set.clone(), classes, self.interlocked, self.letters.clone());
            let said = |all: Vec<RulesFault>| {
                Refusal(all.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))
            };
            let _ = self.rules.set(made.map_err(said)?);
        }
        Ok(self.rules.get().expect("set above"))
    }

    /// The set kept ready for questions about drawings.
    #[cfg(feature = "search")]
    pub fn live(&self) -> Result<&crate::LiveSet, Refusal> {
        let classes = self.classes()?;
        let made = || crate::LiveSet::new(self.set.clone(), classes.to_vec(), self.interlocked);
        Ok(self.live.get_or_init(made))
    }

    /// The pieces by what they may become in a filling.
    pub fn classes(&self) -> Result<&[Class], Refusal> {
        if self.classes.get().is_none() {
            // All at once, so that a refusal comes before anything is classed.
            let folds: Vec<FoldSet> =
                (0..self.set.pieces.len()).map(|p| self.usable(p)).collect::<Result<_, _>>()?;
            let _ = self.classes.set(self.set.classes_by(|p| folds[p].clone()));
        }
        Ok(self.classes.get().expect("set above"))
    }
}

/// The pose turned and shifted as a whole so that body 0 is as at home.
fn first_at_home(pose: &Pose) -> Pose {
    let first = pose.motions()[0];
    let back = |turn| Motion::about_origin(first.mirrored, turn);
    let turn = Turn::ALL.into_iter().find(|&t| first.then(back(t)).turn == Turn::NONE);
    let back = back(turn.expect("some turn undoes a turn"));
    let moved = first.then(back);
    pose.moved(back.shifted(-moved.dx, -moved.dy))
}

/// Whether every hinge holds, no two blocks share a cell, no two hinges a place,
/// and the piece lies wholly on one face.
pub(crate) fn is_sound(piece: &Piece, pose: &Pose) -> bool {
    let motions = pose.motions();
    let holds = |hinge: &lattice::Hinge| {
        let [a, b] = hinge.joins.map(|b| motions[piece.body_of(b)].vertex(hinge.pin));
        a == b
    };
    let mut cells: Vec<Cell> = pose.cells(piece);
    cells.sort_unstable();
    let mut places: Vec<_> =
        piece.hinges().iter().map(|h| (motions[piece.body_of(h.joins[0])].vertex(h.pin), h.level)).collect();
    places.sort_unstable();
    motions.iter().all(|m| m.mirrored == motions[0].mirrored)
        && piece.hinges().iter().all(holds)
        && cells.windows(2).all(|w| w[0] != w[1])
        && places.windows(2).all(|w| w[0] != w[1])
}
