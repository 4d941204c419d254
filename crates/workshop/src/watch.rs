//! Files changed outside: noticed, and told to every page.

use std::convert::Infallible;
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc;
use std::time::Duration;

use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use notify::{RecursiveMode, Watcher};
use tokio_stream::wrappers::BroadcastStream;
use tokio_stream::{Stream, StreamExt};

use crate::shop::Shop;

/// Changes that come within this time are told as one.
const TOGETHER: Duration = Duration::from_millis(80);

/// Watches the project as long as the program runs.
///
/// # Errors
/// What the system says where it cannot watch.
pub(crate) fn begin(shop: &Arc<Shop>) -> notify::Result<()> {
    let (tell, told) = mpsc::channel::<()>();
    let root = shop.root.clone();
    let mut watcher = notify::recommended_watcher(move |event: notify::Result<notify::Event>| {
        let Ok(event) = event else { return };
        if !event.kind.is_access() && event.paths.iter().any(|path| is_ours(&root, path)) {
            let _ = tell.send(());
        }
    })?;
    watcher.watch(&shop.root, RecursiveMode::NonRecursive)?;
    let (changes, outlines) = (shop.changes.clone(), shop.root.join("outlines"));
    std::thread::spawn(move || {
        // The folder may come later than the project.
        let mut deep = false;
        loop {
            deep = deep || outlines.is_dir() && watcher.watch(&outlines, RecursiveMode::NonRecursive).is_ok();
            if told.recv().is_err() {
                return;
            }
            while told.recv_timeout(TOGETHER).is_ok() {}
            // With nobody there, nobody needs to know.
            let _ = changes.send(());
        }
    });
    Ok(())
}

/// Whether a path is one that a project is read from, and no file that is still being written.
fn is_ours(root: &Path, path: &Path) -> bool {
    let below = path.strip_prefix(root).unwrap_or(path);
    let hidden = path.file_name().is_some_and(|name| name.as_encoded_bytes().starts_with(b"."));
    let ending = path.extension().and_then(|e| e.to_str());
    !hidden && (below == Path::new("outlines") || matches!(ending, Some("toml" | "csv")))
}

/// Changes of the project's files, as server-sent events named `changed`
#[utoipa::path(get, path = "/api/events", responses(
    (status = 200, content_type = "text/event-stream", body = String),
))]
pub(crate) async fn events(
    State(shop): State<Arc<Shop>>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let changes = BroadcastStream::new(shop.changes.subscribe());
    let first = tokio_stream::once(Ok(Event::default().event("hello").data("pinfold")));
    // Browsers pass over events without data.
    let told = changes.map(|_| Ok(Event::default().event("changed").data("files")));
    Sse::new(first.chain(told)).keep_alive(KeepAlive::default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_half_written_are_no_change() {
        let root = Path::new("quay");
        assert!(is_ours(root, Path::new("quay/pinfold.toml")));
        assert!(is_ours(root, Path::new("quay/outlines/tug.toml")));
        assert!(is_ours(root, Path::new("quay/plays.csv")));
        assert!(!is_ours(root, Path::new("quay/.pinfold-x.part")));
        assert!(!is_ours(root, Path::new("quay/outlines/.tug.toml.swp")));
        assert!(!is_ours(root, Path::new("quay/notes.txt")));
    }
}
