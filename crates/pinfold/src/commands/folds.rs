//! `folds`: what each piece can become.

use clap::Args;
use project::{PieceRecord, Project};
use serde_json::{Value, json};

use super::{open, unknown};
use crate::answer::{Answer, Failure};
use crate::cli::Call;

/// Count what each piece can become
///
/// A fold is a pose of the piece on the lattice with its hinges; a shape is its
/// cells alone. Turned poses count by themselves, shifted ones do not.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Folds {
    /// One piece, by name; all of them if left out
    piece: Option<String>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold folds                         every piece of the set
  pinfold folds cleat                   one of them
  pinfold folds --json --project quayside";

/// What one piece can become, in numbers.
struct Counts {
    name: String,
    copies: usize,
    folds: usize,
    shapes: usize,
    swings: Swings,
}

/// What single swings from home lead to.
struct Swings {
    /// How many of the folds.
    reached: Option<usize>,
    /// Least number of swings to the farthest of them.
    farthest: Option<usize>,
}

pub(crate) fn run(args: &Folds, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let wanted: Vec<&PieceRecord> = match &args.piece {
        None => project.pieces.iter().collect(),
        Some(name) => {
            let found = project.pieces.iter().find(|p| p.name == *name);
            let names = project.pieces.iter().map(|p| p.name.as_str());
            vec![found.ok_or_else(|| unknown("piece", name, names))?]
        }
    };
    let counts: Vec<Counts> = wanted.into_iter().map(|piece| count(&project, piece)).collect();
    let pieces: Vec<Value> = counts.iter().map(Counts::json).collect();
    Ok(Answer::done(json!({ "pieces": pieces }), table(&counts)))
}

fn count(project: &Project, piece: &PieceRecord) -> Counts {
    let folds = project.set.folds(piece.set.start);
    Counts {
        name: piece.name.clone(),
        copies: piece.copies(),
        folds: folds.len(),
        shapes: folds.shapes().count(),
        swings: swings(project, piece),
    }
}

/// The one place where swings come in: nothing reckons them yet.
fn swings(_project: &Project, _piece: &PieceRecord) -> Swings {
    Swings { reached: None, farthest: None }
}

impl Counts {
    fn json(&self) -> Value {
        json!({
            "name": self.name,
            "copies": self.copies,
            "folds": self.folds,
            "shapes": self.shapes,
            "reached": self.swings.reached,
            "farthest": self.swings.farthest,
        })
    }
}

fn table(counts: &[Counts]) -> String {
    let known = |n: Option<usize>| n.map_or("-".to_owned(), |n| n.to_string());
    let wide = counts.iter().map(|c| c.name.chars().count()).max().unwrap_or(0).max(5);
    let mut text = format!("{:wide$}  copies  folds  shapes  reached  farthest\n", "piece");
    for c in counts {
        let (reached, farthest) = (known(c.swings.reached), known(c.swings.farthest));
        text += &format!(
            "{:wide$}  {:6}  {:5}  {:6}  {reached:>7}  {farthest:>8}\n",
            c.name, c.copies, c.folds, c.shapes
        );
    }
    text
}
