//! Running another program: its output passes through and is read on the way.
//!
//! A step that runs beside others keeps what it says in a notebook of its own
//! ([`noted`]), so that two of them never mix on the screen.

use std::cell::RefCell;
use std::ffi::OsStr;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result};

thread_local! {
    /// What this thread's step has said, if it runs beside others.
    static NOTEBOOK: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// Does something whose words are kept, not shown; gives both back.
pub(crate) fn noted<T>(act: impl FnOnce() -> T) -> (T, String) {
    NOTEBOOK.with(|book| book.replace(Some(String::new())));
    let done = act();
    (done, NOTEBOOK.with(RefCell::take).unwrap_or_default())
}

/// Says a line: to the screen, or into this thread's notebook.
pub(crate) fn say(line: &str) {
    let kept = NOTEBOOK.with(|book| {
        let mut book = book.borrow_mut();
        if let Some(text) = book.as_mut() {
            text.push_str(line);
            text.push('\n');
        }
        book.is_some()
    });
    if !kept {
        // A reader that went away must not end the run: its status still counts.
        let _ = writeln!(std::io::stdout().lock(), "{line}");
    }
}

/// How a program ended, and what it said on standard output.
pub(crate) struct Ran {
    pub(crate) ok: bool,
    pub(crate) lines: Vec<String>,
}

/// A program in a folder, not yet run.
pub(crate) fn program<A: AsRef<OsStr>>(
    name: impl AsRef<OsStr>,
    args: impl IntoIterator<Item = A>,
    folder: &Path,
) -> Command {
    let mut command = Command::new(name);
    command.args(args).current_dir(folder).stdin(Stdio::null());
    command
}

/// The same, but last in line for the processor: a browser in which pages are used
/// waits for a person's time, all else can wait.
pub(crate) fn patient<A: AsRef<OsStr>>(
    name: impl AsRef<OsStr>,
    args: impl IntoIterator<Item = A>,
    folder: &Path,
) -> Command {
    if !cfg!(unix) {
        return program(name, args, folder);
    }
    let mut command = program("nice", ["-n", "10"], folder);
    command.arg(name).args(args);
    command
}

/// This toolchain's cargo, the one that runs us if there is one.
pub(crate) fn cargo<A: AsRef<OsStr>>(args: impl IntoIterator<Item = A>, folder: &Path) -> Command {
    program(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()), args, folder)
}

/// Where cargo builds, as the environment says.
pub(crate) fn target(root: &Path) -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), |dir| root.join(dir))
}

/// A program that was built for tests and demo alike.
pub(crate) fn built(root: &Path, name: &str) -> PathBuf {
    target(root).join("debug").join(format!("{name}{}", std::env::consts::EXE_SUFFIX))
}

/// Runs a program, showing what it says as it says it. In a notebook, what it
/// says on standard error stands between, and is among the lines.
pub(crate) fn shown(mut command: Command) -> Result<Ran> {
    let name = command.get_program().to_string_lossy().into_owned();
    let cannot = || format!("{name} cannot be run");
    if NOTEBOOK.with(|book| book.borrow().is_none()) {
        let mut child = command.stdout(Stdio::piped()).spawn().with_context(cannot)?;
        let said = child.stdout.take().expect("standard output is piped");
        let lines = passed_on(said).with_context(|| format!("{name} cannot be read"))?;
        let ok = child.wait().with_context(|| format!("{name} was lost"))?.success();
        return Ok(Ran { ok, lines });
    }
    let (said, into) = std::io::pipe().with_context(cannot)?;
    command.stdout(into.try_clone().with_context(cannot)?).stderr(into);
    let mut child = command.spawn().with_context(cannot)?;
    // Its ends of the pipe, which would keep us reading for ever.
    drop(command);
    let lines = passed_on(said).with_context(|| format!("{name} cannot be read"))?;
    let ok = child.wait().with_context(|| format!("{name} was lost"))?.success();
    Ok(Ran { ok, lines })
}

fn passed_on(said: impl Read) -> Result<Vec<String>> {
    let mut lines = Vec::new();
    for line in BufReader::new(said).split(b'\n') {
        let line = String::from_utf8_lossy(&line?).into_owned();
        say(&line);
        lines.push(line);
    }
    Ok(lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_notebook_keeps_both_outputs_of_a_program() {
        let (ran, text) = noted(|| shown(program("sh", ["-c", "echo out; echo err >&2"], Path::new("."))));
        let ran = ran.unwrap();
        assert!(ran.ok);
        let mut lines: Vec<&str> = text.lines().collect();
        lines.sort_unstable();
        assert_eq!(lines, ["err", "out"]);
    }
}
