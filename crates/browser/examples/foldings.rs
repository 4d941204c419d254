//! Ten thousand random foldings with the verdict of the lattice's own judge, and
//! with that of `ruling` on their layouts as a person would write them, in a
//! file for the core of the pages to be held to (`web/core`).
//!
//! A line that opens a set is followed by foldings of it. Some are right as
//! they are, most have been spoiled in some way. Equal seeds, equal bytes.

use std::fmt::Write;

use fastrand::Rng;
use lattice::{
    Cell, DropIn, Fold, FoldSet, Folding, Hinge, Level, Motion, Outline, Piece, Placed, Pose, Set, Turn,
    VertexKind,
};
use ruling::{Fault, Rules, Sheet};
use serde_json::{Value, json};

const SETS: usize = 100;
const FOLDINGS: usize = 100;

fn main() {
    let file = std::env::args_os().nth(1).expect("a file to write is named");
    let mut rng = Rng::with_seed(7);
    let mut text = String::new();
    for _ in 0..SETS {
        let set = set(&mut rng);
        let folds: Vec<FoldSet> = (0..set.pieces.len()).map(|p| set.folds(p)).collect();
        writeln!(text, "{}", json!({ "open": { "set": set_json(&set) } })).expect("a string takes all");
        let letters = ('A'..='Z').take(set.pieces.len()).collect();
        let rules = Rules::new(set.clone(), set.classes(), false, letters).expect("letters are distinct");
        for _ in 0..FOLDINGS {
            let line = folding(&mut rng, &rules, &folds);
            writeln!(text, "{line}").expect("a string takes all");
        }
    }
    let file = std::path::PathBuf::from(file);
    std::fs::create_dir_all(file.parent().expect("the file is in a folder")).expect("its folder can be made");
    std::fs::write(&file, text).expect("the file can be written");
}

fn set(rng: &mut Rng) -> Set {
    let levels = rng.u8(1..=3);
    let pieces = (0..rng.usize(1..=4)).map(|_| piece(rng, levels)).collect();
    Set { pieces, levels, turn_over: rng.bool() }
}

/// A random tree of hinges, or one rigid body.
fn piece(rng: &mut Rng, levels: u8) -> Piece {
    loop {
        let mut blocks = vec![Cell::new(0, 0)];
        let mut hinges: Vec<Hinge> = Vec::new();
        let size = rng.usize(1..=4);
        let rigid = rng.u8(0..6) == 0;
        while blocks.len() < size {
            let from = rng.usize(0..blocks.len());
            let cell = blocks[from].sides()[rng.usize(0..4)];
            if blocks.contains(&cell) {
                continue;
            }
            let shared = lattice::Corner::ALL.map(|k| blocks[from].corner(k));
            let shared: Vec<_> = shared.into_iter().filter(|&v| cell.corner_at(v).is_some()).collect();
            let joins = [from, blocks.len()];
            let level = Level(rng.u8(0..levels));
            hinges.push(Hinge { pin: shared[rng.usize(0..2)], joins, level });
            blocks.push(cell);
        }
        let made = if rigid { Piece::rigid(blocks) } else { Piece::hinged(blocks, hinges) };
        if let Ok(piece) = made {
            return piece;
        }
    }
}

fn folding(rng: &mut Rng, rules: &Rules, folds: &[FoldSet]) -> Value {
    let set = rules.set();
    let mut cells: Vec<Cell> = Vec::new();
    let mut placed: Vec<Placed> = Vec::new();
    for (number, piece) in set.pieces.iter().enumerate() {
        let pose = loop {
            let fold: &Fold = &folds[number].folds()[rng.usize(0..folds[number].len())];
            let pose = fold.pose.moved(Motion::STILL.shifted(rng.i32(-4..5), rng.i32(-4..5)));
            if pose.cells(piece).iter().all(|c| !cells.contains(c)) {
                break pose;
            }
        };
        cells.extend(pose.cells(piece));
        placed.push(Placed { piece: number, pose });
    }
    let mut folding = Folding { placed };
    let whole = Outline::new(cells.iter().copied(), [], 0).expect("an outline without pockets");
    let mut pockets = folding.footprint(set, &whole);
    if rng.bool() {
        let edge = whole.vertices(VertexKind::Edge);
        pockets.push(edge[rng.usize(0..edge.len())]);
    }
    let mut spare = 0;
    spoil(rng, set, folds, &mut folding, &mut cells, &mut pockets, &mut spare);
    let mut outline = Outline::new(cells.iter().copied(), [], spare).expect("cells are left");
    pockets.retain(|&v| outline.kind(v) == VertexKind::Edge);
    outline = outline.with_pockets(pockets).expect("all are on the edge");
    line(rng, rules, &outline, &folding)
}

