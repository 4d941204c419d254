//! What `fill` finds, for a person's page and as JSON.

use std::path::PathBuf;

use fill::Counts;
use lattice::Outline;
use num_bigint::BigUint;
use project::{OutlineRecord, Project};
use serde_json::{Map, Value, json};

use crate::early::Early;
use crate::failure::Failure;
use crate::layouts::{Table, number, vertex_json};
use crate::ways::Ways;

/// What was found.
pub struct Found {
    /// How many fillings.
    pub counts: Counts,
    /// Why the numbers are only lower bounds, if they are.
    pub stopped: Option<Stopped>,
    /// The first of them.
    pub answers: Vec<fill::Answer>,
    /// How long it took, in seconds.
    pub seconds: f64,
}

/// Why a search ended before everything was searched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stopped {
    /// Enough was found.
    Limit,
    /// It was told to.
    Early(Early),
}

impl Stopped {
    /// The word for it in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Stopped::Limit => "limit",
            Stopped::Early(Early::Time) => "time",
            Stopped::Early(Early::Interrupted) => "interrupted",
        }
    }
}

/// Whether there is a filling that the set allows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// There is.
    Yes,
    /// There are layouts; whether one drops in was not found out.
    Perhaps,
    /// There are layouts, but none that drops in.
    Interlocked,
    /// There is none.
    None,
}

impl Verdict {
    /// What the rules of a project say of what was found.
    pub fn of(project: &Project, counts: &Counts) -> Self {
        // On one level no hinge stands over another, so everything drops in.
        let any = project.rules.interlocked || project.set.levels == 1;
        match &counts.drop_in_layouts {
            _ if counts.layouts == BigUint::ZERO => Verdict::None,
            _ if any => Verdict::Yes,
            None => Verdict::Perhaps,
            Some(n) if *n == BigUint::ZERO => Verdict::Interlocked,
            Some(_) => Verdict::Yes,
        }
    }
}

/// A filling that was asked for.
pub struct Asked<'a> {
    /// The project.
    pub project: &'a Project,
    /// The outline as its file has it.
    pub record: &'a OutlineRecord,
    /// With the pockets that the search had.
    pub outline: &'a Outline,
    /// Whether these were pockets all round.
    pub open: bool,
}

impl Asked<'_> {
    /// The answer as JSON: numbers, and each layout shown with its drawing; with
    /// `ways`, the swings to each fold.
    ///
    /// # Errors
    /// What the drawings refuse.
    pub fn json(
        &self,
        table: &Table,
        found: &Found,
        ways: Option<&Ways>,
        files: &[PathBuf],
    ) -> Result<Value, Failure> {
        let mut answers = Vec::new();
        for answer in &found.answers {
            let mut object = Map::new();
            object.insert("foldings".into(), number(&answer.foldings));
            object.append(&mut table.json(&answer.folding, &answer.drop_in)?);
            if let (Some(ways), Some(pieces)) = (ways, object["pieces"].as_array_mut()) {
                for (piece, swings) in pieces.iter_mut().zip(ways.json(&answer.folding)) {
                    piece["swings"] = swings;
                }
            }
            answers.push(Value::Object(object));
        }
        let counts = &found.counts;
        Ok(json!({
            "outline": self.record.name,
            "title": self.record.title,
            "cells": self.outline.cells().len(),
            "spare": self.outline.spare(),
            "pockets": self.outline.pockets().iter().map(|&v| vertex_json(v)).collect::<Vec<_>>(),
            "open": self.open,
            "reach": self.project.rules.reach.word(),
            "different": number(&counts.different),
            "layouts": number(&counts.layouts),
            "foldings": number(&counts.foldings),
            "drop_in_layouts": counts.drop_in_layouts.as_ref().map(number),
            "complete": found.stopped.is_none(),
            "stopped": found.stopped.map(|stopped| stopped.word()),
            "seconds": found.seconds,
            "answers": answers,
            "files": files.iter().map(|f| f.display().to_string()).collect::<Vec<_>>(),
        }))
    }
}
