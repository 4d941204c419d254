//! `manual`: the program's manual pages, made from its help.

use std::io;

use clap::{Args, Command, CommandFactory};
use clap_mangen::Man;
use serde_json::{Value, json};

use crate::answer::{Answer, Failure};
use crate::cli::Cli;

/// Print a manual page, for `man`
///
/// With --json, all of them, each with the name of its file.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Manual {
    /// The command; the program's own page if left out
    command: Option<String>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold manual > ~/.local/share/man/man1/pinfold.1
  pinfold manual fill > ~/.local/share/man/man1/pinfold-fill.1";

pub(crate) fn run(args: &Manual, json: bool) -> Result<Answer, Failure> {
    let mut cli = Cli::command();
    cli.build();
    if json {
        let commands = std::iter::once(&cli).chain(cli.get_subcommands().filter(|c| !c.is_hide_set()));
        let pages: Vec<Value> = commands
            .map(|c| Ok(json!({ "file": file(c), "text": text(c)? })))
            .collect::<Result<_, Failure>>()?;
        return Ok(Answer::done(json!({ "pages": pages }), ""));
    }
    let asked = match &args.command {
        None => &cli,
        Some(name) => cli
            .find_subcommand(name)
            .ok_or_else(|| super::unknown("command", name, cli.get_subcommands().map(Command::get_name)))?,
    };
    Ok(Answer::done(json!({}), text(asked)?))
}

/// As `man` names it: "pinfold-fill.1".
fn file(command: &Command) -> String {
    format!("{}.1", command.get_bin_name().unwrap_or("pinfold").replace(' ', "-"))
}

fn text(command: &Command) -> Result<String, Failure> {
    let title = file(command).trim_end_matches(".1").to_uppercase();
    let mut text = Vec::new();
    let written: io::Result<()> = Man::new(command.clone()).title(title).render(&mut text);
    written.map_err(|e| Failure::plain(format_args!("the page was not written: {e}"), "try again"))?;
    Ok(String::from_utf8_lossy(&text).into_owned())
}
