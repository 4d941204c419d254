//! What a catalogue costs, block by block, on the threads there are.

use divan::black_box;
use reach::{Bed, Plan};
use scout::{Catalogue, Wanted};

fn wanted(blocks: usize, levels: u8) -> Wanted {
    let bed = Bed { size: [220.0, 220.0], pitch: 15.0 };
    Wanted { blocks, levels, loops: 0, plan: Plan::default(), bed }
}

#[divan::bench(args = [4, 5, 6, 7], max_time = 20)]
fn on_one_level(blocks: usize) -> usize {
    Catalogue::of(black_box(&wanted(blocks, 1))).expect("within bounds").entries.len()
}

#[divan::bench(args = [4, 5, 6], max_time = 20)]
fn on_two_levels(blocks: usize) -> usize {
    Catalogue::of(black_box(&wanted(blocks, 2))).expect("within bounds").entries.len()
}

fn main() {
    divan::main();
}
