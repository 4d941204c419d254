//! Layouts as commands and pages tell them: by the names of the pieces, as JSON, drawn.
//!
//! Coordinates are the outline's: the lower left vertex of its drawing is (0, 0).

use lattice::{Cell, DropIn, Folding, Outline, Pin, Vertex};
use num_bigint::BigUint;
use paper::terminal::{self, Look};
use paper::{LayoutOptions, Picture, Style};
use project::Project;
use serde_json::{Map, Number, Value, json};

use crate::failure::Failure;

/// How the pieces of a project are drawn, in the order of its set.
pub fn style(project: &Project) -> Style {
    Style::new((0..project.set.pieces.len()).map(|p| {
        let colour = project.piece(p).expect("every piece of the set has a record").colour;
        (project.piece_name(p), [colour.0, colour.1, colour.2])
    }))
}

/// A whole number of any size as JSON.
pub fn number(n: &BigUint) -> Value {
    Value::Number(n.to_string().parse::<Number>().expect("digits are a number"))
}

/// "1 piece", "2 pieces".
pub fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

/// "1 folding", "2 foldings".
pub fn plural(count: &BigUint, word: &str) -> String {
    if *count == BigUint::from(1u8) { format!("1 {word}") } else { format!("{count} {word}s") }
}

/// A cell as `[x, y]`.
pub fn cell_json(cell: Cell) -> Value {
    json!([cell.x, cell.y])
}

/// A vertex as `[x, y]`.
pub fn vertex_json(vertex: Vertex) -> Value {
    json!([vertex.x, vertex.y])
}

/// A pin as `[x, y, level]`.
pub fn pin_json(pin: Pin) -> Value {
    json!([pin.at.x, pin.at.y, pin.level.0])
}

/// An outline that layouts of the project's set are told on.
pub struct Table<'a> {
    /// The project.
    pub project: &'a Project,
    /// With the pockets that the layouts were looked for with.
    pub outline: &'a Outline,
    /// Letters and colours of the pieces.
    pub style: &'a Style,
}

impl Table<'_> {
    /// A layout by one of its foldings: pieces in the order of the set, empty
    /// cells, drop-in order or ring, and a drawing in plain ASCII.
    ///
    /// # Errors
    /// What the drawing refuses.
    pub fn json(&self, folding: &Folding, drop_in: &DropIn) -> Result<Map<String, Value>, Failure> {
        let set = &self.project.set;
        let mut pieces = Vec::new();
        let mut covered: Vec<Cell> = Vec::new();
        for placed in &folding.placed {
            let piece = &set.pieces[placed.piece];
            let mut cells = placed.pose.cells(piece);
            let mut pins = placed.pose.pins(piece, set.levels);
            cells.sort_unstable();
            pins.sort_unstable();
            covered.extend(&cells);
            pieces.push(json!({
                "piece": self.project.piece_name(placed.piece),
                "cells": cells.into_iter().map(cell_json).collect::<Vec<_>>(),
                "pins": pins.into_iter().map(pin_json).collect::<Vec<_>>(),
            }));
        }
        let empty = self.outline.cells().iter().filter(|c| !covered.contains(c));
        let (order, ring) = match drop_in {
            DropIn::Order(order) => (Some(self.names(folding, order)), None),
            DropIn::Interlocked(ring) => (None, Some(self.names(folding, ring))),
        };
        let mut object = Map::new();
        object.insert("drop_in".into(), json!(order));
        object.insert("interlocked".into(), json!(ring));
        object.insert("pieces".into(), pieces.into());
        object.insert("empty".into(), empty.map(|&c| cell_json(c)).collect());
        let look = Look { colour: false, ascii: true };
        let drawing = terminal::layout(set, self.outline, folding, self.style, look)?;
        object.insert("drawing".into(), drawing.into());
        Ok(object)
    }

    /// Which letter is which piece.
    pub fn letters(&self) -> Vec<String> {
        self.style.pieces.iter().map(|p| format!("{} {}", p.letter, p.name)).collect()
    }

    /// The layout as a picture.
    ///
    /// # Errors
    /// What the drawing refuses.
    pub fn picture(&self, folding: &Folding, title: &str) -> Result<Picture, Failure> {
        let options = LayoutOptions { title, ..LayoutOptions::default() };
        Ok(paper::layout(&self.project.set, self.outline, folding, self.style, &options)?)
    }

    /// The names of the pieces at some positions of a folding.
    pub fn names(&self, folding: &Folding, positions: &[usize]) -> Vec<String> {
        positions.iter().map(|&p| self.project.piece_name(folding.placed[p].piece)).collect()
    }
}
