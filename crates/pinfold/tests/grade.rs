//! `pinfold grade` and `pinfold packs`, as a person or a script calls them.

mod called;

use std::fs;
use std::path::Path;

use called::{is_golden, json, masked, page, started, text, wrong};
use serde_json::Value;

const FEW: [&str; 2] = ["--runs", "300"];

fn with<'a>(args: &[&'a str], project: &'a str) -> Vec<&'a str> {
    [args, &FEW, &["--project", project]].concat()
}

#[test]
fn the_page_of_a_grade_is_as_agreed() {
    let (_folder, project) = started();
    is_golden(&page(&with(&["grade", "crane"], &project), 0), "grade-crane.txt");
}

#[test]
fn the_record_of_a_grade_has_what_was_agreed() {
    let (_folder, project) = started();
    let told = json(&with(&["grade", "--json"], &project), 0);
    let outlines = told["outlines"].as_array().unwrap();
    assert_eq!(outlines.len(), 2);
    for outline in outlines {
        let steps = told["steps"].as_array().unwrap();
        let effort = outline["effort"].as_f64().unwrap();
        let step = steps.iter().rfind(|s| s["from_effort"].as_f64().unwrap() <= effort).unwrap();
        assert_eq!(outline["grade"], step["grade"]);
        let half = outline["tries"]["50"]["tries"].as_f64().unwrap();
        assert!((half.log2() - effort).abs() < 0.01);
        let [low, high] = [0, 1].map(|i| outline["effort_interval"][i].as_f64().unwrap());
        assert!(low <= effort && effort <= high && low < high);
        let minutes = &outline["minutes"];
        assert_eq!((&minutes["calibrated"], &minutes["basis"]), (&false.into(), &"uncalibrated".into()));
        let bounds = [0, 1].map(|i| minutes["interval"][i].as_f64().unwrap());
        assert!(bounds[0] * 50.0 < bounds[1], "a prior is wide");
        let evidence = &outline["evidence"];
        for key in ["layouts", "layouts_open", "near_fillings", "interlocked"] {
            // With spare cells nobody can say which hole is the last piece's.
            let exact = key != "near_fillings" || outline["outline"] == "beacon";
            assert!(evidence[key]["number"].is_u64() && evidence[key]["exact"] == exact, "{key}");
        }
        let name = outline["outline"].as_str().unwrap();
        let open = json(&["fill", name, "--open", "--json", "--project", &project], 0);
        assert_eq!(evidence["layouts_open"]["number"], open["different"]);
        let own = json(&["fill", name, "--json", "--project", &project], 0);
        assert_eq!(evidence["layouts"]["number"], own["different"]);
        assert!(evidence["sentences"].as_array().unwrap().len() >= 4);
    }
}

/// The minutes that `grade` tells are those that `plays` tells, and both have
/// the efforts that `grade` counted; kept or reckoned anew, the bytes are the same.
#[test]
fn grade_and_plays_tell_the_same_minutes_of_the_same_efforts() {
    let (_folder, project) = started();
    let rows = "tester,outline,minutes,finished\nt1,beacon,9,yes\nt2,beacon,14.5,yes\n";
    fs::write(Path::new(&project).join("plays.csv"), rows).unwrap();
    let graded = json(&["grade", "crane", "--json", "--project", &project], 0);
    let listed = json(&["plays", "--json", "--project", &project], 0);
    let (one, other) = (&graded["outlines"][0], &listed["outlines"][1]);
    assert_eq!((&one["outline"], &other["outline"]), (&"crane".into(), &"crane".into()));
    assert_eq!(one["effort"], other["effort"]);
    let minutes = &one["minutes"];
    assert_eq!((&minutes["calibrated"], &minutes["sittings"]), (&true.into(), &0.into()));
    let told = [&minutes["interval"][0], &minutes["median"], &minutes["interval"][1]];
    assert_eq!(told, ["low", "median", "high"].map(|k| &other["minutes"][k]));
    let [low, high] = [0, 1].map(|i| &minutes["new_tester"][i]);
    assert_eq!([low, high], ["low", "high"].map(|k| &other["new_tester"][k]));
    assert!(page(&["grade", "crane", "--project", &project], 0).contains("By its effort alone"));
    let bytes = || text(&called::pinfold(&["plays", "--project", &project]).success().get_output().stdout);
    let kept = bytes();
    fs::remove_dir_all(Path::new(&project).join("out")).unwrap();
    assert_eq!(bytes(), kept);
    assert!(Path::new(&project).join("out/efforts.json").is_file());
    fs::write(Path::new(&project).join("plays.csv"), format!("{rows}t3,beacon,ten,yes\n")).unwrap();
    assert!(wrong(&["grade", "--project", &project]).contains("plays.csv:4:11"));
}

#[test]
fn the_number_of_threads_changes_nothing_and_the_seed_does() {
    let (_folder, project) = started();
    let run = |threads: &str, seed: &str| {
        let args = with(&["grade", "--json", "--threads", threads, "--seed", seed], &project);
        masked(&text(&called::pinfold(&args).success().get_output().stdout))
    };
    assert_eq!(run("1", "1"), run("2", "1"));
    assert_ne!(run("1", "1"), run("1", "2"));
}

