//! Writing pieces back: `[[piece]]` tables changed, added and taken out, with
//! every comment and every other byte of `pinfold.toml` as it was.

use std::ops::Range;

use lattice::{Cell, Hinge, Piece};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::array_text::{Entry, entries, spliced};
use crate::colour::Colour;
use crate::fault::Fault;
use crate::limits;
use crate::project::{Project, SET_FILE, file_name};
use crate::report::{Mistake, Report};
use crate::set_file::SetFile;
use crate::source::Source;
use crate::whole_file::write_whole;
use crate::write::{WriteError, string, would_be_wrong};

/// A piece as it is to be, sound or not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceDraft {
    /// Its name, fit for a file name.
    pub name: String,
    /// Its colour.
    pub colour: Colour,
    /// How often the set has it.
    pub copies: usize,
    /// Whether all its blocks are one solid body.
    pub rigid: bool,
    /// The cells of its blocks at home.
    pub blocks: Vec<Cell>,
    /// Its hinges at home.
    pub hinges: Vec<Hinge>,
}

impl Project {
    /// The pieces as drafts, in the file's order.
    pub fn drafts(&self) -> Vec<PieceDraft> {
        let draft = |record: &crate::PieceRecord| {
            let piece: &Piece = &self.set.pieces[record.set.start];
            PieceDraft {
                name: record.name.clone(),
                colour: record.colour,
                copies: record.copies(),
                rigid: piece.is_rigid(),
                blocks: piece.blocks().to_vec(),
                hinges: piece.hinges().to_vec(),
            }
        };
        self.pieces.iter().map(draft).collect()
    }

    /// Makes the set's pieces these: those of a name that is there are changed in
    /// their place, others are added after the last one, and what is not among
    /// them is taken out.
    ///
    /// # Errors
    /// Nothing is written if the project on the disk has mistakes, if its pieces
    /// are no longer as this project has them, or if the result would be wrong,
    /// be it that an outline no longer has as many cells as the set has blocks.
    pub fn change_pieces(&mut self, wanted: &[PieceDraft]) -> Result<(), WriteError> {
        let fresh = Project::read(&self.root).map_err(WriteError::Mistakes)?;
        if fresh.drafts() != self.drafts() {
            return Err(WriteError::ChangedSince(SET_FILE.to_owned()));
        }
        let path = self.root.join(SET_FILE);
        let source = Source::read(&path, SET_FILE).map_err(|mistake| would_be_wrong(*mistake))?;
        let text = changed(&source, &fresh.drafts(), wanted)?;
        fresh.judge_pieces(&text, wanted)?;
        if text != source.text {
            write_whole(&path, text.as_bytes(), true).map_err(|why| WriteError::Disk { path, why })?;
        }
        *self = Project::read(&self.root).map_err(WriteError::Mistakes)?;
        Ok(())
    }

    /// Whether a new text of the set's file is sound, goes with the outlines, and
    /// shows what was wanted.
    fn judge_pieces(&self, text: &str, wanted: &[PieceDraft]) -> Result<(), WriteError> {
        let source = Source::new(SET_FILE, text.to_owned());
        let names: Vec<String> = self.outlines.iter().map(|o| o.name.clone()).collect();
        let (file, mut mistakes) = SetFile::read(&source, &names);
        if let Some(blocks) = file.blocks {
            for outline in &self.outlines {
                let (cells, spare) = (outline.outline.cells().len(), outline.outline.spare());
                if cells != blocks + spare {
                    let fault = Fault::Area { cells, blocks, spare };
                    mistakes.push(Mistake { file: file_name(&outline.name), place: None, fault });
                }
            }
        }
        if let Some(report) = Report::of(mistakes) {
            return Err(WriteError::WouldBeWrong(report));
        }
        let (set, pieces) = file.set.expect("a file without a mistake has its set");
        let shown = Project { set, pieces, ..self.clone() }.drafts();
        let same = |draft: &PieceDraft| shown.contains(draft);
        if shown.len() == wanted.len() && wanted.iter().all(same) {
            return Ok(());
        }
        let message = "the pieces are written in a way that cannot be changed from here".to_owned();
        Err(refused(message, "change pinfold.toml by hand"))
    }
}

fn refused(message: String, mend: &str) -> WriteError {
    let fault = Fault::Refused { message, mend: mend.to_owned() };
    would_be_wrong(Mistake { file: SET_FILE.to_owned(), place: None, fault })
}

type Table<'a> = Spanned<DeValue<'a>>;

