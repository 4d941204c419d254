//! `race open`: the terms sealed, and the opening to publish.

use std::time::Duration;

use ::race::{
    CAUTION, Goal, GoalKind, Moment, RaceError, RaceState, Secrets, Store, Terms, Tie, opening_text,
};
use clap::Args;
use project::Project;
use serde_json::json;

use super::super::forecast::{self, Foretold};
use super::super::{open, outline_called};
use super::paper::{Paper, Pdf};
use super::{Which, folder, moment, race_of, refused, terms, write};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::rules;
use crate::work::{Work, seconds};

/// Open a race: seal rules and answers, and write the opening to publish
///
/// Every outline's answers are looked for, and sealed together with the rules and a
/// random salt: their SHA-256 is on the opening, and shows at the end that nothing
/// was changed. What is sealed cannot be changed any more, by you either.
/// The opening foretells when the first will finish, as far as play tests tell.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Open {
    /// The race's name, fit for a file name
    name: String,
    /// The pack raced over
    #[arg(long)]
    pack: String,
    /// The deadline: RFC 3339, with zone
    #[arg(long, value_name = "MOMENT", value_parser = moment)]
    until: Moment,
    /// A larger pack that has all of the first, for those who want more
    #[arg(long, value_name = "PACK")]
    larger: Option<String>,
    /// What can be won: all (first with the pack), larger (first with the larger pack),
    /// most (most outlines by the deadline); with =PRIZE what it wins [default: each that applies]
    #[arg(long = "goal", value_name = "GOAL[=PRIZE]", value_parser = goal)]
    goals: Vec<Goal>,
    /// Who is before whom of those level: the one whose entry stands earlier in the
    /// log (receipt), or nobody (shared)
    #[arg(long, default_value = "receipt", value_parser = tie)]
    tie: Tie,
    /// Entries need no photo
    #[arg(long)]
    without_proof: bool,
    #[command(flatten)]
    announce: Announcing,
    /// Seconds that the search for answers may take in all
    #[arg(long, value_name = "SECONDS", default_value = "600", value_parser = seconds)]
    time: Duration,
}

/// What the opening says besides what is sealed.
#[derive(Debug, Args)]
struct Announcing {
    /// How many entrants the forecast is for
    #[arg(long, value_name = "N", default_value_t = 100, value_parser = clap::value_parser!(u64).range(1..=1_000_000))]
    entrants: u64,
    /// Leave the forecast out
    #[arg(long, conflicts_with = "entrants")]
    no_forecast: bool,
    #[command(flatten)]
    paper: Paper,
}

/// Write the opening of a race again: the text, the sheet, the rules
///
/// What is sealed stays as it is; the forecast is made anew from today's play tests.
#[derive(Debug, Args)]
#[command(after_help = ANNOUNCE)]
pub(crate) struct Announce {
    #[command(flatten)]
    announce: Announcing,
    #[command(flatten)]
    which: Which,
}

const ANNOUNCE: &str = "\
Examples:
  pinfold race announce
  pinfold race announce --entrants 40 --paper letter";

const EXAMPLES: &str = "\
Examples:
  pinfold race open spring-tide --pack first-tide --until 2026-12-24T18:00:00+01:00
  pinfold race open neap-tide --pack first-tide --larger members --tie shared --goal all=poster --goal larger --until 2026-12-24T17:00:00Z

Contests with prizes are regulated: check the law where you and your entrants live.";

fn goal(text: &str) -> Result<Goal, String> {
    let (kind, prize) = match text.split_once('=') {
        Some((kind, prize)) => (kind, Some(prize.trim().to_owned()).filter(|prize| !prize.is_empty())),
        None => (text, None),
    };
    let kind = GoalKind::of_word(kind).ok_or("write all, larger or most, or such as all=poster")?;
    Ok(Goal { kind, prize })
}

fn tie(text: &str) -> Result<Tie, String> {
    Tie::of_word(text).ok_or_else(|| "write receipt or shared".to_owned())
}

