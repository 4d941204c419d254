//! The start page over its socket: projects listed, one begun, one opened, and
//! the workshop then at the same address; whoever has no token gets nothing.

use std::fs;
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::sync::mpsc;
use std::time::{Duration, Instant};

use tempfile::TempDir;
use workshop::{Options, StartOptions};

const SET: &str = include_str!("../../pinfold/src/commands/start/pinfold.toml");
const BEACON: &str = include_str!("../../pinfold/src/commands/start/beacon.toml");
const CRANE: &str = include_str!("../../pinfold/src/commands/start/crane.toml");

struct Started {
    folder: TempDir,
    host: String,
    token: String,
}

fn begin(root: &Path) -> Result<(), String> {
    if root.exists() {
        return Err(format!("the folder {} is not empty", root.display()));
    }
    fs::create_dir_all(root.join("outlines")).map_err(|e| e.to_string())?;
    let files = [("pinfold.toml", SET), ("outlines/beacon.toml", BEACON), ("outlines/crane.toml", CRANE)];
    files.into_iter().try_for_each(|(name, text)| fs::write(root.join(name), text).map_err(|e| e.to_string()))
}

/// A start page over a folder with one project and one folder that is none.
fn started() -> Started {
    let folder = tempfile::tempdir().unwrap();
    begin(&folder.path().join("harbour & co")).unwrap();
    fs::create_dir(folder.path().join("drafts")).unwrap();
    let options = StartOptions {
        folder: folder.path().to_owned(),
        begin,
        options: Options {
            root: "nowhere".into(),
            port: 0,
            pages: None,
            program: "none".into(),
            share: None,
        },
    };
    let (tell, told) = mpsc::channel();
    std::thread::spawn(move || workshop::start(&options, |at| tell.send(at.clone()).unwrap()));
    let at = told.recv().unwrap();
    let host = at.workshop.trim_start_matches("http://").trim_end_matches('/').to_owned();
    Started { folder, host, token: at.token }
}

impl Started {
    fn asked(&self, head: &str, body: &str) -> String {
        self.tried(head, body).unwrap()
    }

    fn tried(&self, head: &str, body: &str) -> std::io::Result<String> {
        let mut stream = TcpStream::connect(&self.host)?;
        stream.set_read_timeout(Some(Duration::from_secs(30)))?;
        let length = body.len();
        write!(stream, "{head}connection: close\r\ncontent-length: {length}\r\n\r\n{body}")?;
        let mut text = String::new();
        stream.read_to_string(&mut text)?;
        Ok(text)
    }

    fn read(&self, path: &str) -> String {
        self.asked(&format!("GET {path} HTTP/1.1\r\nhost: {}\r\n", self.host), "")
    }

    fn posted(&self, path: &str, token: &str, name: &str) -> String {
        let head = format!(
            "POST {path} HTTP/1.1\r\nhost: {}\r\ncontent-type: application/x-www-form-urlencoded\r\n",
            self.host
        );
        self.asked(&head, &format!("token={token}&name={name}"))
    }

    /// Waits until the workshop of a project answers; between the two servers a
    /// connection may be dropped.
    fn opened(&self) -> String {
        let end = Instant::now() + Duration::from_secs(20);
        loop {
            let head = format!("GET /api/project HTTP/1.1\r\nhost: {}\r\n", self.host);
            let answer = self.tried(&head, "").unwrap_or_default();
            if answer.starts_with("HTTP/1.1 200") || Instant::now() > end {
                return answer;
            }
        }
    }
}

#[test]
fn projects_are_listed_and_one_is_opened_at_the_same_address() {
    let started = started();
    let page = started.read("/");
    assert!(page.contains("harbour &amp; co") && !page.contains("drafts"), "{page}");
    assert!(page.contains("form-action 'self'"));
    let answer = started.posted("/open", &started.token, "harbour+%26+co");
    assert!(answer.starts_with("HTTP/1.1 303") && answer.contains("location: /"), "{answer}");
    let answer = started.opened();
    assert!(answer.contains("Harbour starter"), "{answer}");
}

#[test]
fn a_project_is_begun_and_opened() {
    let started = started();
    let answer = started.posted("/new", &started.token, "spring+tide");
    assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
    assert!(started.folder.path().join("spring tide/pinfold.toml").is_file());
    let answer = started.opened();
    assert!(answer.contains("Harbour starter"), "{answer}");
}

#[test]
fn what_is_wrong_is_told_on_the_page_and_nothing_is_made() {
    let started = started();
    let token = started.token.clone();
    for (path, token, name, told) in [
        ("/new", token.as_str(), "..%2Faway", "nothing else"),
        ("/new", &token, "", "needs a name"),
        ("/new", &token, "drafts", "is not empty"),
        ("/open", &token, "drafts", "not there any more"),
        ("/open", &token, "..", "not there any more"),
        ("/new", "0123", "away", "an old one"),
        ("/open", "", "harbour+%26+co", "an old one"),
    ] {
        let answer = started.posted(path, token, name);
        assert!(answer.starts_with("HTTP/1.1 4") && answer.contains(told), "{path} {name}: {answer}");
    }
    let elsewhere = started.asked("GET / HTTP/1.1\r\nhost: harbour.example\r\n", "");
    assert!(elsewhere.starts_with("HTTP/1.1 403"), "{elsewhere}");
    let head = format!("GET / HTTP/1.1\r\nhost: {}\r\norigin: http://harbour.example\r\n", started.host);
    assert!(started.asked(&head, "").starts_with("HTTP/1.1 403"));
    let mut names: Vec<_> =
        fs::read_dir(started.folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    names.sort();
    assert_eq!(names, ["drafts", "harbour & co"]);
}
