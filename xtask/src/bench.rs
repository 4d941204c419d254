//! Every benchmark of every crate that has some, then the peers in `outside/peers`.

use std::fs;
use std::path::Path;

use anyhow::Result;

use crate::judges::{Environment, peers};
use crate::report::{Outcome, Report};
use crate::run::{cargo, shown};
use crate::tidy::manifest::members;

/// Runs the benches one after another, so that they do not disturb each other.
pub(crate) fn run(root: &Path, filter: &[String]) -> Result<bool> {
    let mut report = Report::of("");
    for member in members(root)? {
        let Ok(entries) = fs::read_dir(root.join(&member.folder).join("benches")) else {
            continue;
        };
        let mut benches: Vec<String> = entries
            .filter_map(|e| Some(e.ok()?.path()))
            .filter(|p| p.extension().is_some_and(|e| e == "rs"))
            .filter_map(|p| Some(p.file_stem()?.to_string_lossy().into_owned()))
            .collect();
        benches.sort();
        for bench in benches {
            report.step(&format!("{} {bench}", member.name), || {
                let mut args = vec!["bench", "--package", &member.name, "--bench", &bench, "--"];
                args.extend(filter.iter().map(String::as_str));
                Ok(Outcome::one(shown(cargo(args, root))?.ok, ""))
            });
        }
    }
    let environment = Environment::new(root, crate::quayside::alone(root)?, false);
    for peer in peers(root)? {
        report.step(&format!("peer {}", peer.name), || {
            if !shown(cargo(["build", "--release", "--locked", "--package", "pinfold"], root))?.ok {
                return Ok(Outcome::one(false, "pinfold did not build"));
            }
            environment.time(&peer)
        });
    }
    println!("\n{}", report.summary());
    Ok(report.all_well())
}
