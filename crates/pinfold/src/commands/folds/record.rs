//! The answer of `folds` as JSON.

use serde_json::{Value, json};

use super::{Folds, Kind};
use crate::layouts::{cell_json, pin_json};
use crate::ways::steps_json;

impl Kind<'_> {
    pub(super) fn json(&self, args: &Folds) -> Value {
        let mut object = json!({
            "name": self.record.name,
            "copies": self.record.copies(),
            "folds": self.folds().len(),
            "shapes": self.shapes(),
            "reached": self.reach.reached(),
            "farthest": self.reach.farthest(),
            "missed": self.folds().len() - self.reach.reached(),
            "shapes_missed": self.shapes() - self.shapes_reached(),
            "looped_hinges": self.reach.looped(),
        });
        if args.way {
            let steps = self.reach.path(self.farthest()).expect("the farthest fold is reached").steps;
            object["way"] = json!({ "to": self.farthest() + 1, "swings": steps_json(&steps) });
        }
        if let Some(planned) = &self.planned {
            object["planned"] = json!({
                "planned": planned.count(motion::Answer::Planned),
                "never": planned.count(motion::Answer::Never),
                "not_found": planned.count(motion::Answer::NotFound),
                "looks": planned.looks(),
            });
        }
        if args.each {
            object["each"] = self.folds().iter().enumerate().map(|(f, _)| self.fold_json(f)).collect();
        }
        object
    }

    fn fold_json(&self, number: usize) -> Value {
        let fold = &self.folds()[number];
        json!({
            "number": number + 1,
            "shape": self.shape_of[number] + 1,
            "distance": self.reach.distance(number),
            "cells": fold.cells.iter().map(|&c| cell_json(c)).collect::<Vec<_>>(),
            "pins": fold.pins.iter().map(|&p| pin_json(p)).collect::<Vec<_>>(),
        })
    }
}
