//! A race on paper: the opening sheet, which commits to the answers and says
//! the rules, and the standings.

use typst::foundations::Dict;

use crate::error::TypesetError;
use crate::imprint::Imprint;
use crate::typesetter::{Document, Typesetter};
use crate::value::{Field, dict, list};

/// One thing to be won.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Goal {
    /// What it is called.
    pub title: String,
    /// When it is reached, in a sentence.
    pub told: String,
    /// What is won, or empty.
    pub prize: String,
}

/// The opening sheet of a race.
#[derive(Clone, Debug, Default)]
pub struct Opening {
    /// Who made it and what it is.
    pub imprint: Imprint,
    /// The race's name.
    pub race: String,
    /// When it opens and when it closes, with zone (RFC 3339).
    pub times: [String; 2],
    /// SHA-256 over the sealed answers and rules, in hexadecimal.
    pub commitment: String,
    /// How anybody can check the commitment after the end, a step each.
    pub recipe: Vec<String>,
    /// What there is to be won.
    pub goals: Vec<Goal>,
    /// The rules, a sentence or more each.
    pub rules: Vec<String>,
    /// How a tie is decided.
    pub tie: String,
    /// The outlines: number and title.
    pub outlines: Vec<(usize, String)>,
    /// When the first finish is expected: each as a label and what is foretold.
    pub forecast: Vec<(String, String)>,
    /// How the forecast is known, in a sentence; empty for none.
    pub forecast_told: String,
    /// How personal data are kept, a sentence each.
    pub data: Vec<String>,
}

/// One line of a ranking; all as printed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rank {
    /// Its place; equal places are written alike.
    pub place: String,
    /// The entrant, as he wants to be called.
    pub name: String,
    /// The entry mark.
    pub mark: String,
    /// What was reached, as "4 of 4".
    pub reached: String,
    /// When, with zone.
    pub time: String,
    /// A word more, as "late" or "withdrawn".
    pub note: String,
}

/// The ranking for one goal.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ranking {
    /// The goal.
    pub goal: Goal,
    /// Its lines, in order.
    pub ranks: Vec<Rank>,
}

/// The standings of a race.
#[derive(Clone, Debug, Default)]
pub struct Standings {
    /// Who made it and what it is.
    pub imprint: Imprint,
    /// The race's name.
    pub race: String,
    /// The moment they hold for, with zone.
    pub moment: String,
    /// Whether the race is over and these are final.
    pub closed: bool,
    /// Further facts, a sentence each: entries, the head of the log.
    pub facts: Vec<String>,
    /// A ranking for each goal.
    pub rankings: Vec<Ranking>,
    /// How a tie is decided.
    pub tie: String,
}

impl Typesetter {
    /// Sets the opening sheet of a race.
    ///
    /// # Errors
    /// No commitment, no goals, a character that no font has.
    pub fn opening(&self, opening: &Opening) -> Result<Document, TypesetError> {
        if opening.commitment.is_empty() || opening.goals.is_empty() {
            return Err(TypesetError::Nothing { what: "an opening sheet needs a commitment and a goal" });
        }
        let outlines = opening
            .outlines
            .iter()
            .map(|(n, title)| dict([("number", (*n).into()), ("title", title.as_str().into())]).into());
        // In groups of eight, so that it can be read aloud and compared.
        let digits: Vec<char> = opening.commitment.chars().collect();
        let groups = digits.chunks(8).map(|g| g.iter().collect::<String>().into());
        let fields = dict([
            ("race", opening.race.as_str().into()),
            ("times", texts(&opening.times)),
            ("commitment", opening.commitment.as_str().into()),
            ("groups", list(groups)),
            ("recipe", texts(&opening.recipe)),
            ("goals", list(opening.goals.iter().map(|g| goal(g).into()))),
            ("rules", texts(&opening.rules)),
            ("tie", opening.tie.as_str().into()),
            ("outlines", list(outlines)),
            ("forecast", list(opening.forecast.iter().map(|(k, v)| texts(&[k.clone(), v.clone()])))),
            ("forecast-told", opening.forecast_told.as_str().into()),
            ("data", texts(&opening.data)),
        ]);
        self.set("opening.typ", &self.words.say("opening-kind", &[]), &opening.imprint, fields)
    }

    /// Sets the standings of a race.
    ///
    /// # Errors
    /// No rankings, a character that no font has.
    pub fn standings(&self, standings: &Standings) -> Result<Document, TypesetError> {
        if standings.rankings.is_empty() {
            return Err(TypesetError::Nothing { what: "standings need at least one goal" });
        }
        let rankings = standings.rankings.iter().map(|r| {
            let ranks = list(r.ranks.iter().map(|rank| self::rank(rank).into()));
            dict([("goal", goal(&r.goal).into()), ("ranks", ranks)]).into()
        });
        let fields = dict([
            ("race", standings.race.as_str().into()),
            ("moment", standings.moment.as_str().into()),
            ("closed", standings.closed.into()),
            ("facts", texts(&standings.facts)),
            ("rankings", list(rankings)),
            ("tie", standings.tie.as_str().into()),
        ]);
        self.set("standings.typ", &self.words.say("standings-kind", &[]), &standings.imprint, fields)
    }
}

fn texts(texts: &[String]) -> Field {
    list(texts.iter().map(|t| t.as_str().into()))
}

fn goal(goal: &Goal) -> Dict {
    dict([
        ("title", goal.title.as_str().into()),
        ("told", goal.told.as_str().into()),
        ("prize", goal.prize.as_str().into()),
    ])
}

fn rank(rank: &Rank) -> Dict {
    dict([
        ("place", rank.place.as_str().into()),
        ("name", rank.name.as_str().into()),
        ("mark", rank.mark.as_str().into()),
        ("reached", rank.reached.as_str().into()),
        ("time", rank.time.as_str().into()),
        ("note", rank.note.as_str().into()),
    ])
}
