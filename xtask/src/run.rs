//! Running another program: its output passes through and is read on the way.

use std::ffi::OsStr;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context, Result};

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

/// This toolchain's cargo, the one that runs us if there is one.
pub(crate) fn cargo<A: AsRef<OsStr>>(args: impl IntoIterator<Item = A>, folder: &Path) -> Command {
    program(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()), args, folder)
}

/// Where cargo builds, as the environment says.
pub(crate) fn target(root: &Path) -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root.join("target"), |dir| root.join(dir))
}

/// Runs a program, showing what it says as it says it.
pub(crate) fn shown(mut command: Command) -> Result<Ran> {
    let name = command.get_program().to_string_lossy().into_owned();
    let mut child =
        command.stdout(Stdio::piped()).spawn().with_context(|| format!("{name} cannot be run"))?;
    let mut lines = Vec::new();
    let said = child.stdout.take().expect("standard output is piped");
    for line in BufReader::new(said).split(b'\n') {
        let line =
            String::from_utf8_lossy(&line.with_context(|| format!("{name} cannot be read"))?).into_owned();
        // A reader that went away must not end the run: its status still counts.
        let _ = writeln!(std::io::stdout().lock(), "{line}");
        lines.push(line);
    }
    let ok = child.wait().with_context(|| format!("{name} was lost"))?.success();
    Ok(Ran { ok, lines })
}
