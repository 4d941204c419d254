//! `packs`: the outlines of a pack in a good order, with every reason.

mod page;
mod record;

use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use grade::order::{Pack, Proposal, Terms, Weights, propose, terms};
use grade::{Grade, Step, likeness_of_answers};
use paper::{Picture, RampRow, RampScale};
use project::{OutlineRecord, PackRecord, Project};

use super::{open, unknown};
use crate::answer::{Answer, Failure, Status};
use crate::cli::Call;
use crate::efforts::Efforts;
use crate::grading::{Graded, People, not_written};
use crate::pictures::{self, Kind};
use crate::screen::Screen;

/// Propose an order for the outlines of a pack
///
/// A good order begins easy and ends with a worthy one, climbs steadily between,
/// shows variety early, and has no neighbours with a like answer. Each of these
/// is a term with a number, less is better; the order of the least weighted sum
/// is proposed, beside the one in the file. An outline named in the pack's
/// `fixed` keeps its place. `within` says which pack holds another: a free one
/// within the members' one.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Packs {
    /// The pack, by its name in pinfold.toml [default: all]
    name: Option<String>,
    #[command(flatten)]
    people: People,
    /// How much a term counts: ramp, alike, early, first or last
    #[arg(long, value_name = "TERM=X")]
    weight: Vec<Weight>,
    /// Write the proposed order into pinfold.toml; its comments stay
    #[arg(long)]
    write: bool,
    /// Write a picture of the difficulty, outline after outline
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// The same as PNG
    #[arg(long, value_name = "FILE")]
    png: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold packs                         an order for every pack
  pinfold packs members                 for one of them
  pinfold packs members --write         put it into pinfold.toml
  pinfold packs members --weight alike=0 --weight ramp=2
  pinfold packs members --svg out/members.svg --json

Exit status: 0 every pack has an order; 1 one has none, for an outline of it has
no grade; 2 the input or the call is wrong.";

/// A weight as given in a call.
#[derive(Clone, Debug)]
struct Weight {
    term: String,
    weight: f64,
}

impl FromStr for Weight {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || {
            let names: Vec<&str> = Weights::default().named().iter().map(|n| n.0).collect();
            format!("give a term and a number of 0 or more, as in ramp=2; the terms are {}", names.join(", "))
        };
        let (term, weight) = text.split_once('=').ok_or_else(wrong)?;
        let weight: f64 = weight.parse().map_err(|_| wrong())?;
        let known = Weights::default().of_name(term).is_some();
        if !known || !(0.0..=1e6).contains(&weight) {
            return Err(wrong());
        }
        Ok(Weight { term: term.to_owned(), weight })
    }
}

/// A pack with its grades and orders.
struct Ordered<'a> {
    record: &'a PackRecord,
    /// In the order of the file.
    outlines: Vec<(&'a OutlineRecord, &'a Grade)>,
    /// The order of the file.
    as_it_is: Terms,
    proposal: Proposal,
}

/// One call of the command, answered.
struct Case<'a> {
    args: &'a Packs,
    weights: Weights,
    packs: Vec<Result<Ordered<'a>, (&'a PackRecord, String)>>,
    files: Vec<PathBuf>,
    written: bool,
    seconds: f64,
}

pub(crate) fn run(args: &Packs, call: &Call) -> Result<Answer, Failure> {
    let mut project = open(call)?;
    let sound = project.clone();
    let records = called(&sound, args.name.as_deref())?;
    let mut names: Vec<&str> = records.iter().flat_map(|p| &p.outlines).map(String::as_str).collect();
    names.sort_unstable();
    names.dedup();
    let outlines = names.iter().map(|n| sound.outline(n).expect("a pack's outlines exist")).collect();
    let graded = args.people.grade(&sound, outlines)?;
    let mut efforts = Efforts::kept(&sound, &args.people);
    efforts.take(&graded.outlines);
    efforts.keep();
    let mut weights = Weights::default();
    for Weight { term, weight } in &args.weight {
        *weights.of_name(term).expect("checked when read") = *weight;
    }
    let seed = args.people.seed();
    let packs = records.into_iter().map(|record| order(record, &sound, &graded, weights, seed)).collect();
    let mut case = Case { args, weights, packs, files: Vec::new(), written: false, seconds: graded.seconds };
    let pictures = case.pictures()?;
    for (path, kind) in [(&args.svg, Kind::Svg), (&args.png, Kind::Png)] {
        for (number, picture) in pictures.iter().enumerate() {
            if let Some(path) = path {
                let path = pictures::numbered(path, number);
                pictures::write(&path, picture, kind)?;
                case.files.push(path);
            }
        }
    }
    if args.write {
        for pack in case.packs.iter().flatten() {
            let names: Vec<String> =
                pack.proposal.order.iter().map(|&i| pack.outlines[i].0.name.clone()).collect();
            project.order_pack(&pack.record.name, &names).map_err(not_written)?;
        }
        case.written = true;
    }
    let status = if case.packs.iter().all(Result::is_ok) { Status::Done } else { Status::No };
    let screen = Screen::of_output(false);
    Answer::made(status, call.json, || Ok(case.json()), || Ok(case.page(&screen)))
}

