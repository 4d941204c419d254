//! The demo set keeps its promises: every outline has one essentially
//! different layout, which drops in, and its pockets were found with Pinfold.

use std::path::{Path, PathBuf};

use assert_cmd::Command;
use project::Project;
use serde_json::Value;

fn quayside() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../quayside")
}

fn pinfold(args: &[&str]) -> Value {
    let output = Command::cargo_bin("pinfold")
        .expect("the program is built")
        .args(args)
        .args(["--json", "--project"])
        .arg(quayside())
        .output()
        .expect("the program runs");
    assert!(output.status.success(), "{args:?}: {}", String::from_utf8_lossy(&output.stdout));
    serde_json::from_slice(&output.stdout).expect("--json prints one object")
}

#[test]
fn the_set_has_five_pieces_of_four_and_five_blocks() {
    let project = Project::read(&quayside()).unwrap_or_else(|report| panic!("{report}"));
    let pieces = &project.set.pieces;
    assert_eq!(pieces.len(), 5);
    assert!(pieces.iter().all(|p| [4, 5].contains(&p.blocks().len())));
    let hinges_of = |piece: &lattice::Piece, block: usize| {
        piece.hinges().iter().filter(|h| h.joins.contains(&block)).count()
    };
    let branched = |p: &&lattice::Piece| (0..p.blocks().len()).any(|b| hinges_of(p, b) > 2);
    assert!(pieces.iter().filter(branched).count() >= 1);
    for level in [0, 1] {
        assert!(pieces.iter().any(|p| p.hinges().iter().any(|h| h.level.0 == level)));
    }
    assert_eq!(project.outlines.len(), 10);
}

#[test]
fn every_outline_has_one_layout_and_it_drops_in() {
    let project = Project::read(&quayside()).unwrap_or_else(|report| panic!("{report}"));
    for outline in &project.outlines {
        let filling = pinfold(&["fill", &outline.name]);
        let numbers = [&filling["different"], &filling["layouts"], &filling["drop_in_layouts"]];
        assert_eq!(numbers, [1, 1, 1], "{}", outline.name);
        assert_eq!(filling["complete"], true);
    }
}

#[test]
fn the_pockets_are_the_fewest_or_the_most_that_do() {
    let project = Project::read(&quayside()).unwrap_or_else(|report| panic!("{report}"));
    let (mut fewest, mut most) = (0, 0);
    for outline in &project.outlines {
        let design = pinfold(&["pockets", &outline.name]);
        let own = outline.outline.pockets().len();
        fewest += usize::from(design["smallest_size"] == own);
        most += usize::from(design["largest_size"] == own);
    }
    assert_eq!((fewest, most), (7, 3));
}

#[test]
fn single_swings_reach_every_fold_of_the_set() {
    let folds = pinfold(&["folds"]);
    for piece in folds["pieces"].as_array().expect("a list of pieces") {
        assert_eq!(piece["reached"], piece["folds"], "{}", piece["name"]);
    }
}
