//! The exact search: dynamic programming over what hangs together along a frontier.
//!
//! A joint state is how the chosen panels hang together when closed and when
//! turned; its value is what has been won for certain. Both ends are moved on
//! by tables (`track`), so a state costs a few look-ups a joining. States that
//! can't be better than another are dropped: for two ways P, Q to hang together
//! and any way X to go on, `parts(Q ∨ X) ≤ parts(P ∨ X) + |P ∧ Q| − |P|`.

use super::ask::{Aim, Ask};
use super::basis::Basis;
use super::joining::Joining;
use super::plan::{Step, Symmetry, mirror_line, places, step_crosses};
use super::track::{Change, NEVER, Track};
use crate::geometry::{End, Sheet};

/// What is counted.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Goal {
    /// Worth of a part that is complete when closed.
    pub part: i32,
    /// Worth of a hole when closed.
    pub hole: i32,
    /// Worth of a pair of sides that is joined at one end and not at the other.
    pub change: i32,
    /// The figure turned is one part without a hole. Otherwise it has as few
    /// loops as a mirror leaves.
    pub one_loop: bool,
}

/// More than all panels can change.
const FIRST: i32 = 1 << 10;
/// More than all holes are worth.
const MIRROR_LOOP: i32 = 1 << 20;

impl Goal {
    pub fn of(ask: &Ask) -> Goal {
        let one_loop = ask.symmetry != Symmetry::Mirror;
        let goal = Goal { part: 0, hole: 0, change: 0, one_loop };
        match ask.aim {
            Aim::Holes => Goal { hole: 1, ..goal },
            Aim::Loops => Goal { part: -1, hole: -1, ..goal },
            Aim::Contrast => Goal { part: FIRST, hole: FIRST, change: 1, ..goal },
        }
    }
}

/// A joint state: turned's number, then closed's; and its value.
pub(crate) type Entry = (u64, i32);

pub(crate) fn key(turned: u32, closed: u32) -> u64 {
    u64::from(turned) << 32 | u64::from(closed)
}

pub(crate) fn parts(key: u64) -> (u32, u32) {
    ((key >> 32) as u32, key as u32)
}

/// How a search is cut.
pub(crate) struct Cut {
    /// Islands are not allowed.
    pub ground: bool,
    /// At most so many joint states are kept before a step.
    pub width: usize,
    /// The steps are a part of the sheet alone.
    pub open: bool,
}

/// A search run to its end.
pub(crate) struct Run<'a> {
    pub layers: Vec<Vec<Entry>>,
    pub closed: Track<'a>,
    pub turned: Track<'a>,
    /// Nothing was cut off by width.
    pub complete: bool,
    wards: Vec<Ward>,
}

/// Runs over all steps; `None` if stopped. Layers are empty from where no way is left.
pub(crate) fn run<'a>(
    sheet: &Sheet,
    steps: &'a [Step],
    goal: &Goal,
    ask: &Ask,
    cut: &Cut,
    stop: &dyn Fn() -> bool,
) -> Option<Run<'a>> {
    let mut closed = Track::new(steps, places(sheet, End::Closed), cut.ground);
    // One part without a hole has no islands.
    let mut turned = Track::new(steps, places(sheet, End::Turned), cut.ground && !goal.one_loop);
    let wards = if cut.open {
        vec![Ward::Open; steps.len()]
    } else {
        wards(sheet, steps, ask.symmetry, goal, &turned)
    };
    let spans = goal.one_loop && !cut.open;
    let seed = ask.seed;
    let mut layers: Vec<Vec<Entry>> = vec![vec![(key(0, 0), 0)]];
    let mut complete = true;
    for number in 0..steps.len() {
        let moves = Moves { step: &steps[number], goal, ward: wards[number] };
        let step = number + 1;
        let mut next = moves.all(&layers[number], number, &mut closed, &mut turned);
        next = best_of_each(next);
        if spans {
            next = spanning(next, step, &turned, seed);
        }
        next = undominated(next, step, goal, &closed, seed);
        if next.len() > cut.width {
            complete = false;
            let score = |e: &Entry| {
                let open = i32::from(closed.classes(step, parts(e.0).1));
                // Half of what is open may still count; ties fall to the seed.
                (2 * e.1 + (goal.part - goal.hole) * open, mixed(e.0, seed))
            };
            next.sort_by_cached_key(|e| std::cmp::Reverse(score(e)));
            next.truncate(cut.width);
            next.sort_unstable();
        }
        layers.push(next);
        if stop() {
            return None;
        }
    }
    Some(Run { layers, closed, turned, complete, wards })
}

