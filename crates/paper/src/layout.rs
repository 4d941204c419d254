//! A folding on its outline: which piece covers what, where the hinges stand.

use std::collections::{BTreeMap, BTreeSet};

use lattice::{Cell, DropIn, Folding, Outline, Pin, Set, Vertex};

use crate::block::{self, Marks, Posed};
use crate::colour::Rgb;
use crate::error::{PaperError, check_layout};
use crate::legend::{self, Entry, Symbol};
use crate::line::Frame;
use crate::plate::{self, Page, Use, counted};
use crate::sheet::{Picture, Sheet};
use crate::style::{PieceStyle, Style};

/// What a picture of a layout shows beside the pieces.
#[derive(Clone, Copy, Debug)]
pub struct LayoutOptions<'a> {
    /// Set above the plate if not empty.
    pub title: &'a str,
    /// Whether a key of pieces and marks stands below.
    pub key: bool,
    /// Whether each piece carries its place in the drop-in order.
    pub order: bool,
}

impl Default for LayoutOptions<'_> {
    fn default() -> Self {
        LayoutOptions { title: "", key: true, order: true }
    }
}

/// The picture of a folding. Pieces that are not placed leave their cells
/// empty, so a hint is drawn the same way; cells count as spare once all are
/// placed.
///
/// # Errors
/// A style too short, a letter that can't be used, anything that keeps this
/// from being (part of) a folding of the outline.
pub fn layout(
    set: &Set,
    outline: &Outline,
    folding: &Folding,
    style: &Style,
    options: &LayoutOptions<'_>,
) -> Result<Picture, PaperError> {
    check_layout(set, outline, folding, &style.pieces)?;
    let scene = Scene::new(set, outline, folding);
    let mut entries = Vec::new();
    if options.key {
        for placed in &folding.placed {
            let style = &style.pieces[placed.piece];
            entries.push(Entry::new(Symbol::Piece(style.clone()), &style.name));
        }
        entries.extend(legend::levels(scene.posed.iter().flat_map(|(_, p)| &p.pins), set.levels));
        if outline.pockets().iter().any(|v| scene.use_of(*v) == Use::Empty) {
            entries.push(Entry::new(Symbol::EmptyPocket, "pocket left empty"));
        }
        if !scene.spare.is_empty() {
            entries.push(Entry::new(Symbol::Spare, "spare cell"));
        }
        if options.order && scene.order.is_some() && folding.placed.len() > 1 {
            entries.push(Entry::new(Symbol::Order, "place in the drop-in order"));
        }
    }
    let mut notes = Vec::new();
    if let (Some(ring), true) = (&scene.ring, options.order) {
        let letters: Vec<String> = ring
            .iter()
            .chain(&ring[..1])
            .map(|&p| style.pieces[folding.placed[p].piece].letter.into())
            .collect();
        notes.push(format!("Interlocked, does not drop in: {}.", letters.join(" before ")));
    }
    let title = if options.title.is_empty() { "Layout" } else { options.title };
    let page = Page::new(outline, options.title, entries, &notes);
    let mut sheet = page.sheet(title, &scene.description(folding, style, options.order, &notes));
    scene.draw(&mut sheet, &page.frame, style, options.order);
    page.finish(&mut sheet);
    Ok(sheet.finish())
}

/// A checked folding with everything worked out that is drawn of it.
pub(crate) struct Scene<'a> {
    set: &'a Set,
    outline: &'a Outline,
    posed: Vec<(usize, Posed)>,
    owner: BTreeMap<Cell, usize>,
    pinned: BTreeSet<Vertex>,
    spare: Vec<Cell>,
    /// Place in the drop-in order, from 1, of each placed piece.
    order: Option<Vec<usize>>,
    ring: Option<Vec<usize>>,
}

