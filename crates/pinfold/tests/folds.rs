//! `pinfold folds`, as a person or a script calls it.

mod called;

use std::fs;
use std::path::Path;

use called::{is_golden, json, page, project, started, text, unchanged, wrong};
use serde_json::Value;

#[test]
fn folds_counts_what_each_piece_can_become() {
    let (_folder, project) = started();
    let answer = json(&["folds", "--json", "--project", &project], 0);
    let pieces = answer["pieces"].as_array().unwrap();
    let names: Vec<&str> = pieces.iter().map(|p| p["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["cleat", "dinghy"]);
    // A two-block piece has 6 fixed folds on 4 shapes, all within one swing (derived by hand).
    let dinghy = json(&["folds", "dinghy", "--json", "--project", &project], 0);
    assert_eq!(dinghy["pieces"][0], pieces[1]);
    assert_eq!((&pieces[1]["folds"], &pieces[1]["shapes"]), (&6.into(), &4.into()));
    assert_eq!((&pieces[1]["reached"], &pieces[1]["farthest"]), (&6.into(), &1.into()));
    assert_eq!(pieces[1]["copies"], 2);
    is_golden(&page(&["folds", "--project", &project], 0), "folds.txt");
}

#[test]
fn each_fold_is_told_with_its_cells_pins_distance_and_shape() {
    let (_folder, project) = started();
    let args = ["folds", "cleat", "--each", "--way", "--json", "--project", &project];
    let piece = &json(&args, 0)["pieces"][0];
    let each = piece["each"].as_array().unwrap();
    assert_eq!(piece["folds"], each.len());
    assert_eq!(piece["shapes"], each.last().unwrap()["shape"]);
    assert!(each.iter().all(|f| f["cells"].as_array().unwrap().len() == 4));
    assert!(each.iter().all(|f| f["pins"].as_array().unwrap().len() == 3));
    let reached: Vec<u64> = each.iter().filter_map(|f| f["distance"].as_u64()).collect();
    assert_eq!(piece["reached"], reached.len());
    assert_eq!(piece["farthest"], *reached.iter().max().unwrap());
    let same_cells = |w: &[Value]| (w[0]["cells"] == w[1]["cells"]) == (w[0]["shape"] == w[1]["shape"]);
    assert!(each.windows(2).all(same_cells));
    // The way has as many swings as its goal is far.
    let goal = piece["way"]["to"].as_u64().unwrap() as usize - 1;
    assert_eq!(each[goal]["distance"], piece["way"]["swings"].as_array().unwrap().len());
    let dinghy = pinfold_out(&["folds", "dinghy", "--each", "--json", "--project", &project]);
    is_golden(&dinghy, "folds-dinghy.json");
}

fn pinfold_out(args: &[&str]) -> String {
    text(&called::pinfold(args).success().get_output().stdout)
}

#[test]
fn what_single_swings_miss_is_told() {
    let (_folder, project) = project("float", unchanged);
    let buoy = &json(&["folds", "buoy", "--json", "--project", &project], 0)["pieces"][0];
    assert_eq!((&buoy["folds"], &buoy["reached"], &buoy["missed"]), (&6.into(), &2.into(), &4.into()));
    assert_eq!(buoy["looped_hinges"], serde_json::json!([0, 1, 2, 3]));
    let told = page(&["folds", "--draw", "all", "--ascii", "--project", &project], 0);
    assert!(told.is_ascii());
    is_golden(&told, "folds-float.txt");
}

#[test]
fn only_so_many_are_drawn() {
    let (_folder, project) = started();
    assert!(page(&["folds", "cleat", "--draw", "4", "--project", &project], 0).contains("4 of 15 folds"));
    assert!(page(&["folds", "cleat", "--draw", "--project", &project], 0).contains("12 of 15 folds"));
    assert!(page(&["folds", "cleat", "--draw", "all", "--project", &project], 0).contains(": 15 folds"));
    let way = page(&["folds", "cleat", "--way", "--project", &project], 0);
    assert!(way.contains("5: hinge"), "{way}");
    assert!(!way.contains('\u{1b}'), "colours where nobody sees them");
}

#[test]
fn pictures_are_written_whole_into_a_folder() {
    let (folder, project) = started();
    let to = folder.path().join("out/folds");
    let out = to.display().to_string();
    let args = ["folds", "--way", "--svg", &out, "--png", &out, "--json", "--project", &project];
    let answer = json(&args, 0);
    let expected: Vec<String> = ["svg", "png"]
        .iter()
        .flat_map(|e| ["cleat-folds", "cleat-way", "dinghy-folds", "dinghy-way"].map(|n| format!("{n}.{e}")))
        .collect();
    let named: Vec<String> = answer["files"].as_array().unwrap().iter().map(name_of).collect();
    assert_eq!(named, expected);
    let mut sorted = expected;
    sorted.sort();
    assert_eq!(called::files(&to), sorted);
    for name in sorted {
        let bytes = fs::read(to.join(&name)).unwrap();
        let whole = if name.ends_with("svg") {
            bytes.starts_with(b"<svg") && bytes.trim_ascii_end().ends_with(b"</svg>")
        } else {
            bytes.starts_with(b"\x89PNG\r\n") && bytes.ends_with(b"IEND\xaeB`\x82")
        };
        assert!(whole, "{name}");
    }
}

fn name_of(path: &Value) -> String {
    Path::new(path.as_str().unwrap()).file_name().unwrap().to_string_lossy().into_owned()
}

#[test]
fn a_folder_that_cannot_be_made_is_told() {
    let (folder, project) = started();
    fs::write(folder.path().join("out"), "a file").unwrap();
    let out = folder.path().join("out").display().to_string();
    assert!(wrong(&["folds", "--svg", &out, "--project", &project]).contains("was not written"));
    assert_eq!(fs::read(folder.path().join("out")).unwrap(), b"a file");
}

#[test]
fn an_unknown_piece_is_answered_with_the_nearest() {
    let (_folder, project) = started();
    assert_eq!(
        wrong(&["folds", "dingy", "--project", &project]),
        "error: there is no piece 'dingy'\n  = mend: write 'dinghy'\n"
    );
    let answer = json(&["folds", "lighthouse", "--project", &project, "--json"], 2);
    assert_eq!(answer["errors"][0]["mend"], "the project has cleat, dinghy");
}

#[test]
fn wrong_options_are_refused() {
    let (_folder, project) = started();
    assert!(wrong(&["folds", "--each", "--project", &project]).contains("--json"));
    assert!(wrong(&["folds", "--draw", "few", "--project", &project]).contains("give a number"));
    assert!(wrong(&["folds", "--drow", "--project", &project]).contains("--draw"));
}

/// The starter's cleat replaced by a straight chain of `hinges` hinges.
fn long_chain(hinges: usize) -> String {
    let blocks: Vec<String> = (0..=hinges).map(|x| format!("[{x}, 0]")).collect();
    let pins: Vec<String> = (0..hinges)
        .map(|i| format!("{{ pin = [{}, {}], joins = [{i}, {}] }}", i + 1, i % 2, i + 1))
        .collect();
    format!(
        "\n[[piece]]\nname = \"hawser\"\ncolour = \"#0072B2\"\nblocks = [{}]\nhinges = [{}]\n",
        blocks.join(", "),
        pins.join(", ")
    )
}

#[test]
fn pieces_with_too_many_folds_to_list_are_refused_at_once() {
    let with = |hinges: usize| {
        project("float", move |file, text| match file {
            "pinfold.toml" => text + &long_chain(hinges),
            // The outline takes the chain's blocks as well.
            _ => format!(
                "title = \"Float\"\nspare = 0\ndrawing = \"\"\"\n{}\n{}\n{}\n\"\"\"\n",
                "+ ".repeat(hinges + 8),
                " #".repeat(hinges + 7),
                "+ ".repeat(hinges + 8)
            ),
        })
    };
    let (_folder, project) = with(80);
    for args in [&["folds"][..], &["folds", "hawser"], &["fill", "float"], &["pockets", "float"]] {
        let told = wrong(&[args, &["--project", &project]].concat());
        assert!(told.contains("'hawser' has 80 hinges"), "{told}");
        assert!(told.contains("at most 12 hinges"), "{told}");
    }
    // What does not need that piece's folds is answered.
    json(&["folds", "buoy", "--json", "--project", &project], 0);
    let (_folder, project) = with(13);
    assert!(wrong(&["folds", "--project", &project]).contains("13 hinges"));
}

#[test]
fn sizes_that_do_not_go_together_are_told_with_their_limits() {
    let (_folder, project) =
        project(
            "float",
            |file, text| if file == "pinfold.toml" { text + "\n[sizes]\nknuckle = 9\n" } else { text },
        );
    let told = wrong(&["folds", "--project", &project]);
    assert!(
        told.contains("knuckle + clearance is 9.3 mm; it must be less than half the pitch, 7.5 mm"),
        "{told}"
    );
    let answer = json(&["folds", "--json", "--project", &project], 2);
    assert_eq!(answer["errors"][0]["mend"], "change [sizes] in pinfold.toml");
}

#[test]
fn the_planner_opens_what_swings_cannot() {
    let (_folder, float) = project("float", unchanged);
    let answer = json(&["folds", "buoy", "--plan", "--json", "--project", &float], 0);
    let planned = &answer["pieces"][0]["planned"];
    assert_eq!(
        (&planned["planned"], &planned["not_found"], &planned["never"]),
        (&4.into(), &0.into(), &0.into())
    );
    let told = page(&["folds", "buoy", "--plan", "--project", &float], 0);
    assert!(told.contains("several hinges at once reach 4 of these"), "{told}");
    assert!(planned["looks"].as_u64().unwrap() > 0);
}
