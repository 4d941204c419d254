//! `home`: the best pose to print each piece in.

use clap::Args;
use lattice::{Motion, Piece, Pose};
use project::PieceRecord;
use reach::{Classes, Home, Swings, drawn};
use scout::table::drawing;
use serde_json::{Value, json};

use super::making::Making;
use super::{open, unknown};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::work::waiting;

/// Check the home pose of each piece and propose the best
///
/// A home pose is good when the piece fits the bed, no hinge above the lowest
/// level stands over nothing, and every hinge can swing at once. Only poses
/// that swings reach from the drawing count. A high hinge over nothing has to
/// carry itself: both poses are made as solids, and their checks decide.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct HomeOf {
    /// One piece, by name; all of them if left out
    piece: Option<String>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold home                          every piece of the set
  pinfold home cleat                    one of them
  pinfold home --json --project quayside

Exit status: 0 every piece fits, every hinge is free and every check is passed; 1 not so; 2 the
call is wrong.";

struct Found {
    name: String,
    now: Home,
    best: Home,
    poses: usize,
    /// What the solids' checks have against the pose drawn and the best one.
    faults: [Vec<String>; 2],
    /// The best home as lines of the project file.
    lines: String,
}

pub(crate) fn run(args: &HomeOf, call: &Call) -> Result<Answer, Failure> {
    let project = open(call)?;
    let making = Making::of_project(&project)?;
    let wanted: Vec<&PieceRecord> = match &args.piece {
        None => project.pieces.iter().collect(),
        Some(name) => {
            let found = project.pieces.iter().find(|p| p.name == *name);
            let names = project.pieces.iter().map(|p| p.name.as_str());
            vec![found.ok_or_else(|| unknown("piece", name, names))?]
        }
    };
    let all: Vec<Found> = wanted
        .into_iter()
        .map(|record| {
            let piece = &project.set.pieces[record.set.start];
            let mut swings = Swings::new(piece, &making.plan);
            let classes = Classes::of(&mut swings);
            let ranked = Home::ranked(piece, &classes, 0, &swings, making.bed);
            let now = *ranked.iter().find(|h| h.pose == 0).expect("home is one of the poses");
            // Of poses as good as the one drawn, that one comes first.
            let best = ranked[0];
            let better = drawn(piece, &settled(piece, &classes.poses()[best.pose]));
            let levels = project.set.levels;
            let faults = waiting(&format!("solids of {}", record.name), || {
                [piece, &better].map(|p| making.press.faults(p, levels))
            });
            let lines = drawing(&better);
            Found { name: record.name.clone(), now, best, poses: ranked.len(), faults, lines }
        })
        .collect();
    let pieces: Vec<Value> = all
        .iter()
        .map(|f| {
            json!({ "name": f.name, "poses": f.poses, "home": facts(&f.now, &f.faults[0]),
                "best": facts(&f.best, &f.faults[1]), "drawing": f.lines })
        })
        .collect();
    let text: String = all.iter().map(page).collect();
    let good = all.iter().all(|f| !f.now.too_large && f.now.stuck == 0 && f.faults[0].is_empty());
    let json = json!({ "pieces": pieces });
    Ok(if good { Answer::done(json, text) } else { Answer::no(json, text) })
}

/// The pose with its lower left cell's corner at the origin.
fn settled(piece: &Piece, pose: &Pose) -> Pose {
    let cells = pose.cells(piece);
    let low = |of: fn(&lattice::Cell) -> i32| cells.iter().map(of).min().unwrap_or(0);
    pose.moved(Motion::STILL.shifted(-low(|c| c.x), -low(|c| c.y)))
}

fn facts(h: &Home, faults: &[String]) -> Value {
    json!({ "printable": faults.is_empty(), "faults": faults, "good": h.is_good(), "too_large": h.too_large, "over_nothing": h.over_nothing,
        "stuck": h.stuck, "sides": h.sides })
}

fn page(f: &Found) -> String {
    let mut text = format!("{}: {}\n", f.name, words(&f.now));
    text += &if f.faults[0].is_empty() {
        "  Made so, it passes every check of the solids.\n".to_owned()
    } else {
        format!("  Made so, it fails: {}\n", f.faults[0].join("; "))
    };
    if f.best.pose == f.now.pose {
        text += if f.now.is_good() {
            "  It is the best pose there is.\n"
        } else {
            "  No pose that swings reach is better.\n"
        };
    } else {
        text += &format!("  Better of {}: {}\n", counted(f.poses, "pose"), words(&f.best));
        if !f.faults[1].is_empty() {
            text += &format!("  but made so, it fails: {}\n", f.faults[1].join("; "));
        }
        text += &f.lines.lines().map(|l| format!("    {l}\n")).collect::<String>();
    }
    text
}

fn words(h: &Home) -> String {
    let mut faults = Vec::new();
    if h.too_large {
        faults.push("it does not fit the bed".to_owned());
    }
    if h.over_nothing > 0 {
        faults.push(format!("{} over nothing", counted(h.over_nothing, "high hinge")));
    }
    if h.stuck > 0 {
        faults.push(format!("{} not free", counted(h.stuck, "hinge")));
    }
    let [long, short] = h.sides;
    let size = format!("{long} by {short}");
    if faults.is_empty() { format!("a good home, {size}") } else { format!("{}, {size}", faults.join(", ")) }
}
