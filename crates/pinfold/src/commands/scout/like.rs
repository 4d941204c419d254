//! `--like`: outlines nearest to the silhouette of a picture.

use std::fs;
use std::path::{Path, PathBuf};

use ::scout::finds::{Find, Term};
use ::scout::like::{Candidate, Fate, Ink, LikeAsk, Liked, Nearest, Why, like};
use clap::Args;
use lattice::Cell;
use serde_json::{Map, Value, json};

use super::finds::{Found, Hunt};
use crate::answer::{Failure, counted};

/// How a picture is laid.
#[derive(Clone, Debug, Args)]
pub(super) struct LikeArgs {
    /// Outlines nearest to the silhouette in a picture, PNG, JPEG or SVG; can be given again
    #[arg(long, value_name = "FILE", help_heading = super::WAYS)]
    pub(super) like: Vec<PathBuf>,
    /// With --like: keep the picture upright, do not try turns of the lattice
    #[arg(long, requires = "like", help_heading = super::WAYS)]
    upright: bool,
    /// With --like: outlines to find for each picture
    #[arg(long, value_name = "N", default_value = "6", requires = "like", allow_negative_numbers = true, value_parser = clap::value_parser!(u16).range(1..=1000), help_heading = super::WAYS)]
    nearest: u16,
    /// With --like: rank and look at no more outlines of each picture
    #[arg(long, value_name = "N", default_value = "600", requires = "like", allow_negative_numbers = true, value_parser = clap::value_parser!(u32).range(1..=100_000), help_heading = super::WAYS)]
    tries: u32,
}

pub(super) fn run(hunt: &Hunt<'_>, args: &LikeArgs) -> Result<Found, Failure> {
    let inks = inks(&args.like)?;
    let ask = LikeAsk {
        cells: None,
        upright: args.upright,
        corners: false,
        finds: usize::from(args.nearest),
        most_candidates: args.tries as usize,
    };
    let lookout = hunt.lookout();
    let mut found = Found::default();
    let mut pictures = Vec::new();
    for (file, ink) in args.like.iter().zip(&inks) {
        let looks = |outlines: &[Vec<Cell>]| lookout.looks(outlines, &|| hunt.work.must_stop());
        let liked = like(&hunt.project.set, &hunt.classes, ink, &ask, &looks)
            .map_err(|e| Failure::plain(e, "give the set more blocks, or fewer"))?;
        let name = file.display().to_string();
        found.looked += liked.looked as u64;
        found.notes.extend(told(&name, &liked));
        let several = (args.like.len() > 1).then_some(&name[..]);
        for near in &liked.finds {
            let number = found.finds.len() as u64;
            found.finds.push(find(number, several, near));
        }
        pictures.push(picture_json(&name, ink, &liked));
    }
    found.facts.insert("pictures".into(), pictures.into());
    Ok(found)
}

/// The silhouettes of all pictures; every file that is wrong is told at once.
fn inks(files: &[PathBuf]) -> Result<Vec<Ink>, Failure> {
    let read = |file: &Path| -> Result<Ink, String> {
        let bytes = fs::read(file).map_err(|e| format!("{} cannot be read: {e}", file.display()))?;
        silhouette::read(&bytes).map_err(|e| format!("{}: {e}", file.display()))
    };
    let (mut inks, mut wrong) = (Vec::new(), Vec::new());
    for file in files {
        match read(file) {
            Ok(ink) => inks.push(ink),
            Err(sentence) => wrong.push(sentence),
        }
    }
    if wrong.is_empty() {
        return Ok(inks);
    }
    let mend = "name a PNG, JPEG or SVG file of a dark shape on light ground, a light one on dark, \
                or one on clear ground; letters in an SVG must be paths";
    Err(Failure::plain(wrong.join("; "), mend))
}

