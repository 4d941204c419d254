//! `plays`: what the tries tell of outlines and testers.

use std::f64::consts::LN_2;

use clap::Args;
use minutes::{Basis, CensoredError, Foretold, Minutes, censored, foretell};
use paper::chart::{self, Rung, Seen};
use project::Project;
use serde_json::{Value, json};

use super::Files;
use crate::answer::{Answer, Failure};
use crate::cli::Call;
use crate::commands::open;
use crate::grading::short;
use crate::pictures::{self, Kind, numbered};
use crate::screen::Screen;
use crate::timing::{self, Timed, basis_word, digits, estimate_json};

#[derive(Debug, Args)]
pub(super) struct List {
    #[command(flatten)]
    files: Files,
    /// Another seed draws anew; answers differ in the last digits
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
}

/// What an outline's own tries say by themselves, nothing pooled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Alone {
    /// Nobody has played it.
    Nothing,
    /// Nobody has finished it: longer than the longest.
    LongerThan(f64),
    /// The median of a log-normal, those given up as longer.
    Median(f64),
}

/// A line of the list.
pub(super) struct Line {
    pub(super) outline: usize,
    /// Sittings, and how many were finished.
    pub(super) sittings: usize,
    pub(super) finished: usize,
    pub(super) alone: Alone,
    pub(super) minutes: Minutes,
}

/// Everything that is told.
pub(super) struct Told<'a> {
    pub(super) project: &'a Project,
    pub(super) timed: &'a Timed,
    /// By median, the quickest first.
    pub(super) lines: Vec<Line>,
    pub(super) foretold: Vec<Foretold>,
    pub(super) files: Vec<String>,
}

pub(super) fn run(args: &List, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let timed = Timed::of(&project, timing::all(&project), args.seed)?;
    let mut lines: Vec<Line> = (0..project.outlines.len()).map(|o| line(&timed, o)).collect();
    lines.sort_by(|a, b| a.minutes.typical.median.total_cmp(&b.minutes.typical.median));
    if timed.fit.basis() == Basis::Belief {
        // Draws of a belief differ by chance alone: what orders is the effort.
        let key = |line: &Line| timed.efforts[line.outline].unwrap_or(f64::INFINITY);
        lines.sort_by(|a, b| key(a).total_cmp(&key(b)).then(a.outline.cmp(&b.outline)));
    }
    let foretold = foretell(&timed.fit);
    let mut told = Told { project: &project, timed: &timed, lines, foretold, files: Vec::new() };
    let drawn = told.pictures()?;
    for (path, kind) in [(&args.files.svg, Kind::Svg), (&args.files.png, Kind::Png)] {
        for (number, picture) in drawn.iter().enumerate() {
            if let Some(path) = path {
                let file = numbered(path, number);
                pictures::write(&file, picture, kind)?;
                told.files.push(file.display().to_string());
            }
        }
    }
    let screen = Screen::of_output(false);
    Ok(Answer::done(told.json(), told.page(&screen)))
}

fn line(timed: &Timed, outline: usize) -> Line {
    let own: Vec<(f64, bool)> = timed
        .fit
        .sittings()
        .iter()
        .filter(|s| s.outline == outline)
        .map(|s| (s.minutes, s.finished))
        .collect();
    let finished = own.iter().filter(|s| s.1).count();
    let rows = vec![vec![1.0]; own.len()];
    let alone = match censored(&rows, &own) {
        _ if own.is_empty() => Alone::Nothing,
        Ok(fit) => Alone::Median(fit.coefficients[0].exp()),
        Err(CensoredError::NothingFinished) => Alone::LongerThan(own.iter().map(|s| s.0).fold(0.0, f64::max)),
        // Finished ones that do not scatter are their own median.
        Err(_) => own.iter().find(|s| s.1).map_or(Alone::Nothing, |s| Alone::Median(s.0)),
    };
    Line { outline, sittings: own.len(), finished, alone, minutes: timed.fit.minutes(outline) }
}

