//! The answer of `folds` for a person: a table, what single swings miss, and
//! drawings if asked.

use std::path::PathBuf;

use lattice::Fold;
use motion::Planned;
use paper::{Style, terminal};
use project::Project;

use super::{Folds, Kind, far};
use crate::answer::{Failure, counted};
use crate::screen::{Drawing, Key, Screen};
use desk::ways::sense;

pub(super) fn page(
    args: &Folds,
    project: &Project,
    style: &Style,
    kinds: &[Kind],
    files: &[PathBuf],
    screen: &Screen,
) -> Result<String, Failure> {
    let mut text = table(kinds);
    text.push('\n');
    for kind in kinds {
        if let Some(sentence) = missed(kind) {
            text += &screen.wrap(&sentence, "  ");
        }
        if let Some(planned) = &kind.planned {
            text += &screen.wrap(&found(kind, planned, args), "  ");
        }
    }
    if kinds.iter().all(|kind| kind.reach.reached() == kind.folds().len()) {
        text += "Single swings reach every fold.\n";
    }
    let meaning = "A fold is a pose with its hinges, a shape its cells alone; each of their turns counts. \
                   Farthest: the most swings that a reached fold needs.";
    text += &screen.wrap(meaning, "");
    let drawer = Drawer { project, style, screen };
    for kind in kinds {
        if let Some(shown) = args.draw {
            text += &drawer.folds(kind, shown.0)?;
        }
        if args.way {
            text += &drawer.way(kind)?;
        }
    }
    if let Some(first) = files.first() {
        let more = if files.len() > 1 { format!(" and {} more", files.len() - 1) } else { String::new() };
        text += &format!("\nWritten: {}{more}.\n", first.display());
    }
    Ok(text)
}

fn table(kinds: &[Kind]) -> String {
    let wide = kinds.iter().map(|k| k.record.name.chars().count()).max().unwrap_or(0).max(5);
    let mut text = format!("{:wide$}  copies    folds   shapes  reached   missed  farthest  loop\n", "piece");
    for kind in kinds {
        let (folds, reached) = (kind.folds().len(), kind.reach.reached());
        text += &format!(
            "{:wide$}  {:6}  {folds:7}  {:7}  {reached:7}  {:7}  {:8}  {}\n",
            kind.record.name,
            kind.record.copies(),
            kind.shapes(),
            folds - reached,
            kind.reach.farthest(),
            if kind.piece.has_loop() { "yes" } else { "no" },
        );
    }
    text
}

/// What single swings do not reach, and why, if anything.
fn missed(kind: &Kind) -> Option<String> {
    let (folds, reached) = (kind.folds().len(), kind.reach.reached());
    if reached == folds {
        return None;
    }
    let looped: Vec<String> = kind.reach.looped().iter().map(ToString::to_string).collect();
    let why = match looped.as_slice() {
        [] => "blocks are in the way, or several hinges must turn at once".to_owned(),
        _ => format!("no single swing turns {}, part of a loop", hinges(&looped)),
    };
    Some(format!(
        "{}: single swings miss {} of {folds} folds and {} of {} shapes: {why}.",
        kind.record.name,
        folds - reached,
        kind.shapes() - kind.shapes_reached(),
        kind.shapes(),
    ))
}

/// What the planner found for the folds that swings miss.
fn found(kind: &Kind, planned: &Planned, args: &Folds) -> String {
    let mut text = format!(
        "{}: several hinges at once reach {} of these",
        kind.record.name,
        planned.count(motion::Answer::Planned)
    );
    let never = planned.count(motion::Answer::Never);
    if never > 0 {
        text += &format!(
            "; {never} can't be reached by any motion, since the order of blocks round a pin never changes"
        );
    }
    let open = planned.count(motion::Answer::NotFound);
    if open > 0 {
        text += &format!(
            "; for {open} no way was found within {} looks (seed {}), which proves nothing",
            planned.looks(),
            args.seed
        );
    }
    text + "."
}

/// "hinge 3", "hinges 0, 1 and 2".
fn hinges(numbers: &[String]) -> String {
    match numbers {
        [one] => format!("hinge {one}"),
        [first @ .., last] => format!("hinges {} and {last}", first.join(", ")),
        [] => String::new(),
    }
}

struct Drawer<'a> {
    project: &'a Project,
    style: &'a Style,
    screen: &'a Screen,
}

impl Drawer<'_> {
    fn folds(&self, kind: &Kind, most: usize) -> Result<String, Failure> {
        let unlike = kind.unlike(self.project.set.levels);
        let shown = &unlike[..most.min(unlike.len())];
        let mut key = Key::default();
        let mut drawings = Vec::new();
        for &f in shown {
            let caption = format!("{}  {}", f + 1, far(kind.reach.distance(f)));
            drawings.push(self.drawing(kind, &kind.folds()[f], caption, &mut key)?);
        }
        let heading = if shown.len() < unlike.len() {
            let (shown, all) = (shown.len(), unlike.len());
            format!("\n{}: {shown} of {all} folds, the nearest first, turned ones once\n\n", kind.record.name)
        } else {
            format!("\n{}: {}, turned ones once\n\n", kind.record.name, counted(unlike.len(), "fold"))
        };
        Ok(heading + &self.with_key(&drawings, &key))
    }

    fn way(&self, kind: &Kind) -> Result<String, Failure> {
        let goal = kind.farthest();
        let path = kind.reach.path(goal).expect("the farthest fold is reached");
        let levels = self.project.set.levels;
        let mut key = Key::default();
        let start = Fold::of(kind.piece, &path.start, levels);
        let mut drawings = vec![self.drawing(kind, &start, "home".into(), &mut key)?];
        for (number, step) in path.steps.iter().enumerate() {
            let caption = format!("{}: hinge {} {}", number + 1, step.hinge, sense(step));
            drawings.push(self.drawing(
                kind,
                &Fold::of(kind.piece, &step.after, levels),
                caption,
                &mut key,
            )?);
        }
        let heading = format!("\n{}: the way to fold {}\n\n", kind.record.name, goal + 1);
        Ok(heading + &self.with_key(&drawings, &key))
    }

    fn drawing(&self, kind: &Kind, fold: &Fold, caption: String, key: &mut Key) -> Result<Drawing, Failure> {
        let at = kind.record.set.start;
        let drawn = terminal::fold(&self.project.set, at, fold, &self.style.pieces[at], self.screen.look)?;
        Ok(key.take(caption, &drawn, fold.extent().1 as usize))
    }

    fn with_key(&self, drawings: &[Drawing], key: &Key) -> String {
        let mut text = self.screen.beside(drawings);
        if !key.entries.is_empty() {
            text.push('\n');
            text += &self.screen.key(&key.entries);
        }
        text
    }
}
