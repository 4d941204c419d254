//! The start page: where a maker without a project begins. It lists the projects
//! in one folder, opens one, or makes a new one; then the same address is the
//! workshop of that project.
//!
//! A page without scripts, made by the server: forms that carry a token, as every
//! request does that changes something.

use std::net::{Ipv4Addr, SocketAddr, TcpListener as Listener};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use axum::extract::{Form, Request, State};
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{Html, IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Router, serve};
use serde::Deserialize;
use tokio::net::TcpListener;
use tokio::sync::mpsc;

use crate::guard;
use crate::serve::{Addresses, Options, ServeError, random, serve_on};

/// The longest name of a new project's folder, in characters.
const LONGEST_NAME: usize = 60;

/// Makes a project in a folder that is not there yet; a sentence if it can't.
pub type Begin = fn(&Path) -> Result<(), String>;

/// Where projects are, and how one is begun.
#[derive(Clone, Debug)]
pub struct StartOptions {
    /// The folder whose folders are projects; made when the first one is.
    pub folder: PathBuf,
    /// Makes a project to start from.
    pub begin: Begin,
    /// How to serve the project that is opened; its folder is left aside.
    pub options: Options,
}

struct Hall {
    folder: PathBuf,
    begin: Begin,
    port: u16,
    token: String,
    chosen: mpsc::Sender<PathBuf>,
    /// Whether a project has been chosen, and the workshop is about to serve.
    is_over: AtomicBool,
}

/// Serves the start page until a project is chosen, and then that project until
/// the program ends; `ready` is told where, once it can be asked.
///
/// # Errors
/// Nothing could be served.
pub fn start(asked: &StartOptions, ready: impl FnOnce(&Addresses)) -> Result<(), ServeError> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(starting(asked, ready))
}

async fn starting(asked: &StartOptions, ready: impl FnOnce(&Addresses)) -> Result<(), ServeError> {
    let port = asked.options.port;
    let listener = Listener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, port)))
        .map_err(|why| ServeError::Port { port, why })?;
    listener.set_nonblocking(true)?;
    let port = listener.local_addr()?.port();
    let (chosen, mut choice) = mpsc::channel(1);
    let token = random()?;
    let (folder, begin) = (asked.folder.clone(), asked.begin);
    let hall =
        Arc::new(Hall { folder, begin, port, token: token.clone(), chosen, is_over: AtomicBool::new(false) });
    let router = Router::new()
        .route("/", get(page))
        .route("/open", post(open))
        .route("/new", post(new))
        .layer(middleware::from_fn_with_state(hall.clone(), ours_only))
        .with_state(hall);
    let workshop = format!("http://127.0.0.1:{port}/");
    ready(&Addresses { workshop, play: None, token, built: true });
    let (found, root) = tokio::sync::oneshot::channel();
    let until = async move {
        // Without a choice the program ends some other way.
        let root = choice.recv().await.unwrap_or_default();
        let _ = found.send(root);
    };
    // The socket stays open between the two, so that a browser that is sent on waits, no more.
    let first = TcpListener::from_std(listener.try_clone()?)?;
    serve(first, router).with_graceful_shutdown(until).await?;
    let Ok(root) = root.await else { return Ok(()) };
    let options = Options { root, ..asked.options.clone() };
    serve_on(TcpListener::from_std(listener)?, &options, |_| {}).await
}

async fn ours_only(State(hall): State<Arc<Hall>>, request: Request, next: Next) -> Response {
    let mut response = if !guard::is_for_us(request.headers(), hall.port) {
        StatusCode::FORBIDDEN.into_response()
    } else if hall.is_over.load(Ordering::Acquire) {
        // It came between the two: once more, and it comes to the workshop.
        let again = [(HeaderName::from_static("refresh"), "1"), (header::CONNECTION, "close")];
        (StatusCode::SERVICE_UNAVAILABLE, again, Html("<!doctype html><title>Opening</title>"))
            .into_response()
    } else {
        next.run(request).await
    };
    let policy = "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; base-uri 'none'; \
                  frame-ancestors 'none'";
    response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(policy));
    // Without a referrer a form would not say where it comes from, and we turn it away.
    response.headers_mut().insert(header::REFERRER_POLICY, HeaderValue::from_static("same-origin"));
    guard::put(&mut response, &guard::QUIET);
    response
}

async fn page(State(hall): State<Arc<Hall>>) -> Response {
    Html(hall.page("")).into_response()
}

