//! How long it takes to make and check: a whole set, and one plate.
//!
//!     cargo bench -p solid
//!
//! Bars: five pieces of four and five blocks, board, ten plates of about
//! twenty cells, and coupon in under 10 s on two cores; one plate in under
//! 200 ms; memory under 1 GiB. Best and middle of several runs are printed;
//! with the processor's own time, which other loads on the machine hardly
//! touch; nothing here fails, since other loads on the machine are not the code's fault.

#[path = "../src/samples.rs"]
mod samples;

use std::time::{Duration, Instant};

use lattice::Set;
use solid::{About, BoardOrder, Label, PieceOrder, PlateOrder, Printer, Request, Sizes, make};

fn request() -> Request {
    let named = samples::pieces();
    let set = Set { pieces: named.iter().map(|p| p.1.clone()).collect(), levels: 2, turn_over: false };
    let pieces = named
        .iter()
        .enumerate()
        .map(|(i, (name, _))| PieceOrder {
            name: (*name).into(),
            mark: (i + 1).to_string(),
            colour: "#0072B2".into(),
            made: true,
        })
        .collect();
    let plates = samples::plates(&set, 10)
        .into_iter()
        .enumerate()
        .map(|(i, (outline, folding))| PlateOrder {
            name: format!("plate {}", i + 1),
            outline,
            label: Label { number: (i + 1).to_string(), grade: "B".into() },
            colour: "#4477AA".into(),
            foldings: vec![folding],
        })
        .collect();
    Request {
        about: About { title: "Bench".into(), ..About::default() },
        set,
        pieces,
        sizes: Sizes::default(),
        printer: Printer::default(),
        board: BoardOrder { width: 9, height: 9, colours: ["#333333".into(), "#DDDDDD".into()] },
        make_board: true,
        plates,
        coupon: true,
        backing: true,
        beds: true,
        stl: false,
        pictures: false,
    }
}

/// Processor seconds of this process so far, where the system tells (100 ticks a second).
fn processor() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after = stat.rsplit(')').next().unwrap_or_default();
    let ticks = |n: usize| after.split_whitespace().nth(n).and_then(|t| t.parse::<f64>().ok()).unwrap_or(0.0);
    (ticks(11) + ticks(12)) / 100.0
}

fn time(name: &str, runs: usize, request: &Request) {
    let before = processor();
    let mut times: Vec<Duration> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            let made = make(request).expect("the bench's request is sound");
            assert!(made.parts.iter().all(|p| p.failures.is_empty()));
            start.elapsed()
        })
        .collect();
    times.sort();
    let each = (processor() - before) / runs as f64;
    println!(
        "{name}: best {:.3?}, middle {:.3?} of {runs}; {each:.2} s of processor each",
        times[0],
        times[runs / 2]
    );
}

fn main() {
    let all = request();
    assert_eq!(all.plates.len(), 10);
    time("five pieces, board, ten plates, coupon", 3, &all);
    let pictures = Request { pictures: true, stl: true, ..all.clone() };
    time("the same with pictures and STL", 1, &pictures);
    let none = Set { pieces: Vec::new(), ..all.set.clone() };
    let plates = all.plates.iter().map(|p| PlateOrder { foldings: vec![], ..p.clone() });
    let one = Request {
        set: none,
        pieces: vec![],
        make_board: false,
        coupon: false,
        backing: false,
        beds: false,
        plates: plates.take(1).collect(),
        ..all.clone()
    };
    time("one plate", 9, &one);
    let proof = Request {
        make_board: false,
        coupon: false,
        backing: false,
        beds: false,
        plates: all.plates[..1].to_vec(),
        ..all
    };
    time("five pieces and one plate with its folding", 3, &proof);
    // The most memory held at once, where the system tells.
    if let Ok(status) = std::fs::read_to_string("/proc/self/status")
        && let Some(line) = status.lines().find(|l| l.starts_with("VmHWM"))
    {
        println!("{line}");
    }
}
