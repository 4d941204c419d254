//! How long the hand waits: strokes of 2,000 outlines of twenty cells replayed
//! against the real server over its socket, each answered with the count of
//! layouts, whether one alone, and the pocket advice.
//!
//! `cargo bench -p workshop` prints the median, the 95th and the 99th of a
//! hundred, and the longest, for strokes that leave as many cells as the set has
//! blocks (the searches) and for all strokes: by the clock on the wall, and by the
//! time that processors worked on it, which other programs do not lengthen. The
//! bar: 100 ms at the 95th. Each asks for what is known in 85 ms; how many answers
//! were not complete by then is told beside it (the page asks those again, with
//! more time).
//!
//! The set and the strokes are left in `target/web/strokes.json`, with which
//! `npm run bench` in `web` asks the same of the pages' own core.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::sync::mpsc;
use std::time::{Duration, Instant};

use fill::sample::Dice;

const OUTLINES: usize = 2_000;
const BLOCKS: usize = 20;
/// Cells moved in each outline once it is whole.
const MOVES: usize = 2;

const SET: &str = r##"
[set]
title = "Inner harbour"
levels = 2
reach = "swings"

[[piece]]
name = "cleat"
colour = "#0072B2"
blocks = [[0, 0], [1, 0], [2, 0], [2, 1]]
hinges = [{ pin = [1, 1], joins = [0, 1] }, { pin = [2, 0], joins = [1, 2], level = 1 }, { pin = [3, 1], joins = [2, 3] }]

[[piece]]
name = "fender"
colour = "#E69F00"
blocks = [[0, 0], [1, 0], [1, 1], [0, 1]]
hinges = [{ pin = [1, 0], joins = [0, 1] }, { pin = [2, 1], joins = [1, 2] }, { pin = [1, 2], joins = [2, 3], level = 1 }]

[[piece]]
name = "shackle"
colour = "#CC79A7"
blocks = [[0, 0], [1, 0], [2, 0], [3, 0]]
hinges = [{ pin = [1, 1], joins = [0, 1] }, { pin = [2, 1], joins = [1, 2] }, { pin = [3, 0], joins = [2, 3] }]

[[piece]]
name = "painter"
colour = "#009E73"
blocks = [[0, 0], [1, 0], [1, 1], [2, 1], [3, 1]]
hinges = [{ pin = [1, 1], joins = [0, 1] }, { pin = [2, 1], joins = [1, 2] }, { pin = [2, 2], joins = [2, 3], level = 1 }, { pin = [3, 1], joins = [3, 4] }]

[[piece]]
name = "dinghy"
colour = "#D55E00"
blocks = [[0, 0], [1, 0], [1, 1]]
hinges = [{ pin = [1, 1], joins = [0, 1] }, { pin = [2, 1], joins = [1, 2], level = 1 }]
"##;

type Cells = Vec<[i32; 2]>;

fn main() {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let (address, token) = served(folder.path());
    let mut asked = Asked::new(&address, token);
    let mut dice = Dice::new(20_260_714);
    let (mut whole, mut worked, mut all) = (Vec::new(), Vec::new(), Vec::new());
    let mut searched: Vec<Cells> = Vec::new();
    let (mut incomplete, mut unique) = (0, 0);
    for _ in 0..OUTLINES {
        let mut strokes: Vec<Cells> = Vec::new();
        let mut cells: Cells = vec![[0, 0]];
        while cells.len() < BLOCKS {
            strokes.push(cells.clone());
            grow(&mut dice, &mut cells);
        }
        strokes.push(cells.clone());
        for _ in 0..MOVES {
            cells.remove(dice.below(cells.len()));
            strokes.push(cells.clone());
            grow(&mut dice, &mut cells);
            strokes.push(cells.clone());
        }
        for stroke in &strokes {
            let before = processors();
            let (time, answer) = asked.live(stroke);
            all.push(time);
            if stroke.len() == BLOCKS {
                whole.push(time);
                worked.push(processors().saturating_sub(before));
                searched.push(stroke.clone());
                incomplete += usize::from(answer.contains("\"complete\":false"));
                unique += usize::from(answer.contains("\"unique\":true"));
            }
        }
    }
    println!("{:<40} {:>9} {:>9} {:>9} {:>9}", "strokes", "median", "95 %", "99 %", "longest");
    line(&format!("{} with {BLOCKS} cells for {BLOCKS} blocks", whole.len()), &mut whole);
    line("the same, time of processors", &mut worked);
    line(&format!("{} in all", all.len()), &mut all);
    keep(&asked.get("/api/core"), &searched);
    println!("answers not complete in their time: {incomplete}; one layout without any pocket: {unique}");
}

