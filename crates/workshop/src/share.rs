//! The play page for testers on the local network: behind a random link, and
//! nothing else at that door.
//!
//! What this file promises: whoever has the link gets the page and may send tries;
//! whoever has not gets "not found", whatever is asked. Nothing of the project is
//! there but what the page holds, which is rules and outlines, never an answer.
//! Tries that came are on the disk before the sender is told so.

use std::net::{Ipv4Addr, SocketAddr, UdpSocket};
use std::path::Path as FilePath;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::State;
use axum::http::{HeaderName, StatusCode};
use axum::middleware;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use play::{Page, PlayError, Sending};
use project::write_whole;
use serde::Deserialize;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::TimeoutLayer;

use crate::body::{Body, Path};
use crate::guard;
use crate::problem::Problem;
use crate::shop::{Shop, apart};

/// The largest log of tries.
const LARGEST: usize = 256 << 10;
/// Tries in one log.
const MOST_TRIES: usize = 500;
/// Logs that wait to be added; more are refused until the maker has looked.
const MOST_LOGS: usize = 2_000;
/// Below the project's folder: logs that could not be added by themselves.
pub(crate) const RECEIVED: &str = "received";

/// The door for testers.
pub(crate) struct Door {
    shop: Arc<Shop>,
    key: String,
}

/// The address of a door on the local network, as far as that can be known.
pub(crate) fn address(port: u16, key: &str) -> String {
    // Nothing is sent: the system only says which of its addresses it would use.
    let own = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).and_then(|socket| {
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).and_then(|()| socket.local_addr())
    });
    let host = own.map_or(Ipv4Addr::LOCALHOST.into(), |at: SocketAddr| at.ip());
    format!("http://{host}:{port}/play/{key}")
}

/// Everything that is behind the door.
pub(crate) fn router(shop: &Arc<Shop>, key: String) -> Router {
    let door = Arc::new(Door { shop: shop.clone(), key });
    Router::new()
        .route("/play/{key}", get(page))
        .route("/play/{key}/plays", post(plays))
        .fallback(nothing)
        .method_not_allowed_fallback(nothing)
        .layer(TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, Duration::from_secs(20)))
        .layer(RequestBodyLimitLayer::new(LARGEST))
        .layer(CatchPanicLayer::new())
        .layer(middleware::map_response(quiet))
        .with_state(door)
}

/// The headers of every answer; the page's own policy stands in the page.
async fn quiet(mut response: Response) -> Response {
    guard::put(&mut response, &guard::QUIET);
    guard::put(&mut response, &[(HeaderName::from_static("x-robots-tag"), "noindex")]);
    response
}

async fn nothing() -> Problem {
    Problem::new(StatusCode::NOT_FOUND, "there is nothing here")
}

impl Door {
    fn opens(&self, key: &str) -> Result<(), Problem> {
        if guard::same(key.as_bytes(), self.key.as_bytes()) {
            return Ok(());
        }
        Err(Problem::new(StatusCode::NOT_FOUND, "there is nothing here"))
    }
}

async fn page(State(door): State<Arc<Door>>, Path(key): Path<String>) -> Result<Response, Problem> {
    door.opens(&key)?;
    apart(move || {
        let project = door.shop.project()?;
        let plan = desk::rules::plan(&project)?;
        let outlines: Vec<_> = project.outlines.iter().collect();
        let path = format!("/play/{}/plays", door.key);
        let page = Page { project: &project, plan: &plan, outlines: &outlines, sending: Sending::To(&path) };
        let html = page.html().map_err(|error| match error {
            PlayError::NotBuilt => Problem::new(StatusCode::SERVICE_UNAVAILABLE, error.to_string()),
            _ => Problem::unfit(error.to_string()),
        })?;
        Ok(Html(html).into_response())
    })
    .await
}

/// A log of tries, as the play page sends it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Log {
    plays: Vec<Played>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Played {
    tester: String,
    outline: String,
    minutes: f64,
    finished: bool,
    started: String,
}

