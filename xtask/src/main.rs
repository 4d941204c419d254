//! `cargo xtask`: what a person would otherwise do by hand.
//!
//! What this crate promises: `cargo xtask test` is all that is checked before a
//! change lands, the same on a maker's machine as elsewhere; every step runs
//! even if an earlier one failed, and the last line says how it went.

mod bench;
mod debian;
mod demo;
mod demo_race;
mod judges;
mod report;
mod run;
mod suite;
mod tidy;
mod web;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Result, bail};

const USAGE: &str = "\
What a person would otherwise do by hand.

  cargo xtask test      every test, doc test, habit and outside judge
  cargo xtask test X    only the steps whose name has X in it
  cargo xtask tidy      the habits alone
  cargo xtask web       the pages built into web/dist, for the next build of pinfold
  cargo xtask demo      the main job on the demo project, pictures into its folder out
  cargo xtask bench     every benchmark; words that follow are a filter";

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    match dispatch(&args) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(e) => {
            eprintln!("error: {e:#}");
            ExitCode::from(2)
        }
    }
}

fn dispatch(args: &[String]) -> Result<bool> {
    let root = root();
    match args.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["test"] => suite::run(&root, ""),
        ["test", only] => suite::run(&root, only),
        ["tidy"] => suite::run(&root, "tidy"),
        ["web"] => web::build(&root),
        ["demo"] => demo::run(&root),
        ["bench", ..] => bench::run(&root, &args[1..]),
        [] | ["help" | "--help" | "-h"] => {
            println!("{USAGE}");
            Ok(true)
        }
        _ => bail!("there is no such task: {}\n\n{USAGE}", args.join(" ")),
    }
}

/// The folder of the workspace.
fn root() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    own.parent().expect("xtask is a folder of the workspace").to_owned()
}
