//! What a job can be: each the same question as the command of that name, put to
//! the same functions.

use desk::early::Early;
use desk::filling::{self, Stopped};
use desk::layouts::{self, Table};
use desk::parts::{self, Parts, Wants};
use desk::ways;
use desk::{made, pockets};
use fill::{Certainty, PocketAsk};
use lattice::Outline;
use project::{OutlineRecord, Project};
use serde::Deserialize;
use serde_json::{Value, json};
use solid::NamedFile;
use utoipa::ToSchema;

use crate::jobs::Job;
use crate::problem::Problem;
use crate::program::{self, Ask, Scouting};
use crate::records::Opening;
use crate::shop::Shop;

/// Layouts that a page steps through at most.
const MOST_ANSWERS: usize = 2_000;

/// A piece of long work that is asked for.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(tag = "kind", rename_all = "lowercase", deny_unknown_fields)]
pub(crate) enum Order {
    /// Every filling of an outline, as `pinfold fill` finds it.
    Fill {
        /// What the outline is called.
        #[serde(default)]
        #[schema(max_length = 120)]
        title: String,
        /// The outline.
        opening: Opening,
        /// As if with a pocket everywhere.
        #[serde(default)]
        open: bool,
        /// How many layouts to show.
        #[serde(default = "usual_answers")]
        #[schema(maximum = 2000)]
        answers: usize,
        /// End after so many essentially different layouts.
        #[serde(default)]
        #[schema(minimum = 1)]
        limit: Option<u64>,
        /// Also layouts that are turns of each other.
        #[serde(default)]
        turns: bool,
    },
    /// The pockets that leave one layout, as `pinfold pockets` finds them.
    Pockets {
        /// What the outline is called.
        #[serde(default)]
        #[schema(max_length = 120)]
        title: String,
        /// The outline; its own pockets do not matter.
        opening: Opening,
        /// The layout to leave, by its number from 1 with a pocket everywhere.
        #[serde(default)]
        #[schema(minimum = 1)]
        layout: Option<u32>,
    },
    /// Parts as files to print, as `pinfold make` makes them.
    Make {
        /// Names of parts; all of them if there are none.
        #[serde(default)]
        #[schema(max_items = 2000)]
        parts: Vec<String>,
        /// STL beside 3MF.
        #[serde(default)]
        stl: bool,
        /// Whether to put the files into the project's folder `out`, too.
        #[serde(default)]
        write: bool,
    },
    /// Outlines worth publishing, as `pinfold scout` finds them.
    Scout {
        /// From where, and for how long.
        how: Scouting,
    },
    /// How hard outlines are, as `pinfold grade` tells it.
    Grade {
        /// Names of outlines; all of them if there are none.
        #[serde(default)]
        #[schema(max_items = 2000)]
        outlines: Vec<String>,
    },
    /// A good order for packs, as `pinfold packs` proposes it.
    Packs {
        /// The name of a pack; all of them if there is none.
        #[serde(default)]
        pack: Option<String>,
    },
    /// What testers' tries tell, as `pinfold plays` does.
    Plays {},
    /// What a tester should play next, as `pinfold plays next` has it.
    Next {
        /// The tester.
        #[schema(max_length = 60)]
        tester: String,
    },
    /// A race over a pack foretold, as `pinfold forecast` does.
    Forecast {
        /// The name of the pack.
        pack: String,
        /// How many start.
        #[schema(minimum = 1, maximum = 1000000)]
        entrants: u32,
    },
}

fn usual_answers() -> usize {
    200
}

/// What came of a job.
pub(crate) struct Outcome {
    pub(crate) json: Value,
    pub(crate) files: Vec<NamedFile>,
}

impl Order {
    /// The word for what it does.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            Order::Fill { .. } => "fill",
            Order::Pockets { .. } => "pockets",
            Order::Make { .. } => "make",
            Order::Scout { .. } => "scout",
            Order::Grade { .. } => "grade",
            Order::Packs { .. } => "packs",
            Order::Plays {} => "plays",
            Order::Next { .. } => "next",
            Order::Forecast { .. } => "forecast",
        }
    }

    /// What it is about.
    pub(crate) fn about(&self) -> String {
        match self {
            Order::Fill { title, .. } | Order::Pockets { title, .. } => title.clone(),
            Order::Make { parts, .. } if parts.is_empty() => "everything".to_owned(),
            Order::Make { parts, .. } => parts.join(", "),
            Order::Grade { outlines } => outlines.join(", "),
            Order::Packs { pack } => pack.clone().unwrap_or_default(),
            Order::Next { tester } => tester.clone(),
            Order::Forecast { pack, .. } => pack.clone(),
            Order::Scout { .. } | Order::Plays {} => String::new(),
        }
    }

    /// Does it.
    pub(crate) fn run(self, shop: &Shop, job: &Job) -> Result<Outcome, Problem> {
        match self {
            Order::Fill { title, opening, open, answers, limit, turns } => {
                let asked = FillOrder { open, answers: answers.min(MOST_ANSWERS), limit, turns };
                fill(shop, job, &title, &opening, &asked)
            }
            Order::Pockets { title, opening, layout } => pocket_sets(shop, job, &title, &opening, layout),
            Order::Make { parts, stl, write } => make(shop, job, &parts, stl, write),
            Order::Scout { how } => program::put(shop, job, Ask::Scout(how)),
            Order::Grade { outlines } => program::put(shop, job, Ask::Grade(outlines)),
            Order::Packs { pack } => program::put(shop, job, Ask::Packs(pack)),
            Order::Plays {} => program::put(shop, job, Ask::Plays),
            Order::Next { tester } => program::put(shop, job, Ask::Next(tester)),
            Order::Forecast { pack, entrants } => program::put(shop, job, Ask::Forecast { pack, entrants }),
        }
    }
}

