//! The first thing that Pinfold does for somebody who has just fetched it: the
//! layouts of one outline, with its own pockets and with one everywhere, and the
//! pockets that leave one layout. Needs no more than a third of the program to
//! be built, so it answers while the rest still is.
//!
//! `cargo run --workspace --example first_look -- quayside tug`

use std::path::Path;
use std::process::ExitCode;

use desk::layouts::{counted, plural, style};
use desk::rules;
use fill::{Answer, Ask, PocketAsk, PocketSet};
use paper::terminal::{self, Look};
use project::Project;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [folder, outline] = args.as_slice() else {
        eprintln!("say a project's folder and the name of one of its outlines");
        return ExitCode::from(2);
    };
    match look(Path::new(folder), outline) {
        Ok(text) => {
            print!("{text}");
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("error: {message}");
            ExitCode::from(2)
        }
    }
}

fn look(folder: &Path, name: &str) -> Result<String, String> {
    let project = Project::read(folder).map_err(|report| report.to_string())?;
    let record = project.outlines.iter().find(|o| o.name == name);
    let record = record.ok_or_else(|| format!("{} has no outline {name}", folder.display()))?;
    let classes = rules::classes(&project).map_err(|failure| format!("{failure:?}"))?;
    let threads = std::thread::available_parallelism().map_or(1, Into::into);

    let ask = Ask { answers: 1, threads, ..Ask::default() };
    let filling = fill::fill(&project.set, &classes, &record.outline, &ask);
    let ask = PocketAsk { interlocked: project.rules.interlocked, threads, ..PocketAsk::default() };
    let pockets = fill::pockets(&project.set, &classes, &record.outline, &ask);

    let least = if pockets.complete { "" } else { "at least " };
    let mut text = format!(
        "{}: {} cells, {} pieces.\nWith a pocket at every edge vertex: {least}{} essentially different layouts.\n",
        record.title,
        record.outline.cells().len(),
        project.set.pieces.len(),
        pockets.different_open,
    );
    for (which, set) in [("fewest", &pockets.smallest), ("most", &pockets.largest)] {
        if let Some(PocketSet { pockets, .. }) = set {
            text += &format!("The {which} pockets that leave one layout: {}.\n", pockets.len());
        }
    }
    text += &format!(
        "With its own {}: {}.\n\n",
        counted(record.outline.pockets().len(), "pocket"),
        plural(&filling.counts.layouts, "layout")
    );
    for Answer { folding, .. } in &filling.answers {
        let look = Look { colour: false, ascii: false };
        let drawn = terminal::layout(&project.set, &record.outline, folding, &style(&project), look);
        text += &drawn.map_err(|error| error.to_string())?;
    }
    Ok(text)
}
