//! Calls of the program, and projects to call it on.

// Each test binary uses some of these.
#![allow(dead_code)]

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;
use tempfile::TempDir;

pub fn pinfold(args: &[&str]) -> assert_cmd::assert::Assert {
    assert_cmd::Command::new(env!("CARGO_BIN_EXE_pinfold")).args(args).assert()
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Standard output as JSON; nothing may stand beside it.
pub fn json(args: &[&str], code: i32) -> Value {
    let run = pinfold(args).code(code);
    assert_eq!(text(&run.get_output().stderr), "");
    serde_json::from_slice(&run.get_output().stdout).unwrap()
}

/// Standard output as text; nothing may stand beside it.
pub fn page(args: &[&str], code: i32) -> String {
    let run = pinfold(args).code(code);
    assert_eq!(text(&run.get_output().stderr), "");
    text(&run.get_output().stdout)
}

/// The sentence on standard error of a call that is wrong; nothing is answered.
pub fn wrong(args: &[&str]) -> String {
    let run = pinfold(args).code(2);
    assert_eq!(text(&run.get_output().stdout), "");
    text(&run.get_output().stderr)
}

/// Without what the clock says, the only thing that may differ.
pub fn masked(output: &str) -> String {
    let mut masked = String::new();
    for line in output.lines() {
        let cut = |mark: &str, end: &str| {
            let start = line.find(mark)? + mark.len();
            let rest = line[start..].find(end).map_or("", |at| &line[start + at..]);
            Some(format!("{}_{rest}\n", &line[..start]))
        };
        let clock =
            cut("\"seconds\": ", ",").or_else(|| cut(", in ", " s")).or_else(|| cut(", after ", " s"));
        masked += &clock.unwrap_or_else(|| format!("{line}\n"));
    }
    masked
}

/// The output is what the golden file has.
pub fn is_golden(output: &str, name: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden").join(name);
    let found = masked(output);
    // To write them anew: look at every change before it is kept.
    if std::env::var_os("PINFOLD_GOLDEN").is_some() {
        fs::write(&path, &found).unwrap();
    }
    assert_eq!(found, fs::read_to_string(&path).unwrap(), "{name} has changed");
}

/// A project as `new` makes it.
pub fn started() -> (TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let project = folder.path().join("harbour").display().to_string();
    pinfold(&["new", &project]).success();
    (folder, project)
}

/// A project of the files in `tests/projects`, changed as told.
pub fn project(name: &str, change: impl Fn(&str, String) -> String) -> (TempDir, String) {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/projects").join(name);
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("outlines")).unwrap();
    let mut files: Vec<PathBuf> = vec!["pinfold.toml".into()];
    for entry in fs::read_dir(from.join("outlines")).unwrap() {
        files.push(Path::new("outlines").join(entry.unwrap().file_name()));
    }
    for file in files {
        let text = fs::read_to_string(from.join(&file)).unwrap();
        fs::write(folder.path().join(&file), change(&file.display().to_string(), text)).unwrap();
    }
    let path = folder.path().display().to_string();
    (folder, path)
}

pub fn unchanged(_: &str, text: String) -> String {
    text
}

/// What stands in a folder and below, sorted.
pub fn files(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            found.extend(files(&path).into_iter().map(|f| format!("{name}/{f}")));
        } else {
            found.push(path.file_name().unwrap().to_string_lossy().into_owned());
        }
    }
    found.sort();
    found
}