impl Told<'_> {
    /// How many sittings came as they were foretold: within, or given up before
    /// the upper end.
    pub(super) fn held(&self) -> usize {
        let as_told = |f: &&Foretold| {
            let m = f.sitting.minutes;
            if f.sitting.finished { f.minutes.holds(m) } else { m <= f.minutes.high }
        };
        self.foretold.iter().filter(as_told).count()
    }

    fn pictures(&self) -> Result<Vec<paper::Picture>, Failure> {
        let sittings = self.timed.fit.sittings();
        let seen: Vec<Vec<Seen>> = self
            .lines
            .iter()
            .map(|line| {
                let own = sittings.iter().filter(|s| s.outline == line.outline);
                own.map(|s| Seen { minutes: s.minutes, finished: s.finished }).collect()
            })
            .collect();
        let rungs: Vec<Rung<'_>> = self
            .lines
            .iter()
            .zip(&seen)
            .map(|(line, seen)| {
                let (typical, fresh) = (line.minutes.typical, line.minutes.fresh);
                Rung {
                    name: &self.project.outlines[line.outline].title,
                    typical: (typical.low, typical.median, typical.high),
                    fresh: (fresh.low, fresh.high),
                    seen,
                }
            })
            .collect();
        let mut drawn = Vec::new();
        let basis = self.timed.basis();
        if !rungs.is_empty() {
            drawn.push(chart::ladder(&format!("{}: how long", self.project.title), &rungs, &basis)?);
        }
        let alphabet: Vec<char> = ('A'..='Z').chain('a'..='z').chain('0'..='9').collect();
        let letter = |outline: usize| {
            let place = self.lines.iter().position(|l| l.outline == outline).unwrap_or(0);
            alphabet[place % alphabet.len()]
        };
        let points: Vec<chart::Foretold> = self
            .foretold
            .iter()
            .map(|f| chart::Foretold {
                told: (f.minutes.low, f.minutes.median, f.minutes.high),
                minutes: f.sitting.minutes,
                finished: f.sitting.finished,
                letter: letter(f.sitting.outline),
            })
            .collect();
        if !points.is_empty() {
            let played: Vec<(char, &str)> = self
                .lines
                .iter()
                .filter(|l| l.sittings > 0)
                .map(|l| (letter(l.outline), self.project.outlines[l.outline].title.as_str()))
                .collect();
            let heading = format!("{}: foretold and seen", self.project.title);
            let note = format!("{} of {} came as foretold; 90 % are expected.", self.held(), points.len());
            let notes: Vec<String> = basis.into_iter().chain([note]).collect();
            drawn.push(chart::foretold(&heading, &points, &played, &notes)?);
        }
        Ok(drawn)
    }

    fn json(&self) -> Value {
        let fit = &self.timed.fit;
        let outlines = self.lines.iter().map(|line| {
            let record = &self.project.outlines[line.outline];
            let (alone, longer) = match line.alone {
                Alone::Nothing => (None, None),
                Alone::LongerThan(m) => (None, Some(digits(m))),
                Alone::Median(m) => (Some(digits(m)), None),
            };
            json!({
                "outline": record.name,
                "title": record.title,
                "effort": self.timed.efforts[line.outline].map(|e| short(e / LN_2)),
                "sittings": line.sittings,
                "finished": line.finished,
                "alone": alone,
                "longer_than": longer,
                "minutes": estimate_json(line.minutes.typical),
                "new_tester": estimate_json(line.minutes.fresh),
            })
        });
        let testers = self.timed.testers.iter().enumerate().map(|(t, name)| {
            let own = || fit.sittings().iter().filter(|s| s.tester == t);
            json!({
                "tester": name,
                "sittings": own().count(),
                "finished": own().filter(|s| s.finished).count(),
                "pace": estimate_json(fit.pace(t)),
            })
        });
        let spreads = fit.spreads();
        json!({
            "tries": self.timed.plays.plays.len(),
            "sittings": fit.sittings().len(),
            "finished": fit.sittings().iter().filter(|s| s.finished).count(),
            "basis": basis_word(fit.basis()),
            "calibrated": fit.basis() == Basis::Plays,
            "outlines": outlines.collect::<Vec<_>>(),
            "testers": testers.collect::<Vec<_>>(),
            "slope": estimate_json(fit.slope()),
            "spreads": {
                "outlines": estimate_json(spreads.outlines),
                "testers": estimate_json(spreads.testers),
                "tries": estimate_json(spreads.noise),
            },
            "foretold": { "held": self.held(), "of": self.foretold.len() },
            "mixing": fit.mixing().map(|m| json!({
                "r_hat": digits(m.r_hat),
                "effective": m.effective.round(),
                "draws": m.draws,
                "settled": m.is_settled(),
            })),
            "files": self.files,
        })
    }
}
