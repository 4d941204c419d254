//! `pinfold fill`, as a person or a script calls it.

mod called;

use std::fs;

use called::{is_golden, json, masked, page, project, started, text, unchanged, wrong};
use serde_json::Value;

#[test]
fn the_answer_is_as_agreed() {
    let (_folder, project) = started();
    let run = called::pinfold(&["fill", "crane", "--json", "--project", &project]).success();
    is_golden(&text(&run.get_output().stdout), "fill-crane.json");
    is_golden(&page(&["fill", "beacon", "--project", &project], 0), "fill-beacon.txt");
    is_golden(
        &page(&["fill", "crane", "--open", "--ascii", "--project", &project], 0),
        "fill-crane-open.txt",
    );
}

#[test]
fn every_answer_covers_the_outline_once_and_no_two_are_the_same() {
    let (_folder, project) = project("basin", unchanged);
    let args =
        ["fill", "tug", "--open", "--limit", "300", "--answers", "all", "--json", "--project", &project];
    let answer = json(&args, 0);
    assert_eq!((&answer["different"], &answer["stopped"]), (&300.into(), &"limit".into()));
    let mut seen = Vec::new();
    for shown in answer["answers"].as_array().unwrap() {
        let mut cells: Vec<String> =
            shown["empty"].as_array().unwrap().iter().map(Value::to_string).collect();
        let pieces = shown["pieces"].as_array().unwrap();
        let names: Vec<&str> = pieces.iter().map(|p| p["piece"].as_str().unwrap()).collect();
        assert_eq!(names, ["cleat", "fender", "shackle", "painter", "grapnel"]);
        cells.extend(pieces.iter().flat_map(|p| p["cells"].as_array().unwrap()).map(Value::to_string));
        cells.sort();
        cells.dedup();
        assert_eq!(cells.len(), 22);
        assert_ne!(shown["drop_in"].is_null(), shown["interlocked"].is_null());
        seen.push(pieces.iter().map(|p| p["cells"].to_string()).collect::<String>());
    }
    seen.sort();
    seen.dedup();
    assert_eq!(seen.len(), 300);
}

#[test]
fn counting_gives_the_numbers_of_listing() {
    let (_folder, project) = project("basin", unchanged);
    let listed = json(&["fill", "tug", "--open", "--answers", "0", "--json", "--project", &project], 0);
    let counted = json(&["fill", "tug", "--open", "--count", "--json", "--project", &project], 0);
    for key in ["different", "layouts", "foldings", "complete", "stopped"] {
        assert_eq!(listed[key], counted[key], "{key}");
    }
    assert_eq!(counted["drop_in_layouts"], Value::Null);
    assert_eq!(counted["answers"], Value::Array(vec![]));
    assert!(listed["drop_in_layouts"].as_u64() < listed["layouts"].as_u64());
}

#[test]
fn turns_are_shown_only_if_asked_for() {
    let (_folder, project) = project("pier", unchanged);
    let shown = |more: &[&str]| -> Vec<String> {
        let args =
            ["fill", "pier", "--open", "--limit", "20", "--answers", "all", "--json", "--project", &project];
        let answer = json(&[&args, more].concat(), 0);
        answer["answers"].as_array().unwrap().iter().map(kinds).collect()
    };
    let turned = |answers: &[String]| -> usize {
        // Read backwards, the rows of a rectangle are those of its half turn.
        answers.iter().filter(|a| answers.contains(&a.chars().rev().collect())).count()
    };
    let (plain, with_turns) = (shown(&[]), shown(&["--turns"]));
    assert_eq!(turned(&plain), 0);
    assert_eq!(turned(&with_turns), with_turns.len());
    assert_eq!(with_turns.len(), 2 * plain.len());
}

