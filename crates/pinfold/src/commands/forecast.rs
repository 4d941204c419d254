//! `forecast`: a race over a pack, foretold.

use std::path::PathBuf;

use clap::{ArgGroup, Args};
use minutes::{Curve, Estimate, Forecast, RaceAsk, RaceError};
use paper::chart::{self, CurvePoint, RaceCurve};
use project::{PackRecord, Project};
use serde_json::{Value, json};

use super::{open, outline_called, unknown};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::pictures::{self, Kind};
use crate::screen::Screen;
use crate::timing::{Timed, basis_word, digits, estimate_json, spell, spelt};

/// Foretell a race: the first to finish, the tenth, how many in a week
///
/// Entrants are taken to be like the testers in plays.csv, to work through the
/// outlines one after another so many hours a day, and not to give up. Of a pack
/// all outlines count, those of packs within it too, each once; --solved leaves
/// out a pack that entrants have behind them. Intervals hold nine parts in ten:
/// entrants' skill, luck, and what the fit does not know.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES, group = ArgGroup::new("what").required(true).args(["pack", "outlines"]))]
pub(crate) struct ForecastArgs {
    /// The pack, by its name
    pack: Option<String>,
    /// These outlines instead of a pack
    #[arg(long, value_name = "OUTLINE,…", value_delimiter = ',')]
    outlines: Vec<String>,
    /// Leave out the outlines of this pack: entrants have solved them
    #[arg(long, value_name = "PACK", conflicts_with = "outlines")]
    solved: Option<String>,
    /// How many start
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    entrants: u64,
    /// Hours a day that an entrant is at the board
    #[arg(long, value_name = "HOURS", default_value_t = 1.0, value_parser = hours)]
    hours_a_day: f64,
    /// Days within which finishers are counted
    #[arg(long, value_name = "DAYS", default_value_t = 7, value_parser = clap::value_parser!(u32).range(1..=3650))]
    days: u32,
    /// What entrants' minutes are multiplied by against testers' (below 1: quicker)
    #[arg(long, value_name = "FACTOR", default_value_t = 1.0, value_parser = factor)]
    slower: f64,
    /// Another seed draws anew; answers differ in the last digits
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Write a picture of the chance that the first, and the tenth, has finished
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// The same as PNG
    #[arg(long, value_name = "FILE")]
    png: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold forecast first-harbour --entrants 100
  pinfold forecast members --solved first-harbour --entrants 30
  pinfold forecast --outlines tug,crane,eider --entrants 40 --hours-a-day 2
  pinfold forecast first-harbour --entrants 500 --slower 1.5 --svg out/race.svg";

fn hours(text: &str) -> Result<f64, String> {
    let found = text.parse().ok().filter(|h| *h > 0.0 && *h <= 24.0);
    found.ok_or_else(|| "give hours, more than 0 and at most 24".to_owned())
}

fn factor(text: &str) -> Result<f64, String> {
    let found = text.parse().ok().filter(|f: &f64| (0.01..=100.0).contains(f));
    found.ok_or_else(|| "give a factor from 0.01 to 100".to_owned())
}

pub(crate) fn run(args: &ForecastArgs, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let (names, timed, told) = asked(args, &project)?;
    let within = args.pack.as_ref().map_or(Vec::new(), |name| packs_within(&project, name));
    let case = Case { args, names: &names, within, timed: &timed, told: &told };
    let mut files = Vec::new();
    let drawn = case.picture()?;
    for (path, kind) in [(&args.svg, Kind::Svg), (&args.png, Kind::Png)] {
        if let Some(path) = path {
            pictures::write(path, &drawn, kind)?;
            files.push(path.display().to_string());
        }
    }
    let screen = Screen::of_output(false);
    Ok(Answer::done(case.json(&files), case.page(&screen, &files)))
}

/// The outlines that are raced over, the fit, and what it foretells.
fn asked(args: &ForecastArgs, project: &Project) -> Result<(Vec<String>, Timed, Forecast), Failure> {
    let names = outlines(args, project)?;
    let timed = Timed::of(project, names.iter().map(String::as_str), args.seed)?;
    let place = |name: &String| project.outlines.iter().position(|o| o.name == *name).expect("it is there");
    let ask = RaceAsk {
        outlines: names.iter().map(place).collect(),
        entrants: args.entrants,
        within: 60.0 * args.hours_a_day * f64::from(args.days),
        slower: args.slower,
        seed: args.seed,
    };
    let told = minutes::forecast(&timed.fit, &ask).map_err(|e: RaceError| {
        Failure::plain(format_args!("there is no forecast: {e}"), "name outlines and entrants")
    })?;
    Ok((names, timed, told))
}

/// A forecast for a sheet that announces a race.
pub(crate) struct Foretold {
    /// What, and when.
    pub(crate) rows: Vec<(String, String)>,
    /// What it rests on, in sentences.
    pub(crate) notes: Vec<String>,
}

/// The race over a pack, foretold as `pinfold forecast PACK --entrants N` does.
pub(crate) fn of_pack(project: &Project, pack: &str, entrants: u64) -> Result<Foretold, Failure> {
    let args = ForecastArgs {
        pack: Some(pack.to_owned()),
        outlines: Vec::new(),
        solved: None,
        entrants,
        hours_a_day: 1.0,
        days: 7,
        slower: 1.0,
        seed: 1,
        svg: None,
        png: None,
    };
    let (names, timed, told) = asked(&args, project)?;
    let case = Case { args: &args, names: &names, within: Vec::new(), timed: &timed, told: &told };
    let first = ("the first finishes after".to_owned(), case.when(told.first));
    let tenth = told.tenth.map(|tenth| ("the tenth finishes after".to_owned(), case.when(tenth)));
    let [low, median, high] = told.finishers;
    let week =
        ("have finished within 7 days".to_owned(), format!("{median} of {entrants} ({low} to {high})"));
    let mut notes = vec![format!(
        "For {entrants} entrants like the testers, at the board an hour a day; intervals hold nine parts in ten."
    )];
    notes.extend(timed.basis());
    Ok(Foretold { rows: std::iter::once(first).chain(tenth).chain([week]).collect(), notes })
}

fn pack_called<'p>(project: &'p Project, name: &str) -> Result<&'p PackRecord, Failure> {
    let known = project.packs.iter().map(|p| p.name.as_str());
    project.packs.iter().find(|p| p.name == name).ok_or_else(|| unknown("pack", name, known))
}

