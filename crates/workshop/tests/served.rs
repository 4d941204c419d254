//! The server asked over its socket: versions, jobs that are watched and ended,
//! questions that newer ones end.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use tempfile::TempDir;

struct Served {
    folder: TempDir,
    host: String,
    token: String,
}

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../quayside")
}

/// A server on a copy of the demo project.
fn served() -> Served {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join("outlines")).unwrap();
    fs::copy(demo().join("pinfold.toml"), folder.path().join("pinfold.toml")).unwrap();
    for file in fs::read_dir(demo().join("outlines")).unwrap() {
        let file = file.unwrap();
        fs::copy(file.path(), folder.path().join("outlines").join(file.file_name())).unwrap();
    }
    let options = workshop::Options {
        root: folder.path().to_owned(),
        port: 0,
        pages: None,
        program: "no-such-program".into(),
        share: None,
    };
    let (tell, told) = mpsc::channel();
    std::thread::spawn(move || workshop::serve(&options, |at| tell.send(at.clone()).unwrap()));
    let at = told.recv().unwrap();
    let host = at.workshop.trim_start_matches("http://").trim_end_matches('/').to_owned();
    Served { folder, host, token: at.token }
}

impl Served {
    fn sent(&self, method: &str, path: &str, heads: &[(&str, &str)], body: Option<&Value>) -> TcpStream {
        let body = body.map(Value::to_string).unwrap_or_default();
        let mut text = format!("{method} {path} HTTP/1.1\r\nhost: {}\r\nconnection: close\r\n", self.host);
        text += &format!("x-pinfold-token: {}\r\ncontent-length: {}\r\n", self.token, body.len());
        if !body.is_empty() {
            text += "content-type: application/json\r\n";
        }
        for (name, value) in heads {
            text += &format!("{name}: {value}\r\n");
        }
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(60))).unwrap();
        stream.write_all((text + "\r\n" + &body).as_bytes()).unwrap();
        stream
    }

    fn ask(&self, method: &str, path: &str, heads: &[(&str, &str)], body: Option<&Value>) -> (u16, Value) {
        let mut text = String::new();
        self.sent(method, path, heads, body).read_to_string(&mut text).unwrap();
        let status = text.split(' ').nth(1).unwrap().parse().unwrap();
        let body = text.split_once("\r\n\r\n").unwrap().1;
        (status, serde_json::from_str(body).unwrap_or(Value::Null))
    }

    fn get(&self, path: &str) -> Value {
        let (status, json) = self.ask("GET", path, &[], None);
        assert_eq!(status, 200, "{json}");
        json
    }

    fn live(&self, desk: &str, opening: &Value, milliseconds: u64) -> Value {
        let body = json!({ "desk": desk, "opening": opening, "milliseconds": milliseconds });
        let (status, json) = self.ask("POST", "/api/live", &[], Some(&body));
        assert_eq!(status, 200, "{json}");
        json
    }
}

/// A block of cells without pockets: many layouts once there is a pocket everywhere.
fn rectangle(width: i32, height: i32) -> Value {
    let cells: Vec<[i32; 2]> = (0..width).flat_map(|x| (0..height).map(move |y| [x, y])).collect();
    json!({ "cells": cells, "pockets": [], "spare": 0 })
}

#[test]
fn a_version_that_was_not_seen_is_not_written_over() {
    let served = served();
    let file = served.folder.path().join("outlines/tug.toml");
    let tug = served.get("/api/outlines/tug");
    let draft = json!({ "title": "Harbour tug", "opening": tug["opening"] });
    let put = |heads: &[(&str, &str)]| served.ask("PUT", "/api/outlines/tug", heads, Some(&draft));
    assert_eq!(put(&[]).0, 428);
    // Changed outside in the meantime: refused, with what is there now.
    let seen = format!("\"{}\"", tug["digest"].as_str().unwrap());
    let outside = fs::read_to_string(&file).unwrap().replace("\"Tug\"", "\"Steam tug\"");
    fs::write(&file, &outside).unwrap();
    let (status, problem) = put(&[("if-match", &seen)]);
    assert_eq!((status, &problem["current"]["title"]), (412, &json!("Steam tug")), "{problem}");
    assert_eq!(problem["type"], "about:blank");
    assert_eq!(fs::read_to_string(&file).unwrap(), outside);
    assert_eq!(put(&[("if-none-match", "*")]).0, 412);
    // With what is there now it is written, and only the title changes.
    let seen = format!("\"{}\"", problem["current"]["digest"].as_str().unwrap());
    assert_eq!(put(&[("if-match", &seen)]).0, 200);
    assert_eq!(fs::read_to_string(&file).unwrap(), outside.replace("\"Steam tug\"", "\"Harbour tug\""));
}

