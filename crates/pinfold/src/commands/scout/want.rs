//! What the call asks for, read from its words; and what a catalogue is of, as
//! the text that stands in it.

use std::fmt::Write;
use std::str::FromStr;

use ::scout::outlines::{Holes, Joined, Symmetry, Wanted};
use clap::ValueEnum;
use serde_json::{Value, json};

use super::Scout;
use super::finds::Hunt;
use crate::answer::Failure;

/// The sides of a box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Boxed {
    pub(super) width: usize,
    pub(super) height: usize,
}

impl FromStr for Boxed {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let sides = text.split_once(['x', '×']).and_then(|(w, h)| Some((w.parse().ok()?, h.parse().ok()?)));
        sides
            .map(|(width, height)| Boxed { width, height })
            .ok_or_else(|| "give two sides in cells, such as 6x5".to_owned())
    }
}

/// Which share of a catalogue, counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Shard {
    pub(super) number: u32,
    pub(super) of: u32,
}

impl FromStr for Shard {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let parts = text.split_once('/').and_then(|(i, n)| Some((i.parse().ok()?, n.parse().ok()?)));
        let parts = parts.map(|(number, of)| Shard { number, of });
        parts
            .filter(|s| s.number >= 1 && s.number <= s.of)
            .ok_or_else(|| "give a number from 1 on and how many there are, such as 3/8".to_owned())
    }
}

/// How cells hang together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Hang {
    /// By whole sides
    Sides,
    /// By sides or corners
    Corners,
}

/// What there may be inside an outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Inside {
    /// No wall that is cut off or hangs by a corner
    None,
    /// Wall that hangs by a corner, but none that is cut off
    Corner,
    /// Any
    Any,
}

/// What is wanted from nothing.
pub(super) fn wanted(args: &Scout, within: Boxed, cells: usize, turn_over: bool) -> Result<Wanted, Failure> {
    let mut symmetries = Vec::new();
    for word in &args.symmetry {
        let known: Symmetry = word.parse().map_err(|e: ::scout::outlines::UnknownSymmetry| {
            Failure::plain(format_args!("--symmetry: {e}"), "leave --symmetry out for all of them")
        })?;
        symmetries.push(known);
    }
    symmetries.sort_unstable();
    symmetries.dedup();
    let all = Wanted::new(cells, within.width, within.height);
    Ok(Wanted {
        joined: match args.joined {
            Hang::Sides => Joined::Sides,
            Hang::Corners => Joined::SidesOrCorners,
        },
        holes: match args.holes {
            Inside::None => Holes::None,
            Inside::Corner => Holes::HungByCorners,
            Inside::Any => Holes::Allowed,
        },
        symmetries: if symmetries.is_empty() { all.symmetries.clone() } else { symmetries },
        mirrors_as_one: turn_over,
        ..all
    })
}

/// What a catalogue is of: the set by what its pieces can become, the want, and
/// how it is cut into parts. Equal texts are equal catalogues.
pub(super) struct About<'a> {
    pub(super) hunt: &'a Hunt<'a>,
    pub(super) wanted: &'a Wanted,
    /// How many to draw, and the seed.
    pub(super) sample: Option<(u64, u64)>,
    /// Places in all.
    pub(super) places: u64,
    /// Places of a part.
    pub(super) part: u64,
}

impl About<'_> {
    pub(super) fn json(&self) -> Value {
        let Wanted { cells, width, height, joined, holes, symmetries, mirrors_as_one } = self.wanted;
        let project = &self.hunt.project;
        json!({
            "catalogue": "outlines",
            "program": env!("CARGO_PKG_VERSION"),
            "set": {
                "fingerprint": fingerprint(self.hunt),
                "cells": cells,
                "levels": project.set.levels,
                "turn_over": project.set.turn_over,
                "reach": project.rules.reach.word(),
                "interlocked": project.rules.interlocked,
            },
            "want": {
                "box": format!("{width}x{height}"),
                "joined": match joined { Joined::Sides => "sides", Joined::SidesOrCorners => "corners" },
                "holes": match holes {
                    Holes::None => "none", Holes::HungByCorners => "corner", Holes::Allowed => "any",
                },
                "symmetry": symmetries.iter().map(|s| s.name()).collect::<Vec<_>>().join(" "),
                "mirrors_as_one": mirrors_as_one,
                "sample": self.sample.map(|(outlines, seed)| json!({ "outlines": outlines, "seed": seed })),
            },
            "pictures": self.hunt.pictures.as_ref().map(|pictures| &pictures.fingerprint[..]),
            "thorough": self.hunt.args.thorough(),
            "limit": self.hunt.args.limit,
            "places": self.places,
            "places_a_part": self.part,
        })
    }
}

/// The set by what its pieces can become: names, colours, sizes and the order of
/// its pieces do not matter. SHA-256 in hexadecimal.
fn fingerprint(hunt: &Hunt<'_>) -> String {
    let mut classes: Vec<String> = hunt
        .classes
        .iter()
        .map(|class| {
            let mut folds: Vec<String> = class
                .folds
                .folds()
                .iter()
                .map(|fold| {
                    let mut told = String::new();
                    for cell in &fold.cells {
                        let _ = write!(told, "{} {},", cell.x, cell.y);
                    }
                    for pin in &fold.pins {
                        let _ = write!(told, "{} {} {};", pin.at.x, pin.at.y, pin.level.0);
                    }
                    told
                })
                .collect();
            folds.sort_unstable();
            format!("{} × {}", class.pieces.len(), folds.join("|"))
        })
        .collect();
    classes.sort_unstable();
    let set = &hunt.project.set;
    let text = format!(
        "{} {} {}\n{}",
        set.levels,
        set.turn_over,
        hunt.project.rules.interlocked,
        classes.join("\n")
    );
    solid::sha256(text.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_and_shards_are_read_or_refused() {
        assert_eq!("6x5".parse(), Ok(Boxed { width: 6, height: 5 }));
        assert_eq!("3/8".parse(), Ok(Shard { number: 3, of: 8 }));
        for bad in ["", "6", "6x", "x5", "-1x2", "axb"] {
            assert!(bad.parse::<Boxed>().is_err(), "{bad}");
        }
        for bad in ["", "3", "0/8", "9/8", "1/0", "-1/2"] {
            assert!(bad.parse::<Shard>().is_err(), "{bad}");
        }
    }
}
