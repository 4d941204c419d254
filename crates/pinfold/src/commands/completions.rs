//! `completions`: what a shell needs to complete calls of `pinfold`.

use clap::{Args, CommandFactory};
use clap_complete::{Shell, generate};
use serde_json::json;

use crate::answer::Answer;
use crate::cli::Cli;

/// Print completions for a shell
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Completions {
    /// The shell
    shell: Shell,
}

const EXAMPLES: &str = "\
Examples:
  pinfold completions bash > ~/.local/share/bash-completion/completions/pinfold
  pinfold completions fish > ~/.config/fish/completions/pinfold.fish";

pub(crate) fn run(args: &Completions) -> Answer {
    let mut script = Vec::new();
    generate(args.shell, &mut Cli::command(), "pinfold", &mut script);
    let script = String::from_utf8_lossy(&script).into_owned();
    Answer::done(json!({ "shell": args.shell.to_string(), "script": script }), script)
}
