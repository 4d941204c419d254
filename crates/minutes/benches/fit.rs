//! How long the fit and what follows from it take.

use divan::{Bencher, black_box};
use minutes::{FitAsk, MadeUp, NextAsk, RaceAsk, Truth, fit, forecast, made_up, next};

fn main() {
    divan::main();
}

/// About as many tries as named, a third of them given up.
fn plays(outlines: usize, testers: usize, tries: usize) -> MadeUp {
    let truth = Truth {
        outlines,
        efforts: (3.0, 7.0),
        testers,
        share: tries as f64 / (outlines * testers) as f64,
        line: (-1.5, 0.9),
        spreads: [0.4, 0.5, 0.5],
        budget: (20.0, 120.0),
    };
    made_up(&truth, 1)
}

#[divan::bench(sample_count = 5, args = [(30, 70, 2000), (50, 40, 2000), (30, 400, 2000), (100, 100, 2000), (200, 200, 2000), (10, 6, 40)])]
fn of_tries(bencher: Bencher, size: (usize, usize, usize)) {
    let made = plays(size.0, size.1, size.2);
    bencher.bench(|| fit(black_box(&made.plays), &FitAsk::default()).unwrap());
}

#[divan::bench(sample_count = 5)]
fn which_next(bencher: Bencher) {
    let fitted = fit(&plays(30, 70, 2000).plays, &FitAsk::default()).unwrap();
    bencher.bench(|| next(black_box(&fitted), &NextAsk { tester: None, budget: 60.0 }));
}

#[divan::bench(sample_count = 5, args = [1, 30])]
fn race(bencher: Bencher, outlines: usize) {
    let fitted = fit(&plays(30, 70, 2000).plays, &FitAsk::default()).unwrap();
    let ask =
        RaceAsk { outlines: (0..outlines).collect(), entrants: 1000, within: 420.0, slower: 1.0, seed: 1 };
    bencher.bench(|| forecast(black_box(&fitted), &ask).unwrap());
}
