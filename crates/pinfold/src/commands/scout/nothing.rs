//! `--box`: all outlines in a box, or a sample of them; and the finds of a
//! catalogue that is there.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Mutex;

use ::scout::finds::{Find, deal};
use ::scout::outlines::{Outlines, Symmetry, Wanted};
use serde_json::{Value, json};

use super::finds::{Found, Hunt};
use super::shelf::Shelf;
use super::want::{About, Boxed, wanted};
use crate::answer::{Failure, counted};
use crate::work::waiting;

/// Places of a part, at least and at most: so few that little is lost when a
/// part is broken off, so many that writing it costs little.
const PART: [u64; 2] = [128, 32_768];
/// Parts of a catalogue, about.
const PARTS: u64 = 1000;
/// Places that are walked at most: more would take months.
const MOST_PLACES: u128 = 1_000_000_000_000;

/// What is to be looked at: places, cut into parts.
struct Plan<'a> {
    outlines: &'a Outlines,
    /// Seed, if places are drawn.
    seed: Option<u64>,
    shelf: Option<Shelf>,
    places: u64,
    part: u64,
}

pub(super) fn run(hunt: &Hunt<'_>, within: Boxed) -> Result<Found, Failure> {
    let args = hunt.args;
    let set = &hunt.project.set;
    let wanted = wanted(args, within, set.blocks(), set.turn_over)?;
    let outlines = waiting("counting outlines", || Outlines::of(&wanted)).map_err(|errors| {
        let all: Vec<String> = errors.iter().map(ToString::to_string).collect();
        Failure::plain(all.join("; "), "change --box, --symmetry, --joined or --holes")
    })?;
    let all = outlines.outlines();
    let places = places(hunt, &outlines, all)?;
    let part = (places / PARTS).clamp(PART[0], PART[1]);
    let sample = args.sample.map(|count| (count, args.seed));
    let about = About { hunt, wanted: &wanted, sample, places, part };
    let shelf = args.catalogue.as_deref().map(|folder| Shelf::open(folder, about.json())).transpose()?;
    let plan = Plan { outlines: &outlines, seed: sample.map(|s| s.1), shelf, places, part };
    let mut found = look(hunt, &plan)?;
    found.settle(args);
    tell(hunt, &plan, &wanted, all, &mut found);
    let mut classes: BTreeMap<Symmetry, u128> = BTreeMap::new();
    outlines.counts().iter().for_each(|count| *classes.entry(count.symmetry).or_default() += count.outlines);
    let told: Vec<String> = classes.iter().map(|(class, count)| format!("{class} {count}")).collect();
    found.notes.insert(1, format!("By symmetry: {}.", told.join(", ")));
    let classes = classes.iter().map(|(class, count)| (class.name().to_owned(), number(*count))).collect();
    found.facts.insert("outlines_in_all".into(), number(all));
    found.facts.insert("by_symmetry".into(), Value::Object(classes));
    Ok(found)
}

fn number(n: u128) -> Value {
    Value::Number(n.to_string().parse().expect("digits are a number"))
}

/// How many places are looked at: all, or as many as hold about the sample.
fn places(hunt: &Hunt<'_>, outlines: &Outlines, all: u128) -> Result<u64, Failure> {
    let positions = outlines.positions();
    let wanted = match hunt.args.sample {
        Some(count) if u128::from(count) < all => {
            // Each place holds one with the same chance.
            let whole = positions / all * u128::from(count);
            let rest = (positions % all)
                .checked_mul(u128::from(count))
                .map_or(u128::from(count), |n| n.div_ceil(all));
            whole + rest
        }
        _ => positions,
    };
    if wanted > MOST_PLACES {
        return Err(Failure::plain(
            format_args!("there are {all} outlines, too many to look at"),
            "choose a smaller --box or a --symmetry, or draw some of them with --sample",
        ));
    }
    Ok(u64::try_from(wanted).expect("far below"))
}

impl Plan<'_> {
    fn parts(&self) -> u64 {
        self.places.div_ceil(self.part)
    }

    /// The outlines of a part, each with its place.
    fn outlines(&self, part: u64) -> Box<dyn Iterator<Item = (u64, Vec<lattice::Cell>)> + '_> {
        let range = part * self.part..((part + 1) * self.part).min(self.places);
        let places = u128::from(range.start)..u128::from(range.end);
        match self.seed {
            None => {
                let mut walk = self.outlines.walk(places);
                Box::new(std::iter::from_fn(move || {
                    let next = walk.next()?;
                    Some((walk.position() as u64 - 1, next.cells))
                }))
            }
            Some(seed) => {
                let mut sample = self.outlines.sample(seed, places);
                Box::new(std::iter::from_fn(move || {
                    let next = sample.next()?;
                    Some((sample.draw() as u64 - 1, next.cells))
                }))
            }
        }
    }
}

