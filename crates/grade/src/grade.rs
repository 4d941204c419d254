//! The grade of an outline: people at the board, the evidence, the start that
//! leads most of them astray.

use fill::Stop;
use lattice::{Class, Folding, Motion, Outline, Placed, Pose, Set};

use crate::board::{self, Board};
use crate::complete::Completer;
use crate::crowd::{Crowd, gather};
use crate::evidence::{Evidence, evidence, layouts};
use crate::mask::Mask;
use crate::person::Person;
use crate::sight::Sight;
use crate::steps::{Step, effort};
use crate::tries::{Known, Tries};

/// The number of the model: to be raised with every change of what effort an
/// outline is given, so that efforts kept from before are reckoned anew.
pub const MODEL: u32 = 1;

/// Numbers a board has room for.
const MOST_ROOM: usize = 1024;
/// Ways to lay pieces that are listed.
const MOST_LAYS: usize = 4_000_000;
/// Starts looked at, the most common first, and positions looked at for each.
const STARTS: usize = 400;
const NODES: u64 = 200_000;

/// What is asked of a grade.
pub struct Ask<'a> {
    /// The person.
    pub person: Person,
    /// How many people try, at least 1.
    pub runs: u32,
    /// After how many tries they give up, at least 4.
    pub most: u32,
    /// The seed of their choices.
    pub seed: u64,
    /// Whether an interlocked filling counts, too.
    pub interlocked: bool,
    /// Asked now and then whether to end early; numbers not found out by then
    /// are told as bounds.
    pub stop: Stop<'a>,
}

impl Default for Ask<'_> {
    fn default() -> Self {
        Ask {
            person: Person::default(),
            runs: 2000,
            most: 1000,
            seed: 1,
            interlocked: false,
            stop: &|| false,
        }
    }
}

/// Why there is no grade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Ungraded {
    /// No valid filling exists.
    #[error("the outline has no valid filling")]
    NoFilling,
    /// More cells, inside vertices times levels, or pockets than there is room for.
    #[error("the outline is too large to grade: {found} cells or places of hinges, {limit} at most")]
    TooLarge {
        /// How many.
        found: usize,
        /// The limit.
        limit: usize,
    },
    /// More folds times positions than can be listed.
    #[error("there are too many ways to lay the pieces: as many as {found}, {limit} at most")]
    TooMany {
        /// How many.
        found: usize,
        /// The limit.
        limit: usize,
    },
}

/// A start that cannot be completed, laid more often than any other such.
#[derive(Clone, Debug, PartialEq)]
pub struct WrongStart {
    /// Its pieces in their places.
    pub folding: Folding,
    /// The share of people who laid it at least once.
    pub people: f64,
    /// The share of all starts of as many pieces that were this one.
    pub starts: f64,
}

/// How hard an outline is.
#[derive(Clone, Debug, PartialEq)]
pub struct Grade {
    /// The grade.
    pub step: Step,
    /// Log to base 2 of the tries that half of people need: 0 for one try, one
    /// more for twice as many.
    pub effort: f64,
    /// A 90 % interval for it, from the number of people alone.
    pub interval: [f64; 2],
    /// How the effort is known.
    pub known: Known,
    /// The tries.
    pub tries: Tries,
    /// What speaks for it.
    pub evidence: Evidence,
    /// The most tempting wrong start; none if no start that was looked at is wrong.
    pub wrong_start: Option<WrongStart>,
    /// Valid layouts that were listed, each by one folding, for comparing answers.
    pub answers: Vec<Folding>,
}

/// Grades an outline. `swings`: for each class and each of its folds, how many
/// swings from home; none if single swings do not lead there.
///
/// # Errors
/// No valid filling; too large.
///
/// # Panics
/// If `swings` is shorter than the classes or their folds.
pub fn grade(
    set: &Set,
    classes: &[Class],
    swings: &[Vec<Option<u32>>],
    outline: &Outline,
    ask: &Ask<'_>,
) -> Result<Grade, Ungraded> {
    let room = board::room(set, outline);
    if room > MOST_ROOM {
        return Err(Ungraded::TooLarge { found: room, limit: MOST_ROOM });
    }
    let folds: usize = classes.iter().map(|c| c.folds.len()).sum();
    let ways = folds.saturating_mul(outline.cells().len());
    if ways > MOST_LAYS {
        return Err(Ungraded::TooMany { found: ways, limit: MOST_LAYS });
    }
    let problem = (set, classes, outline);
    match room {
        0..=64 => graded::<1>(problem, swings, ask),
        65..=128 => graded::<2>(problem, swings, ask),
        129..=256 => graded::<4>(problem, swings, ask),
        _ => graded::<16>(problem, swings, ask),
    }
}