struct FillOrder {
    open: bool,
    answers: usize,
    limit: Option<u64>,
    turns: bool,
}

/// An outline as a file would have it, though it may have none yet.
fn record(title: &str, outline: Outline) -> OutlineRecord {
    OutlineRecord {
        name: String::new(),
        title: title.to_owned(),
        number: None,
        grade: None,
        note: None,
        outline,
    }
}

/// Threads for one search: one stays free for the hand that draws.
fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, |n| n.get().saturating_sub(1).max(1))
}

fn fill(
    shop: &Shop,
    job: &Job,
    title: &str,
    opening: &Opening,
    order: &FillOrder,
) -> Result<Outcome, Problem> {
    let set = shop.ways()?;
    let project: &Project = &set.project;
    let record = record(title, opening.outline()?);
    let outline = if order.open { record.outline.open() } else { record.outline.clone() };
    let ask = fill::Ask {
        limit: order.limit,
        answers: order.answers,
        turns: order.turns,
        threads: threads(),
        stop: &|| job.must_stop(),
        progress: &|done, all| job.progress(done, all),
    };
    let filling = fill::fill(&project.set, set.live.classes(), &outline, &ask);
    let stopped = match filling.certainty {
        Certainty::Complete => None,
        Certainty::Limit => Some(Stopped::Limit),
        Certainty::Stopped => Some(Stopped::Early(job.early().unwrap_or(Early::Interrupted))),
    };
    let found =
        filling::Found { counts: filling.counts, stopped, answers: filling.answers, seconds: job.seconds() };
    let style = layouts::style(project);
    let table = Table { project, outline: &outline, style: &style };
    let ways = ways::Ways::of(project)?;
    let asked = filling::Asked { project, record: &record, outline: &outline, open: order.open };
    Ok(Outcome { json: asked.json(&table, &found, Some(&ways), &[])?, files: Vec::new() })
}

fn pocket_sets(
    shop: &Shop,
    job: &Job,
    title: &str,
    opening: &Opening,
    layout: Option<u32>,
) -> Result<Outcome, Problem> {
    let set = shop.ways()?;
    let project: &Project = &set.project;
    let record = record(title, opening.outline()?);
    let ask = PocketAsk {
        layout: layout.map(|n| n.saturating_sub(1) as usize),
        interlocked: project.rules.interlocked,
        threads: threads(),
        stop: &|| job.must_stop(),
        progress: &|done, all| job.progress(done, all),
        ..PocketAsk::default()
    };
    let found = fill::pockets(&project.set, set.live.classes(), &record.outline, &ask);
    let found = pockets::Found::new(found, &record.outline, job.early(), job.seconds());
    let style = layouts::style(project);
    let asked = pockets::Asked { project, record: &record, style: &style, layout, found: &found };
    Ok(Outcome { json: asked.json()?, files: Vec::new() })
}

fn make(shop: &Shop, job: &Job, names: &[String], stl: bool, write: bool) -> Result<Outcome, Problem> {
    let project = shop.project()?;
    let wanted = Parts::called(&project, names)?;
    let request = parts::request(&project, &wanted, Wants { stl, pictures: false }, &[]);
    let refused = |errors: &[solid::MakeError]| Problem::from(parts::refused(&project, errors));
    let faults = request.faults();
    if !faults.is_empty() {
        return Err(refused(&faults));
    }
    let mut made = solid::make(&request).map_err(|errors| refused(&errors))?;
    if job.must_stop() {
        return Err(Problem::unfit("ended before anything was written"));
    }
    let out = project.root.join("out");
    if write {
        desk::disk::write(&out, &made, wanted.all)?;
    }
    let asked = made::Asked { project: &project, request: &request, made: &made, proved: None, out: &out };
    let mut json = asked.json();
    // The page knows no path of this machine.
    json["out"] = json!(if write { Some("out") } else { None });
    let files = std::mem::take(&mut made.files);
    Ok(Outcome { json, files })
}
