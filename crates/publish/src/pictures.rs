//! Pictures for shops and posts: the set, its pieces, its plates, a sheet of all
//! outlines, pieces that swing through their folds.
//!
//! None of them gives an answer away unless it is asked for: answers are drawn
//! only where answers are handed in.

use desk::layouts::style;
use desk::parts::{self, Parts, Wants};
use desk::{Failure, rules};
use lattice::Folding;
use paper::{Exhibit, MovingFrame, Picture, Swinging, Tile, TileContent};
use project::{OutlineRecord, PieceRecord, Project};
use rayon::prelude::*;
use solid::{Kind, Portrait};

use crate::answers::Answered;
use crate::archive::FileInPack;
use crate::tour::tour;

/// Swings of a moving picture in a pack, and its size.
const SWINGS: usize = 16;
const MOVING: (u32, u32) = (400, 400);
/// The size of pictures for posts (common practice for previews of links, no source).
const POST: (u32, u32) = (1200, 630);
/// Columns of a sheet of outlines.
const COLUMNS: usize = 5;
/// White.
const PAPER: [u8; 3] = [255; 3];

/// An outline with its number, and an answer where one is to be shown.
#[derive(Clone, Copy, Debug)]
pub struct Shown<'a> {
    /// The number in print.
    pub number: Option<u32>,
    /// The outline.
    pub record: &'a OutlineRecord,
    /// The folding to show on it.
    pub answer: Option<&'a Folding>,
}

/// How the pieces look, and with outlines the board and their plates, small.
fn portraits(project: &Project, outlines: &[&OutlineRecord]) -> Result<Vec<Portrait>, Failure> {
    let asked = Parts {
        pieces: vec![true; project.set.pieces.len()],
        outlines: project.outlines.iter().map(|o| outlines.iter().any(|a| a.name == o.name)).collect(),
        board: !outlines.is_empty(),
        coupon: false,
        backing: false,
        all: false,
    };
    let request = parts::request(project, &asked, Wants::default(), &[]);
    solid::portraits(&request, !outlines.is_empty()).map_err(|errors| parts::refused(project, &errors))
}

/// The whole set: the board and a plate half as large as they are beside all the
/// pieces, on paper of a shape (width by height).
///
/// # Errors
/// What the solids refuse.
pub fn set(project: &Project, plate: &OutlineRecord, shape: f64) -> Result<Picture, Failure> {
    let mut all = portraits(project, &[plate])?;
    all.sort_by_key(|p| match p.kind {
        Kind::Board => 0,
        Kind::Plate => 1,
        Kind::Piece | Kind::Coupon => 2,
    });
    let name = |p: &Portrait| match p.kind {
        Kind::Board => "board".to_owned(),
        Kind::Plate => plate.title.clone(),
        Kind::Piece | Kind::Coupon => p.name.clone(),
    };
    let names: Vec<String> = all.iter().map(name).collect();
    let exhibits: Vec<Exhibit<'_>> = all.iter().zip(&names).map(|(p, n)| exhibit(p, n)).collect();
    Ok(paper::gallery(&project.title, &exhibits, shape)?)
}

fn exhibit<'a>(portrait: &'a Portrait, title: &'a str) -> Exhibit<'a> {
    let (note, scale) = match portrait.kind {
        Kind::Board | Kind::Plate => ("half as large", 0.5),
        Kind::Piece | Kind::Coupon => ("", 1.0),
    };
    Exhibit { title, note, markup: &portrait.markup, view: portrait.view, scale }
}

/// Each piece by itself, as it looks, by name; `wanted`: the names of kinds, or none for all.
///
/// # Errors
/// What the solids refuse.
pub fn pieces(
    project: &Project,
    wanted: &[&PieceRecord],
    shape: f64,
) -> Result<Vec<(String, Picture)>, Failure> {
    let all = portraits(project, &[])?;
    // Copies look alike: the first of each kind stands for all.
    let one = |record: &&PieceRecord| {
        let portrait = &all[record.set.start];
        let picture = paper::gallery("", &[exhibit(portrait, &record.name)], shape)?;
        Ok((record.name.clone(), picture))
    };
    wanted.iter().map(one).collect()
}

