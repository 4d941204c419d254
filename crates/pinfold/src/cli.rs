//! The call: what every command shares, and the list of commands.

use std::ffi::OsString;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

use crate::commands::{
    catalogue, check, completions, compose, fill, folds, forecast, grade, home, make, manual, new, pack,
    packs, paper, pictures, play, plays, pockets, race, scout, workshop,
};

/// Design, print and publish puzzles of hinged blocks.
#[derive(Debug, Parser)]
#[command(name = "pinfold", version, disable_help_subcommand = true, after_help = EXAMPLES)]
pub(crate) struct Cli {
    #[command(flatten)]
    pub(crate) call: Call,
    #[command(subcommand)]
    pub(crate) command: Command,
}

const EXAMPLES: &str = "\
Examples:
  pinfold new quayside                  a project to start from
  pinfold check --project quayside      every mistake in it, with its place
  pinfold folds cleat                   what one piece can become
  pinfold fill beacon                   every filling of an outline
  pinfold pockets beacon                pockets that leave one layout
  pinfold grade beacon                  how hard it is, and why
  pinfold packs                         the outlines of a pack in a good order
  pinfold plays                         how long outlines take, as far as tries tell
  pinfold play                          a page for testers
  pinfold scout --box 5x4               outlines worth publishing, each proven
  pinfold race standings                a race on a pack, and who is where
  pinfold make                          every part as a file to print, checked
  pinfold paper                         booklet, cards, answers, plan as PDF
  pinfold pictures                      of set, pieces and plates, for shops and posts
  pinfold pack first-tide               a pack to publish, in a folder and a zip
  pinfold workshop                      all of it on pages, in the browser
  pinfold check --json                  for another program to read

Exit status: 0 done; 1 the answer is a plain no; 2 the input or the call is wrong.";

const EVERYWHERE: &str = "For every command";

/// What every command takes.
#[derive(Clone, Debug, Args)]
pub(crate) struct Call {
    /// The project's folder
    #[arg(long, value_name = "DIR", default_value = ".", global = true, help_heading = EVERYWHERE)]
    pub(crate) project: PathBuf,
    /// Answer with one JSON object on standard output
    #[arg(long, global = true, help_heading = EVERYWHERE)]
    pub(crate) json: bool,
}

/// The commands, each in a file of its own in `commands`.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    New(new::New),
    Check(check::Check),
    Folds(folds::Folds),
    Fill(fill::Fill),
    Pockets(pockets::PocketsArgs),
    Grade(grade::GradeArgs),
    Packs(packs::Packs),
    Plays(plays::PlaysArgs),
    Forecast(forecast::ForecastArgs),
    #[command(hide = !::play::HAS_PAGES)]
    Play(play::PlayPage),
    Make(make::Make),
    Paper(paper::PaperArgs),
    Pictures(pictures::Pictures),
    Pack(pack::Pack),
    Race(race::RaceArgs),
    Catalogue(catalogue::CatalogueOf),
    Compose(compose::Compose),
    Home(home::HomeOf),
    Scout(Box<scout::Scout>),
    /// Without its pages a program has no workshop to offer.
    #[command(hide = !::workshop::HAS_PAGES)]
    Workshop(workshop::Workshop),
    Completions(completions::Completions),
    Manual(manual::Manual),
}

/// Whether a call that was not understood asks for JSON.
pub(crate) fn asks_for_json(args: impl Iterator<Item = OsString>) -> bool {
    args.take_while(|arg| arg != "--").any(|arg| arg == "--json")
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_call_is_well_formed() {
        Cli::command().debug_assert();
    }

    #[test]
    fn every_command_teaches_by_examples_that_are_understood() {
        let mut cli = Cli::command();
        cli.build();
        let commands = std::iter::once(&cli).chain(cli.get_subcommands());
        for command in commands {
            let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
            let examples: Vec<&str> =
                help.lines().map(str::trim).filter(|l| l.starts_with("pinfold ")).collect();
            assert!(examples.len() >= 2, "{} has too few examples", command.get_name());
            examples.into_iter().for_each(understood);
        }
        // Tasks of commands: as many examples as they like, all of them understood.
        let mut tasks: Vec<&clap::Command> =
            cli.get_subcommands().flat_map(|c| c.get_subcommands()).collect();
        while let Some(task) = tasks.pop() {
            let help = task.get_after_help().map(ToString::to_string).unwrap_or_default();
            help.lines().map(str::trim).filter(|l| l.starts_with("pinfold ")).for_each(understood);
            tasks.extend(task.get_subcommands());
        }
    }

    fn understood(example: &str) {
        let call = example.split("   ").next().expect("a split has a first part");
        let call = call.split(" > ").next().expect("a split has a first part");
        Cli::try_parse_from(call.split_whitespace()).unwrap_or_else(|e| panic!("{example}: {e}"));
    }
}
