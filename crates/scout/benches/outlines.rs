//! What outlines cost: preparing them, walking, drawing, thinning.

use divan::{Bencher, black_box, counter::ItemsCount};
use scout::outlines::{Apart, Find, Joined, Layout, Outlines, Symmetry, Wanted, thin};

/// Symmetric outlines alone.
fn symmetric(cells: usize) -> Wanted {
    Wanted { symmetries: Symmetry::ALL[1..].to_vec(), ..Wanted::new(cells, 12, 12) }
}

#[divan::bench(args = [16, 20, 24], max_time = 30)]
fn prepare_symmetric(cells: usize) -> u128 {
    Outlines::of(black_box(&symmetric(cells))).expect("within bounds").positions()
}

#[divan::bench(args = [12, 16, 20], max_time = 30)]
fn prepare_all(cells: usize) -> u128 {
    Outlines::of(black_box(&Wanted::new(cells, 12, 12))).expect("within bounds").positions()
}

#[divan::bench(args = [8, 12], max_time = 30)]
fn prepare_all_joined_by_corners(cells: usize) -> u128 {
    let wanted = Wanted { joined: Joined::SidesOrCorners, ..Wanted::new(cells, 12, 12) };
    Outlines::of(black_box(&wanted)).expect("within bounds").positions()
}

/// One thread, whole catalogue.
#[divan::bench(args = [16, 20, 24], max_time = 10)]
fn walk_symmetric(bencher: Bencher, cells: usize) {
    let outlines = Outlines::of(&symmetric(cells)).expect("within bounds");
    let count = outlines.outlines() as usize;
    bencher
        .counter(ItemsCount::new(count))
        .bench(|| assert_eq!(outlines.walk(0..outlines.positions()).count(), count));
}

/// One thread, the first hundred thousand.
#[divan::bench(args = [16, 20], max_time = 10)]
fn walk_all(bencher: Bencher, cells: usize) {
    let outlines = Outlines::of(&Wanted::new(cells, 12, 12)).expect("within bounds");
    bencher.counter(ItemsCount::new(100_000usize)).bench(|| {
        let some = outlines.walk(outlines.positions() / 3..outlines.positions()).take(100_000);
        assert_eq!(some.count(), 100_000);
    });
}

/// One thread, ten thousand.
#[divan::bench(args = [16, 20], max_time = 10)]
fn sample_all(bencher: Bencher, cells: usize) {
    let outlines = Outlines::of(&Wanted::new(cells, 12, 12)).expect("within bounds");
    bencher.counter(ItemsCount::new(10_000usize)).bench(|| {
        assert_eq!(outlines.sample(1, 0..outlines.positions()).take(10_000).count(), 10_000);
    });
}

/// Mirrored outlines of 20 cells cut into bars of at most 3, most of which are kept.
#[divan::bench(args = [1_000, 10_000], max_time = 30)]
fn thin_finds(bencher: Bencher, count: usize) {
    let wanted = Wanted { symmetries: vec![Symmetry::Mirror], ..Wanted::new(20, 10, 8) };
    let outlines = Outlines::of(&wanted).expect("within bounds");
    let finds: Vec<Find> = outlines
        .sample(1, 0..outlines.positions())
        .take(count)
        .map(|found| {
            let columns = found.cells.chunk_by(|a, b| a.x == b.x && a.y + 1 == b.y);
            let bars = columns.flat_map(|column| column.chunks(3)).map(|bar| (bar.len(), bar.to_vec()));
            Find { layout: Some(Layout::new(bars)), cells: found.cells }
        })
        .collect();
    bencher.bench(|| thin(black_box(&finds), &Apart::default()).len());
}

fn main() {
    divan::main();
}