async fn plays(
    State(door): State<Arc<Door>>,
    Path(key): Path<String>,
    Body(log): Body<Log>,
) -> Result<StatusCode, Problem> {
    door.opens(&key)?;
    apart(move || {
        let known: Vec<String> = door.shop.project()?.outlines.into_iter().map(|o| o.name).collect();
        let text = rows(&log, &known)?;
        let name = format!("{}.csv", &solid::sha256(text.as_bytes())[..16]);
        let folder = door.shop.root.join(RECEIVED);
        let broken =
            |e: std::io::Error| Problem::new(StatusCode::INTERNAL_SERVER_ERROR, format!("not kept: {e}"));
        std::fs::create_dir_all(&folder).map_err(broken)?;
        if std::fs::read_dir(&folder).map_err(broken)?.count() >= MOST_LOGS {
            return Err(Problem::new(
                StatusCode::INSUFFICIENT_STORAGE,
                "too many tries wait to be looked at",
            ));
        }
        let path = folder.join(name);
        // First kept as it came, the same log once; only then taken into plays.csv.
        write_whole(&path, text.as_bytes(), true).map_err(broken)?;
        if added(&door.shop, &path) {
            // What stays is added again and found to be there already.
            let _ = std::fs::remove_file(&path);
            let _ = door.shop.changes.send(());
        }
        Ok(StatusCode::NO_CONTENT)
    })
    .await
}

/// The log as rows of a file of tries; everything that cannot be one is told.
fn rows(log: &Log, outlines: &[String]) -> Result<String, Problem> {
    if log.plays.is_empty() || log.plays.len() > MOST_TRIES {
        return Err(Problem::unfit(format!("a log has 1 to {MOST_TRIES} tries")));
    }
    let mut text = String::from("tester,outline,minutes,finished,started\n");
    for (n, play) in log.plays.iter().enumerate() {
        let wrong = |what: &str| Problem::unfit(format!("try {}: {what}", n + 1));
        let name = play.tester.trim();
        if name.is_empty() || name.chars().count() > 40 || name.chars().any(char::is_control) {
            return Err(wrong("a tester's name has 1 to 40 characters"));
        }
        if name.starts_with(['=', '+', '-', '@']) {
            return Err(wrong("a tester's name does not begin like a formula"));
        }
        if !outlines.contains(&play.outline) {
            return Err(wrong("there is no such outline"));
        }
        if !(0.0..=100_000.0).contains(&play.minutes) {
            return Err(wrong("minutes go from 0 to 100000"));
        }
        let moment = |c: char| c.is_ascii_digit() || "-:TZ+.".contains(c);
        if !(10..=35).contains(&play.started.len()) || !play.started.chars().all(moment) {
            return Err(wrong("the start is no moment"));
        }
        let finished = if play.finished { "yes" } else { "no" };
        let minutes = play.minutes.max(0.01);
        let name = format!("\"{}\"", name.replace('"', "\"\""));
        text += &format!("{name},{},{minutes:.2},{finished},{}\n", play.outline, play.started);
    }
    Ok(text)
}

/// Whether the program took the rows of a file into the project's tries.
fn added(shop: &Shop, path: &FilePath) -> bool {
    let mut call = Command::new(&shop.program);
    call.args(["plays", "add", "--from"]).arg(path).arg("--project").arg(&shop.root);
    call.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    call.status().is_ok_and(|status| status.success())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn log(change: impl Fn(&mut Played)) -> Result<String, Problem> {
        let mut play = Played {
            tester: "t3".into(),
            outline: "tug".into(),
            minutes: 12.5,
            finished: true,
            started: "2026-03-14T19:30:00Z".into(),
        };
        change(&mut play);
        rows(&Log { plays: vec![play] }, &["tug".to_owned()])
    }

    #[test]
    fn a_log_becomes_rows() {
        let text = log(|_| {}).unwrap();
        assert_eq!(
            text,
            "tester,outline,minutes,finished,started\n\"t3\",tug,12.50,yes,2026-03-14T19:30:00Z\n"
        );
        assert!(log(|p| p.tester = "a \"b\", c".into()).unwrap().contains("\"a \"\"b\"\", c\",tug"));
    }

    #[test]
    fn what_is_no_try_is_refused() {
        assert!(log(|p| p.tester = String::new()).is_err());
        assert!(log(|p| p.tester = "a\nb".into()).is_err());
        assert!(log(|p| p.tester = "=1+1".into()).is_err());
        assert!(log(|p| p.outline = "../x".into()).is_err());
        assert!(log(|p| p.minutes = f64::NAN).is_err());
        assert!(log(|p| p.minutes = -1.0).is_err());
        assert!(log(|p| p.started = "soon, or later".into()).is_err());
        assert!(rows(&Log { plays: Vec::new() }, &[]).is_err());
    }
}
