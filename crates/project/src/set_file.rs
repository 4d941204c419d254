//! `pinfold.toml`: the set, its pieces, sizes, printer and packs.

use std::collections::BTreeMap;

use lattice::Set;

use crate::board::Board;
use crate::compose::Compose;
use crate::fault::Fault;
use crate::limits;
use crate::names::folded;
use crate::pack::PackFile;
use crate::piece::{PieceFile, PieceRecord};
use crate::printer::Printer;
use crate::reader::{Page, Table};
use crate::rules::{Reach, Rules};
use crate::sizes::Sizes;
use crate::source::Source;
use crate::syntax::Parsed;

/// The set's file as read. What is wrong with it is in the mistakes beside it,
/// so what is missing here has been told.
pub(crate) struct SetFile {
    pub(crate) title: String,
    pub(crate) terms: Terms,
    pub(crate) rules: Rules,
    /// Blocks of all pieces, if every one of them is sound.
    pub(crate) blocks: Option<usize>,
    /// `None` while any piece or rule that shapes it is wrong.
    pub(crate) set: Option<(Set, Vec<PieceRecord>)>,
    pub(crate) sizes: Sizes,
    pub(crate) printer: Printer,
    pub(crate) board: Board,
    pub(crate) compose: Compose,
    pub(crate) packs: Vec<PackFile>,
}

/// Who made a set and what others may do with it, as said in the files made.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Terms {
    /// The designer.
    pub designer: Option<String>,
    /// The licence, by its name.
    pub licence: Option<String>,
}

/// `[set]`, each part by itself.
struct Head {
    title: String,
    terms: Terms,
    turn_over: Option<bool>,
    levels: Option<u8>,
    rules: Rules,
}

impl SetFile {
    /// Reads the file; its mistakes, those of its TOML included, come with it.
    /// `outlines`: the names of the outline files, sorted.
    pub(crate) fn read(source: &Source, outlines: &[String]) -> (SetFile, Vec<crate::report::Mistake>) {
        let mut parsed = Parsed::new(source);
        let mut page = Page::new(source);
        let sound = parsed.is_sound();
        let mut root = Table::new("pinfold.toml", 0..0, parsed.root.get_ref());
        let head = Head::read(&mut root, &mut page);
        let pieces = read_pieces(&mut root, &mut page, head.levels);
        let mut sizes = Sizes::default();
        if let Some(table) = section(&mut root, &mut page, "sizes") {
            sizes = Sizes::read(table, &mut page);
        }
        let mut printer = Printer::default();
        if let Some(table) = section(&mut root, &mut page, "printer") {
            printer = Printer::read(table, &mut page);
        }
        let mut board = Board::default();
        if let Some(table) = section(&mut root, &mut page, "board") {
            board = Board::read(table, &mut page);
        }
        let mut compose = Compose::default();
        if let Some(table) = section(&mut root, &mut page, "compose") {
            compose = Compose::read(table, &mut page);
        }
        let packs = read_packs(&mut root, &mut page, outlines);
        root.close(&mut page);
        let blocks = pieces.as_ref().and_then(|pieces| pieces.iter().map(PieceFile::blocks).sum());
        let blocks = Option::filter(blocks, |_| sound);
        let set = assemble(pieces, &head, &mut page).filter(|_| sound);
        let Head { title, terms, rules, .. } = head;
        let file = SetFile { title, terms, rules, blocks, set, sizes, printer, board, compose, packs };
        let found = page.mistakes;
        parsed.admit(found);
        (file, parsed.mistakes)
    }
}

impl Head {
    fn read(root: &mut Table, page: &mut Page) -> Head {
        let mut head = Head {
            title: String::new(),
            terms: Terms::default(),
            turn_over: Some(false),
            levels: Some(1),
            rules: Rules::default(),
        };
        let example = "a section [set] with title = \"Quayside\"";
        let Some(item) = root.required(page, "set", example) else { return head };
        let Some(mut table) = item.table(page, "[set]", "[set]") else { return head };
        if let Some(title) = table.required(page, "title", "title = \"Quayside\"") {
            head.title = title.title(page, "title = \"Quayside\"").unwrap_or_default();
        }
        for (key, into) in [("designer", &mut head.terms.designer), ("licence", &mut head.terms.licence)] {
            let example = format!("{key} = \"…\"");
            *into = table.optional(key).and_then(|item| item.title(page, &example));
        }
        if let Some(item) = table.optional("turn_over") {
            head.turn_over = item.flag(page);
        }
        if let Some(item) = table.optional("levels") {
            head.levels = item.integer(page, limits::LEVELS).map(|n| n as u8);
        }
        if let Some(item) = table.optional("interlocked") {
            head.rules.interlocked = item.flag(page).unwrap_or_default();
        }
        if let Some(item) = table.optional("reach") {
            head.rules.reach = item.choice(page, &Reach::WORDS).unwrap_or_default();
        }
        table.close(page);
        head
    }
}

