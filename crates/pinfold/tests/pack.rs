//! `pinfold pack` and `pinfold pictures`, as a person or a script calls them.

mod called;

use std::fs;
use std::path::{Path, PathBuf};

use called::{files, json, page, pinfold, started, wrong};

/// A started project whose outlines have numbers.
fn numbered() -> (tempfile::TempDir, String) {
    let (folder, project) = started();
    for (name, number) in [("beacon", 1), ("crane", 2)] {
        let path = Path::new(&project).join(format!("outlines/{name}.toml"));
        let text = fs::read_to_string(&path).unwrap();
        fs::write(&path, text.replace("drawing =", &format!("number = {number}\ndrawing ="))).unwrap();
    }
    (folder, project)
}

fn path(value: &serde_json::Value) -> PathBuf {
    value.as_str().expect("a path").into()
}

#[test]
fn a_pack_is_made_twice_with_equal_bytes_verified_and_refused_when_spoiled() {
    let (_folder, project) = numbered();
    let call = ["pack", "first-steps", "--json", "--project", &project];
    let made = json(&call, 0);
    let (zip, dir) = (path(&made["zip"]), path(&made["folder"]));
    let first = fs::read(&zip).unwrap();
    for name in ["README.md", "LICENCE.txt", "CAUTIONS.txt", "SEAL.txt", "VERSION", "MANIFEST.json"] {
        assert!(dir.join(name).is_file(), "{name}");
    }
    for name in ["print/beds/bed-1.3mf", "print/stl/beds/bed-1.stl", "pictures/swings/cleat.png"] {
        assert!(dir.join(name).is_file(), "{name}");
    }
    // A file of an earlier version that the pack no longer has goes; the maker's own stays.
    let readme = fs::read_to_string(dir.join("README.md")).unwrap();
    assert!(readme.contains("- 1: Beacon\n- 2: Crane") && !readme.contains("{{"), "{readme}");
    fs::write(dir.join("my-notes.txt"), "mine").unwrap();
    let again = json(&call, 0);
    assert_eq!((fs::read(&zip).unwrap(), &again["seal"]), (first.clone(), &made["seal"]));
    assert!(dir.join("my-notes.txt").is_file());
    let zip_path = zip.display().to_string();
    let sound = json(&["pack", "--verify", &zip_path, "--json", "--project", &project], 0);
    assert_eq!((&sound["sound"], &sound["sha256"]), (&true.into(), &made["sha256"]));
    assert_eq!(sound["layouts_looked_for"], 2);
    // Away from the project there is less to look for.
    let told = page(&["pack", "--verify", &zip_path, "--project", &dir.display().to_string()], 0);
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("is a sound pack"), "{told}");
    let mut spoiled = first;
    let middle = spoiled.len() / 2;
    spoiled[middle] ^= 1;
    fs::write(&zip, &spoiled).unwrap();
    let bad = json(&["pack", "--verify", &zip_path, "--json", "--project", &project], 1);
    assert!(!bad["faults"].as_array().unwrap().is_empty());
    fs::write(&zip, "no archive").unwrap();
    let told = wrong(&["pack", "--verify", &zip_path, "--project", &project]);
    assert!(told.contains("no archive that can be read"), "{told}");
}

#[test]
fn the_sealed_answers_stay_with_the_maker() {
    let (_folder, project) = numbered();
    let made = json(&["pack", "first-steps", "--json", "--project", &project], 0);
    let sealed = fs::read(path(&made["answers"][0])).unwrap();
    assert_eq!(solid::sha256(&sealed), made["seal"].as_str().unwrap());
    let lines = String::from_utf8(sealed).unwrap();
    let salt = fs::read_to_string(Path::new(&project).join("sealed/first-steps.salt")).unwrap();
    assert!(lines.starts_with(&salt) && salt.trim_end().len() == 64);
    assert!(lines.contains("\npack first-steps 1.0\noutline 1 beacon all 1\n"), "{lines}");
    let dir = path(&made["folder"]);
    for name in files(&dir) {
        let bytes = fs::read(dir.join(&name)).unwrap();
        let has = |text: &str| bytes.windows(text.len()).any(|w| w == text.as_bytes());
        assert!(!has(salt.trim_end()), "{name} has the salt");
    }
}