#[test]
fn grades_are_written_once_and_comments_stay() {
    let (folder, project) = started();
    let told = json(&with(&["grade", "crane", "--write", "--json"], &project), 0);
    let word = told["outlines"][0]["grade"].as_str().unwrap();
    let file = Path::new(&project).join("outlines/crane.toml");
    let after = fs::read_to_string(&file).unwrap();
    assert!(after.contains(&format!("grade = \"{word}\"\n")), "{after}");
    let again = json(&with(&["grade", "crane", "--write", "--json"], &project), 0);
    assert_eq!((&again["written"], &again["outlines"][0]["printed"]), (&Value::Array(vec![]), &word.into()));
    assert_eq!(fs::read_to_string(&file).unwrap(), after);
    let svg = folder.path().join("wrong.svg").display().to_string();
    let told = json(&with(&["grade", "--svg", &svg, "--json"], &project), 0);
    assert_eq!(told["files"], serde_json::json!([svg]));
    assert!(fs::read_to_string(&svg).unwrap().contains("wrong starts"));
}

#[test]
fn what_cannot_be_filled_is_a_plain_no() {
    let (_folder, project) = started();
    let file = Path::new(&project).join("outlines/crane.toml");
    let without = fs::read_to_string(&file).unwrap().replace(" o", " +").replace("o ", "+ ");
    fs::write(&file, without).unwrap();
    let told = json(&with(&["grade", "crane", "--json"], &project), 1);
    assert_eq!(told["outlines"][0]["grade"], Value::Null);
    assert!(page(&with(&["grade", "crane"], &project), 1).contains("no grade, for the outline has no valid"));
    assert!(page(&with(&["packs"], &project), 1).contains("'crane' has no grade"));
    assert!(wrong(&["grade", "krane", "--project", &project]).contains("write 'crane'"));
    assert!(wrong(&["packs", "first", "--project", &project]).contains("first-steps"));
    assert!(wrong(&["packs", "--weight", "ramps=1", "--project", &project]).contains("the terms are ramp"));
    assert!(wrong(&["packs", "--weight", "ramp=-1", "--project", &project]).contains("0 or more"));
}

#[test]
fn a_pack_is_ordered_written_and_then_is_the_best() {
    let (folder, project) = started();
    let set = Path::new(&project).join("pinfold.toml");
    let outlines = Path::new(&project).join("outlines");
    // One outline under three names, so that all answers are alike.
    let beacon = fs::read_to_string(outlines.join("beacon.toml")).unwrap();
    let bare = beacon.lines().filter(|l| !l.starts_with("title") && !l.starts_with("number"));
    let bare: Vec<&str> = bare.collect();
    for name in ["quay", "mole"] {
        let text = format!("title = \"{name}\"\n{}\n", bare.join("\n"));
        fs::write(outlines.join(format!("{name}.toml")), text).unwrap();
    }
    let before = fs::read_to_string(&set).unwrap();
    let pack = "\n[[pack]]\nname = \"all\"\noutlines = [\n  \"quay\", # stone\n  \"beacon\", # wood\n  \"mole\",\n]\n\
                \n[[pack]]\nname = \"free\"\nwithin = \"all\"\noutlines = [\"mole\", \"beacon\"]\nfixed = [\"mole\"]\n";
    fs::write(&set, format!("{before}{pack}")).unwrap();
    let svg = folder.path().join("ramp.svg").display().to_string();
    let told = json(&with(&["packs", "--svg", &svg, "--json"], &project), 0);
    assert_eq!(told["files"].as_array().unwrap().len(), 3);
    for pack in &told["packs"].as_array().unwrap()[1..] {
        let [file, proposed] = ["in_the_file", "proposed"].map(|k| &pack[k]["terms"]);
        assert!(proposed["cost"].as_f64() <= file["cost"].as_f64());
        let sum: f64 = ["ramp", "alike", "early", "first", "last"]
            .iter()
            .map(|t| told["weights"][t].as_f64().unwrap() * proposed[t].as_f64().unwrap())
            .sum();
        assert!((sum - proposed["cost"].as_f64().unwrap()).abs() < 0.02, "{pack}");
        assert_eq!(pack["proposed"]["proven"], true);
        assert_eq!(pack["outlines"][0]["like_the_next"], 1.0, "one answer under two names");
    }
    let free = &told["packs"][2];
    assert_eq!((&free["within"], &free["proposed"]["order"][0]), (&"all".into(), &"mole".into()));
    let written = json(&with(&["packs", "all", "--write", "--json"], &project), 0);
    assert_eq!(written["written"], true);
    let after = fs::read_to_string(&set).unwrap();
    assert!(after.contains("\"quay\", # stone\n") && after.contains("\"beacon\", # wood\n"), "{after}");
    let again = json(&with(&["packs", "all", "--json"], &project), 0);
    assert_eq!(again["packs"][0]["in_the_file"], {
        let mut proposed = again["packs"][0]["proposed"].clone();
        proposed.as_object_mut().unwrap().remove("proven");
        proposed
    });
    let told = page(&with(&["packs", "all"], &project), 0);
    assert!(told.contains("The order in the file is the best"), "{told}");
}
