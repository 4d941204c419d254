//! `pack --verify`: whether a zip is a sound pack.

use std::fs;
use std::io::Read;
use std::path::Path;

use project::Project;
use publish::{Answered, NoPack, Verified, verify};
use serde_json::json;

use crate::answer::{Answer, Failure, Status, counted};
use crate::cli::Call;
use crate::rules;
use crate::screen::Screen;
use crate::work::waiting;

/// Bytes of a zip that is read: a pack has fewer.
const MOST: u64 = 2 << 30;

pub(super) fn run(zip: &Path, call: &Call) -> Result<Answer, Failure> {
    let bytes = read(zip)?;
    let no_pack = |no: NoPack| {
        Failure::plain(format_args!("{}: {no}", zip.display()), "name a zip made by `pinfold pack`")
    };
    let mut found = verify(&bytes, &[]).map_err(no_pack)?;
    // The project knows the answers, if this is one and has the pack.
    if let Some(codes) = codes(call, &found) {
        found = verify(&bytes, &codes).map_err(no_pack)?;
    }
    let status = if found.faults.is_empty() { Status::Done } else { Status::No };
    let screen = Screen::of_output(false);
    Answer::made(status, call.json, || Ok(as_json(zip, &found)), || Ok(page(zip, &found, &screen)))
}

fn read(zip: &Path) -> Result<Vec<u8>, Failure> {
    let cannot = |why: String| {
        Failure::plain(format_args!("{} cannot be read: {why}", zip.display()), "name the zip of a pack")
    };
    let about = fs::metadata(zip).map_err(|e| cannot(e.to_string()))?;
    if !about.is_file() {
        return Err(cannot("it is no plain file".into()));
    }
    if about.len() > MOST {
        return Err(cannot(format!("it has more than {MOST} bytes")));
    }
    let mut bytes = Vec::new();
    let file = fs::File::open(zip).and_then(|f| f.take(MOST).read_to_end(&mut bytes));
    file.map_err(|e| cannot(e.to_string()))?;
    Ok(bytes)
}

/// The codes of the pack's layouts, if the project of the call has that pack.
fn codes(call: &Call, found: &Verified) -> Option<Vec<String>> {
    let project = Project::read(&call.project).ok()?;
    let pack = project.packs.iter().find(|p| p.name == found.manifest.pack)?;
    let outlines = publish::outlines(&project, pack).ok()?;
    let classes = rules::classes(&project).ok()?;
    let answered = waiting("answers", || Answered::of(&project, &classes, &outlines, &|| false));
    Some(answered.iter().flat_map(|a| a.codes(&project, &classes)).collect())
}

fn as_json(zip: &Path, found: &Verified) -> serde_json::Value {
    json!({
        "zip": zip.display().to_string(),
        "sound": found.faults.is_empty(),
        "set": found.manifest.set,
        "pack": found.manifest.pack,
        "version": found.manifest.version,
        "files": found.files,
        "sha256": found.sha256,
        "seal": found.manifest.seal,
        "layouts_looked_for": found.codes,
        "faults": found.faults.iter().map(ToString::to_string).collect::<Vec<_>>(),
    })
}

fn page(zip: &Path, found: &Verified, screen: &Screen) -> String {
    let manifest = &found.manifest;
    let mut lines = Vec::new();
    for fault in &found.faults {
        lines.push(format!("fault: {fault}."));
    }
    let what = format!("{} ({} {})", zip.display(), manifest.pack, manifest.version);
    lines.push(match found.faults.len() {
        0 => {
            format!("{what} is a sound pack: {}, each as the manifest has it.", counted(found.files, "file"))
        }
        n => format!("{what} is not sound: {}.", counted(n, "fault")),
    });
    lines.push(format!("SHA-256 of the zip: {}", found.sha256));
    lines.push("Hold it against the one on the maker's page: only that says who made it.".into());
    lines.push(match found.codes {
        0 => "Answers were looked for by name and by the seal. In the project's folder, or with --project, \
              they are looked for by their codes, too."
            .into(),
        n => format!("Answers were looked for by name, by the seal and by {}.", counted(n, "code")),
    });
    lines.iter().map(|line| screen.wrap(line, "  ")).collect()
}
