//! The server: routes, limits, and the sockets it listens on.

use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::http::StatusCode;
use axum::middleware;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use tokio::net::TcpListener;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::TimeoutLayer;
use utoipa::OpenApi;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

use crate::problem::Problem;
use crate::shop::Shop;
use crate::{guard, jobs, live, outlines, packs, pages, pieces, shapes, share, watch};

/// The largest body of a request.
const LARGEST: usize = 8 << 20;
/// The longest that a request is worked on; what takes longer is a job.
const LONGEST: Duration = Duration::from_secs(30);

/// How to serve.
#[derive(Clone, Debug)]
pub struct Options {
    /// The project's folder.
    pub root: PathBuf,
    /// The port on 127.0.0.1; 0 for any that is free.
    pub port: u16,
    /// The folder of built pages to use instead of those in the program.
    pub pages: Option<PathBuf>,
    /// This program: the page's questions about scouting, grades, packs and tries
    /// are put to it as calls.
    pub program: PathBuf,
    /// The port of the play page on all of the machine's networks, 0 for any that
    /// is free; none: nobody but this machine is served.
    pub share: Option<u16>,
}

/// Where the pages are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Addresses {
    /// The maker's pages.
    pub workshop: String,
    /// The play page for testers, if it is shared.
    pub play: Option<String>,
    /// What a program of the maker's own must send to change anything.
    pub token: String,
    /// Whether the pages were built into this program.
    pub built: bool,
}

/// Why nothing is served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The port cannot be had.
    #[error("port {port} of this machine cannot be listened on: {why}")]
    Port {
        /// The port.
        port: u16,
        /// What the system said.
        why: io::Error,
    },
    /// The system gave no random bytes.
    #[error("the system gives no random numbers: {0}")]
    Random(getrandom::Error),
    /// Something else of the system failed.
    #[error("the server cannot run: {0}")]
    System(#[from] io::Error),
}

#[derive(OpenApi)]
#[openapi(info(
    title = "Pinfold workshop",
    description = "The maker's project, for the pages on the maker's own machine."
))]
struct Description;

fn api() -> OpenApiRouter<Arc<Shop>> {
    OpenApiRouter::with_openapi(Description::openapi())
        .routes(routes!(outlines::project))
        .routes(routes!(outlines::outline, outlines::put_outline))
        .routes(routes!(pieces::pieces, pieces::put_pieces))
        .routes(routes!(pieces::look))
        .routes(routes!(pieces::core))
        .routes(routes!(packs::put_pack))
        .routes(routes!(shapes::drawn_solid))
        .routes(routes!(shapes::names))
        .routes(routes!(shapes::solid))
        .routes(routes!(live::ask))
        .routes(routes!(jobs::begin, jobs::list))
        .routes(routes!(jobs::job, jobs::end))
        .routes(routes!(jobs::file))
}

/// Those that go on as long as somebody listens.
fn streams() -> OpenApiRouter<Arc<Shop>> {
    OpenApiRouter::new().routes(routes!(watch::events)).routes(routes!(jobs::events))
}

/// The description of the interface, as JSON.
pub fn openapi() -> String {
    let (_, api) = api().merge(streams()).split_for_parts();
    api.to_pretty_json().expect("a description is plain data")
}

fn router(shop: &Arc<Shop>) -> Router {
    let timeout = TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, LONGEST);
    let (api, _) = api().split_for_parts();
    let (streams, _) = streams().split_for_parts();
    let description = openapi();
    let description = get(move || async move {
        ([(axum::http::header::CONTENT_TYPE, "application/json")], description).into_response()
    });
    api.route("/api/openapi.json", description)
        .fallback(pages::file)
        .method_not_allowed_fallback(async || {
            Problem::new(StatusCode::METHOD_NOT_ALLOWED, "this cannot be done at this address")
        })
        .layer(timeout)
        .merge(streams)
        .layer(RequestBodyLimitLayer::new(LARGEST))
        .layer(CatchPanicLayer::custom(broken))
        .layer(middleware::from_fn_with_state(shop.clone(), guard::ours_only))
        .with_state(shop.clone())
}

fn broken(_: Box<dyn std::any::Any + Send>) -> Response {
    Problem::new(StatusCode::INTERNAL_SERVER_ERROR, "the program has a fault: the work broke off")
        .into_response()
}

/// Serves a project until the program ends; `ready` is told where, once it can
/// be asked.
///
/// # Errors
/// Nothing could be served.
pub fn serve(options: &Options, ready: impl FnOnce(&Addresses)) -> Result<(), ServeError> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(serving(options, ready))
}

async fn serving(options: &Options, ready: impl FnOnce(&Addresses)) -> Result<(), ServeError> {
    let asked = SocketAddr::from((Ipv4Addr::LOCALHOST, options.port));
    let port = options.port;
    let listener = TcpListener::bind(asked).await.map_err(|why| ServeError::Port { port, why })?;
    serve_on(listener, options, ready).await
}

/// Serves a project on a socket that is bound.
pub(crate) async fn serve_on(
    listener: TcpListener,
    options: &Options,
    ready: impl FnOnce(&Addresses),
) -> Result<(), ServeError> {
    let port = listener.local_addr()?.port();
    let shop = Arc::new(Shop::new(options, port, random()?));
    // Where files cannot be watched, digests still keep versions apart.
    let _ = watch::begin(&shop);
    let router = router(&shop);
    let door = match options.share {
        Some(port) => {
            let asked = SocketAddr::from((Ipv4Addr::UNSPECIFIED, port));
            let door = TcpListener::bind(asked).await.map_err(|why| ServeError::Port { port, why })?;
            Some((door, random()?))
        }
        None => None,
    };
    let play = match &door {
        Some((door, key)) => Some(share::address(door.local_addr()?.port(), key)),
        None => None,
    };
    let (workshop, token) = (format!("http://127.0.0.1:{port}/"), shop.token.clone());
    ready(&Addresses { workshop, play, token, built: pages::are_built(&shop) });
    if let Some((door, key)) = door {
        let router = share::router(&shop, key);
        tokio::spawn(async move { axum::serve(door, router).await });
    }
    axum::serve(listener, router).await?;
    Ok(())
}

/// 128 random bits as text.
pub(crate) fn random() -> Result<String, ServeError> {
    let mut bytes = [0u8; 16];
    getrandom::fill(&mut bytes).map_err(ServeError::Random)?;
    Ok(bytes.iter().map(|b| format!("{b:02x}")).collect())
}
