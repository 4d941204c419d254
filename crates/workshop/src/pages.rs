//! The pages themselves, as built into the program.

use std::borrow::Cow;
use std::sync::Arc;

use axum::extract::State;
use axum::http::{StatusCode, Uri, header};
use axum::response::{Html, IntoResponse, Response};

use crate::problem::Problem;
use crate::shop::Shop;

/// Every file of the pages: its path and its bytes.
static FILES: &[(&str, &[u8])] = include!(concat!(env!("OUT_DIR"), "/pages.rs"));

/// Whether the pages were there when this program was built.
pub const HAS_PAGES: bool = !FILES.is_empty();

const NOT_BUILT: &str = "<!doctype html><html lang=\"en\"><title>Pinfold</title>\
     <h1>The pages are not built</h1><p>Run <code>cargo xtask web</code>, then build the program again.\
     The interface at <a href=\"/api/openapi.json\">/api/openapi.json</a> works without them.</p></html>";

/// Whether the pages were there when the program was built.
pub(crate) fn are_built(shop: &Shop) -> bool {
    bytes(shop, "index.html").is_some()
}

/// One file of the pages: those of a folder where the pages are being worked on,
/// else those built in. Names are compared with what is there, never opened as
/// they come.
fn bytes(shop: &Shop, name: &str) -> Option<Cow<'static, [u8]>> {
    let Some(folder) = &shop.pages else {
        return FILES.iter().find(|(own, _)| *own == name).map(|(_, bytes)| Cow::Borrowed(*bytes));
    };
    let folders = [folder.clone(), folder.join("assets")];
    let files = folders.iter().filter_map(|f| std::fs::read_dir(f).ok()).flatten().flatten();
    let of_name = |path: &std::path::PathBuf| {
        path.is_file() && path.strip_prefix(folder).is_ok_and(|below| below == std::path::Path::new(name))
    };
    let path = files.map(|entry| entry.path()).find(of_name)?;
    std::fs::read(path).ok().map(Cow::Owned)
}

/// The file at a path; every page of the workshop is the one file that begins them.
pub(crate) async fn file(State(shop): State<Arc<Shop>>, uri: Uri) -> Response {
    let path = uri.path().trim_start_matches('/');
    if path.starts_with("api/") {
        return Problem::none("address", uri.path()).into_response();
    }
    match bytes(&shop, path).filter(|_| path != "index.html") {
        Some(bytes) => {
            let heads = [
                (header::CONTENT_TYPE, kind(path)),
                // Names of built files change with what is in them.
                (header::CACHE_CONTROL, "public, max-age=31536000, immutable"),
            ];
            (heads, bytes).into_response()
        }
        None if path.contains('.') || path.contains('/') => Problem::none("page", uri.path()).into_response(),
        None => first(&shop),
    }
}

fn first(shop: &Shop) -> Response {
    let Some(bytes) = bytes(shop, "index.html") else {
        return (StatusCode::OK, Html(NOT_BUILT)).into_response();
    };
    Html(String::from_utf8_lossy(&bytes).replace("%PINFOLD_TOKEN%", &shop.token)).into_response()
}

fn kind(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("wasm") => "application/wasm",
        Some("json") => "application/json",
        Some("woff2") => "font/woff2",
        _ => "application/octet-stream",
    }
}
