//! `pinfold paper`, as a person or a script calls it.

mod called;

use std::fs;
use std::path::Path;

use called::{json, page, started, wrong};

#[test]
fn pages_are_written_and_are_the_same_bytes_again() {
    let (_folder, project) = started();
    let told = json(&["paper", "booklet", "--paper", "letter", "--json", "--project", &project], 0);
    assert_eq!((&told["paper"], &told["outlines"]), (&"letter".into(), &2.into()));
    let document = &told["documents"][0];
    // Title, pieces, rules with the list, two outlines on one page.
    assert_eq!((&document["page"], &document["pages"]), (&"booklet".into(), &4.into()));
    assert_eq!(document["pdf_ua"], true);
    let file = Path::new(&project).join("out/paper/booklet-letter.pdf");
    let bytes = fs::read(&file).unwrap();
    assert!(bytes.starts_with(b"%PDF-1.7") && document["bytes"] == bytes.len());
    // By words of people: where it is, and how to print it.
    let said = page(&["paper", "booklet", "--paper", "letter", "--project", &project], 0);
    assert!(said.contains("booklet-letter.pdf (4 pages)") && said.contains("at 100 %"), "{said}");
    assert_eq!(fs::read(&file).unwrap(), bytes);
    // The answers are another file, and have the layouts.
    let told = json(&["paper", "answers", "--date", "2026-11-25", "--json", "--project", &project], 0);
    assert!(told["documents"][0]["file"].as_str().unwrap().ends_with("answers-a4.pdf"));
}

#[test]
fn wrong_calls_write_nothing() {
    let (_folder, project) = started();
    let out = Path::new(&project).join("out/paper");
    for (words, told) in [
        (&["plan", "nowhere"][..], "there is no pack 'nowhere'"),
        (&["plan", "--date", "2026-02-30"], "2026-02-30 is no date"),
        (&["plan", "--font", "no-such-font.ttf"], "no-such-font.ttf"),
        (&["poster"], "poster"),
    ] {
        let call: Vec<&str> =
            ["paper"].iter().chain(words).chain(&["--project", &project]).copied().collect();
        let said = wrong(&call);
        assert!(said.contains(told), "{said}");
        assert!(!out.exists());
    }
    let outline = Path::new(&project).join("outlines/crane.toml");
    let text = fs::read_to_string(&outline).unwrap();
    let title = text.lines().find(|l| l.starts_with("title")).unwrap();
    fs::write(&outline, text.replace(title, "title = \"Crane 港\"")).unwrap();
    let said = wrong(&["paper", "plan", "--project", &project]);
    assert!(said.contains("U+6E2F") && said.contains("Crane 港") && said.contains("--font"), "{said}");
    assert!(!out.exists());
}
