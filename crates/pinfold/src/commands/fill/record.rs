//! The answer of `fill` as JSON.

use std::path::PathBuf;

use serde_json::{Map, Value, json};

use super::{Case, Found};
use crate::answer::Failure;
use crate::layouts::{Table, number, vertex_json};

impl Case<'_> {
    pub(super) fn json(&self, table: &Table, found: &Found, files: &[PathBuf]) -> Result<Value, Failure> {
        let mut answers = Vec::new();
        for answer in &found.answers {
            let mut object = Map::new();
            object.insert("foldings".into(), number(&answer.foldings));
            object.append(&mut table.json(&answer.folding, &answer.drop_in)?);
            answers.push(Value::Object(object));
        }
        let counts = &found.counts;
        Ok(json!({
            "outline": self.record.name,
            "title": self.record.title,
            "cells": self.outline.cells().len(),
            "spare": self.outline.spare(),
            "pockets": self.outline.pockets().iter().map(|&v| vertex_json(v)).collect::<Vec<_>>(),
            "open": self.args.open,
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
