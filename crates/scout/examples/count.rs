//! How many pieces there are: `count BLOCKS LEVELS [LOOPS]`.

use reach::{Bed, Plan};
use scout::{Catalogue, Wanted};

fn main() {
    let figures: Vec<usize> = std::env::args().skip(1).map(|a| a.parse().expect("a number")).collect();
    let [blocks, levels, rest @ ..] = &figures[..] else { panic!("count BLOCKS LEVELS [LOOPS]") };
    let bed = Bed { size: [220.0, 220.0], pitch: 15.0 };
    let loops = rest.first().copied().unwrap_or(0);
    let wanted = Wanted { blocks: *blocks, levels: *levels as u8, loops, plan: Plan::default(), bed };
    let made = Catalogue::of(&wanted).expect("within bounds");
    let good = made.entries.iter().filter(|e| e.home.is_good()).count();
    let whole = made.entries.iter().filter(|e| e.folds == e.reached).count();
    println!(
        "{blocks} blocks, {levels} levels, {loops} loops: {} linkages, {} pieces, {whole} reach all folds, {good} good homes",
        made.linkages,
        made.entries.len()
    );
}
