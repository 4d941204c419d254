//! `[[piece]]`: one piece, its copies and its colour; each fault of its drawing
//! at the very block, hinge, pin or number that has it.

use std::ops::Range;

use lattice::{Cell, Hinge, Level, Piece, PieceError, Vertex};

use crate::colour::Colour;
use crate::fault::Fault;
use crate::limits;
use crate::reader::{Item, Page, Table};

const BLOCKS: &str = "blocks = [[0, 0], [1, 0]]";
const HINGES: &str = "hinges = [{ pin = [1, 1], joins = [0, 1] }]";

/// A piece as the file has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceRecord {
    /// Its name, fit for a file name.
    pub name: String,
    /// Its colour.
    pub colour: Colour,
    /// Where its copies stand in the set's pieces, one after the other.
    pub set: Range<usize>,
}

impl PieceRecord {
    /// How often the set has it.
    pub fn copies(&self) -> usize {
        self.set.len()
    }
}

/// A piece as read; what could not be read is missing.
pub(crate) struct PieceFile {
    pub(crate) name: Option<(String, Range<usize>)>,
    pub(crate) colour: Option<Colour>,
    pub(crate) copies: Option<usize>,
    pub(crate) piece: Option<Piece>,
    pub(crate) span: Range<usize>,
}

/// A hinge as read, with the spans of its parts.
struct HingeFile {
    /// Its position in the file, which counts also those that could not be read.
    position: usize,
    hinge: Hinge,
    whole: Range<usize>,
    pin: Range<usize>,
    joins: [Range<usize>; 2],
    both: Range<usize>,
    level: Option<Range<usize>>,
}

impl PieceFile {
    /// Blocks of all its copies, if that is known.
    pub(crate) fn blocks(&self) -> Option<usize> {
        Some(self.copies? * self.piece.as_ref()?.blocks().len())
    }

    /// `nth` counts pieces from 0, `levels` is the set's, if that could be read.
    pub(crate) fn read(mut table: Table, page: &mut Page, nth: usize, levels: Option<u8>) -> Self {
        table.holder = format!("piece {}", nth + 1);
        let name = table.required(page, "name", "name = \"cleat\"").and_then(|item| {
            let name = item.name(page, "piece", "name = \"cleat\"")?;
            Some((name, item.span()))
        });
        if let Some((name, _)) = &name {
            table.holder = format!("piece '{name}'");
        }
        let colour = table.required(page, "colour", "colour = \"#0072B2\"").and_then(|i| colour(&i, page));
        let copies = table.optional("copies").map_or(Some(1), |i| i.integer(page, limits::COPIES));
        let rigid = table.optional("rigid").map(|i| i.flag(page));
        let blocks =
            table.required(page, "blocks", BLOCKS).and_then(|i| read_blocks(&i, page, &table.holder));
        let hinges = table.optional("hinges");
        let hinges = hinges.map_or(Some((Vec::new(), true)), |i| read_hinges(&i, page, &table.holder));
        let (holder, span) = (table.holder.clone(), table.span.clone());
        table.close(page);
        let mut piece = None;
        if let (Some((cells, blocks_span, spans)), Some((hinges, all_read))) = (blocks, hinges) {
            let sound = hinges.iter().all(|h| level_fits(h, page, &holder, levels));
            // A word that is no flag leaves open what the piece is.
            if let Some(rigid) = rigid.unwrap_or(Some(false)) {
                let drawing = Drawing { holder, cells, blocks_span, spans, hinges, all_read, rigid };
                piece = drawing.check(page).filter(|_| sound);
            }
        }
        PieceFile { name, colour, copies: copies.map(|n| n as usize), piece, span }
    }
}

fn colour(item: &Item, page: &mut Page) -> Option<Colour> {
    let text = item.text(page, "colour = \"#0072B2\"")?;
    let colour = Colour::parse(text);
    if colour.is_none() {
        page.fault(item.span(), Fault::Colour { found: text.chars().take(limits::NAME).collect() });
    }
    colour
}

type Blocks = (Vec<Cell>, Range<usize>, Vec<Range<usize>>);

/// The blocks with their spans, if every one could be read.
fn read_blocks(item: &Item, page: &mut Page, holder: &str) -> Option<Blocks> {
    let list = item.list(page, BLOCKS)?;
    if too_many(&list, "blocks", item, page, holder) {
        return None;
    }
    let read: Vec<Option<Cell>> = list
        .iter()
        .map(|block| {
            let [x, y] = block.pair(page, limits::COORDINATE, "a block at [column, row]: [2, 1]")?;
            Some(Cell::new(x.0 as i32, y.0 as i32))
        })
        .collect();
    let spans = list.iter().map(Item::span).collect();
    Some((read.into_iter().collect::<Option<_>>()?, item.span(), spans))
}

/// The hinges that could be read, and whether that is all of them.
fn read_hinges(item: &Item, page: &mut Page, holder: &str) -> Option<(Vec<HingeFile>, bool)> {
    let list = item.list(page, HINGES)?;
    if too_many(&list, "hinges", item, page, holder) {
        return None;
    }
    let read: Vec<Option<HingeFile>> =
        list.iter().enumerate().map(|(h, hinge)| read_hinge(hinge, page, holder, h)).collect();
    let all = read.iter().all(Option::is_some);
    Some((read.into_iter().flatten().collect(), all))
}