#[test]
fn mistakes_are_told_with_their_places_and_nothing_is_written() {
    let served = served();
    let tug = served.get("/api/outlines/tug");
    let seen = format!("\"{}\"", tug["digest"].as_str().unwrap());
    let draft = json!({ "title": "Tug", "opening": rectangle(3, 3) });
    let (status, problem) = served.ask("PUT", "/api/outlines/tug", &[("if-match", &seen)], Some(&draft));
    assert_eq!(status, 422);
    assert_eq!(problem["errors"][0]["file"], "outlines/tug.toml");
    assert!(problem["errors"][0]["message"].as_str().unwrap().contains("9 cells"), "{problem}");
    let crab = served.folder.path().join("outlines/crab.toml");
    fs::write(&crab, fs::read_to_string(&crab).unwrap().replacen('#', "x", 1)).unwrap();
    let (status, problem) = served.ask("GET", "/api/project", &[], None);
    assert_eq!((status, problem["errors"][0]["line"].is_u64()), (422, true), "{problem}");
    let (status, _) = served.ask("PUT", "/api/outlines/tug", &[("if-match", &seen)], Some(&draft));
    assert_eq!(status, 422);
}

#[test]
fn a_pack_is_put_in_order_over_what_was_seen() {
    let served = served();
    let file = served.folder.path().join("pinfold.toml");
    let project = served.get("/api/project");
    let pack = project["packs"].as_array().unwrap().iter().find(|p| p["name"] == "first-tide").unwrap();
    let mut names: Vec<Value> = pack["outlines"].as_array().unwrap().clone();
    names.reverse();
    let put = |name: &str, seen: &str, names: &[Value]| {
        let seen = format!("\"{seen}\"");
        served.ask(
            "PUT",
            &format!("/api/packs/{name}"),
            &[("if-match", &seen)],
            Some(&json!({ "outlines": names })),
        )
    };
    let seen = project["digest"].as_str().unwrap();
    assert_eq!(put("none", seen, &names).0, 404);
    assert_eq!(put("first-tide", seen, &names[1..]).0, 422);
    // A remark added outside: refused, with the pack as it is.
    let outside = format!("{}\n# low water\n", fs::read_to_string(&file).unwrap());
    fs::write(&file, &outside).unwrap();
    let (status, problem) = put("first-tide", seen, &names);
    assert_eq!((status, &problem["current"]["outlines"]), (412, &pack["outlines"]), "{problem}");
    assert_eq!(fs::read_to_string(&file).unwrap(), outside);
    let now = served.get("/api/project");
    let (status, told) = put("first-tide", now["digest"].as_str().unwrap(), &names);
    assert_eq!((status, &told["outlines"]), (200, &json!(names)), "{told}");
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.ends_with("\n# low water\n") && text != outside, "{text}");
    assert_eq!(text.len(), outside.len());
}

#[test]
fn a_newer_question_ends_the_older_one() {
    let served = served();
    let tug = served.get("/api/outlines/tug")["opening"].clone();
    let answer = served.live("warm", &tug, 10_000);
    assert_eq!((&answer["filling"]["different"], &answer["filling"]["unique"]), (&json!(1), &json!(true)));
    assert_eq!(answer["advice"]["complete"], true);
    assert!(!answer["advice"]["smallest"]["pockets"].as_array().unwrap().is_empty());
    // Eleven by two takes long; a question on another desk does not end it, one on its own does.
    let long = rectangle(11, 2);
    std::thread::scope(|scope| {
        let older = scope.spawn(|| served.live("desk", &long, 10_000));
        std::thread::sleep(Duration::from_millis(30));
        let other = served.live("other", &rectangle(2, 2), 1000);
        assert_eq!((&other["superseded"], &other["missing"]), (&json!(false), &json!(18)));
        let newer = served.live("desk", &rectangle(2, 2), 1000);
        assert_eq!(newer["superseded"], false);
        // Whether it had been answered by then is a matter of speed.
        let older = older.join().unwrap();
        assert!(older["superseded"] == true || older["advice"]["complete"] == true, "{older}");
    });
}

#[test]
fn what_is_not_known_in_time_is_a_lower_bound() {
    let served = served();
    let answer = served.live("desk", &rectangle(11, 2), 1);
    let advice = &answer["advice"];
    assert!(
        advice.is_null() || advice["complete"] == false || answer["filling"]["complete"] == true,
        "{answer}"
    );
    assert_eq!(answer["superseded"], false);
}

