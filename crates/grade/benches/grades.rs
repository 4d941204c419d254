//! Grades and orders against the times that were asked for.
//!
//! `cargo bench -p grade` prints one line a job: the median of several runs, on
//! all cores, and the bar.

#[path = "../tests/harbour/mod.rs"]
mod harbour;

use std::time::{Duration, Instant};

use grade::order::{Pack, Weights, propose};
use grade::{Ask, grade};

fn main() {
    println!("{:<52} {:>12}  bar", "job", "median");
    let set = harbour::set();
    let classes = set.classes();
    let swings = harbour::swings(&set, &classes);
    for (name, outline) in
        [("crab, 22 cells", harbour::crab()), ("herring, 22 cells, 25 pockets", harbour::herring())]
    {
        let ask = Ask::default();
        let run = || drop(grade(&set, &classes, &swings, &outline, &ask));
        line(&format!("grade of {name}"), run, "1 s");
    }
    // No job of this size is harder: hardly anyone is done before they all give up.
    let (ask, hard) = (Ask::default(), harbour::bell_buoy());
    let run = || drop(grade(&set, &classes, &swings, &hard, &ask));
    line("grade of bell-buoy, 9 in 10 give up", run, "1 s");
    let mut dice = fastrand::Rng::with_seed(1);
    for n in [13, 30, 100] {
        let efforts = (0..n).map(|_| 5.0 + 8.0 * dice.f64()).collect();
        let mut likeness = vec![vec![0.0; n]; n];
        for (i, j) in (0..n).flat_map(|i| (0..i).map(move |j| (i, j))) {
            likeness[i][j] = dice.f64().powi(2);
            likeness[j][i] = likeness[i][j];
        }
        let pack = Pack { efforts, likeness };
        let free = vec![None; n];
        let run = || drop(propose(&pack, Weights::default(), &free, 1));
        line(&format!("order of a pack of {n}"), run, "");
    }
}

/// Only the jobs whose name has the word after `--`, if there is one.
fn wanted(job: &str) -> bool {
    std::env::args().skip(1).filter(|a| !a.starts_with("--")).all(|word| job.contains(&word))
}

fn median(mut job: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..5)
        .map(|_| {
            let start = Instant::now();
            job();
            start.elapsed()
        })
        .collect();
    times.sort();
    times[2]
}

fn line(job: &str, run: impl FnMut(), bar: &str) {
    if !wanted(job) {
        return;
    }
    let time = median(run);
    println!("{job:<52} {:>9.1} ms  {bar}", time.as_secs_f64() * 1e3);
}
