//! Ornaments of every aim, against their bars: 6 × 6 proven within a second on
//! one core, 8 × 8 within ten, 12 × 12 found with its bound within thirty.
//!
//! The peer is CP-SAT on the same questions: `outside/sheets.py --bench`.

use std::time::Instant;

use sheet::ornament::{Aim, Ask, Symmetry, solve};
use sheet::{Hand, Sheet};

fn main() {
    println!("{:<36} {:>10} {:>8} {:>8} {:>7}", "ornament", "ms", "found", "bound", "proven");
    for n in [4, 6, 8, 12] {
        for aim in [Aim::Holes, Aim::Loops, Aim::Contrast] {
            for islands in [false, true] {
                one(n, aim, Symmetry::None, islands);
            }
        }
    }
    for (n, symmetry) in [(7, Symmetry::Quarter), (11, Symmetry::Quarter), (8, Symmetry::Mirror)] {
        one(n, Aim::Holes, symmetry, false);
    }
}

fn one(n: usize, aim: Aim, symmetry: Symmetry, islands: bool) {
    let sheet = Sheet::new(n, n, Hand::Right).expect("a size that is made");
    let start = Instant::now();
    let ask = Ask { aim, symmetry, islands, seed: 1 };
    let name = format!("{n} × {n} {aim:?} {symmetry:?}{}", if islands { " islands" } else { "" });
    let found = match std::hint::black_box(solve(&sheet, &ask, &|| false)) {
        Ok(found) => found,
        Err(why) => return println!("{name:<36} {why}"),
    };
    let told = if aim == Aim::Holes { found.closed.holes } else { found.closed.loops };
    let ms = start.elapsed().as_secs_f64() * 1e3;
    println!("{name:<36} {ms:>10.1} {told:>8} {:>8} {:>7}", found.bound, found.proven);
}