/// Breaks a rule or two; in one case of four none.
fn spoil(
    rng: &mut Rng,
    set: &Set,
    folds: &[FoldSet],
    folding: &mut Folding,
    cells: &mut Vec<Cell>,
    pockets: &mut Vec<lattice::Vertex>,
    spare: &mut usize,
) {
    for _ in 0..rng.usize(0..=2) {
        let which = rng.usize(0..folding.placed.len().max(1));
        match rng.u8(0..9) {
            0 => drop(pockets.pop()),
            1 => cells.push(Cell::new(rng.i32(-5..6), rng.i32(-5..6))),
            2 if cells.len() > 1 => drop(cells.swap_remove(rng.usize(0..cells.len()))),
            3 => *spare += 1,
            4 if !folding.placed.is_empty() => drop(folding.placed.swap_remove(which)),
            5 if !folding.placed.is_empty() => folding.placed.push(folding.placed[which].clone()),
            6 if !folding.placed.is_empty() => {
                let moved = Motion::STILL.shifted(rng.i32(-1..2), rng.i32(-1..2));
                folding.placed[which].pose = folding.placed[which].pose.moved(moved);
            }
            7 if !folding.placed.is_empty() => {
                let mut motions = folding.placed[which].pose.motions().to_vec();
                let body = rng.usize(0..motions.len());
                motions[body] = motions[body].then(Motion::about_origin(rng.bool(), Turn::new(rng.u8(0..4))));
                folding.placed[which].pose = Pose::from_motions(motions);
            }
            8 if !folding.placed.is_empty() => {
                let of = &folds[folding.placed[which].piece];
                let shift = folding.placed[which].pose.cells(&set.pieces[folding.placed[which].piece])[0];
                let pose = &of.folds()[rng.usize(0..of.len())].pose;
                folding.placed[which].pose = pose.moved(Motion::STILL.shifted(shift.x, shift.y));
            }
            _ => {}
        }
    }
}

fn line(rng: &mut Rng, rules: &Rules, outline: &Outline, folding: &Folding) -> Value {
    let set = rules.set();
    let faults: Vec<String> = folding.faults(set, outline).iter().map(ToString::to_string).collect();
    let (drop_in, interlocked) = match folding.drop_in(set) {
        DropIn::Order(order) => (Some(order), None),
        DropIn::Interlocked(ring) => (None, Some(ring)),
    };
    let footprint: Vec<_> = folding.footprint(set, outline).iter().map(|v| [v.x, v.y]).collect();
    let code = faults.is_empty().then(|| lattice::layout_code(set, rules.classes(), outline, folding));
    json!({
        "outline": {
            "cells": outline.cells().iter().map(|c| [c.x, c.y]).collect::<Vec<_>>(),
            "pockets": outline.pockets().iter().map(|v| [v.x, v.y]).collect::<Vec<_>>(),
            "spare": outline.spare(),
        },
        "placed": folding.placed.iter().map(placed_json).collect::<Vec<_>>(),
        "faults": faults, "drop_in": drop_in, "interlocked": interlocked, "footprint": footprint,
        "code": code, "written": written(rng, rules, outline, folding),
    })
}

/// What is seen of a folding from above, judged as a written layout, often with cells
/// that have changed hands. Where blocks share a cell the last one is seen.
fn written(rng: &mut Rng, rules: &Rules, outline: &Outline, folding: &Folding) -> Value {
    let sheet = Sheet::new(rules, outline);
    let place = |c: &Cell| sheet.reading().iter().position(|r| r == c);
    let mut owners = vec![None; sheet.reading().len()];
    for placed in &folding.placed {
        for cell in placed.pose.cells(&rules.set().pieces[placed.piece]) {
            if let Some(at) = place(&cell) {
                owners[at] = Some(placed.piece);
            }
        }
    }
    // In two of three one cell or more has changed hands.
    for _ in 0..rng.usize(0..3) {
        let (a, b) = (rng.usize(0..owners.len()), rng.usize(0..owners.len()));
        owners.swap(a, b);
    }
    let layout = sheet.layout(owners.clone()).expect("pieces of the set on cells of the outline");
    let covered = sheet.reading().iter().zip(&owners);
    let covered: Vec<_> = covered.filter_map(|(c, o)| o.map(|p| json!([c.x, c.y, p]))).collect();
    let verdict = sheet.judge(&layout);
    let faults = verdict.as_ref().err().into_iter().flatten();
    let fault = |f: &Fault| json!({ "kind": f.kind(), "says": f.says(&sheet) });
    json!({
        "covered": covered, "rows": sheet.rows(&layout), "short": sheet.short(&layout),
        "accepted": verdict.is_ok(), "code": verdict.as_ref().ok().map(|a| a.code.clone()),
        "faults": faults.map(fault).collect::<Vec<_>>(),
    })
}

fn placed_json(placed: &Placed) -> Value {
    let motion = |m: &Motion| [i32::from(m.mirrored), i32::from(m.turn.quarters()), m.dx, m.dy];
    json!({ "piece": placed.piece, "pose": placed.pose.motions().iter().map(motion).collect::<Vec<_>>() })
}

fn set_json(set: &Set) -> Value {
    let piece = |piece: &Piece| {
        let hinge = |h: &Hinge| json!({ "pin": [h.pin.x, h.pin.y], "joins": h.joins, "level": h.level.0 });
        json!({
            "blocks": piece.blocks().iter().map(|c| [c.x, c.y]).collect::<Vec<_>>(),
            "hinges": piece.hinges().iter().map(hinge).collect::<Vec<_>>(),
            "rigid": piece.is_rigid(),
        })
    };
    json!({
        "levels": set.levels, "turn_over": set.turn_over, "interlocked": false, "reach": "any",
        "sizes": { "pitch": 15.0, "gap": 0.3, "knuckle": 3.0, "clearance": 0.3 },
        "pieces": set.pieces.iter().map(piece).collect::<Vec<_>>(),
    })
}
