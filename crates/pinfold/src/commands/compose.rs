//! `compose`: a set proposed, and why.

use std::collections::BTreeSet;

use clap::Args;
use scout::Catalogue;
use scout::compose::{Climb, Proposal, Weights, compose};
use scout::table::drawing;
use serde_json::{Value, json};

use super::catalogue::made;
use super::making::{Making, plain_style};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::work::waiting;

/// Propose sets of pieces, ranked, with every reason
///
/// Pieces come from the catalogue. A set's score is the mean of five terms from
/// 0 to 1, under the weights in [compose] of pinfold.toml: outlines (how many
/// shapes the pieces reach), plain (how often a shape tells the fold), own
/// (shapes that no other piece can take), distinct (how much homes differ to
/// the eye), printable (fits the bed, every hinge free, and passes every check
/// of the solids). The search climbs from a seed; it finds good sets, not the
/// best of all there are.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Compose {
    /// How many pieces, if --blocks is one number
    #[arg(long, value_name = "N")]
    pieces: Option<usize>,
    /// Blocks of each piece: one number for all, or one for each
    #[arg(long, value_name = "N,…", value_delimiter = ',', required = true)]
    blocks: Vec<usize>,
    /// Levels, 1 to 3; the set's own if left out
    #[arg(long, value_name = "K")]
    levels: Option<u8>,
    /// Another seed climbs from other sets
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// At most so many proposals
    #[arg(long, value_name = "N", default_value_t = 5)]
    proposals: usize,
    /// Tell why this proposal stands where it does, piece by piece
    #[arg(long, value_name = "RANK")]
    why: Option<usize>,
    /// Write a picture sheet of each proposal to the folder out
    #[arg(long)]
    write: bool,
}

const EXAMPLES: &str = "\
Examples:
  pinfold compose --pieces 5 --blocks 4         five pieces of four blocks
  pinfold compose --blocks 3,4,4,5 --levels 2   one piece for each number
  pinfold compose --blocks 4,4,4 --why 2        what is better and worse in the second
  pinfold compose --pieces 4 --blocks 4 --seed 7 --write";

pub(crate) fn run(args: &Compose, call: &Call) -> Result<Answer, Failure> {
    let making = Making::of(call)?;
    let levels = args.levels.unwrap_or(making.levels);
    let blocks = sizes(args)?;
    let mut different = blocks.clone();
    different.sort_unstable();
    different.dedup();
    let catalogues: Vec<(usize, Catalogue)> = different
        .into_iter()
        .map(|n| Ok((n, made(&making, n, levels, 0)?)))
        .collect::<Result<_, Failure>>()?;
    let given: Vec<(usize, &Catalogue)> = catalogues.iter().map(|(n, c)| (*n, c)).collect();
    let w = making.weights;
    let weights = Weights {
        outlines: w.outlines,
        plain: w.plain,
        own: w.own,
        distinct: w.distinct,
        printable: w.printable,
    };
    let climb = Climb { seed: args.seed, proposals: args.proposals, ..Climb::default() };
    let found = checked(&making, levels, |refused: &BTreeSet<(usize, usize)>| {
        // High hinges carry themselves; that a piece really passes is checked on the solids.
        let good = |e: &scout::Entry| {
            let key = (e.piece.blocks().len(), e.number);
            !e.home.too_large && e.home.stuck == 0 && !refused.contains(&key)
        };
        compose(&blocks, &given, &making.plan, weights, climb, &good).map_err(|errors| {
            let all: Vec<String> = errors.iter().map(ToString::to_string).collect();
            Failure::plain(all.join("; "), "ask for other pieces, or change the weights in [compose]")
        })
    })?;
    let mut text = ranking(&found);
    if let Some(rank) = args.why {
        let Some(asked) = rank.checked_sub(1).and_then(|i| found.get(i)) else {
            let message = format_args!("there is no proposal {rank}");
            return Err(Failure::plain(message, format_args!("ask for one of 1 to {}", found.len())));
        };
        text += &why(rank, asked, &found[0]);
    }
    let mut files = Vec::new();
    if args.write {
        for (i, p) in found.iter().enumerate() {
            let name = format!("compose/proposal-{}.svg", i + 1);
            files.push(making.write(&name, sheet(i + 1, p, levels)?.svg().as_bytes())?);
        }
        for file in &files {
            text += &format!("Wrote {file}\n");
        }
    }
    let proposals: Vec<Value> = found.iter().map(told).collect();
    let json = json!({ "levels": levels, "seed": args.seed, "proposals": proposals, "files": files });
    Ok(Answer::done(json, text))
}

/// Proposals whose pieces, as far as they count as printable, have been made as
/// solids and passed every check: those that fail are refused and the search is
/// done again, until none fails.
fn checked(
    making: &Making,
    levels: u8,
    propose: impl Fn(&BTreeSet<(usize, usize)>) -> Result<Vec<Proposal>, Failure>,
) -> Result<Vec<Proposal>, Failure> {
    let (mut passed, mut refused) = (BTreeSet::new(), BTreeSet::new());
    loop {
        let found = propose(&refused)?;
        let mut news = false;
        for m in found.iter().flat_map(|p| &p.members).filter(|m| m.printable) {
            let key = (m.blocks, m.number);
            if passed.contains(&key) || refused.contains(&key) {
                continue;
            }
            let faults = waiting("solids of the proposals", || making.press.faults(&m.piece, levels));
            if faults.is_empty() {
                passed.insert(key);
            } else {
                refused.insert(key);
                news = true;
            }
        }
        if !news {
            return Ok(found);
        }
    }
}