/// The outlines that are raced over, each once. A pack lists those of the packs
/// within it, too: a project where it does not is a mistake.
fn outlines(args: &ForecastArgs, project: &Project) -> Result<Vec<String>, Failure> {
    let mut names = match &args.pack {
        Some(name) => pack_called(project, name)?.outlines.clone(),
        None => args.outlines.clone(),
    };
    for (i, name) in names.iter().enumerate() {
        outline_called(project, name)?;
        if names[..i].contains(name) {
            return Err(Failure::plain(
                format_args!("the outline '{name}' is named twice"),
                "name each outline once",
            ));
        }
    }
    if let Some(solved) = &args.solved {
        let solved = pack_called(project, solved)?;
        names.retain(|name| !solved.outlines.contains(name));
        if names.is_empty() {
            return Err(Failure::plain(
                format_args!("nothing is left to race over: the pack '{}' has every outline", solved.name),
                "leave out --solved, or name a larger pack",
            ));
        }
    }
    Ok(names)
}

/// The packs within a pack, and those within these, in the file's order.
fn packs_within<'p>(project: &'p Project, name: &str) -> Vec<&'p str> {
    let of_name = |name: &str| project.packs.iter().find(|p| p.name == name);
    let within = |pack: &&PackRecord| {
        // The project was checked: nothing is within itself.
        let mut out = pack.within.as_deref();
        while let Some(outer) = out {
            if outer == name {
                return true;
            }
            out = of_name(outer).and_then(|p| p.within.as_deref());
        }
        false
    };
    project.packs.iter().filter(within).map(|p| p.name.as_str()).collect()
}

struct Case<'a> {
    args: &'a ForecastArgs,
    names: &'a [String],
    /// The packs within the one raced over.
    within: Vec<&'a str>,
    timed: &'a Timed,
    told: &'a Forecast,
}

