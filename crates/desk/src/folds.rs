//! What a piece can become, and what of that the hand reaches.

use lattice::{Fold, Motion, Piece, Turn};
use motion::{Effort, Planned};
use project::{PieceRecord, Project};
use reach::Reach;
use serde_json::{Value, json};

use crate::layouts::{cell_json, pin_json};
use crate::rules;
use crate::ways::steps_json;

/// What of it to tell, besides numbers.
#[derive(Clone, Copy, Debug, Default)]
pub struct Wants {
    /// The way from home to the farthest fold.
    pub way: bool,
    /// Every fold.
    pub each: bool,
}

/// One kind of piece with what it can become.
pub struct Kind<'a> {
    /// Its record.
    pub record: &'a PieceRecord,
    /// The piece.
    pub piece: &'a Piece,
    /// What swings reach.
    pub reach: Reach,
    /// By fold, the number of its shape, counted from 0.
    pub shape_of: Vec<usize>,
    /// What the planner found, if it was asked and swings miss anything.
    pub planned: Option<Planned>,
}

impl<'a> Kind<'a> {
    /// What a piece of the project can become; with an effort, also by motions of
    /// several hinges at once.
    pub fn of(
        project: &'a Project,
        record: &'a PieceRecord,
        plan: &reach::Plan,
        effort: Option<Effort>,
    ) -> Self {
        let reach = rules::reach_of(project, record, plan);
        let shapes = reach.folds().shapes().enumerate();
        let shape_of = shapes.flat_map(|(s, folds)| std::iter::repeat_n(s, folds.len())).collect();
        let piece = &project.set.pieces[record.set.start];
        let planned = effort
            .filter(|_| !reach.missed().is_empty())
            .map(|effort| Planned::of(piece, project.set.levels, project.set.turn_over, plan, effort));
        Kind { record, piece, reach, shape_of, planned }
    }

    /// Its folds in order.
    pub fn folds(&self) -> &[Fold] {
        self.reach.folds().folds()
    }

    /// How many shapes they have.
    pub fn shapes(&self) -> usize {
        self.shape_of.last().map_or(0, |last| last + 1)
    }

    /// Shapes that at least one reached fold has.
    pub fn shapes_reached(&self) -> usize {
        let reached = self.shape_of.iter().enumerate().filter(|(f, _)| self.reach.distance(*f).is_some());
        let mut shapes: Vec<usize> = reached.map(|(_, &s)| s).collect();
        shapes.dedup();
        shapes.len()
    }

    /// The first of the farthest reached folds.
    pub fn farthest(&self) -> usize {
        let far = Some(self.reach.farthest());
        (0..self.folds().len()).find(|&f| self.reach.distance(f) == far).expect("home is reached")
    }

    /// The folds, one for all those that are turns of it, nearest to home first,
    /// those out of reach last.
    pub fn unlike(&self, levels: u8) -> Vec<usize> {
        let folds = self.reach.folds();
        let first_of_turns = |&f: &usize| {
            Turn::ALL.iter().all(|&turn| {
                let pose = folds.folds()[f].pose.moved(Motion::about_origin(false, turn));
                folds.position(&Fold::of(self.piece, &pose, levels)).is_none_or(|image| image >= f)
            })
        };
        let mut unlike: Vec<usize> = (0..folds.len()).filter(first_of_turns).collect();
        unlike.sort_by_key(|&f| (self.reach.distance(f).unwrap_or(u32::MAX), f));
        unlike
    }
}

/// A distance in words.
pub fn far(distance: Option<u32>) -> String {
    match distance {
        None => "not reached".to_owned(),
        Some(0) => "home".to_owned(),
        Some(1) => "1 swing".to_owned(),
        Some(n) => format!("{n} swings"),
    }
}

impl Kind<'_> {
    /// The answer as JSON.
    pub fn json(&self, wants: Wants) -> Value {
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
        if wants.way {
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
        if wants.each {
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
