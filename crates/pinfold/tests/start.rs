//! The outlines of a new project can be filled by its pieces: shown by trying
//! every place of every fold and asking the lattice's judge.

use std::fs;

use lattice::{Fold, FoldSet, Folding, Motion, Outline, Placed, Set, drawing};
use project::Project;

/// A folding of the outline, if there is one, by trying everything.
fn filled(set: &Set, folds: &[FoldSet], outline: &Outline, placed: &mut Vec<Placed>) -> bool {
    let Some(fold_set) = folds.get(placed.len()) else {
        return Folding { placed: placed.clone() }.faults(set, outline).is_empty();
    };
    let (low, width, height) = outline.bounds();
    let places = (0..width).flat_map(|x| (0..height).map(move |y| (low.x + x, low.y + y)));
    for (dx, dy) in places {
        for fold in fold_set.folds() {
            if fits(fold, dx, dy, outline) {
                let pose = fold.pose.moved(Motion::STILL.shifted(dx, dy));
                placed.push(Placed { piece: placed.len(), pose });
                if filled(set, folds, outline, placed) {
                    return true;
                }
                placed.pop();
            }
        }
    }
    false
}

fn fits(fold: &Fold, dx: i32, dy: i32, outline: &Outline) -> bool {
    fold.cells.iter().all(|c| outline.has(c.shifted(dx, dy)))
        && fold.pins.iter().all(|p| outline.allows_hinge(p.at.shifted(dx, dy)))
}

#[test]
fn every_outline_of_a_new_project_can_be_filled() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("harbour");
    assert_cmd::Command::new(env!("CARGO_BIN_EXE_pinfold")).arg("new").arg(&path).assert().success();
    let project = Project::read(&path).unwrap_or_else(|report| panic!("{report}"));
    let folds: Vec<FoldSet> = (0..project.set.pieces.len()).map(|p| project.set.folds(p)).collect();
    assert_eq!(project.outlines.len(), 2);
    for record in &project.outlines {
        assert!(filled(&project.set, &folds, &record.outline, &mut Vec::new()), "{}", record.name);
    }
    // The search can say no: without its pockets the beacon takes no piece.
    let text = fs::read_to_string(path.join("outlines/beacon.toml")).unwrap();
    let walled = drawing::parse(&text.split("\"\"\"").nth(1).unwrap().replace('o', "+"), 0).unwrap();
    assert!(!filled(&project.set, &folds, &walled, &mut Vec::new()));
}
