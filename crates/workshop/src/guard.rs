//! Who may ask: only pages that this server itself gave out.
//!
//! - The `Host` must be ours, so that a name that points here by a trick of the
//!   name service gets nothing.
//! - An `Origin`, where there is one, must be ours, so that other sites' pages
//!   get nothing.
//! - Whatever is not a plain reading must carry the token, which stands in our
//!   pages alone, so that no other site can make the browser write.
//! - Every answer forbids the browser to load anything from elsewhere, to be
//!   framed, or to guess what kind of file it has.

use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::problem::Problem;
use crate::shop::Shop;

/// The header that carries the token.
pub(crate) const TOKEN: &str = "x-pinfold-token";

const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
     img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; worker-src 'self'; \
     manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// Turns away what does not come from our own pages.
pub(crate) async fn ours_only(State(shop): State<Arc<Shop>>, request: Request, next: Next) -> Response {
    let response = match refusal(&shop, &request) {
        Some(problem) => problem.into_response(),
        None => next.run(request).await,
    };
    let mut response = sealed(response);
    // Alone in its own process, a page may share memory with its worker: so it tells the
    // core that a question is over while the core still reckons.
    let name = HeaderName::from_static("cross-origin-embedder-policy");
    response.headers_mut().insert(name, HeaderValue::from_static("require-corp"));
    response
}

/// Adds the headers that every answer has.
pub(crate) fn sealed(mut response: Response) -> Response {
    let opener = HeaderName::from_static("cross-origin-opener-policy");
    put(&mut response, &[(header::CONTENT_SECURITY_POLICY, POLICY), (opener, "same-origin")]);
    put(&mut response, &QUIET);
    response
}

/// What both doors say of every answer: it is what it is called, tells nobody where its
/// reader came from, stands in no frame, is kept nowhere, and is for no other site.
pub(crate) const QUIET: [(HeaderName, &str); 5] = [
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::CACHE_CONTROL, "no-store"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// Puts headers on an answer that has not said otherwise.
pub(crate) fn put(response: &mut Response, all: &[(HeaderName, &'static str)]) {
    for (name, value) in all {
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
}

fn refusal(shop: &Shop, request: &Request) -> Option<Problem> {
    let headers = request.headers();
    let host = headers.get(header::HOST).and_then(|h| h.to_str().ok());
    if !host.is_some_and(|host| is_ours(host, shop.port)) {
        let detail = "this server answers to 127.0.0.1 and localhost only";
        return Some(Problem::new(StatusCode::MISDIRECTED_REQUEST, detail));
    }
    if !origin_is_ours(headers, shop.port) {
        return Some(Problem::new(StatusCode::FORBIDDEN, "the request comes from another site"));
    }
    let reading = matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS);
    let token = headers.get(TOKEN).map(HeaderValue::as_bytes);
    if !reading && !token.is_some_and(|token| same(token, shop.token.as_bytes())) {
        let problem = Problem::new(StatusCode::FORBIDDEN, "the request has no token, or an old one");
        return Some(problem.mend("load the page again"));
    }
    None
}

/// Whether a request names this machine and comes from no other site.
pub(crate) fn is_for_us(headers: &HeaderMap, port: u16) -> bool {
    let host = headers.get(header::HOST).and_then(|h| h.to_str().ok());
    host.is_some_and(|host| is_ours(host, port)) && origin_is_ours(headers, port)
}

fn is_ours(host: &str, port: u16) -> bool {
    let named = |name: &str| host == format!("{name}:{port}") || (port == 80 && host == name);
    ["127.0.0.1", "localhost", "[::1]"].into_iter().any(named)
}

fn origin_is_ours(headers: &HeaderMap, port: u16) -> bool {
    let site = headers.get("sec-fetch-site").map(HeaderValue::as_bytes);
    if matches!(site, Some(b"cross-site" | b"same-site")) {
        return false;
    }
    match headers.get(header::ORIGIN).map(|origin| origin.to_str()) {
        None => true,
        Some(Ok(origin)) => origin.strip_prefix("http://").is_some_and(|host| is_ours(host, port)),
        Some(Err(_)) => false,
    }
}

/// Compares without telling by its time how much was right.
pub(crate) fn same(a: &[u8], b: &[u8]) -> bool {
    a.len() == b.len() && a.iter().zip(b).fold(0, |all, (x, y)| all | (x ^ y)) == 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_names_of_this_machine_are_ours() {
        for host in ["127.0.0.1:7070", "localhost:7070", "[::1]:7070"] {
            assert!(is_ours(host, 7070), "{host}");
        }
        for host in
            ["127.0.0.1", "localhost:7071", "harbour.example:7070", "127.0.0.1.harbour.example:7070", ""]
        {
            assert!(!is_ours(host, 7070), "{host}");
        }
    }

    #[test]
    fn a_token_is_right_or_wrong_as_a_whole() {
        assert!(same(b"abc", b"abc"));
        assert!(!same(b"abc", b"abd") && !same(b"ab", b"abc") && !same(b"", b"abc"));
    }
}
