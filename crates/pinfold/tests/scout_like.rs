//! Outlines like pictures: found, told, kept; wrong files and wrong calls.

mod called;

use std::fs;
use std::path::Path;

use called::{json, masked, page, pinfold, started, text, wrong};
use serde_json::{Value, json as value};

/// An SVG of squares: rows of `#`, the top row first.
fn picture(folder: &Path, name: &str, rows: &[&str]) -> String {
    let mut body = String::new();
    for (y, row) in rows.iter().enumerate() {
        for (x, _) in row.bytes().enumerate().filter(|m| m.1 == b'#') {
            body += &format!("<rect x=\"{}\" y=\"{}\" width=\"1\" height=\"1\"/>", x + 1, y + 1);
        }
    }
    let (w, h) = (rows[0].len() + 2, rows.len() + 2);
    let path = folder.join(name);
    let svg = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {w} {h}\">{body}</svg>");
    fs::write(&path, svg).unwrap();
    path.display().to_string()
}

#[test]
fn finds_like_a_picture_are_ranked_proven_and_kept() {
    let (folder, project) = started();
    let crane = picture(folder.path(), "crane.svg", &["####", "#...", "#...", "##.."]);
    let call = ["scout", "--like", &crane, "--show", "3", "--json", "--project", &project];
    let answer = json(&[&call[..], &["--keep", "2", "--name", "crane like"]].concat(), 2);
    assert!(answer["errors"][0]["message"].as_str().unwrap().contains("crane like"));
    let answer = json(&[&call[..], &["--keep", "2", "--name", "derrick"]].concat(), 0);
    let told = &answer["pictures"][0];
    assert!(told["wish"]["overlap"].as_f64().unwrap() > 0.9, "{told}");
    assert_eq!(told["wish"]["degrees"], 0);
    assert_eq!(told["parts"], 1);
    let finds = answer["finds"].as_array().unwrap();
    assert_eq!(finds.len(), 3);
    let score = |find: &Value| find["score"].as_f64().unwrap();
    assert!(finds.windows(2).all(|w| score(&w[0]) >= score(&w[1])));
    for (k, find) in finds.iter().enumerate() {
        let near = &told["nearest"][k];
        assert_eq!(score(find), near["likeness"].as_f64().unwrap());
        let count = |key: &str| near[key].as_array().unwrap().len();
        assert_eq!(count("cells"), 8);
        let marks = |mark: char| near["drawing"].as_str().unwrap().matches(mark).count();
        assert_eq!((marks('+'), marks('-')), (count("added"), count("missed")));
        assert_eq!(marks('#') + marks('+'), 8);
    }
    for name in ["derrick-1", "derrick-2"] {
        let filling = json(&["fill", name, "--json", "--project", &project], 0);
        assert_eq!((&filling["different"], &filling["drop_in_layouts"]), (&value!(1), &value!(1)));
    }
    let one =
        text(&pinfold(&[&call[..], &["--threads", "1"]].concat()).success().get_output().stdout.clone());
    let three =
        text(&pinfold(&[&call[..], &["--threads", "3"]].concat()).success().get_output().stdout.clone());
    assert_eq!(masked(&one), masked(&three));
}

#[test]
fn a_wish_that_cannot_be_had_is_told_with_the_reason_and_drawn() {
    let (folder, project) = started();
    let apart = picture(folder.path(), "apart.svg", &["####...####"]);
    let call = ["--upright", "--ascii", "--project", &project];
    let told = page(&[&["scout", "--like", &apart][..], &call].concat(), 0);
    for words in ["They fall into 2 parts that share no side", "  # # # # . . # # # #", "1: 0.", "added"] {
        assert!(told.contains(words), "{words}: {told}");
    }
    assert!(told.is_ascii(), "{told}");
    // Two pictures at once: each find says which it is like.
    let ell = picture(folder.path(), "ell.svg", &["##...", "##...", "####."]);
    let both = page(&[&["scout", "--like", &apart, "--like", &ell][..], &call].concat(), 0);
    assert!(both.contains("apart.svg: ") && both.contains("ell.svg: "), "{both}");
}

