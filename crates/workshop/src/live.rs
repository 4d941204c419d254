//! Answers while the hand still draws: how many layouts, whether one alone,
//! which pockets would leave one, how far it is from the wish.
//!
//! Each page has a desk of its own; a newer question on a desk ends the older
//! one at once. What is known of a drawing is reckoned by `browser::LiveSet`, as the
//! pages' own core does it; here is more time. A question has a time to be answered in: what is not known by
//! then is told as a lower bound, never guessed.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use axum::Json;
use axum::extract::State;
use browser::{Advice, Advised, Drawing, LiveAsk};
use desk::layouts::{Table, number};
use fill::Certainty;
use lattice::{Cell, Outline, Vertex};
use project::Project;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;

use crate::body::Body;
use crate::problem::Problem;
use crate::records::{Opening, Spot, near};
use crate::shop::{Shop, Ways, apart};

/// The most time that a question may ask for.
const MOST_MS: u64 = 10_000;
/// Desks that are remembered; the one longest without a question is cleared.
const MOST_DESKS: usize = 64;
/// Threads for listing every layout, where that is asked for.
const THREADS: usize = 2;

/// The newest question of each desk, and when it came.
#[derive(Default)]
pub(crate) struct Desks(Mutex<BTreeMap<String, (Arc<AtomicU64>, Instant)>>);

impl Desks {
    /// The desk's counter, moved on: whoever waits with an older count gives up.
    fn next(&self, desk: &str) -> (Arc<AtomicU64>, u64) {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= MOST_DESKS && !all.contains_key(desk) {
            let oldest = all.iter().min_by_key(|(_, of)| of.1).map(|(name, _)| name.clone());
            if let Some((counter, _)) = oldest.and_then(|name| all.remove(&name)) {
                counter.fetch_add(1, Ordering::SeqCst);
            }
        }
        let (counter, asked) =
            all.entry(desk.to_owned()).or_insert_with(|| (Arc::new(AtomicU64::new(0)), Instant::now()));
        *asked = Instant::now();
        (counter.clone(), counter.fetch_add(1, Ordering::SeqCst) + 1)
    }
}

/// Ends its question when the page no longer waits.
struct Waiting(Arc<AtomicU64>, u64);

impl Drop for Waiting {
    fn drop(&mut self) {
        let _ = self.0.compare_exchange(self.1, self.1 + 1, Ordering::SeqCst, Ordering::SeqCst);
    }
}

/// A question about what is being drawn.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Question {
    /// Which page asks: its newer question ends this one.
    #[schema(max_length = 64)]
    desk: String,
    /// What is drawn.
    opening: Opening,
    /// The cells that were wished for.
    #[serde(default)]
    #[schema(max_items = 10000)]
    wish: Option<Vec<[i32; 2]>>,
    /// Also look for the most pockets, which lists every layout.
    #[serde(default)]
    thorough: bool,
    /// Milliseconds to answer in.
    #[serde(default = "usual_time")]
    #[schema(minimum = 1, maximum = 10000)]
    milliseconds: u64,
}

fn usual_time() -> u64 {
    400
}

/// What is known in the time given.
#[derive(Debug, Default, Serialize, ToSchema)]
pub(crate) struct LiveAnswer {
    /// A newer question came: this one was not answered.
    superseded: bool,
    /// Cells drawn.
    cells: usize,
    /// Blocks of the set.
    blocks: usize,
    /// Cells that are missing (above 0) or too many (below 0) for the set.
    missing: i64,
    /// Parts that hang together.
    parts: usize,
    /// What there is to say, in sentences.
    notes: Vec<String>,
    /// The fillings with the pockets as drawn; none where the area does not fit.
    filling: Option<FillingView>,
    /// The pockets that would leave one layout.
    advice: Option<AdviceView>,
    /// How it differs from the wish.
    wish: Option<WishView>,
    /// Milliseconds that the answer took.
    milliseconds: f64,
}

/// Fillings of what is drawn.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct FillingView {
    /// Essentially different layouts.
    #[schema(value_type = u64)]
    different: Value,
    /// Layouts.
    #[schema(value_type = u64)]
    layouts: Value,
    /// Foldings.
    #[schema(value_type = u64)]
    foldings: Value,
    /// Layouts that drop in.
    #[schema(value_type = Option<u64>)]
    drop_in_layouts: Option<Value>,
    /// Whether the numbers are exact; else there are at least so many.
    complete: bool,
    /// Whether there is exactly one essentially different layout, and it is valid;
    /// none while that is not known.
    unique: Option<bool>,
    /// The first layout, as `fill --json` tells it.
    #[schema(value_type = Option<Object>)]
    answer: Option<Value>,
}

/// Pockets that leave one layout.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct AdviceView {
    /// Layouts with a pocket everywhere; at least so many if not complete.
    layouts_open: u64,
    /// Essentially different ones among them.
    different_open: u64,
    /// Whether all of them were looked at.
    complete: bool,
    /// The fewest pockets.
    smallest: Option<PocketsView>,
    /// The most pockets.
    largest: Option<PocketsView>,
    /// Whether the most were looked for to the end.
    sought_largest: bool,
}

