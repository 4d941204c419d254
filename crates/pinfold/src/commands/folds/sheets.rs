//! The pictures of `folds`: a sheet for each piece, and the way to its
//! farthest fold.

use std::path::PathBuf;

use lattice::{Fold, Pose};
use paper::{FoldNote, Picture, Style};
use project::Project;

use super::{Folds, Kind, far};
use crate::answer::Failure;
use crate::pictures;

/// The most folds on one sheet: ten sheets of paper, or a dozen megabytes.
const MOST: usize = 5_000;

/// Writes the pictures asked for and names their files.
pub(super) fn write(
    args: &Folds,
    project: &Project,
    style: &Style,
    kinds: &[Kind],
) -> Result<Vec<PathBuf>, Failure> {
    let folders = [(&args.svg, pictures::Kind::Svg), (&args.png, pictures::Kind::Png)];
    if folders.iter().all(|(folder, _)| folder.is_none()) {
        return Ok(Vec::new());
    }
    if let Some(kind) = kinds.iter().find(|kind| kind.folds().len() > MOST) {
        return Err(Failure::plain(
            format_args!("'{}' has {} folds, too many for a sheet", kind.record.name, kind.folds().len()),
            format_args!("leave the pictures out (at most {MOST} are drawn), or name another piece"),
        ));
    }
    let mut drawn: Vec<(String, Picture)> = Vec::new();
    for kind in kinds {
        drawn.push((format!("{}-folds", kind.record.name), sheet(project, style, kind)?));
        if args.way {
            drawn.push((format!("{}-way", kind.record.name), way(project, style, kind)?));
        }
    }
    let mut files = Vec::new();
    for (folder, kind) in folders {
        let Some(folder) = folder else { continue };
        for (name, picture) in &drawn {
            let file = folder.join(format!("{name}.{}", kind.ending()));
            pictures::write(&file, picture, kind)?;
            files.push(file);
        }
    }
    Ok(files)
}

fn sheet(project: &Project, style: &Style, kind: &Kind) -> Result<Picture, Failure> {
    let at = kind.record.set.start;
    // The sheet itself says which fold is home.
    let home = Fold::of(kind.piece, &Pose::home(kind.piece), project.set.levels);
    let home = kind.reach.folds().position(&home);
    let notes: Vec<FoldNote> = (0..kind.folds().len())
        .map(|f| {
            let distance = kind.reach.distance(f);
            let text = match distance {
                Some(0) if Some(f) == home => String::new(),
                Some(0) => "home, turned".to_owned(),
                _ => far(distance),
            };
            FoldNote { text, unreached: distance.is_none() }
        })
        .collect();
    let piece = paper::PieceStyle { name: kind.record.name.clone(), ..style.pieces[at].clone() };
    Ok(paper::folds(&project.set, at, kind.reach.folds(), &piece, "", &notes)?)
}

fn way(project: &Project, style: &Style, kind: &Kind) -> Result<Picture, Failure> {
    let at = kind.record.set.start;
    let path = kind.reach.path(kind.farthest()).expect("the farthest fold is reached");
    let mut poses = vec![path.start];
    poses.extend(path.steps.into_iter().map(|step| step.after));
    let title = format!("{}: the way to fold {}", kind.record.name, kind.farthest() + 1);
    Ok(paper::poses(&project.set, at, &poses, &style.pieces[at], &title)?)
}
