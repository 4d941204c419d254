//! `pinfold pockets`, as a person or a script calls it.

mod called;

use std::fs;
use std::path::Path;

use called::{is_golden, json, masked, page, project, started, text, unchanged, wrong};
use serde_json::Value;

#[test]
fn the_answer_is_as_agreed() {
    let (_folder, project) = started();
    let run = called::pinfold(&["pockets", "crane", "--json", "--project", &project]).success();
    is_golden(&text(&run.get_output().stdout), "pockets-crane.json");
    is_golden(&page(&["pockets", "crane", "--project", &project], 0), "pockets-crane.txt");
}

/// With each end written into the file, the outline has one layout: the one told.
#[test]
fn what_is_written_leaves_the_layout_told() {
    let (_folder, project) = project("basin", unchanged);
    let file = Path::new(&project).join("outlines/tug.toml");
    let before = fs::read_to_string(&file).unwrap();
    let told = json(&["pockets", "tug", "--json", "--project", &project], 0);
    assert_eq!(fs::read_to_string(&file).unwrap(), before, "nothing is written unasked");
    assert_eq!((&told["complete"], &told["written"]), (&true.into(), &Value::Null));
    for which in ["smallest", "largest"] {
        let again = json(&["pockets", "tug", "--write", which, "--json", "--project", &project], 0);
        assert_eq!(again[which], told[which]);
        assert!(again["written"].as_str().unwrap().ends_with("tug.toml"));
        let filled = json(&["fill", "tug", "--json", "--project", &project], 0);
        assert_eq!((&filled["different"], &filled["complete"]), (&1.into(), &true.into()));
        assert_eq!(filled["pockets"], told[which]);
        let set = &told[format!("{which}_set")];
        assert_eq!(filled["answers"][0]["foldings"], set["answer"]["foldings"]);
        let cells = |answer: &Value| -> Vec<Value> {
            answer["pieces"].as_array().unwrap().iter().map(|p| p["cells"].clone()).collect()
        };
        assert_eq!(cells(&filled["answers"][0]), cells(&set["answer"]));
        // Only marks in the drawing change.
        let after = fs::read_to_string(&file).unwrap();
        assert_eq!(after.replace('o', "+"), before.replace('o', "+"));
        // One pocket fewer of the smallest, or any that lets something in, is no such set.
        for further in set["further"].as_array().unwrap() {
            assert!(further["different"].as_u64() <= further["layouts"].as_u64());
        }
    }
    assert!(told["smallest_size"].as_u64() <= told["largest_size"].as_u64());
}

#[test]
fn a_layout_is_named_as_fill_lists_it() {
    let (_folder, project) = started();
    let all = json(&["fill", "crane", "--open", "--answers", "all", "--json", "--project", &project], 0);
    let told = json(&["pockets", "crane", "--json", "--project", &project], 0);
    let number = told["smallest_set"]["layout"].as_u64().unwrap();
    let (listed, left) = (&all["answers"][number as usize - 1], &told["smallest_set"]["answer"]);
    let cells = |answer: &Value| -> Vec<Value> {
        answer["pieces"].as_array().unwrap().iter().map(|p| p["cells"].clone()).collect()
    };
    assert_eq!(cells(listed), cells(left));
    let number = number.to_string();
    let asked = json(&["pockets", "crane", "--layout", &number, "--json", "--project", &project], 0);
    assert_eq!(asked["smallest"], told["smallest"]);
    let message = wrong(&["pockets", "crane", "--layout", "129", "--project", &project]);
    assert!(message.contains("'crane' has 128 essentially different layouts"), "{message}");
}

#[test]
fn a_layout_that_cannot_stand_alone_is_a_plain_no_and_nothing_is_written() {
    let (_folder, project) = started();
    let file = Path::new(&project).join("outlines/crane.toml");
    let before = fs::read(&file).unwrap();
    let args = ["pockets", "crane", "--layout", "5", "--write", "--project", &project];
    let told = page(&args, 1);
    assert!(told.contains("No set of pockets leaves layout 5 alone"), "{told}");
    assert!(told.contains("Nothing was written"), "{told}");
    let answer = json(&["pockets", "crane", "--layout", "5", "--json", "--project", &project], 1);
    assert_eq!((&answer["smallest"], &answer["smallest_set"]), (&Value::Null, &Value::Null));
    assert_eq!(fs::read(&file).unwrap(), before);
}

#[test]
fn where_not_all_is_listed_the_answer_says_so_and_still_holds() {
    let (_folder, project) = started();
    let args = ["pockets", "crane", "--limit", "120", "--write", "largest", "--project", &project];
    let told = json(&[&args[..], &["--json"]].concat(), 0);
    assert_eq!((&told["complete"], &told["stopped"]), (&false.into(), &"limit".into()));
    assert_eq!((&told["largest_proven"], &told["smallest_proven"]), (&false.into(), &false.into()));
    let filled = json(&["fill", "crane", "--json", "--project", &project], 0);
    assert_eq!((&filled["different"], &filled["pockets"]), (&1.into(), &told["largest"]));
    let told = page(&args, 0);
    assert!(told.contains("stopped at the limit of 120 layouts"), "{told}");
    assert!(told.contains("was searched by itself"), "{told}");
    // Where none is found, there may still be one.
    let (_folder, project) = called::project("basin", unchanged);
    let told = page(&["pockets", "tug", "--limit", "300", "--project", &project], 1);
    assert!(told.contains("No set of pockets was found that"), "{told}");
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let (_folder, project) = project("basin", unchanged);
    let with = |threads: &str, form: &[&str]| {
        let args = [&["pockets", "tug", "--threads", threads, "--project", &project], form].concat();
        masked(&text(&called::pinfold(&args).success().get_output().stdout))
    };
    for form in [&["--json"][..], &[]] {
        assert_eq!(with("1", form), with("2", form));
    }
}

#[test]
fn a_sheet_is_drawn() {
    let (folder, project) = started();
    let svg = folder.path().join("out/sheet.svg").display().to_string();
    let answer = json(&["pockets", "crane", "--svg", &svg, "--json", "--project", &project], 0);
    assert_eq!(answer["files"], serde_json::json!([svg]));
    let sheet = fs::read_to_string(&svg).unwrap();
    assert!(sheet.starts_with("<svg") && sheet.trim_end().ends_with("</svg>"));
    assert!(sheet.contains("Crane: pockets"));
}

#[test]
fn wrong_options_are_refused() {
    let (_folder, project) = started();
    for (options, word) in [
        (&["--write", "middle"][..], "smallest, largest"),
        (&["--layout", "0"], "layout"),
        (&["--time", "-1"], "--time"),
        (&["--wirte"], "--write"),
    ] {
        let told = wrong(&[&["pockets", "crane", "--project", &project], options].concat());
        assert!(told.contains(word), "{told}");
    }
}