/// The file's text with its pieces changed.
fn changed(source: &Source, old: &[PieceDraft], wanted: &[PieceDraft]) -> Result<String, WriteError> {
    for draft in wanted {
        let (found, limit) = (draft.blocks.len().max(draft.hinges.len()), limits::PIECE_PARTS);
        if found > limit {
            let piece = format!("piece '{}'", draft.name);
            let fault = Fault::PieceTooLarge { piece, what: "blocks or hinges", found, limit };
            return Err(would_be_wrong(Mistake { file: SET_FILE.to_owned(), place: None, fault }));
        }
    }
    let text = &source.text;
    let (root, _) = DeTable::parse_recoverable(text);
    let tables: Vec<&Table> = match root.get_ref().get("piece").map(Spanned::get_ref) {
        Some(DeValue::Array(list)) => list.iter().collect(),
        _ => Vec::new(),
    };
    if tables.len() != old.len() || tables.iter().any(|t| !text[t.span()].starts_with("[[")) {
        let message = "the pieces do not stand as [[piece]] tables".to_owned();
        return Err(refused(message, "write each piece as a table of its own, under [[piece]]"));
    }
    let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let mut splices: Vec<(Range<usize>, String)> = Vec::new();
    for (table, old) in tables.iter().zip(old) {
        match wanted.iter().find(|w| w.name == old.name) {
            Some(new) => change(text, table, old, new, newline, &mut splices),
            None => splices.push((whole_table(text, table), String::new())),
        }
    }
    let end = tables.last().map_or(text.len(), |table| whole_table(text, table).end);
    let mut added = String::new();
    for new in wanted.iter().filter(|w| !old.iter().any(|o| o.name == w.name)) {
        added += newline;
        added += &printed(new).replace('\n', newline);
    }
    if !added.is_empty() {
        let open = if text[..end].ends_with('\n') { "" } else { newline };
        splices.push((end..end, format!("{open}{added}")));
    }
    // Of two at one place, the one that takes something out goes first.
    splices.sort_by_key(|s| (s.0.start, s.0.end));
    let mut result = text.clone();
    for (span, new) in splices.into_iter().rev() {
        result.replace_range(span, &new);
    }
    Ok(result)
}

fn value<'a>(table: &'a Table<'a>, key: &str) -> Option<&'a Table<'a>> {
    match table.get_ref() {
        DeValue::Table(entries) => entries.get(key),
        _ => None,
    }
}

/// From the heading of a table to the end of the line that its last value ends on.
fn whole_table(text: &str, table: &Table) -> Range<usize> {
    let mut end = table.span().end;
    if let DeValue::Table(entries) = table.get_ref() {
        end = entries.iter().map(|(_, v)| v.span().end).max().unwrap_or(end).max(end);
    }
    let start = text[..table.span().start].rfind('\n').map_or(0, |i| i + 1);
    start..line_end(text, end)
}

/// The start of the line after the one that a byte is on.
fn line_end(text: &str, at: usize) -> usize {
    text[at..].find('\n').map_or(text.len(), |i| at + i + 1)
}

fn change(
    text: &str,
    table: &Table,
    old: &PieceDraft,
    new: &PieceDraft,
    newline: &str,
    splices: &mut Vec<(Range<usize>, String)>,
) {
    let mut put = |key: &str, after: &str, is_changed: bool, written: &str| {
        if !is_changed {
            return;
        }
        match (value(table, key), value(table, after)) {
            (Some(there), _) => splices.push((there.span(), written.to_owned())),
            (None, Some(before)) => {
                let at = line_end(text, before.span().end);
                let open = if text[..at].ends_with('\n') { "" } else { newline };
                splices.push((at..at, format!("{open}{key} = {written}{newline}")));
            }
            (None, None) => {}
        }
    };
    put("colour", "name", old.colour != new.colour, &string(&new.colour.to_string()));
    put("copies", "name", old.copies != new.copies, &new.copies.to_string());
    put("rigid", "blocks", old.rigid != new.rigid, if new.rigid { "true" } else { "false" });
    let blocks = list(text, value(table, "blocks"), entries(&old.blocks, &new.blocks, |&b| block(b)));
    put("blocks", "name", old.blocks != new.blocks, &blocks);
    let hinges = list(text, value(table, "hinges"), entries(&old.hinges, &new.hinges, hinge));
    put("hinges", "blocks", old.hinges != new.hinges, &hinges);
}

fn list(text: &str, there: Option<&Table>, entries: Vec<Entry>) -> String {
    match there.map(|t| (t.span(), t.get_ref())) {
        Some((whole, DeValue::Array(items))) => {
            let items: Vec<Range<usize>> = items.iter().map(Spanned::span).collect();
            spliced(text, whole, &items, &entries)
        }
        _ => spliced("[\n]", 0..3, &[], &entries),
    }
}

fn block(cell: Cell) -> String {
    format!("[{}, {}]", cell.x, cell.y)
}

fn hinge(hinge: &Hinge) -> String {
    let ([a, b], at) = (hinge.joins, hinge.pin);
    format!("{{ pin = [{}, {}], joins = [{a}, {b}], level = {} }}", at.x, at.y, hinge.level.0)
}

