//! `workshop`: the project on pages, served on this machine alone.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use clap::Args;
use serde_json::{Value, json};
use workshop::{Addresses, Options, ServeError, StartOptions};

use crate::answer::{Answer, Failure, say};
use crate::cli::Call;

/// Work on the project on pages, in the browser
///
/// Serves the project's folder on 127.0.0.1, to this machine alone, and opens
/// the browser. Pages and commands read and write the same files; a file that
/// was changed outside is never written over unseen. Ctrl-C closes the workshop.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Workshop {
    /// The port to listen on; 0 for any that is free
    #[arg(long, value_name = "N", default_value = "7075")]
    port: u16,
    /// Choose or begin a project on the first page, among those in DIR [~/Pinfold if left out]
    #[arg(long, value_name = "DIR", num_args = 0..=1, conflicts_with = "share")]
    start: Option<Option<PathBuf>>,
    /// Do not open the browser
    #[arg(long)]
    no_open: bool,
    /// Let testers on the local network have the play page, and nothing else
    #[arg(long)]
    share: bool,
    /// With --share: the port of the play page; 0 for any that is free
    #[arg(long, value_name = "N", requires = "share", default_value = "7076")]
    share_port: u16,
    /// Serve the pages built in this folder, while working on the pages themselves
    #[arg(long, value_name = "DIR", hide = true)]
    pages: Option<PathBuf>,
    /// Put questions to this program instead of this one, while working on either
    #[arg(long, value_name = "FILE", hide = true)]
    program: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold workshop                      this folder's project, in the browser
  pinfold workshop --project quayside --no-open
  pinfold workshop --start              choose a project, or begin one
  pinfold workshop --share              testers on this network get the play page
  pinfold workshop --port 0 --json      any free port; its address as JSON";

pub(crate) fn run(args: &Workshop, call: &Call) -> Result<Answer, Failure> {
    if args.pages.is_none() && !workshop::HAS_PAGES {
        return Err(Failure::plain(
            "this program was built without its pages, so it has no workshop",
            "build it with them: cargo xtask web, then cargo build again; or get a packaged one",
        ));
    }
    // A folder without a project is told at once; a project with mistakes is
    // served, since the pages show them.
    if args.start.is_none() && !call.project.join("pinfold.toml").is_file() {
        super::open(call)?;
    }
    let root = call.project.canonicalize().unwrap_or_else(|_| call.project.clone());
    let options = Options {
        root,
        port: args.port,
        pages: args.pages.clone(),
        program: args
            .program
            .clone()
            .or_else(|| std::env::current_exe().ok())
            .unwrap_or_else(|| "pinfold".into()),
        share: args.share.then_some(args.share_port),
    };
    let ready = |at: &Addresses| {
        tell(at, call.json);
        if !args.no_open {
            browse(&at.workshop);
        }
    };
    let served = match &args.start {
        None => workshop::serve(&options, ready),
        Some(folder) => {
            let begin = |root: &Path| match super::new::begun(root) {
                Ok(_) => Ok(()),
                Err(failure) => Err(sentence(&failure)),
            };
            let folder = folder.clone().map_or_else(own_folder, Ok)?;
            workshop::start(&StartOptions { folder, begin, options }, ready)
        }
    };
    match served {
        Ok(()) => Ok(Answer::done(json!({}), "")),
        Err(error @ ServeError::Port { .. }) => {
            Err(Failure::plain(error, "choose another with --port N, or any free one with --port 0"))
        }
        Err(error) => Err(Failure::plain(error, "close what is not needed and try again")),
    }
}

/// Where projects are that nobody has put anywhere else.
fn own_folder() -> Result<PathBuf, Failure> {
    let home = std::env::home_dir().filter(|home| !home.as_os_str().is_empty());
    home.map(|home| home.join("Pinfold")).ok_or_else(|| {
        Failure::plain("this system names no home folder", "name one for projects: --start DIR")
    })
}

/// A failure as one sentence for a page.
fn sentence(failure: &Failure) -> String {
    failure.errors()[0]["message"].as_str().unwrap_or("the project was not begun").to_owned()
}

fn tell(at: &Addresses, as_json: bool) {
    if as_json {
        return say(
            &json!({ "workshop": at.workshop, "play": at.play, "token": at.token, "built": at.built }),
            "",
        );
    }
    let mut text = format!("The workshop is at {}\nCtrl-C closes it.\n", at.workshop);
    if let Some(play) = &at.play {
        text += &format!(
            "Testers on this network play at {play}\n\
             Whoever has this link may play and send tries; it is a new one each time.\n"
        );
    }
    if !at.built {
        text += "Its pages are not built into this program: `cargo xtask web` builds them.\n";
    }
    say(&Value::Null, &text);
}

/// Opens the browser, if the system has one that can be asked.
fn browse(address: &str) {
    let opener = match std::env::consts::OS {
        "windows" => "explorer",
        "macos" => "open",
        _ => "xdg-open",
    };
    let mut command = Command::new(opener);
    command.arg(address).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    // The address is told in any case.
    let _ = command.spawn();
}
