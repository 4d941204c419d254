//! What a piece can become: one fold, or a sheet of all its folds by shape.

use lattice::{Fold, FoldSet, Pose, Set};

use crate::block::{self, Marks, Posed};
use crate::colour::{BAND, INK, Rgb, SOFT_INK, WHITE, mix};
use crate::error::{PaperError, check_held, check_letter, check_piece, check_pose, spread};
use crate::legend::{self, Entry, Legend, Symbol};
use crate::lettering::{self, Weight};
use crate::line::{Frame, bounds};
use crate::plate::{LEAST_WIDTH, MARGIN, PITCH, TITLE, TITLE_ROOM, counted};
use crate::sheet::{Paint, Picture, Sheet, Words};
use crate::style::PieceStyle;

/// Width of a sheet in millimetres: A4 less its rims.
pub(crate) const SHEET: f64 = 190.0;
/// Air in a tile, height of a line of small words, their size.
const AIR: f64 = 1.4;
const CAPTION: f64 = 3.4;
const WORDS: f64 = 2.3;

/// Block side on a sheet: the more folds, the smaller.
fn pitch_for(folds: usize) -> f64 {
    match folds {
        0..=100 => 4.2,
        101..=250 => 3.4,
        _ => 2.8,
    }
}

/// What is said of one fold on a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FoldNote {
    /// A few words under the fold, such as the number of swings to it.
    pub text: String,
    /// Drawn pale and with broken lines: single swings do not reach it.
    pub unreached: bool,
}

/// One fold of a piece, large.
///
/// # Errors
/// A piece that is not in the set, a fold that is not one of that piece.
pub fn fold(
    set: &Set,
    piece: usize,
    fold: &Fold,
    style: &PieceStyle,
    title: &str,
) -> Result<Picture, PaperError> {
    let posed = checked(set, piece, &fold.pose, 0, style)?;
    let (x0, y0, x1, y1) = bounds(&posed.cells);
    let (columns, rows) = (f64::from(x1 - x0), f64::from(y1 - y0));
    let rim = 0.5 * PITCH;
    let width = (columns * PITCH + 2.0 * (MARGIN + rim)).max(LEAST_WIDTH);
    let top = MARGIN + rim / 2.0 + if title.is_empty() { 0.0 } else { TITLE_ROOM };
    let legend = Legend::new(legend::levels(&posed.pins, set.levels).collect(), &[], width - 2.0 * MARGIN);
    let legend_top = top + rows * PITCH + rim;
    let words = format!("One fold of {}: {}.", style.name, counted(posed.cells.len(), "block"));
    let shown_title = if title.is_empty() { &style.name } else { title };
    let mut sheet = Sheet::new(width, legend_top + legend.height() + MARGIN, shown_title, &words);
    let shown = lettering::fit(Weight::Bold, TITLE, title, width - 2.0 * MARGIN);
    sheet.words("title", (width / 2.0, MARGIN + 4.2), Words::new(Weight::Bold, TITLE, &shown).middle());
    let left = (width - columns * PITCH) / 2.0;
    let frame = Frame { left, top, pitch: PITCH, x0, y1 };
    draw(
        &mut sheet,
        &frame,
        &posed,
        style,
        set.levels,
        Marks { hatched: true, lettered: true, ruled: true },
        (1.0, false),
    );
    legend.draw(&mut sheet, (MARGIN, legend_top));
    Ok(sheet.finish())
}

/// All given folds of a piece on one sheet, in their order, so that folds of
/// one shape stand together on one band; home is framed. `notes` may be empty
/// or have one for each fold.
///
/// # Errors
/// A piece that is not in the set, a fold that is not one of that piece, no folds.
pub fn folds(
    set: &Set,
    piece: usize,
    folds: &FoldSet,
    style: &PieceStyle,
    title: &str,
    notes: &[FoldNote],
) -> Result<Picture, PaperError> {
    let all = folds.folds();
    if all.is_empty() {
        return Err(PaperError::Nothing);
    }
    let posed: Vec<Posed> = all
        .iter()
        .enumerate()
        .map(|(i, f)| checked(set, piece, &f.pose, i, style))
        .collect::<Result<_, _>>()?;
    let home = Fold::of(&set.pieces[piece], &Pose::home(&set.pieces[piece]), set.levels);
    let home = folds.position(&home);
    let extent = |p: &Posed| {
        let (x0, y0, x1, y1) = bounds(&p.cells);
        (f64::from(x1 - x0), f64::from(y1 - y0))
    };
    let small = pitch_for(all.len());
    let widest = posed.iter().map(|p| extent(p).0).fold(1.0, f64::max) * small;
    let highest = posed.iter().map(|p| extent(p).1).fold(1.0, f64::max) * small;
    let noted = notes.iter().any(|n| !n.text.is_empty());
    let tile =
        ((widest + 2.0 * AIR).max(12.0), highest + 2.0 * AIR + CAPTION * if noted { 3.0 } else { 2.0 } + 1.0);
    let columns = (((SHEET - 2.0 * MARGIN) / tile.0) as usize).max(1).min(all.len());
    let rows = all.len().div_ceil(columns);
    let width = (columns as f64 * tile.0 + 2.0 * MARGIN).max(LEAST_WIDTH * 1.6);
    let shapes = folds.shapes().count();
    let facts = format!("{} on {}", counted(all.len(), "fold"), counted(shapes, "shape"));

    let mut entries: Vec<Entry> = legend::levels(posed.iter().flat_map(|p| &p.pins), set.levels).collect();
    if home.is_some() {
        entries.push(Entry::new(Symbol::Home, "home"));
    }
    let unreached = notes.iter().filter(|n| n.unreached).count();
    let mut lines = vec![("Folds of one shape stand side by side on one band.").to_owned()];
    if unreached > 0 {
        lines.push(format!("Pale with broken lines: not reached by single swings ({unreached})."));
    }
    let legend = Legend::new(entries, &lines, width - 2.0 * MARGIN);
    let top = MARGIN + TITLE_ROOM + legend.height() + 2.0;
    let height = top + rows as f64 * tile.1 + MARGIN;
    let heading = if title.is_empty() { format!("{}: {facts}", style.name) } else { title.to_owned() };
    let mut sheet = Sheet::new(width, height, &heading, &format!("All folds of {}: {facts}.", style.name));
    let shown = lettering::fit(Weight::Bold, TITLE, &heading, width - 2.0 * MARGIN);
    sheet.words("title", (MARGIN, MARGIN + 4.2), Words::new(Weight::Bold, TITLE, &shown));
    legend.draw(&mut sheet, (MARGIN, MARGIN + TITLE_ROOM));

    let left = (width - columns as f64 * tile.0) / 2.0;
    let plain = FoldNote::default();
    let mut number = 0;
    for (s, shape) in folds.shapes().enumerate() {
        for k in 0..shape.len() {
            let spot = (left + (number % columns) as f64 * tile.0, top + (number / columns) as f64 * tile.1);
            let note = notes.get(number).unwrap_or(&plain);
            let place = Place {
                spot,
                pitch: small,
                tile,
                number,
                shape: s,
                first: k == 0,
                home: home == Some(number),
            };
            tile_of(&mut sheet, &place, &posed[number], style, note, set.levels, noted);
            number += 1;
        }
    }
    Ok(sheet.finish())
}

