//! Swing graphs of a few small pieces as one JSON object on standard output,
//! for the judge `outside/swings.py`: what was tried, and what came of it.
//!
//! A pose tells each block's cell and its quarter turns anticlockwise; a swing
//! turns the blocks on the side of its hinge that block 0 is not on.

use lattice::{Cell, Hinge, Level, Piece, Pose, Vertex};
use reach::{Outcome, Plan, Reach, Sizes, Swings};
use serde_json::{Value, json};

type Drawn = (&'static str, &'static [(i32, i32)], &'static [(i32, i32, usize, usize, u8)]);

const PIECES: &[Drawn] = &[
    ("bollard", &[(0, 0), (1, 0)], &[(1, 1, 0, 1, 0)]),
    ("cleat", &[(0, 0), (1, 0), (2, 0), (2, 1)], &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 1), (3, 1, 2, 3, 0)]),
    ("boathook", &[(0, 0), (0, -1), (1, 0), (0, 1)], &[(0, 0, 0, 1, 0), (1, 0, 1, 2, 0), (1, 1, 2, 3, 0)]),
    (
        "gangway",
        &[(0, 0), (1, 0), (2, 0), (3, 0), (4, 0)],
        &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 1), (3, 1, 2, 3, 0), (4, 0, 3, 4, 1)],
    ),
    (
        "anchor",
        &[(0, 0), (1, 1), (-1, 1), (-1, -1), (1, 0)],
        &[(1, 1, 0, 1, 0), (0, 1, 0, 2, 1), (0, 0, 0, 3, 0), (1, 0, 0, 4, 1)],
    ),
    ("capstan", &[(0, 0), (0, 1), (-1, 1), (-1, 0)], &[(0, 1, 0, 1, 0), (0, 1, 1, 2, 1), (0, 0, 0, 3, 1)]),
    ("fan", &[(0, 0), (0, 1), (1, 0), (-1, -1)], &[(1, 1, 0, 1, 1), (1, 1, 1, 2, 0), (0, 0, 0, 3, 0)]),
    ("lock", &[(0, 0), (-1, -1), (0, -1), (-1, 0)], &[(0, 0, 0, 1, 0), (1, 0, 0, 2, 0), (0, 0, 2, 3, 1)]),
    (
        "mooring",
        &[(0, 0), (1, 0), (2, 0), (2, 1), (1, 1), (0, 1), (3, 2)],
        &[
            (1, 0, 0, 1, 0),
            (2, 0, 1, 2, 0),
            (3, 1, 2, 3, 0),
            (2, 2, 3, 4, 0),
            (1, 2, 4, 5, 0),
            (0, 1, 5, 0, 0),
            (3, 2, 3, 6, 1),
        ],
    ),
];

/// Pitch, gap, knuckle, clearance: the sound defaults, slim ones, stout ones.
const SIZES: &[(f64, f64, f64, f64)] =
    &[(15.0, 0.3, 3.0, 0.3), (12.0, 0.8, 1.2, 0.4), (20.0, 0.2, 7.5, 0.25)];

fn main() {
    let records: Vec<Value> = SIZES
        .iter()
        .flat_map(|&(pitch, gap, knuckle, clearance)| {
            let plan = Plan::new(Sizes { pitch, gap, knuckle, clearance }).expect("sound sizes");
            PIECES.iter().map(move |drawn| record(drawn, &plan))
        })
        .collect();
    println!("{}", json!({ "pieces": records }));
}

fn record(&(name, cells, hinges): &Drawn, plan: &Plan) -> Value {
    let blocks: Vec<Cell> = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
    let pinned: Vec<Hinge> = hinges
        .iter()
        .map(|&(x, y, a, b, l)| Hinge { pin: Vertex::new(x, y), joins: [a, b], level: Level(l) })
        .collect();
    let piece = Piece::hinged(blocks, pinned).expect("a sound piece");
    let reach = Reach::of(&piece, 2, false, plan);
    let poses: Vec<&Pose> = reach.poses().map(|(pose, _)| pose).collect();
    let mut swings = Swings::new(&piece, plan);
    let mut tried = Vec::new();
    for (from, pose) in poses.iter().enumerate() {
        for swing in swings.from(pose) {
            let to = match swing.outcome {
                Outcome::Clear(after) => poses.iter().position(|p| **p == after),
                Outcome::Blocked { .. } => None,
            };
            tried.push(json!({ "from": from, "hinge": swing.hinge,
                "quarters": swing.turn.quarters(), "to": to }));
        }
    }
    let told = |(pose, distance): (&Pose, u32)| {
        let cells: Vec<_> = pose.cells(&piece).iter().map(|c| [c.x, c.y]).collect();
        let turns: Vec<_> = (0..cells.len()).map(|b| pose.turn(&piece, b).quarters()).collect();
        json!({ "cells": cells, "turns": turns, "distance": distance })
    };
    let sizes = plan.sizes();
    json!({
        "name": name,
        "sizes": { "pitch": sizes.pitch, "gap": sizes.gap,
            "knuckle": sizes.knuckle, "clearance": sizes.clearance },
        "blocks": cells,
        "hinges": hinges.iter().map(|&(x, y, a, b, l)| json!({ "pin": [x, y], "joins": [a, b], "level": l }))
            .collect::<Vec<_>>(),
        "poses": reach.poses().map(told).collect::<Vec<_>>(),
        "swings": tried,
        "folds": reach.folds().len(),
        "reached": reach.reached(),
        "farthest": reach.farthest(),
        "looped": reach.looped(),
    })
}
