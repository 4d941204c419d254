//! `[[pack]]`: outlines published together, in order.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::fault::{Fault, LISTED};
use crate::limits;
use crate::names::{folded, nearest};
use crate::reader::{Page, Table};

/// Outlines published together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PackRecord {
    /// Its name, fit for a file name.
    pub name: String,
    /// The names of its outlines, in order.
    pub outlines: Vec<String>,
    /// Who it is for, in words.
    pub audience: Option<String>,
}

/// A pack as read: whether its outlines exist shows only when all are read.
pub(crate) struct PackFile {
    pub(crate) record: PackRecord,
    outlines: Vec<(String, Range<usize>)>,
}

impl PackFile {
    /// `earlier`: the names of the packs above, folded.
    pub(crate) fn read(mut table: Table, page: &mut Page, earlier: &mut BTreeSet<String>) -> Self {
        let item = table.required(page, "name", "name = \"first-harbour\"");
        let name = item.as_ref().and_then(|i| i.name(page, "pack", "name = \"first-harbour\""));
        if let (Some(name), Some(item)) = (&name, &item)
            && !earlier.insert(folded(name))
        {
            let by = "a pack above".to_owned();
            page.fault(item.span(), Fault::Taken { what: "name", found: name.clone(), by });
        }
        let example = "outlines = [\"tug\"]";
        let list = table.required(page, "outlines", example);
        let mut outlines: Vec<(String, Range<usize>)> = Vec::new();
        if let Some((item, names)) = list.and_then(|item| item.list(page, example).map(|n| (item, n))) {
            if names.is_empty() {
                page.fault(item.span(), Fault::EmptyPack);
            }
            if names.len() > limits::OUTLINES {
                let fault = Fault::PackTooLarge { found: names.len(), limit: limits::OUTLINES };
                page.fault(item.span(), fault);
            }
            for name in names.iter().take(limits::OUTLINES) {
                if let Some(text) = name.text(page, example) {
                    outlines.push((text.to_owned(), name.span()));
                }
            }
        }
        let audience = table.optional("audience").and_then(|i| i.title(page, "audience = \"beginners\""));
        table.close(page);
        let names = outlines.iter().map(|o| o.0.clone()).collect();
        PackFile {
            record: PackRecord { name: name.unwrap_or_default(), outlines: names, audience },
            outlines,
        }
    }

    /// Puts outlines that are not among `known`, or named twice, on the page.
    pub(crate) fn check(&self, page: &mut Page, known: &[String]) {
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        for (name, span) in &self.outlines {
            if page.is_full() {
                return;
            }
            let again = !seen.insert(name);
            if known.binary_search(name).is_err() {
                let fault = Fault::NoOutline {
                    found: name.chars().take(limits::NAME).collect(),
                    nearest: nearest(name, known.iter().map(String::as_str)).map(str::to_owned),
                    known: known.iter().take(LISTED + 1).cloned().collect(),
                };
                page.fault(span.clone(), fault);
            } else if again {
                page.fault(span.clone(), Fault::OutlineTwice { found: name.clone() });
            }
        }
    }
}
