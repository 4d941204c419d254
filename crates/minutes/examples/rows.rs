//! Rows for a `plays.csv` of a demo, made up from a truth that is stated here:
//! `rows SEED OUTLINE=EFFORT …`, efforts as `pinfold grade` tells them (log to
//! base 2). No tester stands behind them, and each row says so.
//!
//! The maker that tests use takes efforts spread evenly, so outlines stand on even
//! steps here, too, in the order of their efforts: the order is theirs, the times
//! are not. A few who gave up come back another day.

use std::f64::consts::LN_2;

use minutes::{Truth, made_up};

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let seed: u64 = args[0].parse().expect("a seed");
    let effort = |word: &str| -> f64 { word.parse().expect("an effort") };
    let mut outlines: Vec<(&str, f64)> = args[1..]
        .iter()
        .map(|a| a.split_once('=').map(|(name, e)| (name, effort(e) * LN_2)).expect("OUTLINE=EFFORT"))
        .collect();
    outlines.sort_by(|a, b| a.1.total_cmp(&b.1));
    let truth = Truth {
        outlines: outlines.len(),
        efforts: (outlines[0].1, outlines[outlines.len() - 1].1),
        testers: 6,
        share: 0.8,
        // Seven minutes at 64 tries; ten times the tries take four times as long.
        line: (7f64.ln() - 0.6 * 64f64.ln(), 0.6),
        spreads: [0.1, 0.35, 0.35],
        budget: (60.0, 120.0),
    };
    let seen = made_up(&truth, seed);
    // The same people with all the time in the world.
    let all = made_up(&Truth { budget: (1e9, 1e9), ..truth }, seed);
    println!("tester,outline,minutes,finished,try,started,source");
    let mut day = 0;
    for (i, (t, full)) in seen.plays.tries.iter().zip(&all.plays.tries).enumerate() {
        day += i % 2;
        let name = outlines[t.outline].0;
        let row = |minutes: f64, finished: bool, number: u32, day: usize| {
            let (half, word) = ((2.0 * minutes).round().max(1.0) / 2.0, if finished { "yes" } else { "no" });
            let (month, date) = (3 + day / 28, 1 + day % 28);
            let (hour, minute) = (18 + i % 2, 5 * (i * 7 % 11));
            println!(
                "t{},{name},{half},{word},{number},2026-{month:02}-{date:02}T{hour}:{minute:02}:00Z,made-up",
                t.tester + 1
            );
        };
        row(t.minutes, t.finished, 1, day);
        let left = full.minutes - t.minutes;
        if !t.finished && (1.0..45.0).contains(&left) {
            row(left, true, 2, day + 9);
        }
    }
}
