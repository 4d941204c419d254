//! A race on paper: the opening and the standings as PDF.

use ::race::{Moment, RaceState, Standings};
use clap::{Args, ValueEnum};
use project::Project;
use typeset::{Document, Goal, Imprint, Opening, PaperSize, Rank, Ranking, TypesetError, Typesetter};

use super::super::forecast::Foretold;
use crate::work::waiting;

/// The paper of PDFs.
#[derive(Clone, Debug, Args)]
pub(super) struct Paper {
    /// The paper that the PDF is set for
    #[arg(long, value_name = "PAPER", default_value = "a4")]
    paper: Size,
    /// Leave the PDF out
    #[arg(long)]
    no_pdf: bool,
}

/// A PDF, or none, and why not.
pub(super) enum Pdf {
    Set(Vec<u8>),
    NotAsked,
    /// What was done until then stays done, so this is a note and no failure.
    Unset(String),
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Size {
    A4,
    Letter,
}

impl Paper {
    fn set(&self, document: impl FnOnce(&Typesetter) -> Result<Document, TypesetError>) -> Pdf {
        if self.no_pdf {
            return Pdf::NotAsked;
        }
        let typesetter = Typesetter::new(match self.paper {
            Size::A4 => PaperSize::A4,
            Size::Letter => PaperSize::Letter,
        });
        match waiting("PDF", || document(&typesetter)) {
            Ok(document) => Pdf::Set(document.pdf),
            Err(e) => Pdf::Unset(format!("The PDF was not set: {e}. The other files have every character.")),
        }
    }

    /// The opening sheet.
    pub(super) fn opening(&self, project: &Project, race: &RaceState, foretold: Option<&Foretold>) -> Pdf {
        let numbered = race.outlines.iter().enumerate();
        let number = |(i, o): (usize, &::race::RaceOutline)| {
            (o.number.and_then(|n| usize::try_from(n).ok()).unwrap_or(i + 1), o.title.clone())
        };
        let opening = Opening {
            imprint: imprint(project, race),
            race: race.name.clone(),
            times: [race.opened.text().to_owned(), race.until.text().to_owned()],
            commitment: race.commitment.clone(),
            recipe: race.recipe(),
            goals: race
                .goals_told()
                .into_iter()
                .map(|(title, prize)| Goal { title, told: String::new(), prize: prize.unwrap_or_default() })
                .collect(),
            rules: race.rules_told(),
            tie: race.tie_told(),
            outlines: numbered.map(number).collect(),
            forecast: foretold.map(|f| f.rows.clone()).unwrap_or_default(),
            forecast_told: foretold.map(|f| f.notes.join(" ")).unwrap_or_default(),
            data: race.data_told(),
        };
        self.set(|typesetter| typesetter.opening(&opening))
    }

    /// The standings as they are at a moment.
    pub(super) fn standings(
        &self,
        project: &Project,
        race: &RaceState,
        standings: &Standings,
        now: &Moment,
    ) -> Pdf {
        let s = standings;
        let rankings = s.goals.iter().map(|goal| Ranking {
            goal: Goal {
                title: goal.told.clone(),
                told: String::new(),
                prize: goal.prize.clone().unwrap_or_default(),
            },
            ranks: goal.places.iter().map(rank).collect(),
        });
        let mut facts =
            vec![format!("Entries: {}; entrants: {}; deadline {}.", s.entries, s.entrants.len(), s.until)];
        if s.waiting > 0 {
            facts.push(format!("Entries to be checked: {}. Places may change.", s.waiting));
        }
        let sum = |count: fn(&::race::EntrantRow) -> usize| -> usize { s.entrants.iter().map(count).sum() };
        facts.push(format!(
            "Not counted: {} rejected, {} late, {} repeated, {} taken back; {} entrants withdrew.",
            sum(|e| e.rejected),
            sum(|e| e.late),
            sum(|e| e.repeated),
            sum(|e| e.taken_back),
            s.entrants.iter().filter(|e| e.withdrawn.is_some()).count()
        ));
        facts.push(format!("The log has {} lines, the last with SHA-256 {}.", s.log_lines, s.log_head));
        let page = typeset::Standings {
            imprint: imprint(project, race),
            race: s.race.clone(),
            moment: now.utc().text().to_owned(),
            closed: s.phase != "open" && s.waiting == 0,
            facts,
            rankings: rankings.collect(),
            tie: race.tie_told(),
        };
        self.set(|typesetter| typesetter.standings(&page))
    }
}

fn rank(row: &::race::PlaceRow) -> Rank {
    Rank {
        place: row.place.to_string(),
        name: row.name.clone(),
        // Marks stay between maker and entrant: whoever has one can put in entries.
        mark: format!("no. {}", row.entrant),
        reached: row.solved.to_string(),
        time: row.at.clone(),
        note: if row.shared { "shared".to_owned() } else { String::new() },
    }
}

fn imprint(project: &Project, race: &RaceState) -> Imprint {
    Imprint {
        set: project.title.clone(),
        pack: race.pack.clone(),
        maker: project.terms.designer.clone().unwrap_or_default(),
        ..Imprint::default()
    }
}
