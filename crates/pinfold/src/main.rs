//! `pinfold`: the command line. Reads the call, runs one command, says how it
//! went, and ends with 0 (done), 1 (the answer is a plain no) or 2 (the input
//! or the call is wrong).
//!
//! What this crate promises: each command is one file (or folder) in
//! `commands`, a thin page over one crate; with `--json` standard output holds one object and
//! nothing else; a reader that goes away ends the program quietly.

mod answer;
mod cli;
mod commands;
mod efforts;
mod grading;
mod layouts;
mod pictures;
mod rules;
mod screen;
mod timing;
mod work;

use std::process::ExitCode;

use clap::Parser;

use answer::{Status, of_call, tell_failure};
use cli::Cli;

fn main() -> ExitCode {
    let status = match Cli::try_parse() {
        Ok(cli) => match commands::run(&cli) {
            Ok(answer) => answer.tell(cli.call.json),
            Err(failure) => tell_failure(&failure, cli.call.json),
        },
        // Help and version come this way too, and are no mistakes.
        Err(shown) if !shown.use_stderr() => {
            // A reader that went away has seen what it wanted.
            let _ = shown.print();
            Status::Done
        }
        Err(wrong) if cli::asks_for_json(std::env::args_os()) => tell_failure(&of_call(&wrong), true),
        Err(wrong) => {
            let _ = wrong.print();
            Status::Wrong
        }
    };
    ExitCode::from(status as u8)
}