fn sizes(args: &Compose) -> Result<Vec<usize>, Failure> {
    match (args.pieces, &args.blocks[..]) {
        (None, all) => Ok(all.to_vec()),
        (Some(n), [one]) if (1..=100).contains(&n) => Ok(vec![*one; n]),
        (Some(n), all) if n == all.len() => Ok(all.to_vec()),
        (Some(n), [_]) => Err(Failure::plain(format_args!("{n} pieces are asked for"), "ask for 1 to 100")),
        (Some(n), all) => Err(Failure::plain(
            format_args!("{n} pieces are asked for, but --blocks has {} numbers", all.len()),
            "give one number for all pieces, or one for each",
        )),
    }
}

fn ranking(found: &[Proposal]) -> String {
    let names: Vec<&str> = found[0].terms.iter().map(|t| t.name).collect();
    let mut text = format!("rank  score  {}  pieces (blocks.number)\n", names.join("  "));
    for (i, p) in found.iter().enumerate() {
        let terms: Vec<String> =
            p.terms.iter().map(|t| format!("{:>w$.3}", t.value, w = t.name.len())).collect();
        let members: Vec<String> = p.members.iter().map(|m| format!("{}.{}", m.blocks, m.number)).collect();
        text += &format!("{:4}  {:.3}  {}  {}\n", i + 1, p.score, terms.join("  "), members.join(" "));
    }
    let weights: Vec<String> = found[0].terms.iter().map(|t| format!("{} {}", t.name, t.weight)).collect();
    text + &format!("Weights: {}.\n", weights.join(", "))
}

fn why(rank: usize, p: &Proposal, best: &Proposal) -> String {
    let mut text = format!("\nProposal {rank}, score {:.3}", p.score);
    if rank > 1 {
        text += &format!(
            ", {:.3} below the first. What its terms add, against the first:\n",
            best.score - p.score
        );
    } else {
        text += ". What its terms add:\n";
    }
    let all: f64 = p.terms.iter().map(|t| t.weight).sum();
    for (t, b) in p.terms.iter().zip(&best.terms) {
        let adds = t.weight * t.value / all;
        text += &format!("  {:9}  {:.3} × weight {} adds {adds:.3}", t.name, t.value, t.weight);
        if rank > 1 {
            text += &format!(" ({:+.3})", adds - b.weight * b.value / all);
        }
        text += "\n";
    }
    for (i, m) in p.members.iter().enumerate() {
        let name = |j: usize| format!("{}.{}", p.members[j].blocks, p.members[j].number);
        text += &format!("\n{}: {} by {}", name(i), counted(m.shapes, "shape"), counted(m.folds, "fold"));
        if let Some((j, n)) = m.stand_in {
            text += &format!("; {} can take {n} of these shapes", name(j));
        }
        if let Some((j, share)) = m.look_alike {
            text += &format!("; at home it looks most like {} ({:.0} %)", name(j), share * 100.0);
        }
        text += if m.printable {
            "; prints as drawn, by every check\n"
        } else {
            "; does not print well as drawn\n"
        };
        text += &drawing(&m.piece).lines().map(|l| format!("  {l}\n")).collect::<String>();
    }
    text
}

fn sheet(rank: usize, p: &Proposal, levels: u8) -> Result<paper::Picture, Failure> {
    let told: Vec<(String, String)> = p
        .members
        .iter()
        .map(|m| {
            (
                format!("{}.{}", m.blocks, m.number),
                format!("{}, {}", counted(m.shapes, "shape"), counted(m.folds, "fold")),
            )
        })
        .collect();
    let style = plain_style("piece");
    let tiles: Vec<paper::PieceTile<'_>> = p
        .members
        .iter()
        .zip(&told)
        .map(|(m, (title, note))| paper::PieceTile { piece: &m.piece, style: &style, title, note })
        .collect();
    let title = format!("Proposal {rank}, score {:.3}", p.score);
    paper::pieces(&title, &tiles, levels, 5)
        .map_err(|e| Failure::plain(e, "report this, with the call that led to it"))
}

fn told(p: &Proposal) -> Value {
    let terms: Vec<Value> = p
        .terms
        .iter()
        .map(|t| json!({ "name": t.name, "weight": t.weight, "value": t.value, "pieces": t.pieces }))
        .collect();
    let pieces: Vec<Value> = p
        .members
        .iter()
        .map(|m| {
            json!({
                "blocks": m.blocks, "number": m.number, "drawing": drawing(&m.piece),
                "shapes": m.shapes, "folds": m.folds,
                "stand_in": m.stand_in.map(|(j, n)| json!({ "piece": j, "shapes": n })),
                "look_alike": m.look_alike.map(|(j, share)| json!({ "piece": j, "share": share })),
                "printable": m.printable,
            })
        })
        .collect();
    json!({ "score": p.score, "terms": terms, "pieces": pieces })
}