#[test]
fn a_job_tells_how_it_goes_on_and_hands_out_what_it_made() {
    let served = served();
    let order = json!({ "kind": "make", "parts": ["cleat"] });
    let (status, job) = served.ask("POST", "/api/jobs", &[], Some(&order));
    assert_eq!(status, 202, "{job}");
    let id = &job["id"];
    let events = BufReader::new(served.sent("GET", &format!("/api/jobs/{id}/events"), &[], None));
    let told: Vec<Value> = events
        .lines()
        .map_while(Result::ok)
        .filter_map(|line| serde_json::from_str(line.strip_prefix("data: ")?).ok())
        .collect();
    let last = told.last().unwrap();
    assert_eq!(last["stage"], "done", "{last}");
    assert_eq!(last["result"]["parts"][0]["name"], "cleat");
    assert_eq!(last["result"]["passed"], true);
    let mut bytes = Vec::new();
    let path = format!("/api/jobs/{id}/files/pieces%2Fcleat.3mf");
    served.sent("GET", &path, &[], None).read_to_end(&mut bytes).unwrap();
    let at = bytes.windows(4).position(|w| w == b"PK\x03\x04");
    assert!(at.is_some(), "a 3MF file is a zip");
    // Nothing was put into the project.
    assert!(!served.folder.path().join("out").exists());
}

#[test]
fn a_job_is_ended_by_who_wants_no_more() {
    let served = served();
    let begin = |order: Value| served.ask("POST", "/api/jobs", &[], Some(&order));
    let open = json!({ "kind": "fill", "opening": rectangle(11, 2), "open": true, "answers": 5 });
    let (status, job) = begin(open);
    assert_eq!(status, 202, "{job}");
    let path = format!("/api/jobs/{}", job["id"]);
    assert_eq!(served.ask("DELETE", &path, &[], None).0, 200);
    let start = Instant::now();
    loop {
        let job = served.get(&path);
        if job["stage"] != "waiting" && job["stage"] != "running" {
            let ended = job["stage"] == "cancelled" || job["stage"] == "done";
            assert!(ended, "{job}");
            break;
        }
        assert!(start.elapsed() < Duration::from_secs(60), "{job}");
        std::thread::sleep(Duration::from_millis(20));
    }
    assert_eq!(served.ask("DELETE", "/api/jobs/999", &[], None).0, 404);
    // A program that is not there is a failure of the job, not of the server.
    let (_, job) = begin(json!({ "kind": "plays" }));
    let path = format!("/api/jobs/{}", job["id"]);
    while served.get(&path)["stage"] == "running" || served.get(&path)["stage"] == "waiting" {
        std::thread::sleep(Duration::from_millis(20));
    }
    let failed = served.get(&path);
    assert_eq!((&failed["stage"], &failed["problem"]["status"]), (&json!("failed"), &json!(500)));
}

#[test]
fn pieces_are_written_back_and_looked_at() {
    let served = served();
    let there = served.get("/api/pieces");
    let seen = format!("\"{}\"", there["digest"].as_str().unwrap());
    let mut pieces = there["pieces"].clone();
    pieces[0]["hinges"][0]["pin"] = json!([1, 0]);
    let (status, told) =
        served.ask("PUT", "/api/pieces", &[("if-match", &seen)], Some(&json!({ "pieces": pieces })));
    assert_eq!(status, 200, "{told}");
    let text = fs::read_to_string(served.folder.path().join("pinfold.toml")).unwrap();
    assert!(text.contains("{ pin = [1, 0], joins = [0, 1], level = 0 }") && text.contains("# Quayside"));
    let (status, seeing) =
        served.ask("POST", "/api/pieces/look", &[], Some(&json!({ "piece": pieces[0], "way": 1 })));
    assert_eq!(status, 200, "{seeing}");
    let way = seeing["way"].as_array().unwrap();
    let steps = seeing["folds"]["each"][0]["distance"].as_u64().unwrap();
    assert_eq!(way.len() as u64, steps + 1);
    pieces[0]["hinges"] = json!([]);
    let (_, seeing) = served.ask("POST", "/api/pieces/look", &[], Some(&json!({ "piece": pieces[0] })));
    assert!(seeing["faults"][0].as_str().unwrap().contains("not tied to block 0"), "{seeing}");
    let (status, solid) = served.ask("GET", "/api/parts/fender/solid", &[], None);
    assert_eq!((status, solid["bodies"].as_array().map(Vec::len)), (200, Some(4)));
}
