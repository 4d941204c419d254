//! Finds written as outline files: never over one that is there.

use ::scout::finds::Find;
use project::{NewOutline, Project, WriteError, stem_is_good};

use super::Scout;
use crate::answer::{Failure, counted};

/// That finds can be kept under the name given: before any are sought.
pub(super) fn check(args: &Scout) -> Result<(), Failure> {
    // With room for a number behind it.
    if stem_is_good(&format!("{}-1000000", args.name)) {
        return Ok(());
    }
    Err(Failure::plain(
        format_args!("'{}' can't stand in the name of a file", args.name),
        "use some letters, digits, - and _",
    ))
}

/// Writes the finds that were chosen; the names of their outlines.
pub(super) fn write(args: &Scout, project: &mut Project, finds: &[Find]) -> Result<Vec<String>, Failure> {
    if args.keep.is_none() && args.pick.is_empty() {
        return Ok(vec![]);
    }
    let ranks: Vec<usize> = match args.keep {
        Some(count) => (1..=count.min(finds.len())).collect(),
        None => args.pick.clone(),
    };
    if let Some(rank) = ranks.iter().find(|&&rank| rank == 0 || rank > finds.len()) {
        let mend = match finds.len() {
            0 => "there is no find to pick".to_owned(),
            all => format!("pick of 1 to {all}"),
        };
        return Err(Failure::plain(format_args!("there is no find {rank}"), mend));
    }
    let mut kept = Vec::new();
    let mut number = 0;
    for rank in ranks {
        let find = &finds[rank - 1];
        loop {
            number += 1;
            let new = new_outline(args, number, rank, find);
            let taken = project.outlines.iter().any(|o| o.title.eq_ignore_ascii_case(&new.title));
            if taken {
                continue;
            }
            match project.add_outline(&new, false) {
                Ok(()) => {
                    kept.push(new.name);
                    break;
                }
                Err(WriteError::Exists(_)) => {}
                Err(WriteError::Mistakes(report) | WriteError::WouldBeWrong(report)) => {
                    return Err(Failure::Mistakes(report));
                }
                Err(other) => return Err(Failure::plain(other, "make room, or name another folder")),
            }
        }
    }
    Ok(kept)
}

fn new_outline(args: &Scout, number: usize, rank: usize, find: &Find) -> NewOutline {
    let name = format!("{}-{number}", args.name);
    let mut capital = args.name.replace(['-', '_'], " ");
    if let Some(first) = capital.chars().next() {
        capital.replace_range(..first.len_utf8(), &first.to_uppercase().to_string());
    }
    let terms: Vec<String> = find.terms.iter().map(|t| format!("{} {:.2}", t.name, t.value)).collect();
    let mut comment =
        vec![format!("Find {rank} of pinfold scout. Score {:.2}: {}.", find.score, terms.join(", "))];
    if let Some(alone) = &find.look.smallest {
        let sets = match alone.same_size {
            1 => "no other set of this size does".to_owned(),
            n => format!("{} of this size do", counted(n as usize, "set")),
        };
        comment.push(format!(
            "With a pocket everywhere {}; these {} are the fewest that leave one ({sets}).",
            counted(find.look.different as usize, "layout"),
            counted(alone.pockets.len(), "pocket"),
        ));
    }
    comment.extend(find.notes.iter().cloned());
    NewOutline {
        name,
        title: format!("{capital} {number}"),
        number: None,
        note: None,
        comment,
        outline: find.outline(),
    }
}
