//! `pinfold play`, as a person or a script calls it.

mod called;

use std::fs;
use std::path::Path;

use called::{json, page, started, wrong};

/// Where the pages have not been built, the program says what to run; where
/// they have, as before `cargo xtask test`, it writes them.
#[test]
fn the_page_is_written_or_what_is_missing_is_said() {
    let (_folder, project) = started();
    let file = Path::new(&project).join("out/play.html");
    if !play::Page::is_built() {
        let said = wrong(&["play", "--project", &project]);
        assert!(said.contains("built without its pages") && said.contains("cargo xtask web"), "{said}");
        assert!(!file.exists());
        return;
    }
    let told = json(&["play", "--json", "--project", &project], 0);
    assert_eq!(told["outlines"], serde_json::json!(["beacon", "crane"]));
    let html = fs::read_to_string(&file).unwrap();
    assert_eq!(told["bytes"], html.len());
    assert!(html.contains("connect-src 'none'"));
    // Equal input, equal bytes; and one outline is a smaller page than two.
    let one = Path::new(&project).join("one.html");
    let named = one.display().to_string();
    let said = page(&["play", "crane", "--out", &named, "--project", &project], 0);
    assert!(said.contains("1 outline to try: crane"), "{said}");
    let first = fs::read(&one).unwrap();
    page(&["play", "crane", "--out", &named, "--project", &project], 0);
    assert_eq!(fs::read(&one).unwrap(), first);
    assert!(first.len() < html.len());
}

#[test]
fn wrong_calls_write_nothing() {
    let (_folder, project) = started();
    let said = wrong(&["play", "cran", "--project", &project]);
    assert!(said.contains("there is no outline 'cran'") && said.contains("write 'crane'"), "{said}");
    let said = wrong(&["play", "crane", "crane", "--project", &project]);
    assert!(said.contains("named twice"), "{said}");
    assert!(!Path::new(&project).join("out").exists());
}

#[test]
fn the_entry_page_is_written_or_what_is_missing_is_said() {
    let (_folder, project) = started();
    let said = wrong(&["race", "page", "--pack", "first", "--project", &project]);
    assert!(said.contains("there is no pack 'first'"), "{said}");
    // No race is open yet, and none is made by asking.
    wrong(&["race", "page", "--project", &project]);
    wrong(&["race", "page", "--pack", "first-steps", "--race", "spring", "--project", &project]);
    assert!(!Path::new(&project).join("out").exists());
    let file = Path::new(&project).join("out/entry.html");
    if !play::EntryPage::is_built() {
        let said = wrong(&["race", "page", "--pack", "first-steps", "--project", &project]);
        assert!(said.contains("built without its pages") && said.contains("cargo xtask web"), "{said}");
        assert!(!file.exists());
        return;
    }
    let told = json(&["race", "page", "--pack", "first-steps", "--json", "--project", &project], 0);
    assert_eq!(told["outlines"], serde_json::json!(["beacon", "crane"]));
    assert!(told["race"].is_null() && told["until"].is_null());
    let html = fs::read_to_string(&file).unwrap();
    assert_eq!(told["bytes"], html.len());
    assert!(html.contains("connect-src 'none'"));
    let said = page(&["race", "page", "--pack", "first-steps", "--project", &project], 0);
    assert!(said.contains("2 outlines to enter: beacon, crane"), "{said}");
    assert_eq!(fs::read_to_string(&file).unwrap(), html);
}
