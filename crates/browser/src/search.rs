//! Counts of fillings and pockets as design, within a budget.

use std::sync::atomic::{AtomicU64, Ordering};

use fill::{Ask, Certainty, Filling, PocketAsk, PocketSet};
use lattice::{DropIn, Outline};
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::ask::Clock;
use crate::bench::Bench;
use crate::record::{PlaceRecord, PlacedRecord, Refusal, pose_record, vertex_record};

/// How long to search. Whichever is reached first ends it; none: to the end.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Budget {
    #[serde(default)]
    pub milliseconds: Option<f64>,
    /// How often the search may ask whether to stop: the same everywhere,
    /// where time is not.
    #[serde(default)]
    pub looks: Option<u64>,
}

/// A budget being spent.
pub(crate) struct Spending<'a> {
    budget: Budget,
    clock: Clock<'a>,
    started: f64,
    looks: AtomicU64,
}

impl<'a> Spending<'a> {
    pub(crate) fn start(budget: Budget, clock: Clock<'a>) -> Self {
        Spending { budget, clock, started: clock(), looks: AtomicU64::new(0) }
    }

    pub(crate) fn is_over(&self) -> bool {
        let looks = self.looks.fetch_add(1, Ordering::Relaxed);
        self.budget.looks.is_some_and(|most| looks >= most)
            || self.budget.milliseconds.is_some_and(|most| {
                // A clock that was put to the end of time, to end a question, may have been so at
                // the start already: then the difference is no number.
                let spent = (self.clock)() - self.started;
                spent.is_nan() || spent >= most
            })
    }
}

#[derive(Debug, Serialize)]
pub(crate) struct CountRecord {
    different: Value,
    layouts: Value,
    foldings: Value,
    drop_in_layouts: Value,
    /// `complete`: exact; `limit` or `stopped`: at least so many.
    certainty: &'static str,
    answers: Vec<AnswerRecord>,
}

#[derive(Debug, Serialize)]
pub(crate) struct AnswerRecord {
    placed: Vec<PlacedRecord>,
    foldings: Value,
    drop_in: Option<Vec<usize>>,
    interlocked: Option<Vec<usize>>,
}

/// A count: a number while a page can hold it exactly, then its digits.
pub(crate) fn number(text: String) -> Value {
    match text.parse::<u64>() {
        Ok(n) if n < 1 << 53 => Value::from(n),
        _ => Value::String(text),
    }
}

/// What a search is to find out.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CountAsk {
    /// End at so many essentially different layouts.
    #[serde(default)]
    pub limit: Option<u64>,
    /// Show so many in full.
    #[serde(default)]
    pub answers: usize,
    /// As if with a pocket everywhere.
    #[serde(default)]
    pub open: bool,
    #[serde(default)]
    pub budget: Budget,
}

pub(crate) fn count(
    bench: &Bench,
    outline: &Outline,
    ask: &CountAsk,
    clock: Clock,
) -> Result<CountRecord, Refusal> {
    let classes = bench.classes()?;
    let spending = Spending::start(ask.budget, clock);
    let stop = || spending.is_over();
    let asked = Ask { limit: ask.limit, answers: ask.answers, stop: &stop, ..Ask::default() };
    let opened = ask.open.then(|| outline.open());
    let Filling { counts, certainty, answers } =
        fill::fill(&bench.set, classes, opened.as_ref().unwrap_or(outline), &asked);
    Ok(CountRecord {
        different: number(counts.different.to_string()),
        layouts: number(counts.layouts.to_string()),
        foldings: number(counts.foldings.to_string()),
        drop_in_layouts: counts.drop_in_layouts.map_or(Value::Null, |n| number(n.to_string())),
        certainty: match certainty {
            Certainty::Complete => "complete",
            Certainty::Limit => "limit",
            Certainty::Stopped => "stopped",
        },
        answers: answers.iter().map(answer).collect(),
    })
}

fn answer(answer: &fill::Answer) -> AnswerRecord {
    let one = |p: &lattice::Placed| PlacedRecord { piece: p.piece, pose: pose_record(&p.pose) };
    let (drop_in, interlocked) = match &answer.drop_in {
        DropIn::Order(order) => (Some(order.clone()), None),
        DropIn::Interlocked(ring) => (None, Some(ring.clone())),
    };
    AnswerRecord {
        placed: answer.folding.placed.iter().map(one).collect(),
        foldings: number(answer.foldings.to_string()),
        drop_in,
        interlocked,
    }
}

#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PocketsAsk {
    /// Layouts to list at most before the answer is only a bound.
    pub most_layouts: u64,
    #[serde(default)]
    pub budget: Budget,
}

#[derive(Debug, Serialize)]
pub(crate) struct PocketsRecord {
    layouts_open: u64,
    different_open: u64,
    complete: bool,
    smallest: Option<PocketSetRecord>,
    largest: Option<PocketSetRecord>,
}

#[derive(Debug, Serialize)]
pub(crate) struct PocketSetRecord {
    pockets: Vec<PlaceRecord>,
    same_size: u64,
    proven: bool,
    bound: usize,
    blind: Vec<PlaceRecord>,
    /// `[x, y, essentially different layouts]` that one more pocket lets in.
    further: Vec<(i32, i32, u64)>,
    answer: AnswerRecord,
}

pub(crate) fn pockets(
    bench: &Bench,
    outline: &Outline,
    ask: &PocketsAsk,
    clock: Clock,
) -> Result<PocketsRecord, Refusal> {
    let classes = bench.classes()?;
    let spending = Spending::start(ask.budget, clock);
    let stop = || spending.is_over();
    let asked = PocketAsk {
        interlocked: bench.interlocked,
        most_layouts: ask.most_layouts,
        stop: &stop,
        ..PocketAsk::default()
    };
    let found = fill::pockets(&bench.set, classes, outline, &asked);
    Ok(PocketsRecord {
        layouts_open: found.layouts_open,
        different_open: found.different_open,
        complete: found.complete,
        smallest: found.smallest.as_ref().map(pocket_set),
        largest: found.largest.as_ref().map(pocket_set),
    })
}

fn pocket_set(set: &PocketSet) -> PocketSetRecord {
    PocketSetRecord {
        pockets: set.pockets.iter().map(|&v| vertex_record(v)).collect(),
        same_size: set.same_size,
        proven: set.proven,
        bound: set.bound,
        blind: set.blind.iter().map(|&v| vertex_record(v)).collect(),
        further: set.further.iter().map(|f| (f.at.x, f.at.y, f.different)).collect(),
        answer: answer(&set.answer),
    }
}
