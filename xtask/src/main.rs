//! `cargo xtask`: what a person would otherwise do by hand.
//!
//! What this crate promises: `cargo xtask test` is all that is checked before a
//! change lands, the same on a maker's machine as elsewhere; every step runs
//! even if an earlier one failed, and the last line says how it went.

mod bench;
mod building;
mod crew;
mod debian;
mod demo;
mod demo_race;
mod demo_workshop;
mod dist;
mod judges;
mod plain;
mod quayside;
mod report;
mod run;
mod suite;
mod tidy;
mod times;
mod web;
mod where_time_goes;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use anyhow::{Result, bail};

use demo::Form;

const USAGE: &str = "\
What a person would otherwise do by hand.

  cargo xtask test      every test, doc test, habit and outside judge
  cargo xtask test X    only the steps whose name has X in it
  cargo xtask test --all  judges judge everything, not the choice that is quick
  cargo xtask tidy      the habits alone
  cargo xtask web       the pages built into web/dist, for the next build of pinfold
  cargo xtask demo      the main job on the demo project, pictures into its folder out
  cargo xtask demo --short  a little of each of its steps
  cargo xtask dist      what a maker without Rust gets: package, archive, digests, licences
  cargo xtask bill FILE its bill of materials alone, as CycloneDX
  cargo xtask times     where the time of building went, the slowest first
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
        ["test"] => suite::run(&root, "", false),
        ["test", "--all"] => suite::run(&root, "", true),
        ["test", only] => suite::run(&root, only, false),
        ["test", "--all", only] | ["test", only, "--all"] => suite::run(&root, only, true),
        ["tidy"] => suite::run(&root, "tidy", false),
        ["web"] => web::build(&root).map(|()| true),
        ["demo"] => demo::run(&root, Form::Whole),
        ["demo", "--short"] => demo::run(&root, Form::Short),
        ["bill", file] => dist::bill(&root, Path::new(file)),
        ["dist"] => dist::run(&root),
        ["times"] => where_time_goes::tell(&root),
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
