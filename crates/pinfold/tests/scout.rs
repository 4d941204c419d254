//! Outlines found, ranked and kept; near misses; wrong calls.

mod called;

use std::fs;

use called::{json, masked, page, pinfold, started, text, wrong};
use serde_json::{Value, json as value};

#[test]
fn every_find_of_a_box_is_what_fill_and_pockets_say() {
    let (_folder, project) = started();
    let answer = json(
        &[
            "scout",
            "--box",
            "4x3",
            "--show",
            "4",
            "--keep",
            "3",
            "--name",
            "quay",
            "--json",
            "--project",
            &project,
        ],
        0,
    );
    assert_eq!(answer["complete"], true);
    assert_eq!(answer["looked_at"], answer["outlines_in_all"]);
    assert_eq!(answer["kept"], value!(["quay-1", "quay-2", "quay-3"]));
    let finds = answer["finds"].as_array().unwrap();
    assert_eq!(finds.len(), 4);
    for (find, name) in finds.iter().zip(["quay-1", "quay-2", "quay-3"]) {
        let filling = json(&["fill", name, "--json", "--project", &project], 0);
        assert_eq!((&filling["different"], &filling["complete"]), (&value!(1), &value!(true)));
        let design = json(&["pockets", name, "--json", "--project", &project], 0);
        for (ours, theirs) in [
            ("different", "different_open"),
            ("layouts", "layouts_open"),
            ("smallest_size", "smallest_size"),
            ("smallest_count", "smallest_count"),
            ("largest_size", "largest_size"),
        ] {
            assert_eq!(find[ours], design[theirs], "{name}: {ours}");
        }
        let file = fs::read_to_string(format!("{project}/outlines/{name}.toml")).unwrap();
        assert!(file.contains(find["drawing"].as_str().unwrap()), "{file}");
        assert!(file.contains("title = \"Quay "), "{file}");
        assert!(file.contains("# "), "what it was found by stands in it: {file}");
        let terms = find["terms"].as_array().unwrap();
        let sum = |f: &dyn Fn(&Value) -> f64| terms.iter().map(f).sum::<f64>();
        let weight = |t: &Value| t["weight"].as_f64().unwrap();
        let score = sum(&|t| weight(t) * t["value"].as_f64().unwrap()) / sum(&weight);
        assert!((score - find["score"].as_f64().unwrap()).abs() < 1e-9);
    }
    pinfold(&["check", "--project", &project]).success();
}

#[test]
fn nothing_is_ever_kept_over_a_file() {
    let (_folder, project) = started();
    let call = ["scout", "--box", "4x3", "--keep", "1", "--json", "--project", &project];
    assert_eq!(json(&call, 0)["kept"], value!(["find-1"]));
    let first = fs::read(format!("{project}/outlines/find-1.toml")).unwrap();
    let pick = ["scout", "--box", "4x3", "--pick", "2,1", "--json", "--project", &project];
    assert_eq!(json(&pick, 0)["kept"], value!(["find-2", "find-3"]));
    assert_eq!(fs::read(format!("{project}/outlines/find-1.toml")).unwrap(), first);
    let told = wrong(&["scout", "--box", "4x3", "--pick", "1,100000", "--project", &project]);
    assert!(told.contains("there is no find 100000"), "{told}");
}

#[test]
fn near_misses_are_better_by_the_wish_and_any_number_of_threads_finds_the_same() {
    let (_folder, project) = started();
    // One that needs many pockets, so that others do with fewer.
    let all = ["scout", "--box", "4x3", "--alike", "--show", "all", "--json", "--project", &project];
    let all = json(&all, 0);
    let size = |find: &Value| find["smallest_size"].as_u64().unwrap();
    let most = all["finds"].as_array().unwrap().iter().max_by_key(|f| size(f)).unwrap();
    let pick = most["rank"].to_string();
    let call = ["scout", "--box", "4x3", "--alike", "--pick", &pick, "--json", "--project", &project];
    assert_eq!(json(&call, 0)["kept"], value!(["find-1"]));
    let near = |wish: &str, threads: &str| {
        let call = ["scout", "--near", "find-1", "--moves", "2", "--wish", wish, "--show", "5"];
        let more = ["--threads", threads, "--json", "--project", &project];
        let run = pinfold(&[&call[..], &more].concat()).success();
        masked(&text(&run.get_output().stdout))
    };
    for wish in ["unique", "harder", "fewer-pockets"] {
        let told = near(wish, "1");
        assert_eq!(told, near(wish, "2"));
        let answer: Value = serde_json::from_str(&told.replace("\"seconds\": _", "\"seconds\": 0")).unwrap();
        assert_eq!(answer["near"]["all"], true);
        assert_eq!(answer["near"]["different"], most["different"]);
        for find in answer["finds"].as_array().unwrap() {
            assert_eq!(find["smallest_proven"], true);
            match wish {
                "harder" => assert!(find["different"].as_u64() > most["different"].as_u64()),
                "fewer-pockets" => assert!(size(find) < size(most)),
                _ => {}
            }
            assert!(find["notes"][0].as_str().unwrap().starts_with("moved ("));
        }
    }
    // Nothing does with less than one pocket.
    let call = ["scout", "--near", "beacon", "--wish", "fewer-pockets", "--json", "--project", &project];
    assert_eq!(json(&call, 1)["finds"], value!([]));
}

