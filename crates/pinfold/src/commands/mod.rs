//! One file a command: its arguments, its help, and a thin page over one crate.
//!
//! To add one: a file here with its `Args` and `run`, a line in [`run`], and a
//! variant in `cli::Command`.

pub(crate) mod catalogue;
pub(crate) mod check;
pub(crate) mod completions;
pub(crate) mod compose;
pub(crate) mod folds;
pub(crate) mod home;
mod making;
pub(crate) mod new;

use project::Project;

use crate::answer::{Answer, Failure};
use crate::cli::{Call, Cli, Command};

/// Runs the command that was called.
pub(crate) fn run(cli: &Cli) -> Result<Answer, Failure> {
    match &cli.command {
        Command::New(new) => new::run(new),
        Command::Check(_) => check::run(&cli.call),
        Command::Folds(folds) => folds::run(folds, &cli.call),
        Command::Catalogue(catalogue) => catalogue::run(catalogue, &cli.call),
        Command::Compose(compose) => compose::run(compose, &cli.call),
        Command::Home(home) => home::run(home, &cli.call),
        Command::Completions(completions) => Ok(completions::run(completions)),
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
