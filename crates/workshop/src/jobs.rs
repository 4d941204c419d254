//! Long work: begun by one request, watched by others, ended by anyone.
//!
//! At most [`RUNNING`] run at once and [`WAITING`] wait; the last [`KEPT`] that
//! are done are remembered with their results.

use std::collections::BTreeMap;
use std::convert::Infallible;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use axum::Json;
use axum::body::Body as Bytes;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Response};
use desk::early::Early;
use serde::Serialize;
use serde_json::Value;
use tokio::sync::{Semaphore, mpsc, watch};
use tokio_stream::wrappers::ReceiverStream;
use tokio_stream::{Stream, StreamExt};
use utoipa::ToSchema;

use crate::body::{Body, Path};
use crate::problem::Problem;
use crate::shop::Shop;
use crate::work::{Order, Outcome};

/// Jobs at work at once.
const RUNNING: usize = 2;
/// Jobs that wait their turn.
const WAITING: usize = 32;
/// Finished jobs that are remembered.
const KEPT: usize = 24;
/// Finds that are told before the result, at most.
const FINDS: usize = 5_000;
/// The longest that a job may take.
pub(crate) const LONGEST: Duration = Duration::from_secs(3600);

/// All jobs.
pub(crate) struct Jobs {
    all: Mutex<BTreeMap<u64, Arc<Job>>>,
    next: AtomicUsize,
    turns: Arc<Semaphore>,
}

impl Default for Jobs {
    fn default() -> Self {
        Jobs { all: Mutex::default(), next: AtomicUsize::new(1), turns: Arc::new(Semaphore::new(RUNNING)) }
    }
}

/// How far a job is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Stage {
    /// It waits its turn.
    Waiting,
    /// It is at work.
    Running,
    /// It is done, and has its result.
    Done,
    /// It could not be done, and says why.
    Failed,
    /// It was ended before it was done; what was found until then is its result, if anything.
    Cancelled,
}

/// A job as told to the pages.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub(crate) struct JobView {
    /// Its number.
    id: u64,
    /// What it does, in a word.
    kind: String,
    /// What it is about.
    about: String,
    /// How far it is.
    stage: Stage,
    /// Parts of the work that are done.
    done: usize,
    /// Of so many; 0 while that is not known.
    all: usize,
    /// What was found since this was told the last time, as in the result: of scouting.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(value_type = Vec<Object>)]
    found: Vec<Value>,
    /// What the command of that name answers with `--json`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    result: Option<Value>,
    /// Why it failed.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    problem: Option<Value>,
}

impl JobView {
    fn is_over(&self) -> bool {
        matches!(self.stage, Stage::Done | Stage::Failed | Stage::Cancelled)
    }
}

/// One job.
pub(crate) struct Job {
    state: watch::Sender<JobView>,
    ended: AtomicBool,
    started: Instant,
    files: Mutex<Vec<solid::NamedFile>>,
    found: Mutex<Vec<Value>>,
}

impl Job {
    /// Whether the work must end.
    pub(crate) fn must_stop(&self) -> bool {
        self.ended.load(Ordering::Relaxed) || self.started.elapsed() > LONGEST
    }

    /// Why the work ended early, if it did.
    pub(crate) fn early(&self) -> Option<Early> {
        if self.ended.load(Ordering::Relaxed) {
            return Some(Early::Interrupted);
        }
        (self.started.elapsed() > LONGEST).then_some(Early::Time)
    }

    /// Tells how far the work is.
    pub(crate) fn progress(&self, done: usize, all: usize) {
        self.state.send_modify(|view| (view.done, view.all) = (done, all));
    }

    /// Tells of something that was found.
    pub(crate) fn found(&self, find: Value) {
        let mut found = self.found.lock().unwrap_or_else(PoisonError::into_inner);
        if found.len() < FINDS {
            found.push(find);
            self.state.send_modify(|_| ());
        }
    }

    /// Its state, with what was found from the `told`th on.
    fn view_from(&self, told: &mut usize) -> JobView {
        let found = self.found.lock().unwrap_or_else(PoisonError::into_inner);
        let fresh = found[(*told).min(found.len())..].to_vec();
        *told = found.len();
        JobView { found: fresh, ..self.state.borrow().clone() }
    }

    pub(crate) fn seconds(&self) -> f64 {
        self.started.elapsed().as_millis() as f64 / 1000.0
    }

