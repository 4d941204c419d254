//! Whether intervals hold what they say: hundreds of simulated rounds of play
//! tests, the fit of each, and how often its 90 % intervals hold the truth.
//!
//! `cargo run --release -p minutes --example coverage [RUNS] [FIRST_SEED]`; takes
//! a minute or two a scene for 500 runs on two cores. Two scenes: a fixed truth
//! (outlines and testers drawn anew each run, line and spreads the same), and
//! line and spreads drawn from the belief as well, where a sound sampler must
//! come out at 90 % up to chance. Ends with status 1 if a row that must lie
//! within 85 to 95 % does not.

use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;

use minutes::{Estimate, FitAsk, MadeUp, Prior, Truth, fit, made_up};
use rand::SeedableRng;
use rand_distr::{ChiSquared, Distribution, StandardNormal, StudentT};
use rand_pcg::Pcg64Mcg;

/// What intervals are asked for.
const ROWS: [&str; 7] = [
    "outline's typical minutes",
    "tester's pace",
    "slope of effort",
    "spread of outlines",
    "spread of testers",
    "spread of tries",
    "a new tester's minutes",
];

fn main() {
    let mut args = std::env::args().skip(1).map(|a| a.parse::<u64>().expect("give numbers"));
    let runs = args.next().unwrap_or(500);
    let first = args.next().unwrap_or(1);
    let mut bad = false;
    let scene = |name: &str, truth: &(dyn Fn(u64) -> Truth + Sync)| {
        let told = rounds(runs, first, truth);
        println!(
            "{name}: {runs} runs, {:.0} tries each, {:.0} % given up",
            told.tries,
            100.0 * told.given_up
        );
        for (row, (held, of)) in ROWS.iter().zip(told.held) {
            println!("  {row:26} {:5.1} % of {of} intervals hold the truth", 100.0 * held as f64 / of as f64);
        }
        println!("  not settled: {} of {runs}", told.unsettled);
        told.held.iter().any(|&(held, of)| !(0.85..=0.95).contains(&(held as f64 / of as f64)))
    };
    bad |= scene("fixed truth, eight testers", &|_| fixed());
    bad |= scene("truth drawn from the belief", &drawn);
    std::process::exit(i32::from(bad));
}

/// Eight testers at twelve outlines, about a third given up.
fn fixed() -> Truth {
    Truth {
        outlines: 12,
        efforts: (3.0, 7.0),
        testers: 8,
        share: 0.6,
        line: (-1.2, 0.9),
        spreads: [0.4, 0.4, 0.5],
        budget: (20.0, 90.0),
    }
}

fn drawn(seed: u64) -> Truth {
    let prior = Prior::default();
    let mut rng = Pcg64Mcg::seed_from_u64(seed ^ 0xB1A5);
    let mut normal = |(mean, sd): (f64, f64)| -> f64 {
        let z: f64 = StandardNormal.sample(&mut rng);
        mean + sd * z
    };
    let (level, slope) = (normal(prior.level), normal(prior.slope));
    let mut half_t = |scale: f64| -> f64 { (scale * StudentT::new(4.0).unwrap().sample(&mut rng)).abs() };
    let (outlines, testers) = (half_t(prior.outlines), half_t(prior.testers));
    let chi: f64 = ChiSquared::new(4.0).unwrap().sample(&mut rng);
    let noise = prior.noise * (4.0 / chi).sqrt();
    Truth {
        outlines: 8,
        efforts: (3.0, 6.5),
        testers: 5,
        share: 0.7,
        line: (level - slope * prior.effort, slope),
        spreads: [outlines, testers, noise],
        budget: (10.0, 120.0),
    }
}

#[derive(Default)]
struct Told {
    held: [(u64, u64); 7],
    unsettled: u64,
    tries: f64,
    given_up: f64,
}

fn rounds(runs: u64, first: u64, truth: &(dyn Fn(u64) -> Truth + Sync)) -> Told {
    let (told, turn) = (Mutex::new(Told::default()), AtomicU64::new(0));
    thread::scope(|scope| {
        for _ in 0..thread::available_parallelism().map_or(1, usize::from) {
            scope.spawn(|| {
                loop {
                    let run = turn.fetch_add(1, Ordering::Relaxed);
                    if run >= runs {
                        return;
                    }
                    let seed = first + run;
                    let truth = truth(seed);
                    round(&truth, &made_up(&truth, seed), seed, runs as f64, &told);
                }
            });
        }
    });
    told.into_inner().unwrap()
}

fn round(truth: &Truth, made: &MadeUp, seed: u64, runs: f64, told: &Mutex<Told>) {
    let fitted = fit(&made.plays, &FitAsk { seed, ..FitAsk::default() }).unwrap();
    let mut rows: Vec<(usize, Estimate, f64)> = Vec::new();
    let mut rng = Pcg64Mcg::seed_from_u64(seed ^ 0xF2E5);
    for (o, &d) in made.outlines.iter().enumerate() {
        let minutes = fitted.minutes(o);
        rows.push((0, minutes.typical, d.exp()));
        let z: f64 = StandardNormal.sample(&mut rng);
        rows.push((6, minutes.fresh, (d + truth.spreads[1].hypot(truth.spreads[2]) * z).exp()));
    }
    rows.extend(made.testers.iter().enumerate().map(|(t, &v)| (1, fitted.pace(t), v.exp())));
    let spreads = fitted.spreads();
    rows.push((2, fitted.slope(), truth.line.1));
    rows.push((3, spreads.outlines, truth.spreads[0]));
    rows.push((4, spreads.testers, truth.spreads[1]));
    rows.push((5, spreads.noise, truth.spreads[2]));
    let tries = made.plays.tries.len() as f64;
    let given_up = made.plays.tries.iter().filter(|t| !t.finished).count() as f64;
    let mut told = told.lock().unwrap();
    for (row, estimate, truth) in rows {
        told.held[row].0 += u64::from(estimate.holds(truth));
        told.held[row].1 += 1;
    }
    told.unsettled += u64::from(!fitted.mixing().is_none_or(|m| m.is_settled()));
    told.tries += tries / runs;
    told.given_up += given_up / tries.max(1.0) / runs;
}
