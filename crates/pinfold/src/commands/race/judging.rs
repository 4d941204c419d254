//! Layouts judged as the entry page judges them, for the outlines of a race.

use ::race::{RaceState, Ruling as RaceRuling};
use desk::layouts::style;
use project::Project;
use ruling::{Rules, Sheet};

use super::terms::must_be_as_sealed;
use crate::answer::Failure;
use crate::rules;

/// The rules of a project that is still as it was sealed.
pub(super) fn rules(project: &Project, race: &RaceState) -> Result<Rules, Failure> {
    must_be_as_sealed(project, race)?;
    let classes = rules::classes(project)?;
    let letters = style(project).pieces.iter().map(|piece| piece.letter).collect();
    Rules::new(project.set.clone(), classes, project.rules.interlocked, letters).map_err(|faults| {
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        Failure::plain(
            format_args!("the set's layouts cannot be written in letters: {}", told.join("; ")),
            "a set may have at most as many pieces as there are letters and digits",
        )
    })
}

/// The sheets of a race's outlines, by name.
pub(super) struct Judge<'a> {
    sheets: Vec<(&'a str, Sheet<'a>)>,
}

impl<'a> Judge<'a> {
    pub(super) fn new(project: &'a Project, race: &RaceState, rules: &'a Rules) -> Self {
        let raced = |name: &str| race.outlines.iter().any(|o| o.name == name);
        let outlines = project.outlines.iter().filter(|o| raced(&o.name));
        Judge { sheets: outlines.map(|o| (o.name.as_str(), Sheet::new(rules, &o.outline))).collect() }
    }

    /// Every valid layout is accepted; of any other it is told what is wrong, not what
    /// would be right.
    pub(super) fn rule(&self, outline: &str, layout: &str) -> RaceRuling {
        let rejected = |reasons: Vec<String>| RaceRuling { code: None, reasons };
        let Some((_, sheet)) = self.sheets.iter().find(|(name, _)| *name == outline) else {
            return rejected(vec![format!("There is no outline '{outline}'.")]);
        };
        let layout = match sheet.read(layout) {
            Ok(layout) => layout,
            Err(slips) => return rejected(slips.iter().map(|slip| sentence(&slip.to_string())).collect()),
        };
        match sheet.judge(&layout) {
            Ok(accepted) => RaceRuling { code: Some(accepted.code), reasons: Vec::new() },
            Err(faults) => rejected(faults.iter().map(|fault| sentence(&fault.says(sheet))).collect()),
        }
    }
}

/// A clause as a sentence.
fn sentence(text: &str) -> String {
    let mut letters = text.trim().chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
    let end = if text.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{first}{}{end}", letters.as_str())
}
