//! The answer of `fill` as JSON.

use std::path::PathBuf;

use serde_json::{Map, Value, json};

use super::{Case, Found};
use crate::answer::Failure;
use crate::layouts::{Table, number, vertex_json};
use crate::ways::Ways;

impl Case<'_> {
    pub(super) fn json(
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
