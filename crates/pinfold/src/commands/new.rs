//! `new`: a project to start from, with a worked example.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use clap::Args;
use project::{Project, write_whole};
use serde_json::json;

use crate::answer::{Answer, Failure};

/// Start a project in a new or empty folder
///
/// Writes a small set with two outlines that can be filled, with comments that
/// say what each line is for. Change them, or take them out.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct New {
    /// The folder: made if it is not there, refused if there is anything in it
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

const EXAMPLES: &str = "\
Examples:
  pinfold new quayside                  makes the folder quayside
  pinfold new .                         in this folder, if it is empty
  pinfold check --project quayside      what to do next";

/// The files of a new project. The set's file is last: until it is there, a
/// start that broke off is no project.
const FILES: [(&str, &str); 4] = [
    (".gitignore", "# Everything made; may be deleted at any time.\n/out/\n/.plays.lock\n"),
    ("outlines/beacon.toml", include_str!("start/beacon.toml")),
    ("outlines/crane.toml", include_str!("start/crane.toml")),
    ("pinfold.toml", include_str!("start/pinfold.toml")),
];

pub(crate) fn run(args: &New) -> Result<Answer, Failure> {
    let shown = args.folder.display();
    let project = begun(&args.folder)?;
    let files: Vec<&str> = FILES.iter().map(|f| f.0).collect();
    let text = format!(
        "Started \"{}\" in {shown}: {}.\nRead pinfold.toml first; then `pinfold check --project {shown}`.",
        project.title,
        files.join(", ")
    );
    Ok(Answer::done(json!({ "folder": shown.to_string(), "files": files }), text))
}

/// Begins a project in a new or an empty folder.
///
/// # Errors
/// The folder is something else, or cannot be written in.
pub(crate) fn begun(folder: &Path) -> Result<Project, Failure> {
    let shown = folder.display();
    let broken =
        |e: io::Error| Failure::plain(format_args!("{shown}: {e}"), "name a folder that can be written in");
    match is_empty(folder) {
        Ok(true) => {}
        Ok(false) => {
            let message = format_args!("the folder {shown} is not empty");
            return Err(Failure::plain(message, "name a new or an empty folder"));
        }
        Err(e) if e.kind() == ErrorKind::NotADirectory => {
            return Err(Failure::plain(
                format_args!("{shown} is not a folder"),
                "name a new or an empty folder",
            ));
        }
        Err(e) => return Err(broken(e)),
    }
    fs::create_dir_all(folder.join("outlines")).map_err(broken)?;
    for (name, text) in FILES {
        write_whole(&folder.join(name), text.as_bytes(), false).map_err(broken)?;
    }
    Ok(Project::read(folder)?)
}

/// Whether a folder has nothing in it, or is not there yet.
fn is_empty(folder: &Path) -> io::Result<bool> {
    match fs::read_dir(folder) {
        Ok(mut entries) => Ok(entries.next().is_none()),
        Err(e) if e.kind() == ErrorKind::NotFound => Ok(true),
        Err(e) => Err(e),
    }
}
