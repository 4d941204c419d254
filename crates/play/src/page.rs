//! The built page with a set and its outlines written into it.

use project::{OutlineRecord, Project};
use reach::Plan;

use crate::record::DataRecord;

/// The page as built; empty where it was not.
const BUILT: &str = include_str!(concat!(env!("OUT_DIR"), "/page.html"));

/// Whether the page was there when this program was built.
pub const HAS_PAGES: bool = !BUILT.is_empty();

/// What stands in the built page where the set goes.
const DATA: &str = "<script type=\"application/json\" id=\"pinfold-data\">null</script>";
/// What its content security policy says of connections.
const SILENT: &str = "connect-src 'none'";
/// And what it says on a page that the workshop serves.
const HOME: &str = "connect-src 'self'";
/// The title it is built with.
const TITLE: &str = "Play";

/// Where a page's plays go.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sending<'a> {
    /// They stay on the page until the tester saves them as a file.
    #[default]
    Nowhere,
    /// They are also posted as JSON to this path of the server that the page
    /// came from, as in `/play/k3v9/plays`.
    To(&'a str),
}

/// Why there is no page.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlayError {
    /// The program was built without its pages.
    #[error("this program was built without its pages")]
    NotBuilt,
    /// The built page does not have a place where it should.
    #[error("the page that this program was built with has no place for {what}")]
    OtherPage {
        /// What was to be put there.
        what: &'static str,
    },
    /// The path is none of a server.
    #[error("plays can't be sent to `{path}`: it must begin with one slash and be plain")]
    BadPath {
        /// The path.
        path: String,
    },
    /// There is nothing to play.
    #[error("the page has no outlines")]
    NoOutlines,
    /// More pieces than letters and digits: layouts can't be written down.
    #[error("layouts of {pieces} pieces can't be written in single letters; up to 62 can")]
    TooManyPieces {
        /// Pieces of the set.
        pieces: usize,
    },
}

/// A play page to be written.
#[derive(Clone, Copy, Debug)]
pub struct Page<'a> {
    /// The set.
    pub project: &'a Project,
    /// How wide its bodies are.
    pub plan: &'a Plan,
    /// The outlines, in the order in which they are offered.
    pub outlines: &'a [&'a OutlineRecord],
    /// Where plays go.
    pub sending: Sending<'a>,
}

impl Page<'_> {
    /// Whether this program was built with its pages.
    pub fn is_built() -> bool {
        !BUILT.is_empty()
    }

    /// The page as HTML, everything in it. Under the rule `planned` motions are
    /// searched for, which takes seconds.
    ///
    /// # Errors
    /// No outlines, a bad path, or a program built without its pages.
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
        let send = match self.sending {
            Sending::Nowhere => None,
            Sending::To(path) if is_path(path) => Some(path),
            Sending::To(path) => return Err(PlayError::BadPath { path: path.to_owned() }),
        };
        let data = DataRecord::new(self.project, self.plan, self.outlines, send);
        let data = serde_json::to_string(&data).expect("a record of numbers and text is JSON");
        let mut page = put(built, &data, TITLE, &self.project.title)?;
        if send.is_some() {
            // The policy stands before anything that the set could have written.
            if !page.contains(SILENT) {
                return Err(PlayError::OtherPage { what: "a server" });
            }
            page = page.replacen(SILENT, HOME, 1);
        }
        Ok(page)
    }
}

/// A built page with its data and its title, `titled` being the one it was built with.
pub(crate) fn put(built: &str, data: &str, titled: &str, title: &str) -> Result<String, PlayError> {
    let data = DATA.replace("null", &harmless(data));
    let titled = format!("<title>{titled}</title>");
    let title = format!("<title>{}</title>", escaped(title));
    let mut page = built.to_owned();
    for (place, with, what) in [(DATA, data.as_str(), "the set"), (&titled, &title, "a title")] {
        if page.matches(place).count() != 1 {
            return Err(PlayError::OtherPage { what });
        }
        page = page.replacen(place, with, 1);
    }
    Ok(page)
}