impl<'a> Scene<'a> {
    pub fn new(set: &'a Set, outline: &'a Outline, folding: &Folding) -> Self {
        let posed: Vec<(usize, Posed)> = folding
            .placed
            .iter()
            .map(|p| (p.piece, Posed::new(&set.pieces[p.piece], &p.pose, set.levels)))
            .collect();
        let owner: BTreeMap<Cell, usize> =
            posed.iter().enumerate().flat_map(|(i, (_, p))| p.cells.iter().map(move |&c| (c, i))).collect();
        let pinned = posed.iter().flat_map(|(_, p)| p.pins.iter().map(|pin| pin.at)).collect();
        let complete = folding.placed.len() == set.pieces.len();
        let empty = outline.cells().iter().copied().filter(|c| complete && !owner.contains_key(c));
        let (order, ring) = match folding.drop_in(set) {
            DropIn::Interlocked(ring) => (None, Some(ring)),
            DropIn::Order(order) => {
                let mut places = vec![0; order.len()];
                for (place, &piece) in order.iter().enumerate() {
                    places[piece] = place + 1;
                }
                (Some(places), None)
            }
        };
        Scene { set, outline, spare: empty.collect(), posed, owner, pinned, order, ring }
    }

    fn use_of(&self, pocket: Vertex) -> Use {
        // While pieces are missing, nobody can say which pockets stay empty.
        match (self.pinned.contains(&pocket), self.posed.len() == self.set.pieces.len()) {
            (true, _) => Use::Used,
            (false, true) => Use::Empty,
            (false, false) => Use::Open,
        }
    }

    pub fn draw(&self, sheet: &mut Sheet, frame: &Frame, style: &Style, order: bool) {
        plate::draw(sheet, frame, self.outline, |v| self.use_of(v));
        for &cell in &self.spare {
            block::spare(sheet, "spare", frame.corner(cell), frame.pitch);
        }
        let mut pins: Vec<(Pin, Rgb)> = Vec::new();
        for (piece, posed) in &self.posed {
            let look: &PieceStyle = &style.pieces[*piece];
            sheet.open("piece");
            block::blocks(sheet, frame, posed, look, Marks { hatched: true, lettered: true, ruled: true });
            sheet.close();
            pins.extend(posed.pins.iter().map(|&pin| (pin, look.colour)));
        }
        block::borders(sheet, frame, &self.owner);
        plate::pockets(sheet, frame, self.outline, |v| self.use_of(v));
        block::hinges(sheet, frame, &pins, self.set.levels, 1.0);
        if let (Some(places), true) = (&self.order, order && self.posed.len() > 1) {
            for ((_, posed), &place) in self.posed.iter().zip(places) {
                // The uppermost block, the leftmost of those.
                let cell = posed.cells.iter().min_by_key(|c| (-c.y, c.x)).expect("a piece has a block");
                let (x, y) = frame.centre(*cell);
                block::order(sheet, "order", (x, y - 0.335 * frame.pitch), frame.pitch, place);
            }
        }
    }

    pub fn description(&self, folding: &Folding, style: &Style, order: bool, notes: &[String]) -> String {
        let look = |position: usize| &style.pieces[folding.placed[position].piece];
        let pieces: Vec<String> = (0..folding.placed.len())
            .map(|i| format!("{} {} ({})", look(i).letter, look(i).name, look(i).pattern.name()))
            .collect();
        let mut text = format!(
            "{} on {}: {}.",
            counted(folding.placed.len(), "piece"),
            counted(self.outline.cells().len(), "cell"),
            pieces.join(", ")
        );
        if let (Some(places), true) = (&self.order, order) {
            let mut sorted: Vec<usize> = (0..places.len()).collect();
            sorted.sort_by_key(|&i| places[i]);
            let letters: Vec<String> = sorted.into_iter().map(|i| look(i).letter.to_string()).collect();
            text += &format!(" Drop-in order: {}.", letters.join(", "));
        }
        for note in notes {
            text += " ";
            text += note;
        }
        text
    }
}
