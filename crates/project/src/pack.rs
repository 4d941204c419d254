//! `[[pack]]`: outlines published together, in order; packs within others.

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
    /// Those of them that keep their place when another order is proposed.
    pub fixed: Vec<String>,
    /// The pack that has all its outlines, too, if the maker says so: a free pack
    /// within the members' one.
    pub within: Option<String>,
    /// Who it is for, in words.
    pub audience: Option<String>,
    /// What it is called in print; else its name.
    pub title: Option<String>,
    /// Its version: one to three numbers with dots between them.
    pub version: String,
    /// What others may do with it, by the licence's SPDX identifier; else the set's.
    pub licence: Option<String>,
    /// Which parts it brings.
    pub parts: PackParts,
}

/// Which parts a pack brings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PackParts {
    /// Pieces, board, coupon, backing, and the plates of its outlines.
    #[default]
    All,
    /// The plates of its outlines alone: for whoever has the rest.
    Plates,
}

impl PackParts {
    const WORDS: [(&'static str, Self); 2] = [("all", PackParts::All), ("plates", PackParts::Plates)];
}

impl PackRecord {
    /// What it is called in print.
    pub fn printed(&self) -> &str {
        self.title.as_deref().unwrap_or(&self.name)
    }
}

/// The version of a pack that states none.
const FIRST_VERSION: &str = "1.0";

/// Whether a text is one to three numbers of up to four digits with dots between
/// them, none with a leading zero.
fn version_is_good(text: &str) -> bool {
    let number = |n: &str| {
        (1..=4).contains(&n.len())
            && n.bytes().all(|b| b.is_ascii_digit())
            && (n == "0" || !n.starts_with('0'))
    };
    text.split('.').count() <= 3 && text.split('.').all(number)
}

/// Whether a text has the shape of an SPDX identifier (SPDX specification 2.3,
/// annex D: letters, digits, `-` and `.`). Whether SPDX lists it is not looked up.
fn licence_is_good(text: &str) -> bool {
    let fits = |b: u8| b.is_ascii_alphanumeric() || b"-.".contains(&b);
    (1..=limits::NAME).contains(&text.len()) && text.bytes().all(fits)
}

/// A pack as read: whether its outlines exist shows only when all are read.
pub(crate) struct PackFile {
    pub(crate) record: PackRecord,
    /// The outlines and where they stand.
    pub(crate) outlines: Vec<(String, Range<usize>)>,
    fixed: Vec<(String, Range<usize>)>,
    within: Option<Range<usize>>,
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
        let example = "fixed = [\"tug\"]";
        let mut fixed = Vec::new();
        let list = table.optional("fixed").and_then(|i| i.list(page, example)).unwrap_or_default();
        for item in list.iter().take(limits::OUTLINES) {
            if let Some(text) = item.text(page, example) {
                fixed.push((text.to_owned(), item.span()));
            }
        }
        let example = "within = \"members\"";
        let within =
            table.optional("within").and_then(|i| Some((i.text(page, example)?.to_owned(), i.span())));
        let audience = table.optional("audience").and_then(|i| i.title(page, "audience = \"beginners\""));
        let title = table.optional("title").and_then(|i| i.title(page, "title = \"First tide\""));
        let mut worded = |key: &'static str, good: fn(&str) -> bool, fault: fn(String) -> Fault| {
            let item = table.optional(key)?;
            let text = item.text(page, &format!("{key} = \"…\""))?;
            if !good(text) {
                page.fault(item.span(), fault(text.chars().take(limits::NAME).collect()));
                return None;
            }
            Some(text.to_owned())
        };
        let version = worded("version", version_is_good, |found| Fault::Version { found });
        let licence = worded("licence", licence_is_good, |found| Fault::Licence { found });
        let parts = table.optional("parts").and_then(|i| i.choice(page, &PackParts::WORDS));
        table.close(page);
        let names = |list: &[(String, Range<usize>)]| list.iter().map(|o| o.0.clone()).collect();
        PackFile {
            record: PackRecord {
                name: name.unwrap_or_default(),
                outlines: names(&outlines),
                fixed: names(&fixed),
                within: within.as_ref().map(|w| w.0.clone()),
                audience,
                title,
                version: version.unwrap_or_else(|| FIRST_VERSION.to_owned()),
                licence,
                parts: parts.unwrap_or_default(),
            },
            outlines,
            fixed,
            within: within.map(|w| w.1),
        }
    }

    /// Puts outlines that are not among `known`, or named twice, on the page, and
    /// fixed ones that are not the pack's.
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
        let own = seen;
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        for (name, span) in &self.fixed {
            if page.is_full() {
                return;
            }
            if !own.contains(name.as_str()) {
                page.fault(span.clone(), self.not_in(name, &self.record));
            } else if !seen.insert(name) {
                page.fault(span.clone(), Fault::OutlineTwice { found: name.clone() });
            }
        }
    }

    /// The fault that an outline is not one of a pack.
    fn not_in(&self, name: &str, pack: &PackRecord) -> Fault {
        Fault::NotInPack {
            found: name.chars().take(limits::NAME).collect(),
            pack: pack.name.clone(),
            nearest: nearest(name, pack.outlines.iter().map(String::as_str)).map(str::to_owned),
        }
    }

    /// Puts it on the page if the pack that this one is within does not exist, is
    /// within this one, or lacks an outline of it.
    pub(crate) fn check_within(&self, page: &mut Page, all: &[PackFile]) {
        let (Some(name), Some(span)) = (&self.record.within, &self.within) else { return };
        let of_name = |name: &str| all.iter().find(|p| p.record.name == name);
        let Some(outer) = of_name(name) else {
            let known = all.iter().map(|p| p.record.name.as_str()).filter(|n| *n != self.record.name);
            let fault = Fault::NoPack {
                found: name.chars().take(limits::NAME).collect(),
                nearest: nearest(name, known.clone()).map(str::to_owned),
                known: known.take(LISTED + 1).map(str::to_owned).collect(),
            };
            page.fault(span.clone(), fault);
            return;
        };
        // At most as many steps out as there are packs, unless they go round.
        let mut out = Some(outer);
        for _ in 0..all.len() {
            match out {
                Some(pack) if pack.record.name == self.record.name => {
                    page.fault(span.clone(), Fault::PackRing { found: name.clone() });
                    return;
                }
                Some(pack) => out = pack.record.within.as_deref().and_then(of_name),
                None => break,
            }
        }
        let outlines: BTreeSet<&String> = outer.record.outlines.iter().collect();
        for (outline, span) in &self.outlines {
            if !outlines.contains(outline) && !page.is_full() {
                page.fault(span.clone(), self.not_in(outline, &outer.record));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_version_is_one_to_three_plain_numbers() {
        assert!(["1", "1.0", "0.1", "2026.11.25", "10.0.3"].into_iter().all(version_is_good));
        let wrong = ["", ".", "1.", ".1", "01", "1.00", "1.2.3.4", "1-2", "v1", "12345", "1.٣"];
        assert!(wrong.into_iter().all(|v| !version_is_good(v)), "{wrong:?}");
    }

    #[test]
    fn a_licence_has_the_shape_of_an_spdx_identifier() {
        assert!(["CC-BY-NC-SA-4.0", "MIT", "LicenseRef-quayside"].into_iter().all(licence_is_good));
        assert!(["", "free for all", "MIT/X", "CC_BY"].into_iter().all(|l| !licence_is_good(l)));
    }
}