impl Case<'_> {
    fn heading(&self) -> String {
        let what = match &self.args.pack {
            Some(pack) => {
                let without = self.args.solved.as_ref().map_or(String::new(), |s| format!(" without {s}"));
                format!("the pack {pack}{without} ({})", counted(self.names.len(), "outline"))
            }
            None => self.names.join(", "),
        };
        let starts = if self.args.entrants == 1 { "starts" } else { "start" };
        format!("A race over {what}; {} {starts}.", counted(self.args.entrants as usize, "entrant"))
    }

    /// The day of the race, from 1, on which minutes at the board are over.
    fn day(&self, minutes: f64) -> u64 {
        (minutes / (60.0 * self.args.hours_a_day)).ceil().max(1.0) as u64
    }

    fn when(&self, at: Estimate) -> String {
        let [low, median, high] = [at.low, at.median, at.high].map(|m| self.day(m));
        let days =
            if low == high { format!("day {median}") } else { format!("day {median} ({low} to {high})") };
        format!("{}: {days}", spelt(at))
    }

    fn page(&self, screen: &Screen, files: &[String]) -> String {
        let Forecast { first, tenth, one, finishers: [low, median, high], .. } = self.told;
        let ForecastArgs { days, hours_a_day, slower, entrants, .. } = self.args;
        let mut text = screen.wrap(&self.heading(), "  ");
        for sentence in self.timed.basis() {
            text += &screen.wrap(&sentence, "  ");
        }
        text.push('\n');
        text += &format!("  the first finishes after   {}\n", self.when(*first));
        if let Some(tenth) = tenth {
            text += &format!("  the tenth finishes after   {}\n", self.when(*tenth));
        }
        text += &format!("  any one entrant after      {}\n", self.when(*one));
        text += &format!(
            "  in {} {} of {entrants} finish ({low} to {high})\n\n",
            counted(*days as usize, "day"),
            median,
        );
        if !self.within.is_empty() && self.args.solved.is_none() {
            let which = self.within.join(", ");
            text += &screen.wrap(
                &format!(
                    "Outlines of packs within it ({which}) count, too, and are taken to be new to everybody; \
                     --solved leaves a pack out."
                ),
                "",
            );
        }
        let alike = if *slower == 1.0 {
            "as quick as the testers".to_owned()
        } else {
            format!("taking {slower} times as long as the testers")
        };
        text += &screen.wrap(
            &format!(
                "Taken for granted: everybody is at the board {hours_a_day} h a day, solves one outline \
                 after another, does not give up, and skills are spread like the testers', {alike}. Times \
                 are at the board. Intervals hold nine parts in ten, the fit's own doubt counted."
            ),
            "",
        );
        for file in files {
            text += &format!("Written: {file}.\n");
        }
        text
    }

    fn picture(&self) -> Result<paper::Picture, Failure> {
        let points = |curve: &[Curve]| -> Vec<CurvePoint> {
            let point =
                |c: &Curve| CurvePoint { minutes: c.minutes, chance: c.chance, low: c.low, high: c.high };
            curve.iter().map(point).collect()
        };
        let (first, tenth) = (points(&self.told.first_curve), points(&self.told.tenth_curve));
        let mut curves = vec![RaceCurve { name: "the first", points: &first }];
        if !tenth.is_empty() {
            curves.push(RaceCurve { name: "the tenth", points: &tenth });
        }
        let Estimate { median, .. } = self.told.first;
        let mut notes = self.timed.basis();
        notes.push(format!(
            "{} Bands: where the chance lies with nine parts in ten, once the fit's doubt is settled. Half \
             the time the first needs less than {}.",
            self.heading(),
            spell(median),
        ));
        Ok(chart::race("When the race is won", &curves, &notes)?)
    }

    fn json(&self, files: &[String]) -> Value {
        let told = self.told;
        let curve = |curve: &[Curve]| -> Vec<Value> {
            let point =
                |c: &Curve| json!([digits(c.minutes), digits(c.chance), digits(c.low), digits(c.high)]);
            curve.iter().map(point).collect()
        };
        let [low, median, high] = told.finishers;
        json!({
            "pack": self.args.pack,
            "packs_within": self.within,
            "solved": self.args.solved,
            "outlines": self.names,
            "entrants": self.args.entrants,
            "hours_a_day": self.args.hours_a_day,
            "days": self.args.days,
            "slower": self.args.slower,
            "basis": basis_word(told.basis),
            "calibrated": told.basis == minutes::Basis::Plays,
            "first": estimate_json(told.first),
            "tenth": told.tenth.map(estimate_json),
            "one": estimate_json(told.one),
            "finishers": { "low": low, "median": median, "high": high },
            "share": estimate_json(told.share),
            "closed_form": told.closed,
            "first_curve": curve(&told.first_curve),
            "tenth_curve": curve(&told.tenth_curve),
            "files": files,
        })
    }
}
