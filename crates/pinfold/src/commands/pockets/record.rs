//! The answer of `pockets` as JSON.

use fill::PocketSet;
use lattice::Outline;
use paper::terminal::{self, Look};
use serde_json::{Map, Value, json};

use super::{Case, Early, Stopped, Which};
use crate::answer::Failure;
use crate::layouts::{number, vertex_json};

impl Case<'_> {
    pub(super) fn json(&self) -> Result<Value, Failure> {
        let found = self.found;
        let mut json = json!({
            "outline": self.record.name,
            "title": self.record.title,
            "cells": self.record.outline.cells().len(),
            "spare": self.record.outline.spare(),
            "reach": self.project.rules.reach.word(),
            "layout": self.args.layout,
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

    fn set_json(&self, set: &PocketSet, outline: &Outline) -> Result<Value, Failure> {
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
