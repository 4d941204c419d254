//! The numbers of outlines over all packs: each has one for ever, and a later
//! pack goes on where the last one ended.
//!
//! Packs are read in the file's order. A pack within another has that one's
//! outlines, so it brings no numbers of its own. An outline that two packs share
//! though neither is within the other would be sold twice: that is told, and so
//! is a number of a later pack that is not after those of the packs before it.

use std::collections::BTreeMap;

use project::{PackRecord, Project, Refusal};

/// What is wrong with the numbers.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NumberFault {
    /// An outline in two packs that are not one within the other.
    #[error(
        "the outline '{outline}' is in the packs '{first}' and '{second}', and neither is within the other"
    )]
    InTwoPacks {
        /// The outline.
        outline: String,
        /// The pack further up in the file.
        first: String,
        /// The other one.
        second: String,
    },
    /// A number of a later pack among those of an earlier one.
    #[error(
        "the outline '{outline}' of the pack '{pack}' has number {number}, but the packs above it go up to {last}"
    )]
    NotAfter {
        /// The outline.
        outline: String,
        /// Its pack.
        pack: String,
        /// Its number.
        number: u32,
        /// The highest number of the packs above.
        last: u32,
    },
    /// An outline without a number.
    #[error("the outline '{outline}' of the pack '{pack}' has no number yet")]
    None {
        /// The outline.
        outline: String,
        /// Its pack.
        pack: String,
        /// The number that it gets.
        next: u32,
    },
}

impl NumberFault {
    /// Where in the project it stands, and what would be right.
    pub fn refusal(&self) -> Refusal {
        let (outline, keys, mend) = match self {
            NumberFault::InTwoPacks { second, first, .. } => (
                None,
                vec![("pack", "")],
                format!("take it out of one of them, or set within = \"{first}\" in '{second}'"),
            ),
            NumberFault::NotAfter { outline, last, .. } => (
                Some(outline.clone()),
                vec![("", "number")],
                format!("give it a number above {last}, or let its pack stand further up"),
            ),
            NumberFault::None { outline, next, .. } => (
                Some(outline.clone()),
                vec![("", "title")],
                format!("add number = {next}; `pinfold pack NAME --number` does it for the whole pack"),
            ),
        };
        Refusal { outline, keys, message: self.to_string(), mend }
    }
}

/// The packs that bring numbers: those that are within no other.
fn outer(project: &Project) -> impl Iterator<Item = &PackRecord> {
    project.packs.iter().filter(|p| p.within.is_none())
}

/// The number of each outline of all packs, by name.
///
/// # Errors
/// Every fault, in the order of the file.
pub fn numbers(project: &Project) -> Result<BTreeMap<&str, u32>, Vec<NumberFault>> {
    let mut faults = Vec::new();
    let mut numbers: BTreeMap<&str, u32> = BTreeMap::new();
    let mut owner: BTreeMap<&str, &str> = BTreeMap::new();
    let mut last = 0;
    let mut next = project.outlines.iter().filter_map(|o| o.number).max().unwrap_or(0);
    for pack in outer(project) {
        let mut highest = last;
        for name in &pack.outlines {
            if let Some(first) = owner.get(name.as_str()) {
                faults.push(NumberFault::InTwoPacks {
                    outline: name.clone(),
                    first: (*first).to_owned(),
                    second: pack.name.clone(),
                });
                continue;
            }
            owner.insert(name, &pack.name);
            let record = project.outline(name).expect("a pack's outlines exist");
            match record.number {
                None => {
                    next += 1;
                    let (outline, pack) = (name.clone(), pack.name.clone());
                    faults.push(NumberFault::None { outline, pack, next });
                }
                Some(number) => {
                    if number <= last {
                        let (outline, pack) = (name.clone(), pack.name.clone());
                        faults.push(NumberFault::NotAfter { outline, pack, number, last });
                    }
                    highest = highest.max(number);
                    numbers.insert(name, number);
                }
            }
        }
        last = highest;
    }
    if faults.is_empty() { Ok(numbers) } else { Err(faults) }
}

/// The outlines of packs that have no number, with the one each gets, in the
/// order of the file: after every number that is taken.
pub fn unnumbered(project: &Project) -> Vec<(String, u32)> {
    let faults = numbers(project).err().unwrap_or_default();
    let none = |fault| match fault {
        NumberFault::None { outline, next, .. } => Some((outline, next)),
        _ => None,
    };
    faults.into_iter().filter_map(none).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fs;

    /// A project with outlines of given numbers, and packs.
    fn project(outlines: &[(&str, Option<u32>)], packs: &str) -> (tempfile::TempDir, Project) {
        let folder = tempfile::tempdir().unwrap();
        let text = "[set]\ntitle = \"Q\"\n[[piece]]\nname = \"a\"\ncolour = \"#0072B2\"\nblocks = [[0, 0]]\n";
        fs::write(folder.path().join("pinfold.toml"), format!("{text}{packs}")).unwrap();
        fs::create_dir(folder.path().join("outlines")).unwrap();
        for (name, number) in outlines {
            let number = number.map_or(String::new(), |n| format!("number = {n}\n"));
            let text = format!("title = \"{name}\"\n{number}drawing = \"\"\"\n+ +\n #\n+ +\n\"\"\"\n");
            fs::write(folder.path().join(format!("outlines/{name}.toml")), text).unwrap();
        }
        let project = Project::read(folder.path()).unwrap_or_else(|report| panic!("{report}"));
        (folder, project)
    }

    const FOUR: [(&str, Option<u32>); 4] =
        [("crab", Some(1)), ("gull", Some(2)), ("skate", Some(3)), ("tug", Some(4))];

    #[test]
    fn a_pack_within_another_keeps_the_numbers_and_a_later_one_goes_on() {
        let packs = "[[pack]]\nname = \"free\"\nwithin = \"all\"\noutlines = [\"gull\"]\n\
                     [[pack]]\nname = \"all\"\noutlines = [\"gull\", \"crab\"]\n\
                     [[pack]]\nname = \"later\"\noutlines = [\"tug\", \"skate\"]\n";
        let (_folder, project) = project(&FOUR, packs);
        let all: Vec<_> = numbers(&project).unwrap().into_iter().collect();
        assert_eq!(all, [("crab", 1), ("gull", 2), ("skate", 3), ("tug", 4)]);
    }

    #[test]
    fn a_number_from_before_and_an_outline_in_two_packs_are_told() {
        let packs = "[[pack]]\nname = \"all\"\noutlines = [\"gull\", \"skate\"]\n\
                     [[pack]]\nname = \"later\"\noutlines = [\"tug\", \"crab\", \"skate\"]\n";
        let (_folder, project) = project(&FOUR, packs);
        let faults = numbers(&project).unwrap_err();
        let not_after =
            NumberFault::NotAfter { outline: "crab".into(), pack: "later".into(), number: 1, last: 3 };
        let twice =
            NumberFault::InTwoPacks { outline: "skate".into(), first: "all".into(), second: "later".into() };
        assert_eq!(faults, [not_after, twice]);
    }

    #[test]
    fn outlines_without_a_number_get_the_next_ones_in_the_order_of_the_file() {
        let outlines = [("crab", None), ("gull", Some(5)), ("skate", None), ("tug", Some(2))];
        let packs = "[[pack]]\nname = \"all\"\noutlines = [\"tug\", \"skate\", \"crab\"]\n";
        let (_folder, project) = project(&outlines, packs);
        assert_eq!(unnumbered(&project), [("skate".to_owned(), 6), ("crab".to_owned(), 7)]);
        assert_eq!(numbers(&project).unwrap_err().len(), 2);
    }
}
