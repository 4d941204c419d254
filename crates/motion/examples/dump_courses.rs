//! Writes courses of some pieces as JSON, for a judge outside to replay. Their
//! hinges' openings in radians at each turning point, changing evenly between.

use lattice::{Cell, Corner, Hinge, Level, Piece, Vertex};
use motion::{Answer, Effort, Planned};
use reach::Plan;
use serde_json::{Value, json};

type Drawn = (&'static str, &'static [(i32, i32)], &'static [(i32, i32, usize, usize, u8)]);

const PIECES: &[Drawn] = &[
    (
        "ring",
        &[(0, 0), (1, 0), (1, 1), (0, 1), (2, -1)],
        &[(1, 0, 0, 1, 0), (1, 1, 1, 2, 1), (1, 2, 2, 3, 1), (1, 1, 3, 0, 0), (2, 0, 1, 4, 1)],
    ),
    (
        "hexagon",
        &[(0, 0), (1, 0), (2, 0), (2, 1), (1, 1), (0, 1)],
        &[
            (1, 0, 0, 1, 0),
            (2, 1, 1, 2, 0),
            (3, 1, 2, 3, 0),
            (2, 2, 3, 4, 0),
            (1, 1, 4, 5, 0),
            (0, 1, 5, 0, 0),
        ],
    ),
    (
        "gangway",
        &[(0, 0), (1, 0), (2, 0), (3, 0), (4, 0)],
        &[(1, 1, 0, 1, 0), (2, 0, 1, 2, 1), (3, 1, 2, 3, 0), (4, 0, 3, 4, 1)],
    ),
];

fn main() {
    let mut pieces: Vec<(String, Piece)> = PIECES
        .iter()
        .map(|&(name, cells, hinges)| {
            let blocks = cells.iter().map(|&(x, y)| Cell::new(x, y)).collect();
            let hinge = |&(x, y, a, b, l): &(i32, i32, usize, usize, u8)| Hinge {
                pin: Vertex::new(x, y),
                joins: [a, b],
                level: Level(l),
            };
            (name.to_owned(), Piece::hinged(blocks, hinges.iter().map(hinge).collect()).expect("sound"))
        })
        .collect();
    pieces.extend(grown());
    let records: Vec<Value> = pieces.iter().map(|(name, piece)| record(name, piece)).collect();
    println!("{}", json!({ "pieces": records }));
}

/// Trees of seven and eight blocks from seeds, those with folds that only
/// motions of several hinges reach.
fn grown() -> Vec<(String, Piece)> {
    let mut dice = fastrand::Rng::with_seed(7);
    let mut found = Vec::new();
    for number in 0..400 {
        let wanted = 7 + number % 2;
        let (mut blocks, mut hinges) = (vec![Cell::new(0, 0)], Vec::<Hinge>::new());
        while blocks.len() < wanted {
            let from = dice.usize(..blocks.len());
            let level = Level(dice.u8(..2));
            let pin = blocks[from].corner(Corner::new(dice.u8(..4)));
            let cell = pin.quadrant(Corner::new(dice.u8(..4)));
            if !blocks.contains(&cell) && !hinges.iter().any(|h| (h.pin, h.level) == (pin, level)) {
                hinges.push(Hinge { pin, joins: [from, blocks.len()], level });
                blocks.push(cell);
            }
        }
        let piece = Piece::hinged(blocks, hinges).expect("sound");
        if plan(&piece, 4_000).count(Answer::Planned) > 0 {
            found.push((format!("tree {number}"), piece));
        }
        if found.len() == 4 {
            break;
        }
    }
    found
}

fn plan(piece: &Piece, looks: u64) -> Planned {
    Planned::of(piece, 2, false, &Plan::default(), Effort { looks, seed: 1 })
}

fn record(name: &str, piece: &Piece) -> Value {
    let planned = plan(piece, 20_000);
    let courses: Vec<Value> = (0..planned.folds().len())
        .filter(|&f| planned.answer(f) == Answer::Planned)
        .take(12)
        .map(|f| {
            let fold = &planned.folds().folds()[f];
            json!({
                "cells": fold.cells.iter().map(|c| [c.x, c.y]).collect::<Vec<_>>(),
                "pins": fold.pins.iter().map(|p| json!([p.at.x, p.at.y, p.level.0])).collect::<Vec<_>>(),
                "knots": planned.course(f).expect("a planned fold has a course").knots(),
            })
        })
        .collect();
    let sizes = Plan::default().sizes();
    json!({
        "name": name,
        "sizes": { "pitch": sizes.pitch, "gap": sizes.gap,
            "knuckle": sizes.knuckle, "clearance": sizes.clearance },
        "blocks": piece.blocks().iter().map(|c| [c.x, c.y]).collect::<Vec<_>>(),
        "hinges": piece.hinges().iter().map(|h| json!({ "pin": [h.pin.x, h.pin.y], "joins": h.joins,
            "level": h.level.0 })).collect::<Vec<_>>(),
        "planned": planned.count(Answer::Planned),
        "courses": courses,
    })
}