pub(super) fn run(args: &Open, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let pack = terms::pack(&project, &args.pack)?;
    let larger = args.larger.as_ref().map(|name| terms::pack(&project, name)).transpose()?;
    if let Some(larger) = larger {
        let missing: Vec<&str> =
            pack.outlines.iter().filter(|o| !larger.outlines.contains(o)).map(String::as_str).collect();
        if !missing.is_empty() || larger.name == pack.name {
            let why = match missing.is_empty() {
                true => "it is the pack itself".to_owned(),
                false => format!("it has no {}", missing.join(", ")),
            };
            return Err(Failure::plain(
                format_args!("'{}' is no larger pack than '{}': {why}", larger.name, pack.name),
                "name a pack that has all its outlines, and more",
            ));
        }
    }
    let opened = Moment::now();
    // What is quickly seen to be wrong is told before the long search.
    if Store::open(&call.project).is_ok_and(|s| s.races().is_ok_and(|known| known.contains(&args.name))) {
        return Err(refused(RaceError::RaceExists { name: args.name.clone() }));
    }
    if args.until <= opened {
        return Err(Failure::plain(
            format_args!("the deadline {} is over already", args.until),
            "give a moment that is still to come",
        ));
    }
    let classes = rules::classes(&project)?;
    let work = Work::start("answers", Some(args.time));
    let all = larger.unwrap_or(pack);
    let mut outlines = Vec::new();
    for (done, name) in all.outlines.iter().enumerate() {
        work.progress(done, all.outlines.len());
        let record = outline_called(&project, name)?;
        outlines.push(terms::sealed(&project, &classes, record, pack.outlines.contains(name), &work)?);
    }
    drop(work);
    let goals = match args.goals.is_empty() {
        false => args.goals.clone(),
        true => GoalKind::ALL
            .into_iter()
            .filter(|kind| *kind != GoalKind::Larger || larger.is_some())
            .map(|kind| Goal { kind, prize: None })
            .collect(),
    };
    // Before the seal: a forecast that fails must not leave a race half announced.
    let foretold = args.announce.foretold(&project, &args.pack)?;
    let known: usize = outlines.iter().map(|o| o.answers.codes.len()).sum();
    let complete = outlines.iter().all(|o| o.answers.complete);
    let terms = Terms {
        race: args.name.clone(),
        pack: args.pack.clone(),
        larger: args.larger.clone(),
        opened,
        until: args.until.clone(),
        tie: args.tie,
        proof: !args.without_proof,
        goals,
        set: terms::set_lines(&project),
        outlines,
    };
    let secrets = Secrets::fresh().map_err(refused)?;
    let mut store = Store::create(&call.project).map_err(refused)?;
    let sealed = store.open_race(terms, &secrets).map_err(refused)?;
    let race = store.race(Some(&args.name)).map_err(refused)?;
    let (files, note) = args.announce.write(&project, &race, foretold.as_ref(), call)?;
    let count = race.outlines.len();
    let all = if complete { "all there are" } else { "not all there are, which the seal says" };
    let text = format!(
        "The race {} is open until {}, over {}.\n\
         Sealed: rules and {} ({all}). Their SHA-256, to publish now:\n\n  {}\n\n\
         Written: {}.\n{note}\
         Keep race.sqlite safe, and to yourself: without it nothing can be revealed.\n\n{CAUTION}",
        race.name,
        race.until,
        counted(count, "outline"),
        counted(known, "answer"),
        sealed.commitment,
        files.join(", "),
    );
    let goals: Vec<_> =
        race.goals.iter().map(|g| json!({ "goal": g.kind.word(), "prize": g.prize })).collect();
    let json = json!({
        "race": race.name,
        "pack": race.pack,
        "larger": race.larger,
        "opened": race.opened.text(),
        "until": race.until.text(),
        "tie": race.tie.word(),
        "proof": race.proof,
        "goals": goals,
        "outlines": race.outlines.iter().map(|o| &o.name).collect::<Vec<_>>(),
        "answers": known,
        "complete": complete,
        "commitment": sealed.commitment,
        "forecast": foretold.map(|f| f.rows.into_iter().map(|(k, v)| json!([k, v])).collect::<Vec<_>>()),
        "files": files,
    });
    Ok(Answer::done(json, text))
}

impl Announcing {
    fn foretold(&self, project: &Project, pack: &str) -> Result<Option<Foretold>, Failure> {
        if self.no_forecast {
            return Ok(None);
        }
        forecast::of_pack(project, pack, self.entrants).map(Some)
    }

    /// Writes what is published; gives the files and a note, if one is due.
    fn write(
        &self,
        project: &Project,
        race: &RaceState,
        foretold: Option<&Foretold>,
        call: &Call,
    ) -> Result<(Vec<String>, String), Failure> {
        let folder = folder(call, &race.name);
        let rows = foretold.iter().flat_map(|f| &f.rows).map(|(what, when)| format!("{what}: {when}"));
        let told: Vec<String> = rows.chain(foretold.iter().flat_map(|f| f.notes.clone())).collect();
        let text = opening_text(race, &project.title, &told);
        let mut files = vec![
            write(&folder, "opening.md", text.as_bytes())?,
            write(&folder, &format!("{}-rules.txt", race.name), race.rules.as_bytes())?,
        ];
        let mut note = String::new();
        match self.paper.opening(project, race, foretold) {
            Pdf::Set(pdf) => files.push(write(&folder, "opening.pdf", &pdf)?),
            Pdf::NotAsked => {}
            Pdf::Unset(why) => note = format!("{why}\n"),
        }
        Ok((files, note))
    }
}

pub(super) fn announce(args: &Announce, call: &Call) -> Result<Answer, Failure> {
    let (_, race) = race_of(&args.which, call)?;
    let project = open(call)?;
    let foretold = args.announce.foretold(&project, &race.pack)?;
    let (files, note) = args.announce.write(&project, &race, foretold.as_ref(), call)?;
    let text = format!("Written: {}.\n{note}Sealed by:\n\n  {}", files.join(", "), race.commitment);
    Ok(Answer::done(json!({ "race": race.name, "commitment": race.commitment, "files": files }), text))
}