/// Looks at every part that is not done; with a catalogue, every part that is done is read.
fn look(hunt: &Hunt<'_>, plan: &Plan<'_>) -> Result<Found, Failure> {
    let args = hunt.args;
    let mut found = Found::default();
    if let Some(shelf) = plan.shelf.as_ref().filter(|shelf| shelf.is_whole()) {
        shelf.clear()?;
        shelf.read_whole(|find| found.offer(hunt, find))?;
        found.done = true;
        return Ok(found);
    }
    let mine =
        |part: &u64| args.shard.is_none_or(|shard| part % u64::from(shard.of) == u64::from(shard.number) - 1);
    let mine: Vec<u64> = (0..plan.parts()).filter(mine).collect();
    let (there, left): (Vec<u64>, Vec<u64>) =
        mine.iter().partition(|&&part| plan.shelf.as_ref().is_some_and(|shelf| shelf.has_part(part)));
    for &part in &there {
        if let Some(shelf) = &plan.shelf {
            shelf.read_part(part, |find| found.offer(hunt, find))?;
        }
    }
    let failed: Mutex<Option<Failure>> = Mutex::new(None);
    let ask = hunt.ask();
    let work = |survey: &mut fill::Survey<'_>, nth: usize| {
        let mut finds = Vec::new();
        for (place, cells) in plan.outlines(left[nth]) {
            if hunt.work.must_stop() {
                return None;
            }
            let look = ask.look(survey, &cells);
            finds.push(hunt.find(place, cells, look));
        }
        if let Some(shelf) = &plan.shelf
            && let Err(e) = shelf.put(left[nth], &finds)
        {
            *failed.lock().expect("no task panics") = Some(e);
            return None;
        }
        Some(finds)
    };
    let mut done = there.len();
    let tell = |_: usize, finds: Vec<Find>| {
        done += 1;
        hunt.progress(done, mine.len());
        finds.into_iter().for_each(|find| found.offer(hunt, find));
        true
    };
    let all = deal(&hunt.dealt(), left.len(), work, tell);
    if let Some(failure) = failed.into_inner().expect("no task panics") {
        return Err(failure);
    }
    found.done = all && plan.shelf.is_some();
    found.facts.insert("parts".into(), json!(mine.len()));
    found.facts.insert("parts_done".into(), json!(done));
    if let Some(shelf) = plan.shelf.as_ref().filter(|_| all && args.shard.is_none()) {
        shelf.join(&[shelf], |part| hunt.work.progress(part as usize, mine.len()))?;
    }
    Ok(found)
}

/// What a person should know of how they were found.
fn tell(hunt: &Hunt<'_>, plan: &Plan<'_>, wanted: &Wanted, all: u128, found: &mut Found) {
    let positions = plan.outlines.positions();
    let cells = counted(wanted.cells, "cell");
    let (w, h) = (wanted.width, wanted.height);
    found.notes.push(format!("There are {all} outlines of {cells} in a box of {w} by {h}, as asked for."));
    if plan.seed.is_some() && positions > 0 {
        let share = plan.places as f64 / positions as f64;
        found.facts.insert("share".into(), json!(share));
        found.notes.push(if u128::from(plan.places) >= positions {
            "The sample is as large as all there are.".to_owned()
        } else {
            let percent = 100.0 * share;
            format!("Those looked at were drawn without replacement, {percent:.2e} % of all that there are.")
        });
    }
    if let Some(shelf) = &plan.shelf {
        let folder = shelf.folder().display();
        let whole = shelf.is_whole().then(|| shelf.whole_path().display().to_string());
        found.notes.push(match (&whole, hunt.args.shard, hunt.work.ended()) {
            (Some(whole), ..) => format!("The catalogue is whole: {whole}"),
            (None, _, Some(_)) => format!("The same call goes on from the parts in {folder}."),
            (None, Some(shard), None) => {
                format!("Shard {}/{} is done, in {folder}; --merge joins the shards.", shard.number, shard.of)
            }
            (None, None, None) => String::new(),
        });
        let facts = json!({ "folder": folder.to_string(), "whole": whole, "of": shelf.about() });
        found.facts.insert("catalogue".into(), facts);
    }
}

/// The finds of a catalogue that is there, whole or not.
pub(super) fn kept(hunt: &Hunt<'_>, folder: &Path) -> Result<Found, Failure> {
    let shelf = Shelf::there(folder)?;
    let mut found = Found::default();
    let mut parts = shelf.parts();
    if shelf.is_whole() {
        shelf.read_whole(|find| found.offer(hunt, find))?;
    } else {
        let there: Vec<u64> = (0..shelf.parts()).filter(|&part| shelf.has_part(part)).collect();
        parts = there.len() as u64;
        for part in there {
            shelf.read_part(part, |find| found.offer(hunt, find))?;
        }
        found.notes.push(format!("Not whole: {parts} of {} parts are there.", shelf.parts()));
    }
    found.settle(hunt.args);
    found.facts.insert("parts".into(), json!(shelf.parts()));
    found.facts.insert("parts_done".into(), json!(parts));
    found
        .facts
        .insert("catalogue".into(), json!({ "folder": folder.display().to_string(), "of": shelf.about() }));
    Ok(found)
}