#[derive(Deserialize)]
struct Choice {
    token: String,
    name: String,
}

async fn open(State(hall): State<Arc<Hall>>, Form(choice): Form<Choice>) -> Response {
    if !guard::same(choice.token.as_bytes(), hall.token.as_bytes()) {
        return hall.told(StatusCode::FORBIDDEN, "The page is an old one: choose again.");
    }
    // Compared with what is there, never opened as it comes.
    match hall.projects().into_iter().find(|name| *name == choice.name) {
        Some(name) => hall.go(&hall.folder.join(name)).await,
        None => hall.told(StatusCode::NOT_FOUND, "That project is not there any more."),
    }
}

async fn new(State(hall): State<Arc<Hall>>, Form(choice): Form<Choice>) -> Response {
    if !guard::same(choice.token.as_bytes(), hall.token.as_bytes()) {
        return hall.told(StatusCode::FORBIDDEN, "The page is an old one: choose again.");
    }
    let name = choice.name.trim();
    if let Err(sentence) = is_folder_name(name) {
        return hall.told(StatusCode::UNPROCESSABLE_ENTITY, sentence);
    }
    let root = hall.folder.join(name);
    match (hall.begin)(&root) {
        Ok(()) => hall.go(&root).await,
        Err(sentence) => hall.told(StatusCode::CONFLICT, &sentence),
    }
}

/// Letters, digits, spaces, hyphens and underscores: a name that every system takes.
fn is_folder_name(name: &str) -> Result<(), &'static str> {
    let good = |c: char| c.is_alphanumeric() || [' ', '-', '_'].contains(&c);
    if name.is_empty() {
        return Err("A new project needs a name.");
    }
    if name.chars().count() > LONGEST_NAME {
        return Err("That name is too long: at most 60 letters.");
    }
    if !name.chars().all(good) {
        return Err("Letters, digits, spaces, - and _ make a name; nothing else.");
    }
    Ok(())
}

impl Hall {
    /// The folders that are projects, in order of name.
    fn projects(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let projects = entries.filter(|entry| entry.path().join("pinfold.toml").is_file());
        let mut names: Vec<String> =
            projects.filter_map(|entry| entry.file_name().into_string().ok()).collect();
        names.sort();
        names
    }

    async fn go(&self, root: &Path) -> Response {
        let root = root.canonicalize().unwrap_or_else(|_| root.to_owned());
        self.is_over.store(true, Ordering::Release);
        // A second choice comes too late; the first one is shown.
        let _ = self.chosen.send(root).await;
        let mut response = Redirect::to("/").into_response();
        // So that the next request comes to whoever serves then.
        response.headers_mut().insert(header::CONNECTION, HeaderValue::from_static("close"));
        response
    }

    fn told(&self, status: StatusCode, sentence: &str) -> Response {
        (status, Html(self.page(sentence))).into_response()
    }

    fn page(&self, sentence: &str) -> String {
        let text = |raw: &str| quick_xml::escape::escape(raw).into_owned();
        let hidden = format!("<input type=\"hidden\" name=\"token\" value=\"{}\">", text(&self.token));
        let projects = self.projects();
        let listed: String = projects
            .iter()
            .map(|name| {
                let name = text(name);
                format!(
                    "<li><form method=\"post\" action=\"/open\">{hidden}\
                     <button name=\"name\" value=\"{name}\">{name}</button></form></li>"
                )
            })
            .collect();
        let listed = if projects.is_empty() {
            "<p>None yet. A new one starts with a small set and two outlines, to be changed.</p>".to_owned()
        } else {
            format!("<ul>{listed}</ul>")
        };
        let said = match sentence {
            "" => String::new(),
            said => format!("<p class=\"said\" role=\"alert\">{}</p>", text(said)),
        };
        include_str!("start.html")
            .replace("%FOLDER%", &text(&self.folder.display().to_string()))
            .replace("%SAID%", &said)
            .replace("%PROJECTS%", &listed)
            .replace("%TOKEN%", &hidden)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_folders_lead_nowhere_else() {
        for good in ["harbour", "Spring tide 2", "Å-set"] {
            assert_eq!(is_folder_name(good), Ok(()), "{good}");
        }
        for bad in ["", "..", "a/b", "a\\b", ".git", "a\0", "tide\n"] {
            assert!(is_folder_name(bad).is_err(), "{bad:?}");
        }
        assert!(is_folder_name(&"a".repeat(61)).is_err());
    }
}
