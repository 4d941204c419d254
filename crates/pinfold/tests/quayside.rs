//! The demo set keeps its promises: every outline has one essentially
//! different layout, which drops in, and its pockets were found with Pinfold.

use std::fs;
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
    assert_eq!(project.outlines.len(), 30);
    let numbers: std::collections::BTreeSet<_> = project.outlines.iter().map(|o| o.number).collect();
    assert_eq!(numbers, (1..=30).map(Some).collect());
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
    assert_eq!((fewest, most), (23, 7));
}

#[test]
fn single_swings_reach_every_fold_of_the_set() {
    let folds = pinfold(&["folds"]);
    for piece in folds["pieces"].as_array().expect("a list of pieces") {
        assert_eq!(piece["reached"], piece["folds"], "{}", piece["name"]);
    }
}

/// The twenty outlines that came from pictures say which find of which picture
/// they are. Three are sought again; all have their picture.
#[test]
fn outlines_from_pictures_are_found_again() {
    let outlines = quayside().join("outlines");
    let mut from_pictures = 0;
    for picture in fs::read_dir(quayside().join("pictures")).expect("there are pictures") {
        let picture = picture.expect("it can be listed").path();
        let name = picture.file_stem().expect("it has a name").to_str().expect("in letters");
        let file = fs::read_to_string(outlines.join(name).with_extension("toml")).expect("it has an outline");
        let told =
            file.lines().next().and_then(|line| line.strip_prefix("# Find ")).expect("it says where from");
        let (rank, call) = told.split_once(" of ").expect("it says which call");
        assert!(call.contains(&format!("--like pictures/{name}.svg --upright")), "{name}: {call}");
        from_pictures += 1;
        if ["anchor", "key", "whale"].contains(&name) {
            let like = picture.display().to_string();
            let found = pinfold(&["scout", "--like", &like, "--upright", "--show", rank]);
            let find = found["finds"].as_array().and_then(|finds| finds.last()).expect("there are finds");
            let drawing = find["drawing"].as_str().expect("a find has a drawing");
            assert!(file.contains(drawing), "{name}: {drawing}");
        }
    }
    assert_eq!(from_pictures, 20);
}