#[test]
fn finds_are_sorted_filtered_and_drawn_as_asked() {
    let (folder, project) = started();
    let sheet = |ending: &str| folder.path().join(format!("out/finds.{ending}")).display().to_string();
    for (ending, start) in [("svg", &b"<svg"[..]), ("png", b"\x89PNG"), ("pdf", b"%PDF")] {
        let call = [
            "scout",
            "--box",
            "4x3",
            "--show",
            "5",
            "--sheet",
            &sheet(ending),
            "--json",
            "--project",
            &project,
        ];
        assert_eq!(json(&call, 0)["files"], value!([sheet(ending)]));
        assert!(fs::read(sheet(ending)).unwrap().starts_with(start));
    }
    let call =
        ["scout", "--box", "4x4", "--sort", "layouts", "--most-pockets", "2", "--alike", "--show", "all"];
    let answer = json(&[&call[..], &["--json", "--project", &project]].concat(), 0);
    let finds = answer["finds"].as_array().unwrap();
    assert_eq!(value!(finds.len()), answer["found"]);
    assert!(finds.iter().all(|f| f["smallest_size"].as_u64().unwrap() <= 2));
    assert!(finds.windows(2).all(|w| w[0]["different"].as_u64() >= w[1]["different"].as_u64()));
    let told = page(&["scout", "--box", "4x3", "--show", "2", "--ascii", "--project", &project], 0);
    assert!(told.is_ascii() && told.contains("1: "), "{told}");
}

#[test]
fn a_sample_says_what_share_it_is_and_the_seed_is_all_that_matters() {
    let (_folder, project) = started();
    let sample = |seed: &str| {
        let call =
            ["scout", "--box", "6x6", "--sample", "100", "--seed", seed, "--json", "--project", &project];
        json(&call, 0)
    };
    let (one, again, other) = (sample("1"), sample("1"), sample("2"));
    assert_eq!(one["finds"], again["finds"]);
    assert_ne!(one["finds"], other["finds"]);
    let all = one["outlines_in_all"].as_f64().unwrap();
    assert!((one["share"].as_f64().unwrap() * all - 100.0).abs() < 2.0);
    assert!((60..140).contains(&one["looked_at"].as_u64().unwrap()));
}

#[test]
fn wrong_calls_are_told_with_what_would_be_right() {
    let (_folder, project) = started();
    for (options, word) in [
        (&[][..], "--box"),
        (&["--box", "4"], "6x5"),
        (&["--box", "2x2"], "no outline of 8 fits in"),
        (&["--box", "4x3", "--symmetry", "odd"], "half-turn"),
        (&["--box", "4x3", "--near", "beacon"], "cannot be used with"),
        (&["--near", "beacno"], "write 'beacon'"),
        (&["--near", "crane"], "spare"),
        (&["--box", "4x3", "--shard", "1/2"], "--catalogue"),
        (&["--box", "4x3", "--shard", "3/2", "--catalogue", "x"], "3/8"),
        (&["--box", "4x3", "--sheet", "finds.bmp"], ".svg, .png or .pdf"),
        (&["--box", "4x3", "--keep", "1", "--name", "a/b"], "letters, digits"),
        (&["--catalogue", "nowhere"], "has no catalogue"),
    ] {
        let told = wrong(&[&["scout", "--project", &project], options].concat());
        assert!(told.contains(word), "{options:?}: {told}");
    }
}