impl Run<'_> {
    /// The best value; the frontier is empty in the end, so there is one state.
    pub fn value(&self) -> Option<i32> {
        self.layers.last().and_then(|l| l.first()).map(|e| e.1)
    }

    /// The panels that have the best value.
    pub fn panels(&mut self, sheet: &Sheet, steps: &[Step], goal: &Goal, seed: u64) -> Vec<Joining> {
        let choices =
            traced(&self.layers, steps, &self.wards, goal, &mut self.closed, &mut self.turned, seed);
        let mut panels = vec![choices[0]; sheet.blocks()];
        for (step, choice) in steps.iter().zip(&choices) {
            for &(block, to) in &step.copies {
                panels[block] = choice.moved(to);
            }
        }
        panels
    }
}

/// What the figure turned may do in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ward {
    /// No part is complete and none has a hole.
    Growing,
    /// The one part is complete now.
    Last,
    /// The figure goes on elsewhere: parts may be complete, without a hole.
    Open,
    /// One loop can't be, on the mirror line or on a narrow sheet: every loop costs.
    Few,
}

impl Ward {
    /// What a change turned adds to the value; `None` if it may not be.
    pub fn paid(self, turned: Change) -> Option<i32> {
        let loops = i32::from(turned.closed) + i32::from(turned.rings);
        match self {
            Ward::Growing => (loops == 0).then_some(0),
            Ward::Last => (turned.closed == 1 && turned.rings == 0).then_some(0),
            Ward::Open => (turned.rings == 0).then_some(0),
            Ward::Few => Some(-MIRROR_LOOP * loops),
        }
    }
}

/// The wards of all steps.
pub(crate) fn wards(
    sheet: &Sheet,
    steps: &[Step],
    symmetry: Symmetry,
    goal: &Goal,
    turned: &Track,
) -> Vec<Ward> {
    let line = mirror_line(sheet).filter(|_| symmetry == Symmetry::Mirror);
    // A loop that is complete before any band crosses the line would be two, and
    // those of the line itself are the fewest there are.
    let first = line.and_then(|l| steps.iter().position(|s| step_crosses(sheet, l, s, End::Turned)));
    (0..steps.len())
        .map(|number| match first {
            Some(first) if number >= first => Ward::Few,
            None if !goal.one_loop => Ward::Few,
            None if number == turned.done() => Ward::Last,
            _ => Ward::Growing,
        })
        .collect()
}

/// One step of the search: its choices' changes, and what they are worth.
pub(crate) struct Moves<'a> {
    pub step: &'a Step,
    pub goal: &'a Goal,
    pub ward: Ward,
}

impl<'a> Moves<'a> {
    /// Where a choice leads and what it adds; `None` if it may not be.
    pub fn led(&self, at: usize, closed: &[Change], turned: &[Change]) -> Option<Entry> {
        let (a, b, goal) = (closed[at], turned[at], self.goal);
        if a.next == NEVER || b.next == NEVER {
            return None;
        }
        let mut won = goal.part * i32::from(a.closed) + goal.hole * i32::from(a.rings);
        won += self.ward.paid(b)?;
        if goal.change > 0 {
            let each = self.step.choices[at].change_of_a_quarter();
            won += goal.change * (each * self.step.copies.len()) as i32;
        }
        Some((key(b.next, a.next), won))
    }

    fn all(&self, layer: &[Entry], number: usize, closed: &mut Track, turned: &mut Track) -> Vec<Entry> {
        let mut next = Vec::with_capacity(layer.len() * 4);
        for &(state, value) in layer {
            let (b, a) = parts(state);
            let (ca, cb) = (closed.changes(number, a), turned.changes(number, b));
            for at in 0..ca.len() {
                if let Some((key, won)) = self.led(at, ca, cb) {
                    next.push((key, value + won));
                }
            }
        }
        next
    }
}

/// Keeps the best value of each state.
pub(crate) fn best_of_each(mut entries: Vec<Entry>) -> Vec<Entry> {
    entries.sort_unstable_by_key(|e| (e.0, -e.1));
    entries.dedup_by_key(|e| e.0);
    entries
}