/// JSON that no HTML parser takes for the end of a script or a comment.
fn harmless(json: &str) -> String {
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

/// One slash, then plain parts: nothing that could lead to another server.
fn is_path(path: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || "/-_.~".contains(c);
    path.starts_with('/') && !path.contains("//") && path.chars().all(plain)
}

#[cfg(test)]
mod tests {
    use super::*;
    use browser::Desk;
    use serde_json::{Value, json};
    use std::path::Path;

    const EMPTY: &str = "<meta content=\"default-src 'none'; connect-src 'none'\"><title>Play</title>\
        <script type=\"application/json\" id=\"pinfold-data\">null</script>";

    fn quayside() -> Project {
        Project::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../quayside")).unwrap()
    }

    fn data(page: &str) -> Value {
        let start = page.find("pinfold-data\">").unwrap() + "pinfold-data\">".len();
        let end = start + page[start..].find("</script>").unwrap();
        serde_json::from_str(&page[start..end]).unwrap()
    }

    fn page(project: &Project, sending: Sending) -> Result<String, PlayError> {
        let outlines: Vec<&OutlineRecord> = project.outlines.iter().collect();
        Page { project, plan: &Plan::default(), outlines: &outlines, sending }.written_into(EMPTY)
    }

    #[test]
    fn the_page_has_the_rules_and_no_answer() {
        let project = quayside();
        let page = page(&project, Sending::Nowhere).unwrap();
        assert!(page.contains("connect-src 'none'") && page.contains("<title>Quayside</title>"));
        let data = data(&page);
        let keys = |v: &Value| v.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
        assert_eq!(
            keys(&data["outlines"][0]),
            ["name", "title", "number", "grade", "cells", "pockets", "spare"]
        );
        assert_eq!(keys(&data["set"]["pieces"][0]), ["blocks", "hinges", "rigid"]);
        assert_eq!(data["send"], Value::Null);
    }

    #[test]
    fn the_core_opens_the_set_as_written() {
        let data = data(&page(&quayside(), Sending::Nowhere).unwrap());
        let mut desk = Desk::default();
        let mut ask = |question: Value| -> Value {
            serde_json::from_slice(&desk.ask(question.to_string().as_bytes(), &|| 0.0)).unwrap()
        };
        assert_eq!(ask(json!({ "open": { "set": data["set"] } })), json!({ "pieces": 5 }));
        for outline in data["outlines"].as_array().unwrap() {
            let asked = json!({ "cells": outline["cells"], "pockets": outline["pockets"],
                "spare": outline["spare"] });
            let read = ask(json!({ "outline": { "outline": asked } }));
            assert_eq!(read["pockets"], outline["pockets"], "{read}");
        }
    }

    #[test]
    fn a_page_of_the_workshop_may_send_there_alone() {
        let project = quayside();
        let page_of = |path| page(&project, Sending::To(path));
        let page = page_of("/play/k3v9/plays").unwrap();
        assert!(page.contains("connect-src 'self'") && !page.contains("connect-src 'none'"));
        assert_eq!(data(&page)["send"], "/play/k3v9/plays");
        for path in ["//elsewhere/x", "https://elsewhere", "play", "/a\"b", "/a b", "/\\\\x"] {
            assert_eq!(page_of(path), Err(PlayError::BadPath { path: path.to_owned() }));
        }
    }

    #[test]
    fn titles_cannot_break_out() {
        let mut project = quayside();
        project.title = "</script><script>alert(1)</script><!-- & \u{2028}".into();
        project.outlines[0].title = "</ScRiPt><img src=x onerror=alert(1)>".into();
        let page = page(&project, Sending::Nowhere).unwrap();
        assert_eq!(page.matches("</script").count(), 1);
        assert!(!page.contains("<img") && !page.contains("<!--"));
        assert_eq!(data(&page)["title"], project.title.as_str());
    }

    #[test]
    fn another_page_is_refused_not_spoiled() {
        let project = quayside();
        let outlines: Vec<&OutlineRecord> = project.outlines.iter().collect();
        let plan = Plan::default();
        let page = Page { project: &project, plan: &plan, outlines: &outlines, sending: Sending::Nowhere };
        assert_eq!(page.written_into("<html></html>"), Err(PlayError::OtherPage { what: "the set" }));
        let none = Page { outlines: &[], ..page };
        assert_eq!(none.written_into(EMPTY), Err(PlayError::NoOutlines));
    }
}