fn printed(new: &PieceDraft) -> String {
    let mut text =
        format!("[[piece]]\nname = {}\ncolour = {}\n", string(&new.name), string(&new.colour.to_string()));
    if new.copies != 1 {
        text += &format!("copies = {}\n", new.copies);
    }
    if new.rigid {
        text += "rigid = true\n";
    }
    let blocks: Vec<String> = new.blocks.iter().map(|&b| block(b)).collect();
    text += &format!("blocks = [{}]\n", blocks.join(", "));
    if !new.hinges.is_empty() {
        let hinges: String = new.hinges.iter().map(|h| format!("  {},\n", hinge(h))).collect();
        text += &format!("hinges = [\n{hinges}]\n");
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use lattice::{Level, Vertex};
    use std::fs;

    const SET: &str = "\
# ours
[set]
title = \"Quay\"
levels = 2   # two storeys

# the first
[[piece]]
name = \"cleat\"   # on the quay
colour = \"#0072B2\"
blocks = [[0, 0], [1, 0]]
hinges = [
  { pin = [1, 1], joins = [0, 1], level = 0 },  # upper corner
]

# the second
[[piece]]
name = \"bollard\"
colour = \"#E69F00\"
blocks = [[0, 0]]

[sizes]
pitch = 10
";

    fn project(text: &str) -> (tempfile::TempDir, Project) {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join(SET_FILE), text).unwrap();
        fs::create_dir(dir.path().join("outlines")).unwrap();
        fs::write(
            dir.path().join("outlines/bar.toml"),
            "title = \"Bar\"\ndrawing = \"\"\"\n+ + + +\n # # #\n+ + + +\n\"\"\"\n",
        )
        .unwrap();
        let project = Project::read(dir.path()).unwrap();
        (dir, project)
    }

    fn text(dir: &tempfile::TempDir) -> String {
        fs::read_to_string(dir.path().join(SET_FILE)).unwrap()
    }

    #[test]
    fn a_moved_hinge_changes_its_own_bytes_only() {
        let (dir, mut project) = project(SET);
        let mut drafts = project.drafts();
        drafts[0].hinges[0].pin = Vertex::new(1, 0);
        drafts[0].hinges[0].level = Level(1);
        drafts[1].colour = drafts[0].colour;
        project.change_pieces(&drafts).unwrap();
        let wanted = SET
            .replace(
                "{ pin = [1, 1], joins = [0, 1], level = 0 }",
                "{ pin = [1, 0], joins = [0, 1], level = 1 }",
            )
            .replace("#E69F00", "#0072B2");
        assert_eq!(text(&dir), wanted);
        assert_eq!(project.drafts(), drafts);
    }

    #[test]
    fn a_piece_is_added_and_one_taken_out() {
        let (dir, mut project) = project(SET);
        let mut drafts = project.drafts();
        drafts[1] = PieceDraft { name: "buoy".into(), ..drafts[1].clone() };
        project.change_pieces(&drafts).unwrap();
        let shown = text(&dir);
        assert!(shown.contains("# the first\n") && shown.contains("# the second\n"), "{shown}");
        assert!(!shown.contains("bollard") && shown.contains("name = \"buoy\""), "{shown}");
        assert!(shown.ends_with("[sizes]\npitch = 10\n"), "{shown}");
        assert_eq!(project.drafts(), drafts);
    }

    #[test]
    fn a_block_goes_from_one_piece_to_the_other() {
        let (_dir, mut project) = project(SET);
        let mut drafts = project.drafts();
        drafts[0].blocks.pop();
        drafts[0].hinges.clear();
        drafts[1].blocks.push(Cell::new(1, 0));
        drafts[1].hinges.push(Hinge { pin: Vertex::new(1, 1), joins: [0, 1], level: Level(0) });
        project.change_pieces(&drafts).unwrap();
        assert_eq!(project.drafts(), drafts);
    }

    #[test]
    fn what_would_be_wrong_is_told_and_not_written() {
        let (dir, mut project) = project(SET);
        let mut drafts = project.drafts();
        drafts[1].blocks.push(Cell::new(1, 0));
        let WriteError::WouldBeWrong(report) = project.change_pieces(&drafts).unwrap_err() else { panic!() };
        assert!(report.to_string().contains("not tied to block 0"), "{report}");
        drafts[1].rigid = true;
        let WriteError::WouldBeWrong(report) = project.change_pieces(&drafts).unwrap_err() else { panic!() };
        assert!(report.to_string().contains("has 3 cells, but the set has 4 blocks"), "{report}");
        assert_eq!(text(&dir), SET);
        fs::write(dir.path().join(SET_FILE), SET.replace("#E69F00", "#E69F01")).unwrap();
        let drafts = project.drafts();
        assert!(matches!(project.change_pieces(&drafts), Err(WriteError::ChangedSince(_))));
    }
}