/// What all threads of this process, server and asker, have worked.
fn processors() -> Duration {
    let threads = fs::read_dir("/proc/self/task").into_iter().flatten().flatten();
    let of = |text: String| text.split(' ').next().and_then(|n| n.parse().ok()).unwrap_or(0);
    let worked = threads.map(|t| fs::read_to_string(t.path().join("schedstat")).map_or(0, of));
    Duration::from_nanos(worked.sum())
}

/// Leaves the set and the strokes to the bench of the pages' core.
fn keep(set: &str, strokes: &[Cells]) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/web");
    let text = format!("{{\"set\":{set},\"strokes\":{strokes:?}}}");
    fs::create_dir_all(&folder).expect("the folder can be made");
    fs::write(folder.join("strokes.json"), text).expect("the folder can be written");
}

fn line(what: &str, times: &mut [Duration]) {
    times.sort_unstable();
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize].as_secs_f64() * 1000.0;
    println!("{what:<40} {:>6.1} ms {:>6.1} ms {:>6.1} ms {:>6.1} ms", at(0.5), at(0.95), at(0.99), at(1.0));
}

/// One cell more, beside one that is there.
fn grow(dice: &mut Dice, cells: &mut Cells) {
    loop {
        let [x, y] = cells[dice.below(cells.len())];
        let next = [[x + 1, y], [x, y + 1], [x - 1, y], [x, y - 1]][dice.below(4)];
        if !cells.contains(&next) {
            cells.push(next);
            return;
        }
    }
}

/// A server on a set of twenty blocks: its address and token.
fn served(folder: &Path) -> (String, String) {
    fs::write(folder.join("pinfold.toml"), SET).expect("the folder can be written");
    let options = workshop::Options {
        root: folder.to_owned(),
        port: 0,
        pages: None,
        program: "pinfold".into(),
        share: None,
    };
    let (tell, told) = mpsc::channel();
    std::thread::spawn(move || {
        let served = workshop::serve(&options, |at| {
            let _ = tell.send((at.workshop.clone(), at.token.clone()));
        });
        panic!("the server ended: {served:?}");
    });
    told.recv().expect("the server begins")
}

/// A page that asks over one connection, as a browser does.
struct Asked {
    stream: BufReader<TcpStream>,
    host: String,
    token: String,
}

impl Asked {
    fn new(address: &str, token: String) -> Self {
        let host = address.trim_start_matches("http://").trim_end_matches('/').to_owned();
        let stream = TcpStream::connect(&host).expect("the server listens");
        stream.set_nodelay(true).expect("a socket takes this");
        Asked { stream: BufReader::new(stream), host, token }
    }

    /// The time from the first byte sent to the last one read, and the answer.
    fn live(&mut self, cells: &Cells) -> (Duration, String) {
        let body =
            format!(r#"{{"desk":"bench","opening":{{"cells":{cells:?},"pockets":[]}},"milliseconds":85}}"#);
        let start = Instant::now();
        let answer = self.sent("POST", "/api/live", &body);
        (start.elapsed(), answer)
    }

    fn get(&mut self, path: &str) -> String {
        self.sent("GET", path, "")
    }

    fn sent(&mut self, method: &str, path: &str, body: &str) -> String {
        let head = format!(
            "{method} {path} HTTP/1.1\r\nhost: {}\r\nx-pinfold-token: {}\r\ncontent-type: application/json\r\ncontent-length: {}\r\n\r\n",
            self.host,
            self.token,
            body.len()
        );
        self.stream.get_mut().write_all((head + body).as_bytes()).expect("the server reads");
        let (mut length, mut status) = (0, String::new());
        self.stream.read_line(&mut status).expect("the server answers");
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).expect("the server answers");
            if line.trim().is_empty() {
                break;
            }
            if let Some(n) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = n.trim().parse().expect("a length is a number");
            }
        }
        let mut answer = vec![0; length];
        self.stream.read_exact(&mut answer).expect("the server answers whole");
        let answer = String::from_utf8(answer).expect("JSON is text");
        assert!(status.contains(" 200 "), "{status} {answer}");
        answer
    }
}