/// Which kind of piece covers each of the pier's cells, row by row.
fn kinds(answer: &Value) -> String {
    let mut cells = [[' '; 5]; 8];
    for piece in answer["pieces"].as_array().unwrap() {
        let kind = piece["piece"].as_str().unwrap().chars().next().unwrap();
        for cell in piece["cells"].as_array().unwrap() {
            let at = |i: usize| cell[i].as_u64().unwrap() as usize;
            cells[at(1)][at(0)] = kind;
        }
    }
    cells.iter().flatten().collect()
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let (_folder, project) = project("basin", unchanged);
    for args in [
        &["fill", "tug", "--open", "--answers", "20", "--json"][..],
        &["fill", "tug", "--open", "--limit", "500", "--answers", "20", "--json"],
        &["fill", "tug", "--open", "--limit", "7", "--turns"],
        &["fill", "tug"],
    ] {
        let with = |threads: &str| {
            let all = [args, &["--threads", threads, "--project", &project]].concat();
            masked(&text(&called::pinfold(&all).get_output().stdout))
        };
        assert_eq!(with("1"), with("2"), "{args:?}");
    }
}

#[test]
fn no_filling_is_a_plain_no() {
    let (_folder, project) = project("basin", unchanged);
    let answer = json(&["fill", "tug", "--json", "--project", &project], 1);
    assert_eq!((&answer["layouts"], &answer["complete"]), (&0.into(), &true.into()));
    let told = page(&["fill", "tug", "--project", &project], 1);
    assert!(told.contains("There is no filling. `pinfold fill tug --open`"), "{told}");
    let counted = json(&["fill", "tug", "--count", "--json", "--project", &project], 1);
    assert_eq!(counted["different"], 0);
}

#[test]
fn interlocked_layouts_are_solutions_only_if_the_set_says_so() {
    let (_folder, strict) = project("basin", unchanged);
    let answer = json(&["fill", "moorings", "--json", "--project", &strict], 1);
    assert_eq!((&answer["layouts"], &answer["drop_in_layouts"]), (&2.into(), &0.into()));
    assert_eq!(answer["answers"][0]["interlocked"], serde_json::json!(["cleat", "fender", "painter"]));
    assert_eq!(answer["answers"][0]["drop_in"], Value::Null);
    let told = page(&["fill", "moorings", "--project", &strict], 1);
    assert!(told.contains("interlocked: cleat before fender before painter before cleat"), "{told}");
    assert!(told.contains("Every layout is interlocked"), "{told}");
    let (_folder, mild) =
        project("basin", |_, text| text.replace("levels = 2 ", "interlocked = true\nlevels = 2 "));
    let allowed = json(&["fill", "moorings", "--json", "--project", &mild], 0);
    assert_eq!(allowed["answers"], answer["answers"]);
}

#[test]
fn the_rule_on_folds_is_held_to() {
    let with = |rule: &str| {
        let line = format!("[set]\nreach = \"{rule}\"");
        project("float", move |_, text| text.replace("[set]", &line))
    };
    let layouts = |project: &str| {
        json(&["fill", "float", "--open", "--json", "--project", project], 0)["layouts"].as_u64()
    };
    let ((_a, any), (_b, swings), (_c, planned)) = (with("any"), with("swings"), with("planned"));
    assert!(layouts(&any) > layouts(&swings));
    // The opened loop is among the answers only where it need not be reached.
    let reach = &json(&["fill", "float", "--open", "--json", "--project", &swings], 0)["reach"];
    assert_eq!(*reach, "swings");
    let told = page(&["fill", "float", "--open", "--project", &swings], 0);
    assert!(told.contains("only those that clear single swings reach"), "{told}");
    // All four hinges of the ring turn at once: what no swing reaches, a planned motion does.
    assert_eq!(layouts(&planned), layouts(&any));
    let told = page(&["fill", "float", "--open", "--project", &planned], 0);
    assert!(told.contains("the planner's effort"), "{told}");
    let (_d, basin) = project("basin", |_, text| text.replace("[set]", "[set]\nreach = \"planned\""));
    json(&["fill", "tug", "--open", "--limit", "1", "--json", "--project", &basin], 0);
}

