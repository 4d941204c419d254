//! `race enter`: entries put in.

use std::path::PathBuf;

use ::race::{Moment, NewEntry, Proof, Receipt, Store};
use clap::{ArgGroup, Args};
use serde_json::{Value, json};

use super::{entries_file, moment, refused};
use crate::answer::{Answer, Failure, Status, counted};
use crate::cli::Call;

/// Put in an entry: mark, outline, layout, photos
///
/// The layout is what the entrant wrote: rows of piece letters parted by /, or the
/// short code of the entry page. Photos and files are kept in race/proofs under
/// their SHA-256. When the receipt is printed, the entry is on the disk. The same
/// entry put in again is told, not doubled. It counts once it is checked.
///
/// With --from many at once: a CSV file with the columns mark, outline, layout, and
/// if you like proof (file names beside the CSV, parted by ;), received and name.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES, group = ArgGroup::new("what").required(true).args(["mark", "from"]))]
pub(crate) struct Enter {
    /// The entrant's mark
    #[arg(requires = "layout")]
    mark: Option<String>,
    /// The outline's name or number
    outline: Option<String>,
    /// The layout as written
    #[arg(allow_hyphen_values = true)]
    layout: Option<String>,
    /// A photo or file that shows it; may be given several times
    #[arg(long = "proof", value_name = "FILE", requires = "mark")]
    proofs: Vec<PathBuf>,
    /// The entrant's name, to be held against the mark
    #[arg(long, value_name = "NAME", requires = "mark")]
    name: Option<String>,
    /// When you received it, if not now; the log says that you stated it
    #[arg(long, value_name = "MOMENT", value_parser = moment, requires = "mark")]
    received: Option<Moment>,
    /// The race that the mark must be of
    #[arg(long, value_name = "NAME")]
    race: Option<String>,
    /// Every entry of a CSV file
    #[arg(long, value_name = "FILE", conflicts_with = "mark")]
    from: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  pinfold race enter 7K3Q-9XW2-MDK4 crab CCC/CFF/PPF --proof photo.jpg
  pinfold race enter 7k3q9xw2mde4 3 CCC/CFF/PPF --proof a.jpg --proof b.jpg --name Ines
  pinfold race enter 7K3Q-9XW2-MDK4 crab CCC/CFF/PPF --received 2026-12-20T18:05:00+01:00
  pinfold race enter --from entries.csv

Exit status: 0 received, or received before; 1 with --from, some were refused;
2 refused, and nothing was kept.";

pub(super) fn run(args: &Enter, call: &Call) -> Result<Answer, Failure> {
    let mut store = Store::open(&call.project).map_err(refused)?;
    if let Some(file) = &args.from {
        return many(&mut store, file, args.race.as_deref());
    }
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let new = NewEntry {
        mark: text(&args.mark),
        race: args.race.clone(),
        name: args.name.clone(),
        outline: text(&args.outline),
        layout: text(&args.layout),
        proofs: args.proofs.iter().map(|p| Proof::read(p)).collect::<Result<_, _>>().map_err(refused)?,
        received: args.received.clone(),
    };
    let receipt = store.enter(&new, &Moment::now()).map_err(refused)?;
    Ok(Answer::done(json(&receipt), told(&receipt)))
}

/// Every entry of a file: in batches, so that each is on the disk soon.
fn many(store: &mut Store, file: &std::path::Path, race: Option<&str>) -> Result<Answer, Failure> {
    if let Some(race) = race {
        store.race(Some(race)).map_err(refused)?;
    }
    let rows = entries_file::read(file, race)?;
    let (mut entries, mut refusals, mut again, mut text) = (Vec::new(), Vec::new(), 0, String::new());
    for batch in rows.chunks(200) {
        let (mut lines, mut new) = (Vec::new(), Vec::new());
        for row in batch {
            match &row.entry {
                Ok(entry) => {
                    lines.push(row.line);
                    new.push(entry.read().map_err(refused)?);
                }
                Err(why) => refusals.push((row.line, why.clone(), String::new())),
            }
        }
        let answers = store.enter_all(&new, &Moment::now()).map_err(refused)?;
        for (line, answer) in lines.into_iter().zip(answers) {
            match answer {
                Ok(receipt) => {
                    again += usize::from(receipt.repeated);
                    entries.push(json(&receipt));
                }
                Err(e) => refusals.push((line, e.to_string(), e.mend())),
            }
        }
    }
    refusals.sort();
    for (line, why, mend) in &refusals {
        text += &format!("{}:{line}: {why}\n", file.display());
        if !mend.is_empty() {
            text += &format!("  = mend: {mend}\n");
        }
    }
    text += &format!(
        "{} received, {again} of them received before; {} refused.",
        counted(entries.len(), "entry").replace("entrys", "entries"),
        refusals.len()
    );
    let refused: Vec<Value> = refusals
        .iter()
        .map(|(line, why, mend)| json!({ "line": line, "message": why, "mend": mend }))
        .collect();
    let status = if refused.is_empty() { Status::Done } else { Status::No };
    let json = json!({ "entries": entries, "repeated": again, "refused": refused });
    let made = if status == Status::Done { Answer::done(json, text) } else { Answer::no(json, text) };
    Ok(made)
}

fn told(it: &Receipt) -> String {
    let head = match it.repeated {
        true => "This entry was received before; nothing was added. ",
        false => "",
    };
    let stated = if it.stated { ", as stated" } else { "" };
    let mut text = format!(
        "{head}Entry {} of the race {}: {} by entrant {}, received {}{stated}.\n",
        it.entry, it.race, it.outline, it.entrant, it.received
    );
    if it.late {
        text += "It came after the deadline: it is kept and shown, and does not count.\n";
    }
    for proof in &it.again {
        let whose = match proof.anothers {
            true => "another entrant put it in, so the check will reject this one",
            false => "the same entrant put it in",
        };
        text += &format!("Its proof {}… is also with entry {}: {whose}.\n", &proof.sha256[..12], proof.entry);
    }
    text += &format!("For the entrant to keep: salt {}; the log has the layout as {}.\n", it.salt, it.seal);
    text + "It counts once it is checked: pinfold race check"
}

fn json(it: &Receipt) -> Value {
    let again: Vec<Value> = it
        .again
        .iter()
        .map(|p| json!({ "sha256": p.sha256, "entry": p.entry, "anothers": p.anothers }))
        .collect();
    json!({
        "race": it.race, "entry": it.entry, "entrant": it.entrant, "outline": it.outline,
        "repeated": it.repeated, "received": it.received.text(), "stated": it.stated, "late": it.late,
        "proofs_again": again, "salt": it.salt, "layout": it.seal,
    })
}
