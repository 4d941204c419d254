//! A pack onto the disk: its folder and its zip, each file whole or not at all.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use project::write_whole;
use publish::{Composed, Manifest};

use crate::answer::Failure;

const MANIFEST: &str = "MANIFEST.json";

/// Writes folder and zip below `out`. What an earlier pack of this folder had and
/// this one has not is taken away; other files that stand there are left.
pub(super) fn pack(out: &Path, composed: &Composed) -> Result<(PathBuf, PathBuf), Failure> {
    let name = composed.manifest.folder();
    let (folder, zip) = (out.join(&name), out.join(format!("{name}.zip")));
    for old in earlier(&folder) {
        let kept = composed.files.iter().any(|f| f.name == old);
        // A manifest that somebody changed must not lead out of the folder.
        let plain = !old.split('/').any(|p| p.is_empty() || p.starts_with('.')) && !old.contains(['\\', ':']);
        if !kept && plain {
            let path = folder.join(&old);
            match fs::remove_file(&path) {
                Err(e) if e.kind() != ErrorKind::NotFound => return Err(broken(&path, &e)),
                _ => {}
            }
        }
    }
    for file in &composed.files {
        put(&folder.join(&file.name), &file.bytes)?;
    }
    put(&zip, &composed.archive)?;
    Ok((folder, zip))
}

/// Writes what stays with the maker.
pub(super) fn answers(out: &Path, composed: &Composed) -> Result<Vec<PathBuf>, Failure> {
    let text = out.join(format!("{}-answers.txt", composed.manifest.folder()));
    put(&text, composed.sealed.text.as_bytes())?;
    let mut written = vec![text];
    for file in &composed.answers {
        let path = out.join(&file.name);
        put(&path, &file.bytes)?;
        written.push(path);
    }
    Ok(written)
}

/// The files that an earlier pack of a folder says it has.
fn earlier(folder: &Path) -> Vec<String> {
    let text = fs::read(folder.join(MANIFEST)).unwrap_or_default();
    let manifest: Option<Manifest> = serde_json::from_slice(&text).ok();
    manifest.map_or(Vec::new(), |m| m.files.into_iter().map(|f| f.path).collect())
}

fn put(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let made = path.parent().map_or(Ok(()), fs::create_dir_all);
    made.and_then(|()| write_whole(path, bytes, true)).map_err(|e| broken(path, &e))
}

fn broken(path: &Path, e: &io::Error) -> Failure {
    Failure::plain(
        format_args!("{} was not written: {e}", path.display()),
        "name a folder that can be written in with --out",
    )
}
