//! What `pockets` finds, for a person's page and as JSON.

use std::path::PathBuf;

use fill::{PocketSet, Pockets};
use lattice::Outline;
use paper::Style;
use paper::terminal::{self, Look};
use project::{OutlineRecord, Project};
use serde_json::{Map, Value, json};

use crate::early::Early;
use crate::failure::Failure;
use crate::filling::Stopped;
use crate::layouts::{Table, number, vertex_json};

/// One of the two ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// The fewest pockets.
    Smallest,
    /// The most pockets.
    Largest,
}

impl Which {
    /// Both, the smallest first.
    pub const BOTH: [Which; 2] = [Which::Smallest, Which::Largest];

    /// The word for it in calls and JSON.
    pub fn word(self) -> &'static str {
        match self {
            Which::Smallest => "smallest",
            Which::Largest => "largest",
        }
    }

    /// That end of what was found.
    pub fn of(self, found: &Pockets) -> Option<&PocketSet> {
        match self {
            Which::Smallest => found.smallest.as_ref(),
            Which::Largest => found.largest.as_ref(),
        }
    }
}

/// What was found.
pub struct Found {
    /// The pocket sets.
    pub pockets: Pockets,
    /// The outline with the pockets of each end.
    pub outlines: [Option<Outline>; 2],
    /// Why not every layout was looked at, if so.
    pub stopped: Option<Stopped>,
    /// How long it took, in seconds.
    pub seconds: f64,
    /// Pictures written.
    pub files: Vec<PathBuf>,
    /// The outline's file, if its pockets were changed.
    pub written: Option<PathBuf>,
}

impl Found {
    /// The answer to a search on `outline` that ended early or not.
    pub fn new(pockets: Pockets, outline: &Outline, ended: Option<Early>, seconds: f64) -> Self {
        let stopped = match ended {
            Some(early) => Some(Stopped::Early(early)),
            None if !pockets.complete => Some(Stopped::Limit),
            None => None,
        };
        let outlines = Which::BOTH.map(|which| {
            let set = which.of(&pockets)?;
            Some(outline.with_pockets(set.pockets.clone()).expect("pockets found stand on the edge"))
        });
        Found { pockets, outlines, stopped, seconds, files: Vec::new(), written: None }
    }

    /// The ends that were found: each with its set and the outline that has it.
    pub fn ends(&self) -> impl Iterator<Item = (Which, &PocketSet, &Outline)> {
        Which::BOTH
            .into_iter()
            .zip(&self.outlines)
            .filter_map(|(which, outline)| Some((which, which.of(&self.pockets)?, outline.as_ref()?)))
    }

    /// Whether both ends are one and the same set.
    pub fn one_set(&self) -> bool {
        matches!(&self.outlines, [Some(a), Some(b)] if a == b)
    }
}

/// Pockets that were asked for.
pub struct Asked<'a> {
    /// The project.
    pub project: &'a Project,
    /// The outline as its file has it.
    pub record: &'a OutlineRecord,
    /// Letters and colours of the pieces.
    pub style: &'a Style,
    /// The layout to leave, by its number from 1, if one was named.
    pub layout: Option<u32>,
    /// What was found.
    pub found: &'a Found,
}

impl<'a> Asked<'a> {
    /// Layouts on the outline with other pockets.
    pub fn table(&self, outline: &'a Outline) -> Table<'a> {
        Table { project: self.project, outline, style: self.style }
    }

    /// The answer as JSON: both ends, their proofs, and the layout each leaves.
    ///
    /// # Errors
    /// What the drawings refuse.
    pub fn json(&self) -> Result<Value, Failure> {
        let found = self.found;
        let mut json = json!({
            "outline": self.record.name,
            "title": self.record.title,
            "cells": self.record.outline.cells().len(),
            "spare": self.record.outline.spare(),
            "reach": self.project.rules.reach.word(),
            "layout": self.layout,
            "layouts_open": found.pockets.layouts_open,
            "different_open": found.pockets.different_open,
            "complete": found.stopped.is_none(),
            "stopped": found.stopped.map(|stopped| match stopped {
                Stopped::Limit => "limit",
                Stopped::Early(Early::Time) => "time",
                Stopped::Early(Early::Interrupted) => "interrupted",
            }),
            "seconds": found.seconds,
        });
        let object = json.as_object_mut().expect("an object was just made");
        for which in Which::BOTH {
            let end = found.ends().find(|end| end.0 == which).map(|(_, set, _)| set);
            let word = which.word();
            let pockets = end.map(|set| set.pockets.iter().map(|&v| vertex_json(v)).collect::<Vec<_>>());
            object.insert(word.into(), json!(pockets));
            object.insert(format!("{word}_size"), json!(end.map(|set| set.pockets.len())));
            object.insert(format!("{word}_count"), json!(end.map(|set| set.same_size)));
            object.insert(format!("{word}_proven"), json!(end.map(|set| set.proven)));
            let bound = if which == Which::Smallest { "lower_bound" } else { "upper_bound" };
            object.insert(bound.into(), json!(end.map(|set| set.bound)));
        }
        for which in Which::BOTH {
            let end = found.ends().find(|end| end.0 == which);
            let set = end.map(|(_, set, outline)| self.set_json(set, outline)).transpose()?;
            object.insert(format!("{}_set", which.word()), json!(set));
        }
        object.insert("written".into(), json!(found.written.as_ref().map(|p| p.display().to_string())));
        let files: Vec<String> = found.files.iter().map(|f| f.display().to_string()).collect();
        object.insert("files".into(), json!(files));
        Ok(json)
    }

    fn set_json(&self, set: &PocketSet, outline: &'a Outline) -> Result<Value, Failure> {
        let vertices = |list: &[lattice::Vertex]| list.iter().map(|&v| vertex_json(v)).collect::<Vec<_>>();
        let mut answer = Map::new();
        answer.insert("foldings".into(), number(&set.answer.foldings));
        answer.append(&mut self.table(outline).json(&set.answer.folding, &set.answer.drop_in)?);
        let further = set.further.iter().map(|further| {
            json!({ "at": vertex_json(further.at), "layouts": further.layouts, "different": further.different })
        });
        Ok(json!({
            "pockets": vertices(&set.pockets),
            "blind": vertices(&set.blind),
            "drawing": terminal::outline(outline, Look { colour: false, ascii: true })?,
            "layout": set.layout + 1,
            "answer": answer,
            "further": further.collect::<Vec<_>>(),
        }))
    }
}
