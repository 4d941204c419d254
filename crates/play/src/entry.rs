//! The entry page: where an entrant of a race paints a layout and gets its code.

use project::{OutlineRecord, Project};
use reach::Plan;

use crate::page::{PlayError, put};
use crate::record::EntryRecord;

/// The page as it was built, or nothing.
const BUILT: &str = include_str!(concat!(env!("OUT_DIR"), "/entry.html"));
/// The title it is built with.
const TITLE: &str = "Entry";

/// An entry page to be written.
#[derive(Clone, Copy, Debug)]
pub struct EntryPage<'a> {
    /// The set.
    pub project: &'a Project,
    /// How wide its bodies are.
    pub plan: &'a Plan,
    /// The outlines, in the order in which they are offered.
    pub outlines: &'a [&'a OutlineRecord],
    /// What the race is called, if the page is for one.
    pub race: Option<&'a str>,
    /// Until when entries are taken, in words.
    pub until: Option<&'a str>,
}

impl EntryPage<'_> {
    /// Whether this program was built with its pages.
    pub fn is_built() -> bool {
        !BUILT.is_empty()
    }

    /// The page as HTML, everything in it: the rules, no answer. Under the rule
    /// `planned` motions are searched for, which takes seconds.
    ///
    /// # Errors
    /// No outlines, pieces that can't be told apart by a letter, or a program built
    /// without its pages.
    pub fn html(&self) -> Result<String, PlayError> {
        if !Self::is_built() {
            return Err(PlayError::NotBuilt);
        }
        self.written_into(BUILT)
    }

    fn written_into(&self, built: &str) -> Result<String, PlayError> {
        if self.outlines.is_empty() {
            return Err(PlayError::NoOutlines);
        }
        let data = EntryRecord::new(self.project, self.plan, self.outlines, self.race, self.until);
        let letters = data.letters();
        if (1..letters.len()).any(|i| letters[..i].contains(&letters[i])) {
            return Err(PlayError::TooManyPieces { pieces: letters.len() });
        }
        let data = serde_json::to_string(&data).expect("a record of numbers and text is JSON");
        put(built, &data, TITLE, self.race.unwrap_or(&self.project.title))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use browser::Desk;
    use serde_json::{Value, json};
    use std::path::Path;

    const EMPTY: &str = "<meta content=\"default-src 'none'; connect-src 'none'\"><title>Entry</title>\
        <script type=\"application/json\" id=\"pinfold-data\">null</script>";

    fn quayside() -> Project {
        Project::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../quayside")).unwrap()
    }

    fn page(project: &Project, race: Option<&str>) -> Result<String, PlayError> {
        let outlines: Vec<&OutlineRecord> = project.outlines.iter().collect();
        EntryPage { project, plan: &Plan::default(), outlines: &outlines, race, until: Some("Sunday") }
            .written_into(EMPTY)
    }

    fn data(page: &str) -> Value {
        let start = page.find("pinfold-data\">").unwrap() + "pinfold-data\">".len();
        let end = start + page[start..].find("</script>").unwrap();
        serde_json::from_str(&page[start..end]).unwrap()
    }

    #[test]
    fn the_page_has_the_rules_and_no_answer() {
        let page = page(&quayside(), Some("Spring </script> & tide")).unwrap();
        assert!(page.contains("<title>Spring &lt;/script> &amp; tide</title>"));
        assert_eq!(page.matches("</script").count(), 1);
        let data = data(&page);
        let keys: Vec<&String> = data.as_object().unwrap().keys().collect();
        assert_eq!(keys, ["version", "title", "set", "unit", "art", "outlines", "race", "until"]);
        assert_eq!((&data["race"], &data["until"]), (&json!("Spring </script> & tide"), &json!("Sunday")));
        let outline: Vec<&String> = data["outlines"][0].as_object().unwrap().keys().collect();
        assert_eq!(outline, ["name", "title", "number", "grade", "cells", "pockets", "spare"]);
    }

    #[test]
    fn the_core_takes_the_set_with_the_letters_of_the_drawings() {
        let project = quayside();
        let data = data(&page(&project, None).unwrap());
        let mut set = data["set"].clone();
        let letters: String =
            data["art"].as_array().unwrap().iter().map(|a| a["letter"].as_str().unwrap()).collect();
        assert_eq!(letters, "CFSPG");
        set["letters"] = json!(letters);
        let mut desk = Desk::default();
        let mut ask = |question: Value| -> Value {
            serde_json::from_slice(&desk.ask(question.to_string().as_bytes(), &|| 0.0)).unwrap()
        };
        assert_eq!(ask(json!({ "open": { "set": set } })), json!({ "pieces": 5 }));
        let o = &data["outlines"][0];
        let outline = json!({ "cells": o["cells"], "pockets": o["pockets"], "spare": o["spare"] });
        let told = ask(json!({ "painted": { "outline": outline, "covered": [] } }));
        assert_eq!((&told["accepted"], &told["error"]), (&json!(false), &Value::Null));
    }

    #[test]
    fn another_page_is_refused_not_spoiled() {
        let project = quayside();
        let plan = Plan::default();
        let outlines: Vec<&OutlineRecord> = project.outlines.iter().collect();
        let page = EntryPage { project: &project, plan: &plan, outlines: &outlines, race: None, until: None };
        assert_eq!(page.written_into("<html></html>"), Err(PlayError::OtherPage { what: "the set" }));
        assert_eq!(EntryPage { outlines: &[], ..page }.written_into(EMPTY), Err(PlayError::NoOutlines));
    }
}