    fn view(&self) -> JobView {
        self.view_from(&mut 0)
    }

    fn is_over(&self) -> bool {
        self.state.borrow().is_over()
    }
}

/// Ends a job that broke off in the middle.
struct Closing(Arc<Job>);

impl Drop for Closing {
    fn drop(&mut self) {
        if !self.0.is_over() {
            let problem = Problem::new(StatusCode::INTERNAL_SERVER_ERROR, "the work broke off");
            self.0.state.send_modify(|view| {
                view.stage = Stage::Failed;
                view.problem = serde_json::to_value(&problem).ok();
            });
        }
    }
}

impl Jobs {
    fn get(&self, id: u64) -> Result<Arc<Job>, Problem> {
        let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.get(&id).cloned().ok_or_else(|| Problem::none("job", &id.to_string()))
    }

    fn begin(&self, shop: &Arc<Shop>, order: Order) -> Result<Arc<Job>, Problem> {
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        if all.values().filter(|job| !job.is_over()).count() >= WAITING + RUNNING {
            let problem = Problem::new(StatusCode::TOO_MANY_REQUESTS, "too many jobs wait already");
            return Err(problem.mend("wait for one to end, or end it"));
        }
        while all.values().filter(|job| job.is_over()).count() > KEPT {
            let oldest = all.iter().find(|(_, job)| job.is_over()).map(|(id, _)| *id);
            oldest.and_then(|id| all.remove(&id));
        }
        let id = self.next.fetch_add(1, Ordering::Relaxed) as u64;
        let view = JobView {
            id,
            kind: order.kind().to_owned(),
            about: order.about(),
            stage: Stage::Waiting,
            done: 0,
            all: 0,
            found: Vec::new(),
            result: None,
            problem: None,
        };
        let job = Arc::new(Job {
            state: watch::channel(view).0,
            ended: AtomicBool::new(false),
            started: Instant::now(),
            files: Mutex::default(),
            found: Mutex::default(),
        });
        all.insert(id, job.clone());
        let (turns, shop, own) = (self.turns.clone(), shop.clone(), job.clone());
        tokio::spawn(async move {
            let Ok(_turn) = turns.acquire().await else { return };
            // What was ended while it waited is not begun.
            if own.must_stop() {
                own.state.send_modify(|view| view.stage = Stage::Cancelled);
                return;
            }
            own.state.send_modify(|view| view.stage = Stage::Running);
            let work = tokio::task::spawn_blocking(move || {
                let _closing = Closing(own.clone());
                let outcome = order.run(&shop, &own);
                finish(&own, outcome);
            });
            let _ = work.await;
        });
        Ok(job)
    }
}

fn finish(job: &Job, outcome: Result<Outcome, Problem>) {
    let cancelled = job.early().is_some();
    match outcome {
        Ok(outcome) => {
            *job.files.lock().unwrap_or_else(PoisonError::into_inner) = outcome.files;
            job.state.send_modify(|view| {
                view.stage = if cancelled { Stage::Cancelled } else { Stage::Done };
                view.result = Some(outcome.json);
            });
        }
        Err(problem) => job.state.send_modify(|view| {
            view.stage = if cancelled { Stage::Cancelled } else { Stage::Failed };
            view.problem = serde_json::to_value(&problem).ok();
        }),
    }
}

/// Begin a piece of long work
#[utoipa::path(post, path = "/api/jobs", request_body = Order,
    params(("x-pinfold-token" = String, Header)),
    responses(
        (status = 202, body = JobView), (status = 400, body = Problem, content_type = "application/problem+json"), (status = 403, body = Problem, content_type = "application/problem+json"),
        (status = 413, body = Problem, content_type = "application/problem+json"), (status = 415, body = Problem, content_type = "application/problem+json"), (status = 422, body = Problem, content_type = "application/problem+json"),
        (status = 429, body = Problem, content_type = "application/problem+json"),
    ))]
pub(crate) async fn begin(
    State(shop): State<Arc<Shop>>,
    Body(order): Body<Order>,
) -> Result<(StatusCode, Json<JobView>), Problem> {
    let job = shop.jobs.begin(&shop, order)?;
    Ok((StatusCode::ACCEPTED, Json(job.view())))
}