/// A pocket set that leaves one layout.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct PocketsView {
    /// The pockets.
    pockets: Vec<[i32; 2]>,
    /// Those that no folding of the layout left uses.
    blind: Vec<[i32; 2]>,
    /// Whether no better size exists.
    proven: bool,
    /// Sets of this size that do as well.
    same_size: u64,
}

/// What was drawn against the wish.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct WishView {
    /// Cells drawn that were not wished for.
    added: Vec<[i32; 2]>,
    /// Cells wished for that are not drawn.
    left_out: Vec<[i32; 2]>,
}

/// Ask about what is being drawn; a newer question on the same desk ends it
#[utoipa::path(post, path = "/api/live", request_body = Question,
    params(("x-pinfold-token" = String, Header)),
    responses(
        (status = 200, body = LiveAnswer), (status = 400, body = Problem, content_type = "application/problem+json"), (status = 403, body = Problem, content_type = "application/problem+json"),
        (status = 413, body = Problem, content_type = "application/problem+json"), (status = 415, body = Problem, content_type = "application/problem+json"), (status = 422, body = Problem, content_type = "application/problem+json"),
    ))]
pub(crate) async fn ask(
    State(shop): State<Arc<Shop>>,
    Body(question): Body<Question>,
) -> Result<Json<LiveAnswer>, Problem> {
    if question.desk.len() > 64 {
        return Err(Problem::unfit("the name of the desk is longer than 64 characters"));
    }
    let started = Instant::now();
    let (counter, mine) = shop.desks.next(&question.desk);
    let _waiting = Waiting(counter.clone(), mine);
    apart(move || {
        let superseded = || counter.load(Ordering::SeqCst) != mine;
        let mut answer = if superseded() {
            LiveAnswer::default()
        } else {
            let ways = shop.ways()?;
            let until = started + Duration::from_millis(question.milliseconds.min(MOST_MS));
            let stop = || superseded() || Instant::now() >= until;
            answer(&ways, &question, &stop)?
        };
        answer.superseded = superseded();
        answer.milliseconds = started.elapsed().as_secs_f64() * 1000.0;
        Ok(Json(answer))
    })
    .await
}

fn answer(ways: &Ways, question: &Question, stop: fill::Stop) -> Result<LiveAnswer, Problem> {
    let (project, opening) = (&ways.project, &question.opening);
    near(opening.cells.iter().chain(&opening.pockets).chain(question.wish.iter().flatten()))?;
    let cells: Vec<Cell> = opening.cells.iter().map(|&[x, y]| Cell::new(x, y)).collect();
    let pockets: Vec<Vertex> = opening.pockets.iter().map(|&[x, y]| Vertex::new(x, y)).collect();
    let drawn = Drawing { cells: &cells, pockets: &pockets, spare: opening.spare };
    let ask =
        LiveAsk { thorough: question.thorough, threads: if question.thorough { THREADS } else { 1 }, stop };
    let live = ways.live.look(&drawn, &ask).map_err(|why| Problem::unfit(why.join("; ")))?;
    let filling = match live.filling {
        Some(found) => Some(filling(project, &opening.outline()?, &found, live.unique)?),
        None => None,
    };
    Ok(LiveAnswer {
        superseded: false,
        cells: cells.len(),
        blocks: project.set.blocks(),
        missing: live.missing,
        parts: live.parts,
        notes: live.notes,
        filling,
        advice: live.advice.map(AdviceView::of),
        wish: question.wish.as_ref().map(|wish| difference(&opening.cells, wish)),
        milliseconds: 0.0,
    })
}

fn filling(
    project: &Project,
    outline: &Outline,
    found: &fill::Filling,
    unique: Option<bool>,
) -> Result<FillingView, Problem> {
    let counts = &found.counts;
    let style = desk::layouts::style(project);
    let table = Table { project, outline, style: &style };
    let answer = match found.answers.first() {
        Some(first) => Some(table.json(&first.folding, &first.drop_in)?.into()),
        None => None,
    };
    Ok(FillingView {
        different: number(&counts.different),
        layouts: number(&counts.layouts),
        foldings: number(&counts.foldings),
        drop_in_layouts: counts.drop_in_layouts.as_ref().map(number),
        complete: found.certainty == Certainty::Complete,
        unique,
        answer,
    })
}

impl AdviceView {
    fn of(advice: Advice) -> Self {
        AdviceView {
            layouts_open: advice.layouts_open,
            different_open: advice.different_open,
            complete: advice.complete,
            smallest: advice.smallest.as_ref().map(PocketsView::of),
            largest: advice.largest.as_ref().map(PocketsView::of),
            sought_largest: advice.sought_largest,
        }
    }
}

impl PocketsView {
    fn of(set: &Advised) -> Self {
        let spots = |list: &[Vertex]| list.iter().map(|v| [v.x, v.y]).collect();
        PocketsView {
            pockets: spots(&set.pockets),
            blind: spots(&set.blind),
            proven: set.proven,
            same_size: set.same_size,
        }
    }
}

fn difference(drawn: &[Spot], wish: &[Spot]) -> WishView {
    let drawn: std::collections::BTreeSet<&Spot> = drawn.iter().collect();
    let wished: std::collections::BTreeSet<&Spot> = wish.iter().collect();
    WishView {
        added: drawn.difference(&wished).map(|s| **s).collect(),
        left_out: wished.difference(&drawn).map(|s| **s).collect(),
    }
}
