//! One file or folder a command: its arguments, its help, and a thin page over one crate.
//!
//! To add one: a file here with its `Args` and `run`, a line in [`run`], and a
//! variant in `cli::Command`.

pub(crate) mod catalogue;
pub(crate) mod check;
pub(crate) mod completions;
pub(crate) mod compose;
pub(crate) mod fill;
pub(crate) mod folds;
pub(crate) mod forecast;
pub(crate) mod grade;
pub(crate) mod home;
pub(crate) mod make;
mod making;
pub(crate) mod manual;
pub(crate) mod new;
pub(crate) mod pack;
pub(crate) mod packs;
pub(crate) mod paper;
pub(crate) mod pictures;
pub(crate) mod play;
pub(crate) mod plays;
pub(crate) mod pockets;
pub(crate) mod race;
pub(crate) mod scout;
pub(crate) mod workshop;

use std::str::FromStr;

use project::{OutlineRecord, Project};

use crate::answer::{Answer, Failure};
use crate::cli::{Call, Cli, Command};

/// Runs the command that was called.
pub(crate) fn run(cli: &Cli) -> Result<Answer, Failure> {
    match &cli.command {
        Command::New(new) => new::run(new),
        Command::Check(_) => check::run(&cli.call),
        Command::Folds(folds) => folds::run(folds, &cli.call),
        Command::Fill(fill) => fill::run(fill, &cli.call),
        Command::Play(page) => play::run(page, &cli.call),
        Command::Pockets(pockets) => pockets::run(pockets, &cli.call),
        Command::Grade(grade) => grade::run(grade, &cli.call),
        Command::Pack(pack) => pack::run(pack, &cli.call),
        Command::Pictures(pictures) => pictures::run(pictures, &cli.call),
        Command::Packs(packs) => packs::run(packs, &cli.call),
        Command::Paper(paper) => paper::run(paper, &cli.call),
        Command::Plays(plays) => plays::run(plays, &cli.call),
        Command::Forecast(forecast) => forecast::run(forecast, &cli.call),
        Command::Make(make) => make::run(make, &cli.call),
        Command::Race(race) => race::run(race, &cli.call),
        Command::Catalogue(catalogue) => catalogue::run(catalogue, &cli.call),
        Command::Compose(compose) => compose::run(compose, &cli.call),
        Command::Scout(scout) => scout::run(scout, &cli.call),
        Command::Home(home) => home::run(home, &cli.call),
        Command::Workshop(workshop) => workshop::run(workshop, &cli.call),
        Command::Completions(completions) => Ok(completions::run(completions)),
        Command::Manual(manual) => manual::run(manual, cli.call.json),
    }
}

/// The project that the call is about.
pub(crate) fn open(call: &Call) -> Result<Project, Failure> {
    Ok(Project::read(&call.project)?)
}

/// The failure that a project has nothing of a name; `what` as in "piece".
pub(crate) fn unknown<'k>(what: &str, found: &str, known: impl Iterator<Item = &'k str>) -> Failure {
    let known: Vec<&str> = known.collect();
    let mend = match project::nearest(found, known.iter().copied()) {
        Some(nearest) => format!("write '{nearest}'"),
        None if known.is_empty() => format!("the project has no {what} yet"),
        None => format!("the project has {}", known.join(", ")),
    };
    Failure::plain(format_args!("there is no {what} '{found}'"), mend)
}

/// The outline that a call names.
pub(crate) fn outline_called<'p>(project: &'p Project, name: &str) -> Result<&'p OutlineRecord, Failure> {
    let names = project.outlines.iter().map(|o| o.name.as_str());
    project.outline(name).ok_or_else(|| unknown("outline", name, names))
}

/// How many of something to show.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Shown(pub(crate) usize);

impl FromStr for Shown {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text {
            "all" => Ok(Shown(usize::MAX)),
            _ => text.parse().map(Shown).map_err(|_| "give a number, or \"all\"".to_owned()),
        }
    }
}