/// One plate: its outline, or an answer on it.
///
/// # Errors
/// What drawings refuse.
pub fn plate(project: &Project, shown: Shown<'_>) -> Result<Picture, Failure> {
    let title = match shown.number {
        Some(number) => format!("{number} {}", shown.record.title),
        None => shown.record.title.clone(),
    };
    let outline = &shown.record.outline;
    Ok(match shown.answer {
        None => paper::outline(outline, &paper::OutlineOptions { title: &title, blind: &[] })?,
        Some(folding) => {
            let options = paper::LayoutOptions { title: &title, ..paper::LayoutOptions::default() };
            paper::layout(&project.set, outline, folding, &style(project), &options)?
        }
    })
}

/// A sheet of outlines, or of answers on them, with as many side by side as bring
/// it near a shape (width by height), if one is asked for.
///
/// # Errors
/// What drawings refuse; no outlines.
pub fn sheet(
    project: &Project,
    title: &str,
    shown: &[Shown<'_>],
    shape: Option<f64>,
) -> Result<Picture, Failure> {
    let style = style(project);
    let names: Vec<String> = shown
        .iter()
        .map(|s| s.number.map_or(s.record.title.clone(), |n| format!("{n} {}", s.record.title)))
        .collect();
    let tiles: Vec<Tile<'_>> = shown
        .iter()
        .zip(&names)
        .map(|(s, name)| {
            let outline = &s.record.outline;
            let content = match s.answer {
                None => TileContent::Outline(outline),
                Some(folding) => TileContent::Layout { set: &project.set, outline, folding, style: &style },
            };
            Tile { title: name, note: s.record.grade.as_deref().unwrap_or(""), content }
        })
        .collect();
    let Some(shape) = shape else { return Ok(paper::contact_sheet(title, &tiles, COLUMNS)?) };
    let tried: Result<Vec<Picture>, _> =
        (2..=tiles.len().clamp(2, 12)).map(|n| paper::contact_sheet(title, &tiles, n)).collect();
    let off = |picture: &Picture| {
        let (w, h) = picture.size_mm();
        (w / h / shape).ln().abs()
    };
    Ok(tried?.into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).expect("there are numbers to try"))
}

/// A piece that swings through its folds, as SVG and as frames; none for a piece
/// that nothing swings on.
///
/// # Errors
/// Sizes that do not go together.
pub fn swinging(
    project: &Project,
    record: &PieceRecord,
    most: usize,
) -> Result<Option<(String, Vec<MovingFrame>)>, Failure> {
    let plan = rules::plan(project)?;
    let position = record.set.start;
    let tour = tour(&project.set.pieces[position], &plan, most);
    if tour.swings.is_empty() {
        return Ok(None);
    }
    let style = style(project);
    let piece = Swinging::new(
        &project.set,
        position,
        tour.anchor,
        tour.swings,
        &style.pieces[position],
        &record.name,
    )?;
    Ok(Some((piece.svg(), piece.frames())))
}

/// The pictures of a pack.
pub(crate) fn in_pack(project: &Project, answered: &[Answered<'_>]) -> Result<Vec<FileInPack>, Failure> {
    let shown: Vec<Shown<'_>> =
        answered.iter().map(|a| Shown { number: Some(a.number), record: a.record, answer: None }).collect();
    let mut files = Vec::new();
    let first = answered.first().expect("a pack has an outline").record;
    let whole = set(project, first, f64::from(POST.0) / f64::from(POST.1))?;
    files.push(FileInPack::new("pictures/set.png", whole.png_within(POST, PAPER)?));
    let sheet = sheet(project, &project.title, &shown, None)?;
    files.push(FileInPack::new("pictures/outlines.svg", sheet.svg()));
    files.push(FileInPack::new("pictures/outlines.png", sheet.png(1600)?));
    let moving = |record: &PieceRecord| -> Result<Vec<FileInPack>, Failure> {
        let Some((svg, frames)) = swinging(project, record, SWINGS)? else { return Ok(Vec::new()) };
        let png = paper::animated_png(&frames, MOVING, PAPER)?;
        let name = format!("pictures/swings/{}", record.name);
        Ok(vec![FileInPack::new(format!("{name}.png"), png), FileInPack::new(format!("{name}.svg"), svg)])
    };
    let moving: Result<Vec<_>, Failure> = project.pieces.par_iter().map(moving).collect();
    files.extend(moving?.into_iter().flatten());
    Ok(files)
}