fn graded<const W: usize>(
    problem: (&Set, &[Class], &Outline),
    swings: &[Vec<Option<u32>>],
    ask: &Ask<'_>,
) -> Result<Grade, Ungraded> {
    let (set, classes, outline) = problem;
    let must_drop_in = !ask.interlocked;
    let found = layouts(set, classes, outline, must_drop_in, ask.stop);
    if found.fillable == Some(false) {
        return Err(Ungraded::NoFilling);
    }
    let board = Board::<W>::new(set, classes, swings, outline);
    let sight = Sight::new(&board, &ask.person, must_drop_in);
    let most = ask.most.max(4);
    let crowd = gather(&sight, ask.runs.max(1), most, ask.seed);
    let tries = Tries::of(&crowd.fared, most);
    let [low, median, high] = tries.median();
    Ok(Grade {
        step: Step::of(effort(median.tries)),
        effort: effort(median.tries),
        interval: [effort(low.tries), effort(high.tries)],
        known: median.known,
        evidence: evidence(problem, &board, &found, must_drop_in, &crowd.last_fails, ask.stop),
        wrong_start: wrong_start((set, classes), &sight, &crowd),
        answers: found.answers,
        tries,
    })
}

fn wrong_start<const W: usize>(
    (set, classes): (&Set, &[Class]),
    sight: &Sight<'_, W>,
    crowd: &Crowd,
) -> Option<WrongStart> {
    let mut completer = Completer::new(sight.board, sight.must_drop_in, NODES);
    let start = crowd.starts.iter().take(STARTS).find(|s| completer.can(&s.places) == Some(false))?;
    let all: u64 = crowd.starts.iter().map(|s| u64::from(s.times)).sum();
    Some(WrongStart {
        folding: folding(set, classes, sight, &start.places),
        people: f64::from(start.people) / crowd.fared.len() as f64,
        starts: f64::from(start.times) / all as f64,
    })
}

/// The pieces of some places that go together, each in the fold that comes to
/// mind first as far as the others leave it free.
fn folding<const W: usize>(set: &Set, classes: &[Class], sight: &Sight<'_, W>, places: &[u32]) -> Folding {
    fn choose<const W: usize>(
        sight: &Sight<'_, W>,
        places: &[u32],
        taken: Mask<W>,
        chosen: &mut Vec<usize>,
    ) -> bool {
        let Some((&first, rest)) = places.split_first() else { return true };
        let board = sight.board;
        let mut lays: Vec<usize> = board.places[first as usize].lays.clone().collect();
        lays.sort_by(|&a, &b| sight.lay[b].total_cmp(&sight.lay[a]));
        lays.into_iter().filter(|&l| !board.lays[l].pins.meets(&taken)).any(|l| {
            chosen.push(l);
            let found = choose(sight, rest, taken.or(&board.lays[l].pins), chosen);
            if !found {
                chosen.pop();
            }
            found
        })
    }
    let board = sight.board;
    let mut chosen = Vec::new();
    let stands = choose(sight, places, Mask::NONE, &mut chosen);
    assert!(stands, "a start that was laid has a folding");
    let mut next = vec![0; classes.len()];
    let mut placed: Vec<Placed> = Vec::new();
    for (&p, &l) in places.iter().zip(&chosen) {
        let (kind, lay) = (board.places[p as usize].kind, &board.lays[l]);
        let piece = board.kinds[kind].pieces[next[kind]];
        next[kind] += 1;
        let pose = pose_of(set, &classes[kind], piece, lay.fold);
        placed.push(Placed { piece, pose: pose.moved(Motion::STILL.shifted(lay.shift.0, lay.shift.1)) });
    }
    placed.sort_by_key(|p| p.piece);
    Folding { placed }
}

/// The pose in which `piece` takes a fold of its class. Pieces that fold alike
/// need not be drawn alike, so only the first can take the fold's own pose.
fn pose_of(set: &Set, class: &Class, piece: usize, fold: usize) -> Pose {
    let fold = &class.folds.folds()[fold];
    if set.pieces[piece] == set.pieces[class.pieces[0]] {
        return fold.pose.clone();
    }
    let own = set.folds(piece);
    let at = own.position(fold).expect("pieces of a class have the same folds");
    own.folds()[at].pose.clone()
}
