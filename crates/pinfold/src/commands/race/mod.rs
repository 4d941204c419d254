//! `race`: a timed competition on a pack.

mod check;
mod end;
mod enter;
mod entries_file;
mod judging;
mod log;
mod open;
mod page;
mod paper;
mod people;
mod register;
mod standings;
mod terms;

use std::fs;
use std::path::{Path, PathBuf};

use ::race::{Moment, RaceError, RaceState, Store};
use clap::{Args, Subcommand};
use project::write_whole;

use crate::answer::{Answer, Failure};
use crate::cli::Call;

/// A fair race on a pack: sealed answers, entries, standings
///
/// A race is kept in race.sqlite beside the project, which is for the maker's eyes
/// alone: it holds the answers' salt, the key of entry marks, and people's names.
/// What is told to be received is on the disk. What may be published is written to
/// out/race/NAME, and can be written again at any time.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct RaceArgs {
    #[command(subcommand)]
    task: Task,
}

#[derive(Debug, Subcommand)]
enum Task {
    Open(Box<open::Open>),
    Announce(open::Announce),
    Page(page::EntryPageArgs),
    Register(register::Register),
    Enter(enter::Enter),
    Check(check::Check),
    Standings(standings::StandingsArgs),
    Withdraw(people::Withdraw),
    Export(people::Export),
    Erase(people::Erase),
    Log(log::Log),
    Close(end::Close),
    Reveal(end::Reveal),
}

const EXAMPLES: &str = "\
Examples:
  pinfold race open spring-tide --pack first-tide --until 2026-12-24T18:00:00+01:00
  pinfold race page                     the page on which entrants write layouts
  pinfold race register Ines            her entry mark, for this race alone
  pinfold race enter 7K3Q-9XW2-MDK4 crab CCC/CFF/PPF --proof photo.jpg
  pinfold race check                    every entry that waits, with reasons
  pinfold race standings                who is where, as page, PDF, CSV and JSON
  pinfold race close                    after the deadline
  pinfold race reveal                   the answers, for everybody to check the seal
  pinfold race log --verify             nothing was changed or taken out

Exit status: 0 done; 1 the answer is a plain no; 2 the input or the call is wrong,
and nothing was changed.";

/// Which race.
#[derive(Clone, Debug, Args)]
struct Which {
    /// The race, where there are several
    #[arg(long, value_name = "NAME")]
    race: Option<String>,
}

pub(crate) fn run(args: &RaceArgs, call: &Call) -> Result<Answer, Failure> {
    match &args.task {
        Task::Open(open) => open::run(open, call),
        Task::Announce(announce) => open::announce(announce, call),
        Task::Page(page) => page::run(page, call),
        Task::Register(register) => register::run(register, call),
        Task::Enter(enter) => enter::run(enter, call),
        Task::Check(check) => check::run(check, call),
        Task::Standings(standings) => standings::run(standings, call),
        Task::Withdraw(withdraw) => people::withdraw(withdraw, call),
        Task::Export(export) => people::export(export, call),
        Task::Erase(erase) => people::erase(erase, call),
        Task::Log(log) => log::run(log, call),
        Task::Close(close) => end::close(close, call),
        Task::Reveal(reveal) => end::reveal(reveal, call),
    }
}

/// The store, and the race that the call is about.
fn race_of(which: &Which, call: &Call) -> Result<(Store, RaceState), Failure> {
    let store = Store::open(&call.project).map_err(refused)?;
    let race = store.race(which.race.as_deref()).map_err(refused)?;
    Ok((store, race))
}

fn refused(error: RaceError) -> Failure {
    let mend = error.mend();
    Failure::plain(error, mend)
}

/// Reads a moment from the call.
fn moment(text: &str) -> Result<Moment, String> {
    Moment::parse(text)
        .map_err(|e| format!("{}; write date, time and zone, such as 2026-12-24T18:00:00+01:00", e.why))
}

/// Where what may be published goes.
fn folder(call: &Call, race: &str) -> PathBuf {
    call.project.join("out/race").join(race)
}

/// Writes one of a race's files; gives its path as told.
fn write(folder: &Path, name: &str, bytes: &[u8]) -> Result<String, Failure> {
    let path = folder.join(name);
    fs::create_dir_all(folder).and_then(|()| write_whole(&path, bytes, true)).map_err(|e| {
        Failure::plain(
            format_args!("{} was not written: {e}", path.display()),
            "see that the folder can be written, and run the command again",
        )
    })?;
    Ok(path.display().to_string())
}