/// All jobs that are remembered, without their results
#[utoipa::path(get, path = "/api/jobs", responses((status = 200, body = Vec<JobView>)))]
pub(crate) async fn list(State(shop): State<Arc<Shop>>) -> Json<Vec<JobView>> {
    let all = shop.jobs.all.lock().unwrap_or_else(PoisonError::into_inner);
    Json(all.values().map(|job| JobView { result: None, ..job.state.borrow().clone() }).collect())
}

/// One job, with its result when it is done
#[utoipa::path(get, path = "/api/jobs/{id}", params(("id" = u64, Path)), responses(
    (status = 200, body = JobView), (status = 400, body = Problem, content_type = "application/problem+json"), (status = 404, body = Problem, content_type = "application/problem+json"),
))]
pub(crate) async fn job(
    State(shop): State<Arc<Shop>>,
    Path(id): Path<u64>,
) -> Result<Json<JobView>, Problem> {
    Ok(Json(shop.jobs.get(id)?.view()))
}

/// End a job; what it found until then stays
#[utoipa::path(delete, path = "/api/jobs/{id}",
    params(("id" = u64, Path), ("x-pinfold-token" = String, Header)),
    responses(
        (status = 200, body = JobView), (status = 400, body = Problem, content_type = "application/problem+json"), (status = 403, body = Problem, content_type = "application/problem+json"),
        (status = 404, body = Problem, content_type = "application/problem+json"),
    ))]
pub(crate) async fn end(
    State(shop): State<Arc<Shop>>,
    Path(id): Path<u64>,
) -> Result<Json<JobView>, Problem> {
    let job = shop.jobs.get(id)?;
    job.ended.store(true, Ordering::Relaxed);
    Ok(Json(job.view()))
}

/// How a job goes on, as server-sent events named after its stage; the last one has the result
#[utoipa::path(get, path = "/api/jobs/{id}/events", params(("id" = u64, Path)), responses(
    (status = 200, content_type = "text/event-stream", body = String), (status = 400, body = Problem, content_type = "application/problem+json"),
    (status = 404, body = Problem, content_type = "application/problem+json"),
))]
pub(crate) async fn events(
    State(shop): State<Arc<Shop>>,
    Path(id): Path<u64>,
) -> Result<Sse<impl Stream<Item = Result<Event, Infallible>>>, Problem> {
    let job = shop.jobs.get(id)?;
    let mut views = job.state.subscribe();
    let (send, told) = mpsc::channel(1);
    tokio::spawn(async move {
        let mut known = 0;
        loop {
            views.mark_unchanged();
            let view = job.view_from(&mut known);
            let last = view.is_over();
            // Who hangs up, or has seen the last one, needs no more.
            if send.send(view).await.is_err() || last || views.changed().await.is_err() {
                return;
            }
        }
    });
    let views = ReceiverStream::new(told)
        .map(|view| Ok(Event::default().event("job").json_data(&view).unwrap_or_default()));
    Ok(Sse::new(views).keep_alive(KeepAlive::default()))
}

/// A file that a job made
#[utoipa::path(get, path = "/api/jobs/{id}/files/{name}",
    params(("id" = u64, Path), ("name" = String, Path, description = "As the result names it, its slashes escaped")),
    responses(
        (status = 200, content_type = "application/octet-stream", body = String),
        (status = 400, body = Problem, content_type = "application/problem+json"), (status = 404, body = Problem, content_type = "application/problem+json"),
    ))]
pub(crate) async fn file(
    State(shop): State<Arc<Shop>>,
    Path((id, name)): Path<(u64, String)>,
) -> Result<Response, Problem> {
    let job = shop.jobs.get(id)?;
    let files = job.files.lock().unwrap_or_else(PoisonError::into_inner);
    // Names are compared, never opened: there is no way out of what was made.
    let file = files.iter().find(|f| f.name == name).ok_or_else(|| Problem::none("file", &name))?;
    let own = file.name.rsplit('/').next().unwrap_or_default();
    let plain: String =
        own.chars().map(|c| if c.is_ascii_alphanumeric() || "-_.".contains(c) { c } else { '-' }).collect();
    let kind = match own.rsplit('.').next() {
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("txt") => "text/plain; charset=utf-8",
        Some("3mf") => "model/3mf",
        Some("stl") => "model/stl",
        _ => "application/octet-stream",
    };
    let heads = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{plain}\"")),
    ];
    Ok((heads, Bytes::from(file.bytes.clone())).into_response())
}