struct Place {
    spot: (f64, f64),
    pitch: f64,
    tile: (f64, f64),
    number: usize,
    shape: usize,
    first: bool,
    home: bool,
}

fn tile_of(
    sheet: &mut Sheet,
    place: &Place,
    posed: &Posed,
    style: &PieceStyle,
    note: &FoldNote,
    levels: u8,
    noted: bool,
) {
    let ((x, y), (width, height)) = (place.spot, place.tile);
    sheet.open(if place.home { "fold home" } else { "fold" });
    let band = if place.shape.is_multiple_of(2) { BAND } else { WHITE };
    sheet.rect("band", (x, y + 0.3), (width, height - 0.6), 0.0, Paint::fill(band));
    if place.first {
        let mut rule = crate::line::Line::default();
        rule.segment((x, y + 0.3), (x, y + height - 0.3));
        sheet.path("", &rule, Paint::stroke(SOFT_INK, 0.25));
        let words = Words::new(Weight::Bold, WORDS, "");
        sheet.words(
            "shape",
            (x + 1.2, y + 3.1),
            Words { text: &format!("shape {}", place.shape + 1), ..words },
        );
    }
    if place.home {
        let frame = Paint::stroke(INK, 0.6);
        sheet.rect("", (x + 0.3, y + 0.3), (width - 0.3, height - 0.6), 0.8, frame);
    }
    let (x0, y0, x1, y1) = bounds(&posed.cells);
    let (columns, rows) = (f64::from(x1 - x0) * place.pitch, f64::from(y1 - y0) * place.pitch);
    let captions = if noted { 2.0 } else { 1.0 };
    let room = height - CAPTION * (1.0 + captions) - 1.0;
    let frame = Frame {
        left: x + (width - columns) / 2.0,
        top: y + CAPTION + (room - rows) / 2.0,
        pitch: place.pitch,
        x0,
        y1,
    };
    let pale: Rgb = if note.unreached { mix(style.colour, WHITE, 70) } else { style.colour };
    let look = PieceStyle { colour: pale, ..style.clone() };
    draw(sheet, &frame, posed, &look, levels, Marks::default(), (1.3, note.unreached));
    let mut base = y + CAPTION + room + 2.2;
    let caption = format!("{}{}", place.number + 1, if place.home { " home" } else { "" });
    let weight = if place.home { Weight::Bold } else { Weight::Regular };
    sheet.words("", (x + width / 2.0, base), Words::new(weight, WORDS, &caption).middle());
    if noted {
        base += CAPTION - 0.2;
        let text = lettering::fit(Weight::Regular, WORDS, &note.text, width - 0.8);
        let words = Words::new(Weight::Regular, WORDS, &text).middle().in_colour(SOFT_INK);
        sheet.words("note", (x + width / 2.0, base), words);
    }
    sheet.close();
}

/// Blocks, their silhouette (broken if asked) and the hinges of one pose, those
/// `scale` times life size.
pub(crate) fn draw(
    sheet: &mut Sheet,
    frame: &Frame,
    posed: &Posed,
    style: &PieceStyle,
    levels: u8,
    marks: Marks,
    (scale, broken): (f64, bool),
) {
    block::blocks(sheet, frame, posed, style, marks);
    block::silhouette(sheet, frame, posed, broken);
    let pins: Vec<_> = posed.pins.iter().map(|&pin| (pin, style.colour)).collect();
    block::hinges(sheet, frame, &pins, levels, scale);
}

/// A pose of a piece that can be drawn.
pub(crate) fn checked(
    set: &Set,
    piece: usize,
    pose: &Pose,
    number: usize,
    style: &PieceStyle,
) -> Result<Posed, PaperError> {
    check_letter(style)?;
    let found = check_piece(set, piece)?;
    check_pose(found, piece, pose)?;
    check_held(found, piece, pose, number)?;
    let posed = Posed::new(found, pose, set.levels);
    let (x0, y0, x1, y1) = bounds(&posed.cells);
    spread((x1 - x0).into(), (y1 - y0).into())?;
    Ok(posed)
}
