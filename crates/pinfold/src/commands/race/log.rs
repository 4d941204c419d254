//! `race log`: the log to publish, and its check.

use clap::Args;
use serde_json::{Value, json};

use super::{Which, folder, race_of, refused, write};
use crate::answer::{Answer, Failure};
use crate::cli::Call;

/// The log: every act a line, each with the hash of the one before
///
/// Writes out/race/NAME/log.jsonl, which names nobody and gives nothing away, so it
/// may be published at any time. Whoever has the hash of its last line can see that
/// nothing before it was changed, added or taken out.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(crate) struct Log {
    /// Check the chain, and that log and tables tell one story
    #[arg(long)]
    verify: bool,
    #[command(flatten)]
    which: Which,
}

const EXAMPLES: &str = "\
Examples:
  pinfold race log                      written, with the recipe to check it
  pinfold race log --verify             checked; 1 if anything is wrong

Exit status: 0 done; 1 the log is not whole; 2 the input or the call is wrong.";

/// How anybody checks a log, without this program.
const RECIPE: &str = "\
import hashlib, json, sys
before = '0' * 64
for line in open(sys.argv[1], 'rb').read().splitlines():
    assert json.loads(line)['previous'] == before, line
    before = hashlib.sha256(line).hexdigest()
print(before)";

pub(super) fn run(args: &Log, call: &Call) -> Result<Answer, Failure> {
    let (mut store, race) = race_of(&args.which, call)?;
    let found = store.verify(&race.name).map_err(refused)?;
    let integrity = store.integrity().map_err(refused)?;
    let head = found.lines.last().map_or("", |line| &line.hash);
    let faults: Vec<Value> =
        found.faults.iter().map(|f| json!({ "line": f.line, "message": f.what })).collect();
    let whole = found.faults.is_empty() && integrity == "ok";
    let mut json = json!({
        "race": race.name, "lines": found.lines.len(), "head": head, "whole": whole, "faults": faults,
        "integrity": integrity,
    });
    if args.verify {
        let count = found.lines.len();
        if whole {
            let text = format!("The log is whole: {count} lines, the last with SHA-256\n\n  {head}");
            return Ok(Answer::done(json, text));
        }
        let mut text: String = found
            .faults
            .iter()
            .map(|f| match f.line {
                0 => format!("{}\n", f.what),
                line => format!("line {line}: {}\n", f.what),
            })
            .collect();
        if integrity != "ok" {
            text += &format!("SQLite says: {integrity}\n");
        }
        return Ok(Answer::no(json, text + "The log is not whole."));
    }
    let text: String = found.lines.iter().map(|line| format!("{}\n", line.line)).collect();
    let file = write(&folder(call, &race.name), "log.jsonl", text.as_bytes())?;
    let text = format!(
        "Written: {file}, {} lines. SHA-256 of the last one:\n\n  {head}\n\n\
         Anybody checks it with Python, which must print that number:\n\n{RECIPE}",
        found.lines.len()
    );
    json["file"] = Value::from(file);
    Ok(Answer::done(json, text))
}