fn find(number: u64, picture: Option<&str>, near: &Nearest) -> Find {
    let candidate = &near.candidate;
    let mut notes: Vec<String> = picture.map(|p| format!("like {p}")).into_iter().collect();
    notes.push(format!("overlap {}", percent(candidate.overlap)));
    notes.push(format!("{} added, {} missed", candidate.added.len(), candidate.missed.len()));
    if candidate.degrees != 0 {
        notes.push(turned(candidate.degrees));
    }
    let term = |name, value| Term { name, weight: 0.0, value };
    Find {
        number,
        cells: candidate.cells.clone(),
        look: near.look.clone(),
        score: candidate.likeness,
        terms: vec![
            Term { name: "likeness", weight: 1.0, value: candidate.likeness },
            term("overlap", candidate.overlap),
            term("share", candidate.share),
        ],
        notes,
    }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn turned(degrees: i32) -> String {
    let sense = if degrees > 0 { "anticlockwise" } else { "clockwise" };
    format!("picture turned {}° {sense}", degrees.abs())
}

/// What a person should know of one picture.
fn told(name: &str, liked: &Liked) -> Vec<String> {
    let wish = &liked.wish;
    let mut told = vec![format!(
        "{name}: the cells it covers most have {} of its ink (likeness {:.2}).",
        percent(wish.share),
        wish.likeness
    )];
    told.push(match &liked.fate {
        Fate::Found => "They are an outline that can be left one layout, the nearest there is.".to_owned(),
        Fate::Apart { why } => {
            let parts = format!("They fall into {} that share no side", counted(liked.parts, "part"));
            match why {
                Some(Why::Part { cells }) => format!(
                    "{parts}, and no pieces together have {}, as one of them has.",
                    counted(cells.len(), "block")
                ),
                _ => format!("{parts}; outlines hang together."),
            }
        }
        Fate::Unfillable { why } => format!("They can't be filled: {}.", reason(why)),
        Fate::NeverAlone { layouts } => format!(
            "They can be filled ({} with a pocket everywhere), but no pockets leave exactly one layout that may stay.",
            counted(*layouts as usize, "layout")
        ),
        Fate::TooMany { layouts } => format!(
            "They have more than {} with a pocket everywhere; --limit N lists more.",
            counted(*layouts as usize, "layout")
        ),
        Fate::Unknown => "Whether they can be filled was not looked at.".to_owned(),
    });
    if liked.fate != Fate::Found {
        told.push(drawn("  ", &wish.cells, &wish.added, &wish.missed, marked(&liked.fate)));
    }
    told.push(format!(
        "{} of the {} ranked were looked at, the nearest first; {} can be filled.",
        liked.looked,
        counted(liked.candidates, "outline"),
        liked.fillable
    ));
    if liked.finds.is_empty() && liked.looked == liked.candidates {
        told.push("None of them can be left one layout; --tries N goes further from the picture.".to_owned());
    }
    for (i, near) in liked.finds.iter().enumerate() {
        let candidate = &near.candidate;
        if candidate.added.len() + candidate.missed.len() > 0 && i == 0 {
            told.push("How the nearest differs: + added, - missed.".to_owned());
            told.push(drawn("  ", &candidate.cells, &candidate.added, &candidate.missed, &[]));
        }
    }
    told
}

/// The cells that a reason names.
fn marked(fate: &Fate) -> &[Cell] {
    match fate {
        Fate::Unfillable { why } | Fate::Apart { why: Some(why) } => match why {
            Why::Part { cells } | Why::Unreached { cells } | Why::Region { cells } => cells,
            Why::Colours { .. } | Why::Searched => &[],
        },
        _ => &[],
    }
}

fn reason(why: &Why) -> String {
    match why {
        Why::Part { cells } => format!("no pieces together have {}", counted(cells.len(), "block")),
        Why::Unreached { cells } if cells.len() == 1 => "no piece reaches the cell marked x".to_owned(),
        Why::Unreached { cells } => format!("no piece reaches the {} cells marked x", cells.len()),
        Why::Colours { excess } => format!(
            "coloured like a chessboard they have {excess} more of one colour than of the other, \
             and the pieces together never cover so"
        ),
        Why::Region { cells } => format!("no pieces cover the {} cells marked x together", cells.len()),
        Why::Searched => "every place of every piece was tried".to_owned(),
    }
}

/// Cells as text, top row first: `#` in outline and picture, `+` in the outline
/// alone, `-` in the picture alone, `x` as marked.
fn drawn(indent: &str, cells: &[Cell], added: &[Cell], missed: &[Cell], marked: &[Cell]) -> String {
    let all = || cells.iter().chain(missed);
    let (x0, x1) = (all().map(|c| c.x).min().unwrap_or(0), all().map(|c| c.x).max().unwrap_or(0));
    let (y0, y1) = (all().map(|c| c.y).min().unwrap_or(0), all().map(|c| c.y).max().unwrap_or(0));
    let mark = |cell: Cell| match () {
        () if marked.contains(&cell) => 'x',
        () if added.contains(&cell) => '+',
        () if cells.contains(&cell) => '#',
        () if missed.contains(&cell) => '-',
        () => '.',
    };
    let row = |y: i32| {
        let marks: Vec<String> = (x0..=x1).map(|x| mark(Cell::new(x, y)).to_string()).collect();
        format!("{indent}{}", marks.join(" "))
    };
    (y0..=y1).rev().map(row).collect::<Vec<_>>().join("\n")
}

fn picture_json(name: &str, ink: &Ink, liked: &Liked) -> Value {
    let moments = ink.moments();
    let mut object = Map::new();
    object.insert("file".into(), json!(name));
    object.insert("width".into(), json!(ink.width()));
    object.insert("height".into(), json!(ink.height()));
    object.insert(
        "moments".into(),
        json!({
            "area": moments.area,
            "centroid": moments.centroid,
            "second": moments.second,
            "hu": moments.hu,
        }),
    );
    object.insert("wish".into(), candidate_json(&liked.wish));
    object.insert("parts".into(), json!(liked.parts));
    let (fate, layouts) = match &liked.fate {
        Fate::Found => ("found", None),
        Fate::Apart { .. } => ("apart", None),
        Fate::Unfillable { .. } => ("unfillable", None),
        Fate::NeverAlone { layouts } => ("never alone", Some(layouts)),
        Fate::TooMany { layouts } => ("too many layouts", Some(layouts)),
        Fate::Unknown => ("unknown", None),
    };
    object.insert("fate".into(), json!(fate));
    object.insert("fate_layouts".into(), json!(layouts));
    let why = match &liked.fate {
        Fate::Unfillable { why } | Fate::Apart { why: Some(why) } => Some(reason(why)),
        _ => None,
    };
    object.insert("why".into(), json!(why));
    object.insert("why_cells".into(), cells_json(marked(&liked.fate)));
    object.insert("candidates".into(), json!(liked.candidates));
    object.insert("looked".into(), json!(liked.looked));
    object.insert("fillable".into(), json!(liked.fillable));
    object.insert("nearest".into(), liked.finds.iter().map(|n| candidate_json(&n.candidate)).collect());
    Value::Object(object)
}

fn candidate_json(candidate: &Candidate) -> Value {
    json!({
        "cells": cells_json(&candidate.cells),
        "likeness": candidate.likeness,
        "overlap": candidate.overlap,
        "share": candidate.share,
        "degrees": candidate.degrees,
        "pitch": candidate.pitch,
        "added": cells_json(&candidate.added),
        "missed": cells_json(&candidate.missed),
        "drawing": drawn("", &candidate.cells, &candidate.added, &candidate.missed, &[]),
    })
}

fn cells_json(cells: &[Cell]) -> Value {
    cells.iter().map(|c| json!([c.x, c.y])).collect()
}