fn called<'p>(project: &'p Project, name: Option<&str>) -> Result<Vec<&'p PackRecord>, Failure> {
    if project.packs.is_empty() {
        let mend = "add a section [[pack]] with a name and outlines to pinfold.toml";
        return Err(Failure::plain("the project has no packs yet", mend));
    }
    let Some(name) = name else { return Ok(project.packs.iter().collect()) };
    let known = project.packs.iter().map(|p| p.name.as_str());
    let pack = project.packs.iter().find(|p| p.name == name);
    Ok(vec![pack.ok_or_else(|| unknown("pack", name, known))?])
}

fn order<'a>(
    record: &'a PackRecord,
    project: &'a Project,
    graded: &'a Graded<'a>,
    weights: Weights,
    seed: u64,
) -> Result<Ordered<'a>, (&'a PackRecord, String)> {
    let mut outlines = Vec::new();
    for name in &record.outlines {
        let (outline, grade) =
            graded.outlines.iter().find(|o| o.0.name == *name).expect("every outline of a pack was graded");
        match grade {
            Ok(grade) => outlines.push((*outline, grade)),
            Err(why) => return Err((record, format!("'{name}' has no grade, for {why}"))),
        }
    }
    let n = outlines.len();
    let mut likeness = vec![vec![1.0; n]; n];
    for (i, j) in (0..n).flat_map(|i| (0..i).map(move |j| (i, j))) {
        let (a, b) = (&outlines[i].1.answers, &outlines[j].1.answers);
        likeness[i][j] = likeness_of_answers(&project.set, &graded.classes, a, b);
        likeness[j][i] = likeness[i][j];
    }
    let pack = Pack { efforts: outlines.iter().map(|o| o.1.effort).collect(), likeness };
    let fixed: Vec<Option<usize>> =
        (0..n).map(|i| record.fixed.contains(&record.outlines[i]).then_some(i)).collect();
    let stands: Vec<usize> = (0..n).collect();
    let as_it_is = terms(&pack, weights, &stands);
    let mut proposal = propose(&pack, weights, &fixed, seed);
    // An order that is as good is left as it is.
    if as_it_is.cost <= proposal.terms.cost + 1e-12 {
        proposal.order = stands;
        proposal.terms = as_it_is.clone();
    }
    Ok(Ordered { record, outlines, as_it_is, proposal })
}

impl Case<'_> {
    fn pictures(&self) -> Result<Vec<Picture>, Failure> {
        if self.args.svg.is_none() && self.args.png.is_none() {
            return Ok(Vec::new());
        }
        self.packs.iter().flatten().map(Ordered::picture).collect()
    }
}

impl Ordered<'_> {
    /// The outlines in the proposed order, each with how like it is to the next.
    fn proposed(&self) -> impl Iterator<Item = (&OutlineRecord, &Grade, Option<f64>)> {
        let to_next = |place: usize| self.proposal.terms.to_next.get(place).copied();
        self.proposal.order.iter().enumerate().map(move |(place, &i)| {
            let (record, grade) = self.outlines[i];
            (record, grade, to_next(place))
        })
    }

    fn picture(&self) -> Result<Picture, Failure> {
        let rows: Vec<RampRow<'_>> = self
            .proposed()
            .map(|(record, grade, to_next)| RampRow {
                title: &record.title,
                value: grade.effort,
                interval: grade.interval,
                fixed: self.record.fixed.contains(&record.name),
                to_next: to_next.unwrap_or(0.0),
            })
            .collect();
        let bands = Step::ALL.map(|s| (s.from_effort(), s.word()));
        let words: Vec<String> = (0..32).map(|k| format!("{:.0}", f64::from(2 * k).exp2())).collect();
        let ticks: Vec<(f64, &str)> =
            words.iter().enumerate().map(|(k, w)| (2.0 * k as f64, w.as_str())).collect();
        let axis = "tries that half of modelled people need, with a 90 % interval";
        let scale = RampScale { axis, bands: &bands, ticks: &ticks };
        Ok(paper::ramp(&format!("{}: the order proposed", self.record.name), &rows, &scale)?)
    }
}