/// Of the ways to hang together turned, keeps such as still serve every way to go
/// on. Those with one way closed and equally many classes are vectors over the
/// field of two elements, and a basis of greatest value is enough (H. L.
/// Bodlaender, M. Cygan, S. Kratsch & J. Nederlof, "Deterministic single
/// exponential time algorithms for connectivity problems parameterized by
/// treewidth", Inf. Comput. 243 (2015), 86–111): if a way is the sum of others,
/// whatever makes it one part makes an odd number of those one part. That none
/// of them closes a ring follows from Euler's number.
pub(crate) fn spanning(mut entries: Vec<Entry>, step: usize, turned: &Track, seed: u64) -> Vec<Entry> {
    let group = |e: &Entry| (e.0 as u32, turned.classes(step, parts(e.0).0));
    entries.sort_by_cached_key(|e| (group(e), -e.1, mixed(e.0, seed)));
    let mut kept = Vec::with_capacity(entries.len());
    for group in entries.chunk_by(|x, y| group(x) == group(y)) {
        if group.len() < 3 {
            kept.extend_from_slice(group);
            continue;
        }
        let mut basis = Basis::new(turned.seams(step));
        kept.extend(group.iter().filter(|e| basis.adds(turned.labels(step, parts(e.0).0))));
    }
    kept.sort_unstable();
    kept
}

/// Drops what another with the same way turned outdoes.
///
/// With P's parts and holes still to come written as a number of parts, the value
/// in the end is `value − hole·|P| + (part + hole)·parts(P ∨ X)` and the same for
/// all P; the bound in the first lines of this file does the rest.
fn undominated(entries: Vec<Entry>, step: usize, goal: &Goal, closed: &Track, seed: u64) -> Vec<Entry> {
    let weight = goal.part + goal.hole;
    let mut kept: Vec<Entry> = Vec::with_capacity(entries.len());
    let mut order: Vec<(i32, u64, u8, Entry)> = Vec::new();
    for group in entries.chunk_by(|x, y| x.0 >> 32 == y.0 >> 32) {
        let start = kept.len();
        order.clear();
        order.extend(group.iter().map(|e| {
            let classes = closed.classes(step, parts(e.0).1);
            let worth = e.1 - goal.hole * i32::from(classes);
            // What outdoes comes first: it is worth no less for the coarsest way to go on.
            (-worth, mixed(e.0, seed), classes, *e)
        }));
        order.sort_unstable();
        let mut worths: Vec<(i32, u8)> = Vec::new();
        for &(worth, _, classes, entry) in &order {
            let q = parts(entry.0).1;
            let beaten = kept[start..].iter().zip(&worths).any(|(other, &(theirs, own))| {
                let spare = worth - theirs;
                let least =
                    if weight > 0 { classes.saturating_sub(own) } else { own.saturating_sub(classes) };
                if spare < weight.abs() * i32::from(least) {
                    return false;
                }
                let p = parts(other.0).1;
                if !closed.serves(step, p, q) {
                    return false;
                }
                let meet = closed.meet(step, p, q);
                spare >= weight.abs() * i32::from(meet - if weight > 0 { own } else { classes })
            });
            if !beaten {
                kept.push(entry);
                worths.push((worth, classes));
            }
        }
        kept[start..].sort_unstable();
    }
    kept
}

/// A number that looks like chance: equal for equal state and seed.
fn mixed(state: u64, seed: u64) -> u64 {
    let mut x = state ^ seed.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

/// The choices that led to the best, drawn with the seed where several did.
fn traced(
    layers: &[Vec<Entry>],
    steps: &[Step],
    wards: &[Ward],
    goal: &Goal,
    closed: &mut Track,
    turned: &mut Track,
    seed: u64,
) -> Vec<Joining> {
    let mut random = fastrand::Rng::with_seed(seed);
    let mut choices = Vec::new();
    let (mut want, mut value) = layers.last().expect("layers")[0];
    for step in (0..steps.len()).rev() {
        let moves = Moves { step: &steps[step], goal, ward: wards[step] };
        let mut found: Option<(Entry, Joining)> = None;
        let mut ways = 0;
        for &(state, had) in &layers[step] {
            let (b, a) = parts(state);
            let (ca, cb) = (closed.changes(step, a), turned.changes(step, b));
            for at in 0..ca.len() {
                if moves.led(at, ca, cb).is_some_and(|(k, won)| k == want && had + won == value) {
                    ways += 1;
                    if random.u32(0..ways) == 0 {
                        found = Some(((state, had), steps[step].choices[at]));
                    }
                }
            }
        }
        let (from, joining) = found.expect("every kept state came from a kept one");
        (want, value) = from;
        choices.push(joining);
    }
    choices.reverse();
    choices
}
