//! `--like`: outlines nearest to the silhouette of a picture.

use std::path::PathBuf;

use ::scout::finds::Find;
use ::scout::like::{Candidate, Fate, Ink, LikeAsk, Liked, Nearest, Why, like};
use clap::Args;
use fill::{Alone, Look, PocketAsk, PocketSet, pockets};
use lattice::{Cell, Outline};
use serde_json::{Map, Value, json};

use super::finds::{Found, Hunt};
use super::library::inks;
use super::want::Hang;
use crate::answer::{Failure, counted};

/// How a picture is laid.
#[derive(Clone, Debug, Args)]
pub(super) struct LikeArgs {
    /// Outlines nearest to the silhouette in a picture, PNG, JPEG or SVG; can be given again
    #[arg(long, value_name = "FILE", conflicts_with = "catalogue", help_heading = super::WAYS)]
    like: Vec<PathBuf>,
    /// With --like: keep the picture upright, try no turns of the lattice
    #[arg(long, requires = "like", help_heading = super::WAYS)]
    upright: bool,
    /// With --like: so many cells more than the set has blocks, which stay empty
    #[arg(long, value_name = "K", default_value_t = 0, requires = "like", allow_negative_numbers = true, value_parser = clap::value_parser!(u8).range(0..=100), help_heading = super::WAYS)]
    spare: u8,
    /// With --like: look at no more than so many of the outlines nearest to each picture
    #[arg(long, value_name = "N", default_value_t = 600, requires = "like", allow_negative_numbers = true, value_parser = clap::value_parser!(u32).range(1..=100_000), help_heading = super::WAYS)]
    tries: u32,
}

impl LikeArgs {
    pub(super) fn is_asked(&self) -> bool {
        !self.like.is_empty()
    }
}

pub(super) fn run(hunt: &Hunt<'_>, args: &LikeArgs) -> Result<Found, Failure> {
    let inks = inks(&args.like)?;
    let picked = hunt.args.pick.iter().copied().max().unwrap_or(0);
    let wanted = hunt.args.show.0.max(hunt.args.keep.unwrap_or(0)).max(picked);
    let spare = usize::from(args.spare);
    let ask = LikeAsk {
        cells: Some(hunt.project.set.blocks() + spare),
        upright: args.upright,
        corners: hunt.args.joined == Hang::Corners,
        finds: wanted,
        most_candidates: args.tries as usize,
    };
    let looks = |outlines: &[Vec<Cell>]| {
        let looks = if spare == 0 {
            hunt.looks(outlines, &hunt.ask(), |_, _| ())
        } else {
            with_spare(hunt, outlines, spare)
        };
        (looks.len() == outlines.len()).then_some(looks)
    };
    let mut found = Found::default();
    let (mut pictures, mut looked) = (Vec::new(), 0);
    for (file, ink) in args.like.iter().zip(&inks) {
        let name = file.display().to_string();
        let several = (args.like.len() > 1).then_some(&name[..]);
        let mut seen = |near: &Nearest| found.offer(hunt, find(looked, several, near, spare));
        let liked = like(&hunt.project.set, &hunt.classes, ink, &ask, &looks, &mut seen)
            .map_err(|e| Failure::plain(e, "lay pictures for a set of fewer blocks"))?;
        looked += liked.looked as u64;
        found.notes.extend(told(&name, &liked, hunt.project.rules.interlocked));
        pictures.push(picture_json(&name, ink, &liked));
    }
    found.settle(hunt.args);
    found.looked = looked;
    found.facts.insert("pictures".into(), pictures.into());
    Ok(found)
}

/// What is seen of outlines in which cells stay empty: these are no matter of the survey.
fn with_spare(hunt: &Hunt<'_>, outlines: &[Vec<Cell>], spare: usize) -> Vec<Look> {
    let (asked, dealt) = (hunt.ask(), hunt.dealt());
    let wish = PocketAsk {
        interlocked: asked.interlocked,
        most_layouts: asked.most_layouts,
        threads: dealt.threads,
        stop: &|| hunt.work.must_stop(),
        ..PocketAsk::default()
    };
    let look = |cells: &Vec<Cell>| {
        let outline = Outline::new(cells.iter().copied(), [], spare).expect("an outline has cells");
        let found = pockets(dealt.set, dealt.classes, &outline, &wish);
        let alone =
            |set: PocketSet| Alone { pockets: set.pockets, same_size: set.same_size, proven: set.proven };
        (!hunt.work.must_stop()).then(|| Look {
            layouts: found.layouts_open,
            different: found.different_open,
            drop_in: None,
            complete: found.complete,
            smallest: found.smallest.filter(|_| found.complete).map(alone),
            largest: found.largest.filter(|_| found.complete).map(alone),
        })
    };
    outlines.iter().map_while(look).collect()
}

fn find(place: u64, picture: Option<&str>, near: &Nearest, spare: usize) -> Find {
    let candidate = &near.candidate;
    let mut notes: Vec<String> = picture.map(|p| format!("like {p}")).into_iter().collect();
    notes.push(format!("overlap {}", percent(candidate.overlap)));
    notes.push(format!("{} added, {} missed", candidate.added.len(), candidate.missed.len()));
    if candidate.degrees != 0 {
        notes.push(turned(candidate.degrees));
    }
    let mut find = Find::new(place, candidate.cells.clone(), near.look.clone(), Some(candidate.likeness));
    // Nearness to this picture is what was asked for; how it looks besides is told with it.
    find.score = candidate.likeness;
    for term in &mut find.terms {
        term.weight = if term.name == "likeness" { 1.0 } else { 0.0 };
    }
    find.spare = spare;
    find.notes = notes;
    find
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn turned(degrees: i32) -> String {
    let sense = if degrees > 0 { "anticlockwise" } else { "clockwise" };
    format!("picture turned {}° {sense}", degrees.abs())
}

/// What a person should know of one picture.
fn told(name: &str, liked: &Liked, interlocked: bool) -> Vec<String> {
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
            "They can be filled ({} with a pocket everywhere), but no pockets leave exactly one{}.",
            counted(*layouts as usize, "layout"),
            if interlocked { "" } else { " that drops in" }
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
        "origin": candidate.origin,
        "added": cells_json(&candidate.added),
        "missed": cells_json(&candidate.missed),
        "drawing": drawn("", &candidate.cells, &candidate.added, &candidate.missed, &[]),
    })
}

fn cells_json(cells: &[Cell]) -> Value {
    cells.iter().map(|c| json!([c.x, c.y])).collect()
}