#[test]
fn numbers_templates_and_names_that_are_wrong_are_told_at_their_places() {
    let (_folder, project) = started();
    let told = wrong(&["pack", "first-steps", "--project", &project]);
    for words in
        ["'beacon' of the pack 'first-steps' has no number yet", "outlines/crane.toml:", "number = 2"]
    {
        assert!(told.contains(words), "{words}: {told}");
    }
    assert!(!Path::new(&project).join("sealed").exists());
    let told = wrong(&["pack", "first-step", "--project", &project]);
    assert!(told.contains("write 'first-steps'"), "{told}");
    fs::create_dir(Path::new(&project).join("templates")).unwrap();
    let template = Path::new(&project).join("templates/README.md");
    fs::write(&template, "# {{title}}\n\nBy {{ desinger }}\n").unwrap();
    let told = wrong(&["pack", "first-steps", "--number", "--project", &project]);
    for words in ["templates/README.md:3:4", "no field 'desinger'", "write {{designer}}"] {
        assert!(told.contains(words), "{words}: {told}");
    }
    // The numbers were written before: they are the outlines', not the pack's.
    let crane = fs::read_to_string(Path::new(&project).join("outlines/crane.toml")).unwrap();
    assert!(crane.contains("number = 2\n"), "{crane}");
    assert!(!Path::new(&project).join("out").exists());
}

#[test]
fn an_outline_that_cannot_be_filled_makes_no_pack() {
    let (_folder, project) = numbered();
    let path = Path::new(&project).join("outlines/crane.toml");
    let text = fs::read_to_string(&path).unwrap();
    // Without its pockets it has no layout.
    let (head, drawing) = text.split_once("\"\"\"").unwrap();
    fs::write(&path, format!("{head}\"\"\"{}", drawing.replace('o', "+"))).unwrap();
    let no = json(&["pack", "first-steps", "--json", "--project", &project], 1);
    assert_eq!(no["unfilled"], serde_json::json!(["crane"]));
    assert!(!Path::new(&project).join("out").exists());
}

#[test]
fn pictures_come_in_the_sizes_asked_for() {
    let (folder, project) = numbered();
    let out = folder.path().join("shop").display().to_string();
    let call = |what: &str, more: &[&str]| {
        let mut args = vec!["pictures", what, "--size", "320x180", "--out", &out, "--project", &project];
        args.extend(more);
        pinfold(&args).success();
    };
    call("set", &["--ground", "#102030"]);
    call("pieces", &["cleat"]);
    call("plates", &[]);
    call("sheet", &["--with-answers"]);
    call("swings", &["--swings", "4"]);
    let there = files(Path::new(&out));
    let wanted = [
        "outlines-answers-320x180.png",
        "outlines-answers.svg",
        "piece-cleat-320x180.png",
        "piece-cleat.svg",
        "plate-beacon-320x180.png",
        "plate-beacon.svg",
        "plate-crane-320x180.png",
        "plate-crane.svg",
        "set-320x180.png",
        "set.svg",
        "swings-cleat-320x180.png",
        "swings-cleat.svg",
        "swings-dinghy-320x180.png",
        "swings-dinghy.svg",
    ];
    assert_eq!(there, wanted);
    for name in there.iter().filter(|n| n.ends_with(".png")) {
        // PNG (ISO/IEC 15948): width and height stand in the header chunk.
        let bytes = fs::read(Path::new(&out).join(name)).unwrap();
        let side = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().unwrap());
        assert_eq!((side(16), side(20)), (320, 180), "{name}");
    }
    let told = wrong(&["pictures", "swings", "claet", "--project", &project]);
    assert!(told.contains("write 'cleat'"), "{told}");
}
