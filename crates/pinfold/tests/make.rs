//! `pinfold make`, as a person or a script calls it.

mod called;

use std::fs;
use std::path::Path;

use called::{files, json, page, pinfold, project, started, text, unchanged, wrong};
use serde_json::Value;

/// Keys that another program may rely on, by the contract of the answer.
const KEYS: [&str; 8] =
    ["file", "bodies", "volume_mm3", "min_gap_mm", "closed", "overhangs", "minutes", "grams"];

fn part<'a>(answer: &'a Value, name: &str) -> &'a Value {
    let parts = answer["parts"].as_array().unwrap();
    parts.iter().find(|p| p["name"] == name).unwrap_or_else(|| panic!("no part {name}"))
}

#[test]
fn everything_of_a_new_project_is_made_and_proved() {
    let (folder, project) = started();
    let answer = json(&["make", "--proof", "--stl", "--json", "--project", &project], 0);
    assert_eq!(answer["passed"], true);
    let names: Vec<&str> =
        answer["parts"].as_array().unwrap().iter().map(|p| p["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["cleat", "dinghy 1", "dinghy 2", "board", "beacon", "crane", "coupon"]);
    for name in names {
        let part = part(&answer, name);
        assert!(KEYS.iter().all(|key| part.get(key).is_some()), "{part}");
        assert_eq!((&part["closed"], &part["overhangs"]), (&Value::Bool(true), &Value::Array(vec![])));
        assert!(part["minutes"].as_f64().unwrap() > 0.0 && part["grams"].as_f64().unwrap() > 0.0);
    }
    let cleat = part(&answer, "cleat");
    assert_eq!((&cleat["bodies"], &cleat["file"]), (&4.into(), &"pieces/cleat.3mf".into()));
    let hinges = cleat["hinges"].as_array().unwrap();
    assert_eq!(hinges.len(), 3);
    for hinge in hinges {
        let gaps = hinge["gaps_mm"].as_array().unwrap();
        assert_eq!(gaps.len(), 37);
        assert!(gaps.iter().all(|gap| gap.as_f64().unwrap() >= 0.27));
    }
    for proof in answer["proofs"].as_array().unwrap() {
        assert_eq!((&proof["proof"], &proof["complete"]), (&true.into(), &true.into()), "{proof}");
        assert!(proof["tried"].as_u64().unwrap() > 0 && proof["clear"] == proof["tried"]);
        assert!(proof["without_pockets"].as_array().unwrap().iter().all(|w| w["collides"] == true));
    }
    // The files named are the files there, and nothing else is.
    let out = folder.path().join("harbour/out");
    let mut named: Vec<String> =
        answer["files"].as_array().unwrap().iter().map(|f| f["file"].as_str().unwrap().to_owned()).collect();
    named.sort();
    let mut there = files(&out);
    there.sort();
    assert_eq!(there, named);
    let manifest = fs::read_to_string(out.join("manifest.sha256")).unwrap();
    assert_eq!(manifest.lines().count(), named.len() - 1);
    assert!(fs::read_to_string(out.join("cautions.txt")).unwrap().contains("16 CFR 1501"));
}

#[test]
fn two_calls_give_equal_bytes_also_where_one_came_part_by_part() {
    let (folder, project) = started();
    let to = |name: &str| folder.path().join(name).display().to_string();
    pinfold(&["make", "--pictures", "--project", &project, "--out", &to("a")]).success();
    pinfold(&["make", "--pictures", "--project", &project, "--out", &to("b")]).success();
    let (a, b) = (folder.path().join("a"), folder.path().join("b"));
    let names = files(&a);
    assert_eq!(names, files(&b));
    for name in &names {
        assert_eq!(fs::read(a.join(name)).unwrap(), fs::read(b.join(name)).unwrap(), "{name}");
    }
    // A later call for one part leaves the others and what is said of them.
    pinfold(&["make", "beacon", "--project", &project, "--out", &to("b")]).success();
    let kept = names.iter().filter(|n| !n.starts_with("beds/") && !n.ends_with("manifest.sha256"));
    for name in kept {
        if name != "plates/beacon.3mf" {
            assert_eq!(fs::read(a.join(name)).unwrap(), fs::read(b.join(name)).unwrap(), "{name}");
        }
    }
    let manifest = fs::read_to_string(b.join("manifest.sha256")).unwrap();
    let told: Vec<&str> = manifest.lines().map(|line| line.split_once("  ").unwrap().1).collect();
    let there: Vec<String> = files(&b).into_iter().filter(|n| n != "manifest.sha256").collect();
    assert_eq!(told.len(), there.len(), "{told:?} {there:?}");
}

#[test]
fn the_page_tells_parts_beds_time_and_cautions() {
    let (_folder, project) = started();
    let told = page(&["make", "cleat", "coupon", "--project", &project], 0);
    for words in ["cleat", "least gap", "beds/bed-1.3mf: cleat, coupon", "2 parts: ", "by estimate"] {
        assert!(told.contains(words), "{words}: {told}");
    }
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in ["Print the coupon first", "16 CFR 1501", "hot enough to burn", "Local rules"] {
        assert!(told.contains(words), "{words}: {told}");
    }
    let board = page(&["make", "board", "--project", &project], 0);
    assert!(board.contains("board: change the filament before layer 9, at 1.60 mm."), "{board}");
}

#[test]
fn unknown_parts_are_answered_with_the_nearest_all_at_once() {
    let (_folder, project) = started();
    assert_eq!(
        wrong(&["make", "claet", "cuopon", "beacon", "--project", &project]),
        "error: there is no part 'claet', no part 'cuopon'\n  = mend: write 'cleat', 'coupon'\n"
    );
    let told = wrong(&["make", "zzz", "--project", &project]);
    assert!(told.contains("the parts are board, coupon, backing, cleat, dinghy, beacon, crane"), "{told}");
    assert!(!Path::new(&project).join("out").exists());
}

/// Figures that cannot be made: section, line, a word of the sentence.
const WRONG: [(&str, &str, &str); 16] = [
    ("sizes", "pitch = 5", "'pitch' is 5"),
    ("sizes", "knuckle = 0.4", "'knuckle' is 0.4"),
    ("sizes", "knuckle = 7", "wall left between two relieved corners"),
    ("sizes", "clearance = 0.05", "'clearance' is 0.05"),
    ("sizes", "clearance = 0.5", "the clearance is 0.500 mm, but must be at most 0.400 mm"),
    ("sizes", "gap = 0.1", "the gap between turning blocks"),
    ("sizes", "height = 10", "the block's height"),
    ("sizes", "chamfer = 2.5", "'chamfer' is 2.5"),
    ("sizes", "chord_error = 0.1", "the chord error"),
    ("sizes", "mark_depth = 0.25", "the mark's depth"),
    ("sizes", "wall_lines = 2", "'wall_lines' is 2"),
    ("sizes", "groove = 0.7", "the groove's depth"),
    ("sizes", "fit = 0", "a block's air to the wall"),
    ("sizes", "kerf = 2", "the kerf"),
    ("printer", "nozzle = 0.9", "the pin and eye's wall"),
    ("printer", "layer = 0.3", "the layer is 0.300 mm"),
];

#[test]
fn sizes_that_cannot_be_made_are_refused_at_their_place_and_nothing_is_written() {
    for (section, line, words) in WRONG {
        let (_folder, path) = project("pier", |file, text| match file {
            "pinfold.toml" => format!("{text}\n[{section}]\n{line}\n"),
            _ => text,
        });
        let answer = json(&["make", "--json", "--project", &path], 2);
        let errors = answer["errors"].as_array().unwrap();
        let told = errors.iter().find(|e| e["message"].as_str().unwrap().contains(words));
        let told = told.unwrap_or_else(|| panic!("{line}: {answer}"));
        let set = fs::read_to_string(Path::new(&path).join("pinfold.toml")).unwrap();
        let at = set.lines().position(|l| l == line).unwrap() + 1;
        assert_eq!((&told["file"], &told["line"]), (&"pinfold.toml".into(), &at.into()), "{line}: {told}");
        assert!(!told["mend"].as_str().unwrap().is_empty());
        assert!(!Path::new(&path).join("out").exists(), "{line}");
    }
}

#[test]
fn all_wrong_sizes_are_told_at_once() {
    let (_folder, path) = project("pier", |file, text| match file {
        "pinfold.toml" => {
            format!("{text}\n[sizes]\npitch = 2\nheight = 1\n\n[printer]\nwalls = 50\nbed = [10, 220]\n")
        }
        _ => text,
    });
    let answer = json(&["make", "board", "--json", "--project", &path], 2);
    assert_eq!(answer["errors"].as_array().unwrap().len(), 4, "{answer}");
    let told = wrong(&["make", "board", "--project", &path]);
    assert!(told.contains("= mend: give a figure from 6 to 60") && told.ends_with("4 mistakes in 1 file.\n"));
    assert!(!Path::new(&path).join("out").exists());
}

#[test]
fn a_part_larger_than_the_bed_is_not_written_and_an_older_file_of_it_goes() {
    let (folder, path) = project("pier", unchanged);
    let out = folder.path().join("out");
    pinfold(&["make", "board", "--project", &path]).success();
    assert!(out.join("board.3mf").exists());
    let set = folder.path().join("pinfold.toml");
    let text = fs::read_to_string(&set).unwrap();
    fs::write(&set, text + "\n[printer]\nbed = [60, 60]\n").unwrap();
    let answer = json(&["make", "board", "--json", "--project", &path], 1);
    let board = part(&answer, "board");
    assert_eq!(
        (&board["file"], &board["fits_bed"], &answer["passed"]),
        (&Value::Null, &false.into(), &false.into())
    );
    assert_eq!(board["failures"].as_array().unwrap().len(), 1);
    assert!(!out.join("board.3mf").exists());
    assert!(files(&out).iter().all(|f| !f.starts_with("beds/")), "{:?}", files(&out));
    let run = pinfold(&["make", "board", "--project", &path]).code(1);
    assert!(text_of(&run).contains("board failed"));
}

fn text_of(run: &assert_cmd::assert::Assert) -> String {
    text(&run.get_output().stdout)
}

#[test]
fn an_outline_larger_than_the_board_is_told_in_its_own_file() {
    let (folder, path) = project("pier", |file, text| match file {
        "pinfold.toml" => text + "\n[board]\nsize = [2, 2]\n",
        _ => text,
    });
    let answer = json(&["make", "pier", "--json", "--project", &path], 2);
    assert_eq!(answer["errors"][0]["file"], "outlines/pier.toml");
    assert!(answer["errors"][0]["mend"].as_str().unwrap().contains("[board]"));
    assert!(!folder.path().join("out").exists());
}

#[test]
fn a_folder_that_cannot_be_made_is_told() {
    let (folder, project) = started();
    fs::write(folder.path().join("out"), "a file").unwrap();
    let out = folder.path().join("out").display().to_string();
    assert!(wrong(&["make", "cleat", "--out", &out, "--project", &project]).contains("was not written"));
    assert_eq!(fs::read(folder.path().join("out")).unwrap(), b"a file");
}