#[test]
fn cells_may_stay_empty_if_that_is_wished() {
    let (folder, project) = started();
    let block = picture(folder.path(), "block.svg", &["###", "###", "###"]);
    let call = ["scout", "--like", &block, "--spare", "1", "--upright", "--show", "1", "--keep", "1"];
    let answer = json(&[&call[..], &["--json", "--project", &project]].concat(), 0);
    assert_eq!(answer["pictures"][0]["wish"]["cells"].as_array().unwrap().len(), 9);
    let file = fs::read_to_string(format!("{project}/outlines/find-1.toml")).unwrap();
    assert!(file.contains("spare = 1"), "{file}");
    let filling = json(&["fill", "find-1", "--json", "--project", &project], 0);
    assert_eq!((&filling["different"], &filling["complete"]), (&value!(1), &value!(true)));
}

#[test]
fn every_wrong_file_is_told_at_once_and_nothing_is_looked_for() {
    let (folder, project) = started();
    let at = |name: &str| folder.path().join(name).display().to_string();
    fs::write(at("letter.png"), "Dear harbour master,").unwrap();
    fs::write(at("empty.jpg"), "").unwrap();
    fs::write(at("clear.svg"), "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"/>").unwrap();
    let files = ["letter.png", "empty.jpg", "clear.svg", "nowhere.svg"].map(at);
    let mut call = vec!["scout", "--project", &project];
    call.extend(files.iter().flat_map(|file| ["--like", file]));
    let told = wrong(&call);
    for sentence in [
        "letter.png: it is not a picture",
        "empty.jpg: the file is empty",
        "clear.svg: there is no ink",
        "nowhere.svg cannot be read",
        "mend: name a PNG, JPEG or SVG",
    ] {
        assert!(told.contains(sentence), "{sentence}: {told}");
    }
    let ell = picture(folder.path(), "ell.svg", &["#..", "###"]);
    for (options, word) in [
        (&["--upright"][..], "--like"),
        (&["--like", &ell, "--near", "beacon"], "cannot be used with"),
        (&["--like", &ell, "--catalogue", "x"], "cannot be used with"),
        (&["--like", &ell, "--tries", "0"], "0 is not in 1"),
        (&["--like", &ell, "--spare", "250"], "250"),
    ] {
        let told = wrong(&[&["scout", "--project", &project][..], options].concat());
        assert!(told.contains(word), "{options:?}: {told}");
    }
}

#[test]
fn looks_can_be_scored_by_a_folder_of_pictures() {
    let (folder, project) = started();
    let pictures = folder.path().join("pictures");
    fs::create_dir(&pictures).unwrap();
    let shown = pictures.display().to_string();
    let call = ["scout", "--box", "4x3", "--alike", "--show", "all", "--project", &project];
    assert!(wrong(&[&call[..], &["--pictures", &shown]].concat()).contains("has no pictures"));
    picture(&pictures, "ell.svg", &["#...", "#...", "####", "..##"]);
    fs::write(pictures.join("notes.txt"), "not a picture, and not read").unwrap();
    let terms = |more: &[&str]| -> Vec<(f64, Value)> {
        let answer = json(&[&call[..], &["--json"], more].concat(), 0);
        let one = |find: &Value| (find["score"].as_f64().unwrap(), find["terms"].clone());
        answer["finds"].as_array().unwrap().iter().map(one).collect()
    };
    let likeness = |terms: &Value| {
        let term = terms.as_array().unwrap().iter().find(|t| t["name"] == "likeness").cloned();
        term.map(|t| t["value"].as_f64().unwrap())
    };
    assert!(terms(&[]).iter().all(|(_, t)| likeness(t).is_none()));
    let scored = terms(&["--pictures", &shown]);
    let all: Vec<f64> = scored.iter().map(|(_, t)| likeness(t).unwrap()).collect();
    assert!(all.iter().all(|l| (0.0..=1.0).contains(l)));
    assert!(
        all.iter().copied().fold(0.0, f64::max) > all.iter().copied().fold(1.0, f64::min) + 0.2,
        "{all:?}"
    );
    // A catalogue knows by which pictures its outlines were scored.
    let kept = folder.path().join("kept").display().to_string();
    pinfold(&[&call[..], &["--pictures", &shown, "--catalogue", &kept]].concat()).success();
    assert!(wrong(&[&call[..], &["--catalogue", &kept]].concat()).contains("other pictures"));
}
