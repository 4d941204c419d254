//! Writing a pack's order back: the names change places in the list, with the
//! remarks that stand behind them on lines of their own; nothing else moves.

use std::ops::Range;

use crate::outline_file::OutlineRecord;
use crate::pack::PackRecord;
use crate::project::{Project, SET_FILE};
use crate::set_file::SetFile;
use crate::source::Source;
use crate::whole_file::write_whole;
use crate::write::{WriteError, would_be_wrong};

impl Project {
    /// Puts the outlines of a pack in another order, in the file and here.
    ///
    /// # Errors
    /// Nothing is written if the project on the disk has mistakes, if the pack is
    /// no longer as this project has it, or if `order` does not have each of its
    /// outlines once.
    pub fn order_pack(&mut self, name: &str, order: &[String]) -> Result<(), WriteError> {
        let fresh = Project::read(&self.root).map_err(WriteError::Mistakes)?;
        let at = self.packs.iter().position(|p| p.name == name);
        let at = at.ok_or_else(|| WriteError::NoPack(name.to_owned()))?;
        if fresh.packs != self.packs {
            return Err(WriteError::ChangedSince(SET_FILE.to_owned()));
        }
        let sorted = |names: &[String]| {
            let mut names = names.to_vec();
            names.sort();
            names
        };
        if sorted(order) != sorted(&self.packs[at].outlines) {
            return Err(WriteError::NoOrder(name.to_owned()));
        }
        let path = self.root.join(SET_FILE);
        let source = Source::read(&path, SET_FILE).map_err(|mistake| would_be_wrong(*mistake))?;
        let known: Vec<String> = fresh.outlines.iter().map(|o: &OutlineRecord| o.name.clone()).collect();
        let (file, _) = SetFile::read(&source, &known);
        let stands: Vec<PackRecord> = file.packs.iter().map(|p| p.record.clone()).collect();
        if stands != self.packs {
            return Err(WriteError::ChangedSince(SET_FILE.to_owned()));
        }
        let text = reordered(&source, &file.packs[at].outlines, order);
        let mut wanted = fresh.clone();
        wanted.packs[at].outlines = order.to_vec();
        let read_back = SetFile::read(&Source::new(SET_FILE, text.clone()), &known);
        let shown: Vec<PackRecord> = read_back.0.packs.iter().map(|p| p.record.clone()).collect();
        let same = read_back.1.is_empty()
            && shown == wanted.packs
            && read_back.0.set.is_some_and(|(set, pieces)| set == fresh.set && pieces == fresh.pieces);
        assert!(same, "names that change places leave everything else as it was");
        if text != source.text {
            write_whole(&path, text.as_bytes(), true).map_err(|why| WriteError::Disk { path, why })?;
        }
        *self = wanted;
        Ok(())
    }
}

/// What stands behind an item on its line: the comma, and the remark with the
/// space before it.
struct Tail<'t> {
    range: Range<usize>,
    comma: &'t str,
    remark: &'t str,
}

/// The tail of an item, if nothing but a comma and a remark follows on its line.
fn tail<'t>(text: &'t str, item: &Range<usize>) -> Option<Tail<'t>> {
    let end = text[item.end..].find(['\r', '\n']).map_or(text.len(), |n| item.end + n);
    let all = &text[item.end..end];
    let after = all.trim_start();
    let (comma, rest) = match after.strip_prefix(',') {
        Some(rest) => (",", rest),
        None => ("", if after.len() == all.len() { after } else { all }),
    };
    let bare = rest.trim();
    (bare.is_empty() || bare.starts_with('#')).then(|| Tail {
        range: item.end..end,
        comma,
        remark: rest.trim_end(),
    })
}

fn reordered(source: &Source, items: &[(String, Range<usize>)], order: &[String]) -> String {
    let text = &source.text;
    // Remarks move only where every name has a line of its own.
    let lines: Vec<usize> = items.iter().map(|i| source.line_of(i.1.start)).collect();
    let own_lines = lines.windows(2).all(|w| w[0] < w[1]);
    let tails: Option<Vec<Tail<'_>>> = items.iter().map(|i| tail(text, &i.1)).collect();
    let tails = tails.filter(|_| own_lines && items.len() > 1);
    let mut result = text.clone();
    for (slot, name) in order.iter().enumerate().rev() {
        let from = items.iter().position(|i| i.0 == *name).expect("the order has the pack's outlines");
        let literal = &text[items[from].1.clone()];
        if let Some(tails) = &tails {
            let tail = format!("{}{}", tails[slot].comma, tails[from].remark);
            result.replace_range(tails[slot].range.clone(), &tail);
        }
        result.replace_range(items[slot].1.clone(), literal);
    }
    result
}
