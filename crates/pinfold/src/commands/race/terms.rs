//! What is sealed of a project: the lines by which layouts are judged, and the answers.

use ::race::{Answers, RaceState, SealedOutline};
use desk::layouts::style;
use fill::{Ask, Certainty};
use lattice::{Class, DropIn, Outline, drawing, layout_code};
use project::{OutlineRecord, PackRecord, Project, Reach};

use super::super::unknown;
use crate::answer::Failure;
use crate::work::{Work, threads};

/// Most answers that are sealed of one outline.
const MOST_ANSWERS: usize = 1000;

/// A pack by its name.
pub(super) fn pack<'p>(project: &'p Project, name: &str) -> Result<&'p PackRecord, Failure> {
    let known = project.packs.iter().map(|p| p.name.as_str());
    project.packs.iter().find(|p| p.name == name).ok_or_else(|| unknown("pack", name, known))
}

/// The lines of a set: everything that an accepted layout depends on.
pub(super) fn set_lines(project: &Project) -> Vec<String> {
    let yes = |yes| if yes { "yes" } else { "no" };
    let (set, rules) = (&project.set, &project.rules);
    let mut lines = vec![
        format!("levels {}", set.levels),
        format!("turn over {}", yes(set.turn_over)),
        format!("interlocked {}", yes(rules.interlocked)),
        format!("reach {}", rules.reach.word()),
    ];
    if rules.reach != Reach::Any {
        // Then bodies decide which folds are reached.
        let s = &project.sizes;
        for (name, size) in
            [("pitch", s.pitch), ("gap", s.gap), ("knuckle", s.knuckle), ("clearance", s.clearance)]
        {
            lines.push(format!("size {name} {size} mm"));
        }
    }
    for (piece, drawn) in set.pieces.iter().zip(style(project).pieces) {
        let rigid = if piece.is_rigid() { " rigid" } else { "" };
        lines.push(format!("piece {} {}{rigid}", drawn.letter, drawn.name));
        let blocks: Vec<String> = piece.blocks().iter().map(|c| format!("{},{}", c.x, c.y)).collect();
        lines.push(format!("blocks {}", blocks.join(" ")));
        for hinge in piece.hinges() {
            let [a, b] = hinge.joins;
            lines
                .push(format!("hinge {},{} joins {a} {b} level {}", hinge.pin.x, hinge.pin.y, hinge.level.0));
        }
    }
    lines
}

/// The lines of an outline: its spare cells and its drawing.
pub(super) fn outline_lines(outline: &Outline) -> Vec<String> {
    let mut lines = vec![format!("spare {}", outline.spare())];
    lines.extend(drawing::print(outline).lines().map(|row| format!("row {}", row.trim_end())));
    lines
}

/// Refuses a project that is no longer the one that was sealed.
pub(super) fn must_be_as_sealed(project: &Project, race: &RaceState) -> Result<(), Failure> {
    let mut changed = Vec::new();
    if race.set_lines() != set_lines(project) {
        changed.push("the set in pinfold.toml".to_owned());
    }
    for outline in &race.outlines {
        match project.outline(&outline.name) {
            Some(record) if race.outline_lines(&outline.name) == outline_lines(&record.outline) => {}
            Some(_) => changed.push(format!("outlines/{}.toml", outline.name)),
            None => changed.push(format!("outlines/{}.toml, which is gone", outline.name)),
        }
    }
    if changed.is_empty() {
        return Ok(());
    }
    Err(Failure::plain(
        format_args!(
            "the project was changed since the race '{}' was sealed: {}",
            race.name,
            changed.join(", ")
        ),
        "entries are judged by what was sealed: put it back as it was at the opening",
    ))
}

/// An outline with the answers that a search finds.
pub(super) fn sealed(
    project: &Project,
    classes: &[Class],
    record: &OutlineRecord,
    in_pack: bool,
    work: &Work,
) -> Result<SealedOutline, Failure> {
    let ask = Ask {
        limit: Some(MOST_ANSWERS as u64 + 1),
        answers: MOST_ANSWERS,
        threads: threads(None),
        stop: &|| work.must_stop(),
        ..Ask::default()
    };
    let filling = fill::fill(&project.set, classes, &record.outline, &ask);
    let counts = |drop_in: &DropIn| project.rules.interlocked || matches!(drop_in, DropIn::Order(_));
    let mut codes: Vec<String> = filling
        .answers
        .iter()
        .filter(|answer| counts(&answer.drop_in))
        .map(|answer| layout_code(&project.set, classes, &record.outline, &answer.folding))
        .collect();
    codes.sort();
    if codes.is_empty() {
        let why = match filling.certainty {
            Certainty::Complete => "has no layout that the set allows",
            _ => "showed no layout in the time that there was",
        };
        return Err(Failure::plain(
            format_args!("the outline '{}' {why}", record.name),
            "race over outlines that can be filled; --time gives the search longer",
        ));
    }
    Ok(SealedOutline {
        name: record.name.clone(),
        title: record.title.clone(),
        number: record.number,
        in_pack,
        lines: outline_lines(&record.outline),
        answers: Answers { codes, complete: filling.certainty == Certainty::Complete },
    })
}
