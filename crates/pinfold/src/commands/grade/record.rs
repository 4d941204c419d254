//! The answer of `grade` as JSON.

use grade::{Count, Evidence, Figure, Grade, Known, sentences};
use lattice::DropIn;
use project::OutlineRecord;
use serde_json::{Map, Value, json};

use super::Case;
use crate::answer::Failure;
use crate::grading::short;
use desk::layouts::{Table, number, vertex_json};

impl Case<'_> {
    pub(super) fn json(&self) -> Result<Value, Failure> {
        let mut object = Map::new();
        let outlines = self.graded.outlines.iter().map(|(record, grade)| match grade {
            Ok(grade) => self.graded_json(record, grade),
            Err(why) => Ok(json!({
                "outline": record.name, "title": record.title, "grade": null, "effort": null,
                "minutes": null, "evidence": null, "why": why.to_string(),
            })),
        });
        object.insert("outlines".into(), outlines.collect::<Result<Vec<Value>, Failure>>()?.into());
        self.args.people.json(&mut object);
        object.insert("reach".into(), json!(self.project.rules.reach.word()));
        object.insert("seconds".into(), json!(self.graded.seconds));
        let paths = |list: &[std::path::PathBuf]| -> Vec<String> {
            list.iter().map(|p| p.display().to_string()).collect()
        };
        object.insert("written".into(), json!(paths(&self.written)));
        object.insert("files".into(), json!(paths(&self.files)));
        Ok(object.into())
    }

    fn graded_json(&self, record: &OutlineRecord, grade: &Grade) -> Result<Value, Failure> {
        let name = |piece| self.project.piece_name(piece);
        let tries = &grade.tries;
        let wrong = match &grade.wrong_start {
            None => Value::Null,
            Some(start) => {
                let table = Table { project: self.project, outline: &record.outline, style: &self.style };
                let mut object = Map::new();
                object.insert("people".into(), short(start.people));
                object.insert("starts".into(), short(start.starts));
                let order = DropIn::Order((0..start.folding.placed.len()).collect());
                let mut layout = table.json(&start.folding, &order)?;
                // What a filling has and a start has not.
                for key in ["drop_in", "interlocked", "empty"] {
                    layout.remove(key);
                }
                object.append(&mut layout);
                object.into()
            }
        };
        let mut evidence = evidence_json(&grade.evidence, &name);
        evidence.insert("sentences".into(), json!(sentences(grade, record.outline.pockets().len(), &name)));
        Ok(json!({
            "outline": record.name,
            "title": record.title,
            "cells": record.outline.cells().len(),
            "grade": grade.step.word(),
            "effort": short(grade.effort),
            "effort_interval": grade.interval.map(short),
            "known": word(grade.known),
            "tries": {
                "10": figure(tries.quantile(0.1)),
                "25": figure(tries.quantile(0.25)),
                "50": figure(tries.quantile(0.5)),
                "75": figure(tries.quantile(0.75)),
                "90": figure(tries.quantile(0.9)),
                "people": tries.runs(),
                "gave_up": tries.gave_up(),
            },
            "minutes": self.timed.minutes_json(self.position(record)),
            "evidence": evidence,
            "wrong_start": wrong,
            "printed": record.grade,
        }))
    }
}

fn word(known: Known) -> &'static str {
    match known {
        Known::Counted => "counted",
        Known::Estimated => "estimated",
        Known::AtLeast => "at least",
    }
}

fn figure(figure: Figure) -> Value {
    json!({ "tries": figure.tries.round(), "known": word(figure.known) })
}

fn count(count: &Count) -> Value {
    json!({ "number": number(&count.number), "exact": count.exact })
}

fn evidence_json(evidence: &Evidence, name: &dyn Fn(usize) -> String) -> Map<String, Value> {
    let farthest = evidence.farthest.map(|f| json!({ "piece": name(f.piece), "swings": f.swings }));
    let json = json!({
        "layouts": count(&evidence.layouts),
        "layouts_open": count(&evidence.layouts_open),
        "interlocked": count(&evidence.interlocked),
        "near_fillings": count(&evidence.near_fillings),
        "blind": evidence.blind.iter().map(|&v| vertex_json(v)).collect::<Vec<_>>(),
        "forced": evidence.forced,
        "fewest_ways": evidence.fewest,
        "first_moves": evidence.first_moves,
        "farthest": farthest,
    });
    match json {
        Value::Object(object) => object,
        _ => unreachable!("an object was just made"),
    }
}