#[test]
fn the_swings_to_each_fold_are_named_if_asked_for() {
    let (_folder, basin) = project("basin", unchanged);
    let answer =
        json(&["fill", "tug", "--open", "--limit", "1", "--swings", "--json", "--project", &basin], 0);
    let pieces = answer["answers"][0]["pieces"].as_array().unwrap();
    for piece in pieces {
        for swing in piece["swings"].as_array().unwrap() {
            assert!(["clockwise", "anticlockwise"].contains(&swing["turn"].as_str().unwrap()));
            assert!(swing["hinge"].is_u64() && !swing["blocks"].as_array().unwrap().is_empty());
        }
    }
    let all: usize = pieces.iter().map(|p| p["swings"].as_array().unwrap().len()).sum();
    let told = page(&["fill", "tug", "--open", "--limit", "1", "--swings", "--project", &basin], 0);
    assert_eq!(told.matches("clockwise").count(), all, "{told}");
    // A loop opens by no single swing.
    let (_folder, float) = project("float", unchanged);
    let told = page(&["fill", "float", "--open", "--swings", "--project", &float], 0);
    assert!(told.contains("buoy: no single swings lead there"), "{told}");
}

#[test]
fn time_ends_a_search_that_is_too_long() {
    let (_folder, project) = project("pier", unchanged);
    let args = ["fill", "pier", "--open", "--time", "0.3", "--json", "--project", &project];
    let run = called::pinfold(&args);
    let answer: Value = serde_json::from_slice(&run.get_output().stdout).unwrap();
    assert_eq!((&answer["complete"], &answer["stopped"]), (&false.into(), &"time".into()));
    assert!(answer["seconds"].as_f64().unwrap() >= 0.3);
    let found = answer["drop_in_layouts"].as_u64().unwrap() > 0;
    assert_eq!(run.get_output().status.code(), Some(if found { 0 } else { 1 }));
}

#[test]
fn pictures_are_numbered() {
    let (folder, project) = started();
    let out = folder.path().join("out");
    let (svg, png) =
        (out.join("crane.svg").display().to_string(), out.join("crane.png").display().to_string());
    let args = ["fill", "crane", "--open", "--svg", &svg, "--png", &png, "--project", &project];
    let told = page(&args, 0);
    assert!(told.contains("crane.svg and 5 more"), "{told}");
    let expected = ["crane-2.png", "crane-2.svg", "crane-3.png", "crane-3.svg", "crane.png", "crane.svg"]
        .map(String::from);
    assert_eq!(called::files(&out), expected);
    let first = fs::read_to_string(out.join("crane.svg")).unwrap();
    assert!(first.contains("Crane, 1") && first.trim_end().ends_with("</svg>"));
    // An answer alone needs no number.
    let one = out.join("one.svg").display().to_string();
    page(&["fill", "crane", "--svg", &one, "--project", &project], 0);
    assert!(fs::read_to_string(&one).unwrap().contains("<title>Crane</title>"));
}

#[test]
fn an_unknown_outline_is_answered_with_the_nearest() {
    let (_folder, project) = started();
    for command in ["fill", "pockets"] {
        assert_eq!(
            wrong(&[command, "baecon", "--project", &project]),
            "error: there is no outline 'baecon'\n  = mend: write 'beacon'\n"
        );
        let answer = json(&[command, "lighthouse", "--json", "--project", &project], 2);
        assert_eq!(answer["errors"][0]["mend"], "the project has beacon, crane");
    }
}

#[test]
fn wrong_options_are_refused() {
    let (_folder, project) = started();
    for (options, word) in [
        (&["--limit", "0"][..], "limit"),
        (&["--threads", "0"], "threads"),
        (&["--time", "soon"], "give seconds"),
        (&["--time", "0"], "give seconds"),
        (&["--answers", "some"], "give a number"),
        (&["--count", "--limit", "3"], "cannot be used with"),
        (&["--opne"], "--open"),
    ] {
        let told = wrong(&[&["fill", "crane", "--project", &project], options].concat());
        assert!(told.contains(word), "{told}");
        let answer = json(&[&["fill", "crane", "--json", "--project", &project], options].concat(), 2);
        assert!(answer["errors"][0]["message"].is_string());
    }
    assert!(wrong(&["fill", "--project", &project]).contains("<OUTLINE>"));
}