fn section<'a>(root: &mut Table<'a>, page: &mut Page, key: &'static str) -> Option<Table<'a>> {
    let heading = format!("[{key}]");
    root.optional(key)?.table(page, &heading, &heading)
}

fn read_pieces(root: &mut Table, page: &mut Page, levels: Option<u8>) -> Option<Vec<PieceFile>> {
    let list = root.required(page, "piece", "a section [[piece]] for each piece")?;
    let items = list.list(page, "[[piece]], with two brackets on either side")?;
    if items.is_empty() {
        let example = "a section [[piece]] for each piece".into();
        page.fault(list.span(), Fault::Missing { holder: "the set".into(), key: "piece".into(), example });
        return None;
    }
    let mut pieces = Vec::new();
    let (mut blocks, mut copies, mut all_read) = (0, 0, true);
    for (nth, item) in items.iter().enumerate() {
        let Some(table) = item.table(page, "a piece", "[[piece]]") else {
            all_read = false;
            continue;
        };
        let piece = PieceFile::read(table, page, nth, levels);
        copies += piece.copies.unwrap_or(1);
        blocks += piece.blocks().unwrap_or(0);
        for (what, found, limit) in
            [("pieces", copies, limits::SET_PIECES), ("blocks", blocks, limits::SET_BLOCKS)]
        {
            if found > limit {
                page.fault(item.span(), Fault::SetTooLarge { what, found, limit });
                return None;
            }
        }
        pieces.push(piece);
    }
    all_read.then_some(pieces)
}

fn read_packs(root: &mut Table, page: &mut Page, outlines: &[String]) -> Vec<PackFile> {
    let mut packs: Vec<PackFile> = Vec::new();
    let mut names = Default::default();
    let Some(list) = root.optional("pack") else { return packs };
    let items = list.list(page, "[[pack]], with two brackets on either side").unwrap_or_default();
    if items.len() > limits::PACKS {
        page.fault(list.span(), Fault::TooManyPacks { found: items.len(), limit: limits::PACKS });
    }
    for item in items.iter().take(limits::PACKS) {
        if let Some(table) = item.table(page, "a pack", "[[pack]]") {
            let pack = PackFile::read(table, page, &mut names);
            pack.check(page, outlines);
            packs.push(pack);
        }
    }
    for pack in &packs {
        pack.check_within(page, &packs);
    }
    packs
}

/// The set of the pieces, copies expanded, if every one is sound and has a
/// name and a colour of its own.
fn assemble(pieces: Option<Vec<PieceFile>>, head: &Head, page: &mut Page) -> Option<(Set, Vec<PieceRecord>)> {
    let pieces = pieces?;
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    let mut sound = true;
    for (nth, piece) in pieces.iter().enumerate() {
        let Some((name, span)) = &piece.name else { continue };
        if let Some(&by) = first.get(&folded(name)) {
            let by = format!("the piece on line {}", page.source.line_of(pieces[by].span.start) + 1);
            page.fault(span.clone(), Fault::Taken { what: "name", found: name.clone(), by });
            sound = false;
        } else {
            first.insert(folded(name), nth);
        }
    }
    let (mut all, mut records) = (Vec::new(), Vec::new());
    for file in pieces {
        let (piece, (name, _), colour, copies) = (file.piece?, file.name?, file.colour?, file.copies?);
        let start = all.len();
        all.extend(std::iter::repeat_n(piece, copies));
        records.push(PieceRecord { name, colour, set: start..all.len() });
    }
    let set = Set { pieces: all, levels: head.levels?, turn_over: head.turn_over? };
    sound.then_some((set, records))
}
