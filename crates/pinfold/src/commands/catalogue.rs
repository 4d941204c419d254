//! `catalogue`: every piece of so many blocks.

use clap::Args;
use rayon::prelude::*;
use scout::{Catalogue, Entry, Wanted, table};
use serde_json::{Value, json};

use super::making::{Making, plain_style};
use crate::answer::{Answer, Failure, counted};
use crate::cli::Call;
use crate::work::waiting;

/// List every piece of so many blocks, each once
///
/// Two drawings are one piece when the hand can't tell them apart: swings lead
/// from one pose to the other. Mirror images are different pieces. Each comes
/// in the home pose that is best to print, as far as the plane can tell. Sizes
/// and bed are the project's, or the defaults where there is none.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct CatalogueOf {
    /// Blocks of each piece, 1 to 8
    #[arg(long, value_name = "N")]
    blocks: usize,
    /// Levels, 1 to 3; the set's own if left out
    #[arg(long, value_name = "K")]
    levels: Option<u8>,
    /// Also pieces with up to so many hinges that close loops
    #[arg(long, value_name = "N", default_value_t = 0)]
    loops: usize,
    /// Also make each piece as a solid and say which pass every check (a tenth of a
    /// second each)
    #[arg(long)]
    printable: bool,
    /// List the pieces, not their counts alone
    #[arg(long)]
    list: bool,
    /// Write text, Parquet and picture sheets to the folder out
    #[arg(long)]
    write: bool,
    /// At most so many picture sheets, of 60 pieces each
    #[arg(long, value_name = "N", default_value_t = 4)]
    sheets: usize,
}

const EXAMPLES: &str = "\
Examples:
  pinfold catalogue --blocks 4 --list           every piece of four blocks
  pinfold catalogue --blocks 5 --levels 2       how many there are on two levels
  pinfold catalogue --blocks 5 --levels 2 --write --sheets 20
  pinfold catalogue --blocks 4 --levels 2 --printable --list
  pinfold catalogue --blocks 4 --loops 1 --json --list";

const TO_A_SHEET: usize = 60;

pub(crate) fn run(args: &CatalogueOf, call: &Call) -> Result<Answer, Failure> {
    let making = Making::of(call)?;
    let levels = args.levels.unwrap_or(making.levels);
    let catalogue = made(&making, args.blocks, levels, args.loops)?;
    let entries = &catalogue.entries;
    let whole = entries.iter().filter(|e| e.reached == e.folds).count();
    let good = entries.iter().filter(|e| e.home.is_good()).count();
    let own_mirror = entries.iter().filter(|e| e.mirror == e.number).count();
    let printable: Vec<Option<bool>> = if args.printable {
        let passes = |e: &Entry| Some(making.press.faults(&e.piece, levels).is_empty());
        waiting("solids of the catalogue", || entries.par_iter().map(passes).collect())
    } else {
        vec![None; entries.len()]
    };
    let files = if args.write { write(&making, entries, &printable, args, levels)? } else { vec![] };
    let mut json = json!({
        "blocks": args.blocks,
        "levels": levels,
        "loops": args.loops,
        "linkages": catalogue.linkages,
        "pieces": entries.len(),
        "reach_all_folds": whole,
        "own_mirror": own_mirror,
        "good_homes": good,
        "files": files,
    });
    let mut text = format!(
        "{} of {} on {}: {} by their joints alone.\n\
         {whole} reach all their folds by swings; {own_mirror} are their own mirror image.\n\
         {good} have a home pose with no high hinge over nothing and every hinge free.\n",
        counted(entries.len(), "piece"),
        counted(args.blocks, "block"),
        counted(usize::from(levels), "level"),
        counted(catalogue.linkages, "linkage"),
    );
    if args.printable {
        let passed = printable.iter().filter(|p| **p == Some(true)).count();
        json["printable"] = json!(passed);
        text += &format!("{passed} pass every check of the solids in that home.\n");
    }
    for file in &files {
        text += &format!("Wrote {file}\n");
    }
    if args.list {
        json["entries"] = entries.iter().zip(&printable).map(|(e, p)| entry(e, *p)).collect();
        text += "\n";
        text += &table::text(entries, &printable);
    }
    Ok(Answer::done(json, text))
}

/// A catalogue with the project's sizes and bed.
pub(super) fn made(making: &Making, blocks: usize, levels: u8, loops: usize) -> Result<Catalogue, Failure> {
    let wanted = Wanted { blocks, levels, loops, plan: making.plan, bed: making.bed };
    Catalogue::of(&wanted).map_err(|errors| {
        let all: Vec<String> = errors.iter().map(ToString::to_string).collect();
        Failure::plain(all.join("; "), "choose --blocks and --levels within these bounds")
    })
}

fn entry(entry: &Entry, printable: Option<bool>) -> Value {
    let field = |c: &table::Column| {
        let value = match table::value(entry, printable, c.name) {
            table::Value::Number(n) => json!(n),
            table::Value::Text(t) => json!(t),
            table::Value::Truth(t) => json!(t),
            table::Value::Measure(m) => json!(m),
            table::Value::Missing => Value::Null,
        };
        (c.name.to_owned(), value)
    };
    Value::Object(table::COLUMNS.iter().map(field).collect())
}

fn write(
    making: &Making,
    entries: &[Entry],
    printable: &[Option<bool>],
    args: &CatalogueOf,
    levels: u8,
) -> Result<Vec<String>, Failure> {
    let loops = if args.loops > 0 { format!("-loops-{}", args.loops) } else { String::new() };
    let stem = format!("catalogue-{}-{levels}{loops}", args.blocks);
    let mut files =
        vec![making.write(&format!("{stem}/{stem}.tsv"), table::text(entries, printable).as_bytes())?];
    let broken = |e: &dyn std::fmt::Display| Failure::plain(e, "report this, with the call that led to it");
    let bytes = columns::parquet(entries, printable).map_err(|e| broken(&e))?;
    files.push(making.write(&format!("{stem}/{stem}.parquet"), &bytes)?);
    for (nth, some) in entries.chunks(TO_A_SHEET).take(args.sheets).enumerate() {
        let told: Vec<(String, String)> = some
            .iter()
            .map(|e| {
                let short = if e.reached < e.folds {
                    format!("{} of {} folds", e.reached, e.folds)
                } else {
                    counted(e.folds, "fold")
                };
                (format!("{}", e.number), format!("{short}, {}", counted(e.reached_shapes, "shape")))
            })
            .collect();
        let style = plain_style("piece");
        let tiles: Vec<paper::PieceTile<'_>> = some
            .iter()
            .zip(&told)
            .map(|(e, (title, note))| paper::PieceTile { piece: &e.piece, style: &style, title, note })
            .collect();
        let (first, last) = (some[0].number, some[some.len() - 1].number);
        let title = format!(
            "Pieces {first} to {last} of {}, on {}",
            counted(args.blocks, "block"),
            counted(usize::from(levels), "level")
        );
        let picture = paper::pieces(&title, &tiles, levels, 6).map_err(|e| broken(&e))?;
        files.push(making.write(&format!("{stem}/sheet-{:03}.svg", nth + 1), picture.svg().as_bytes())?);
    }
    Ok(files)
}