fn too_many(list: &[Item], what: &'static str, item: &Item, page: &mut Page, holder: &str) -> bool {
    let (found, limit) = (list.len(), limits::PIECE_PARTS);
    if found > limit {
        page.fault(item.key_span.clone(), Fault::PieceTooLarge { piece: holder.into(), what, found, limit });
    }
    found > limit
}

fn read_hinge(item: &Item, page: &mut Page, holder: &str, position: usize) -> Option<HingeFile> {
    let mut table = item.table(page, &format!("hinge {position} of {holder}"), HINGES)?;
    let pin = table.required(page, "pin", "pin = [1, 1], the corner where it stands");
    let pin = pin.and_then(|pin| Some((pin.pair(page, limits::COORDINATE, "pin = [1, 1]")?, pin.span())));
    let joins = table.required(page, "joins", "joins = [0, 1], the blocks it ties, counted from 0");
    let joins =
        joins.and_then(|j| Some((j.pair(page, 0..=i64::from(i32::MAX), "joins = [0, 1]")?, j.span())));
    let level = table.optional("level");
    let level_span = level.as_ref().map(Item::span);
    let level = match level {
        Some(item) => item.integer(page, 0..=limits::LEVELS.end() - 1),
        None => Some(0),
    };
    table.close(page);
    let (([x, y], pin), ([a, b], both), level) = (pin?, joins?, level?);
    Some(HingeFile {
        position,
        hinge: Hinge {
            pin: Vertex::new(x.0 as i32, y.0 as i32),
            joins: [a.0 as usize, b.0 as usize],
            level: Level(level as u8),
        },
        whole: item.span(),
        pin,
        joins: [a.1, b.1],
        both,
        level: level_span,
    })
}

fn level_fits(hinge: &HingeFile, page: &mut Page, holder: &str, levels: Option<u8>) -> bool {
    let (Some(levels), Some(span)) = (levels, &hinge.level) else { return true };
    let level = hinge.hinge.level.0;
    if level >= levels {
        let fault = Fault::Level { piece: holder.into(), hinge: hinge.position, level, levels };
        page.fault(span.clone(), fault);
    }
    level < levels
}

/// A piece's drawing with the spans of its parts.
struct Drawing {
    holder: String,
    cells: Vec<Cell>,
    blocks_span: Range<usize>,
    spans: Vec<Range<usize>>,
    hinges: Vec<HingeFile>,
    all_read: bool,
    rigid: bool,
}

impl Drawing {
    /// The piece, or each of its faults on the page.
    fn check(self, page: &mut Page) -> Option<Piece> {
        let hinges: Vec<Hinge> = self.hinges.iter().map(|h| h.hinge).collect();
        let faults = Piece::faults(&self.cells, &hinges, self.rigid);
        let mut missed: Option<usize> = None;
        for error in &faults {
            match error {
                // Without the hinges that could not be read, blocks look loose.
                PieceError::NotConnected { .. } if !self.all_read => continue,
                // A pin that misses both blocks is one mistake.
                PieceError::PinOffCorner { hinge, .. } if missed == Some(*hinge) => continue,
                PieceError::PinOffCorner { hinge, .. } => missed = Some(*hinge),
                _ => {}
            }
            let (span, error, tied) = self.place(error);
            page.fault(span, Fault::Piece { piece: self.holder.clone(), error, tied });
        }
        if !faults.is_empty() || !self.all_read {
            return None;
        }
        let piece = if self.rigid { Piece::rigid(self.cells) } else { Piece::hinged(self.cells, hinges) };
        piece.ok()
    }

    /// Where a fault stands, the fault with its hinges counted as in the file,
    /// and the blocks that the hinge at fault joins.
    fn place(&self, error: &PieceError) -> (Range<usize>, PieceError, Option<[usize; 2]>) {
        let mut error = error.clone();
        let mut tied = None;
        let span = match &mut error {
            PieceError::NoBlocks => self.blocks_span.clone(),
            PieceError::SameCell { second: block, .. }
            | PieceError::NotConnected { block }
            | PieceError::RigidApart { block } => self.spans[*block].clone(),
            PieceError::NoSuchBlock { hinge, block, .. } => {
                let file = self.told(hinge);
                let item = usize::from(file.hinge.joins[0] != *block);
                file.joins[item].clone()
            }
            PieceError::JoinsItself { hinge, .. } => self.told(hinge).both.clone(),
            PieceError::PinOffCorner { hinge, .. } => {
                let file = self.told(hinge);
                tied = Some(file.hinge.joins);
                file.pin.clone()
            }
            PieceError::SamePin { first, second } => {
                self.told(first);
                self.told(second).pin.clone()
            }
            PieceError::HingeInRigid { hinge } => self.told(hinge).whole.clone(),
        };
        (span, error, tied)
    }

    /// The hinge at a position among those read; the position becomes the file's.
    fn told(&self, hinge: &mut usize) -> &HingeFile {
        let file = &self.hinges[*hinge];
        *hinge = file.position;
        file
    }
}
