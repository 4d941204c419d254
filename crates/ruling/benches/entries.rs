//! How fast written layouts are read and judged.
//!
//! `cargo bench -p ruling`. First five pieces, 22 blocks, an outline with a pocket
//! everywhere (so that right and wrong entries are plenty), and sheets made
//! anew for every entry against one made once. Then what is hard for the judge:
//! twenty pieces of three blocks on sixty cells, every shape right and every
//! hinge in the way of others.

use divan::{Bencher, black_box, counter::ItemsCount};
use fill::sample::{Dice, blob, hinged_piece};
use fill::{Ask, fill};
use lattice::{Hinge, Level, Outline, Piece, Set, VertexKind};
use ruling::{Rules, Sheet};

const ENTRIES: usize = 10_000;

fn main() {
    divan::main();
}

fn rules_and_entries() -> (Rules, Outline, Vec<String>) {
    let mut dice = Dice::new(8);
    loop {
        let pieces = [4, 4, 4, 5, 5].map(|n| hinged_piece(&mut dice, n, 2, 0)).to_vec();
        let set = Set { pieces, levels: 2, turn_over: false };
        let outline = Outline::new(blob(&mut dice, 22, 3), [], 0).expect("a blob has cells");
        let outline = outline.with_pockets(outline.vertices(VertexKind::Edge)).expect("all on the edge");
        let classes = set.classes();
        let ask = Ask { limit: Some(200), answers: 200, ..Ask::default() };
        let found = fill(&set, &classes, &outline, &ask);
        if found.answers.len() < 200 {
            continue;
        }
        let rules = Rules::new(set, classes, false, "CFSPG".chars().collect()).expect("letters are distinct");
        let sheet = Sheet::new(&rules, &outline);
        let entry = |i: usize| {
            let layout = sheet.layout_of(&found.answers[i % 200].folding).expect("it lies on the outline");
            let mut owners = layout.owners().to_vec();
            // One in two is spoiled by swapping two cells.
            if i.is_multiple_of(2) {
                owners.swap(dice.below(22), dice.below(22));
            }
            sheet.rows(&sheet.layout(owners).expect("pieces of the set"))
        };
        let entries = (0..ENTRIES).map(entry).collect();
        return (rules, outline, entries);
    }
}

#[divan::bench(sample_count = 20)]
fn ten_thousand_entries_one_sheet(bencher: Bencher) {
    let (rules, outline, entries) = rules_and_entries();
    let sheet = Sheet::new(&rules, &outline);
    bencher
        .counter(ItemsCount::new(ENTRIES))
        .bench_local(|| entries.iter().filter(|e| accepted(&sheet, e)).count());
}

#[divan::bench(sample_count = 20)]
fn ten_thousand_entries_a_sheet_each(bencher: Bencher) {
    let (rules, outline, entries) = rules_and_entries();
    bencher
        .counter(ItemsCount::new(ENTRIES))
        .bench_local(|| entries.iter().filter(|e| accepted(&Sheet::new(&rules, &outline), e)).count());
}

/// Layouts of shapes that the pieces have, whatever becomes of their hinges: the
/// fillings if every piece had levels of its own.
fn crowded() -> (Rules, Outline, Vec<String>) {
    let mut dice = Dice::new(3);
    let pieces: Vec<Piece> = (0..20).map(|_| hinged_piece(&mut dice, 3, 2, 0)).collect();
    let apart = |(p, piece): (usize, &Piece)| {
        let own = |h: &Hinge| Hinge { level: Level(h.level.0 + 2 * p as u8), ..*h };
        Piece::hinged(piece.blocks().to_vec(), piece.hinges().iter().map(own).collect())
            .expect("as sound as before")
    };
    let lifted = Set { pieces: pieces.iter().enumerate().map(apart).collect(), levels: 40, turn_over: false };
    let set = Set { pieces, levels: 2, turn_over: false };
    let outline = Outline::new(blob(&mut dice, 60, 6), [], 0).expect("a blob has cells").open();
    let ask = Ask { limit: Some(200), answers: 200, ..Ask::default() };
    let found = fill(&lifted, &lifted.classes(), &outline, &ask);
    let letters = ('A'..='T').collect();
    let classes = set.classes();
    let rules = Rules::new(set, classes, false, letters).expect("letters are distinct");
    let sheet = Sheet::new(&rules, &outline);
    let entry = |a: &fill::Answer| sheet.rows(&sheet.layout_of(&a.folding).expect("it lies on the outline"));
    let entries = found.answers.iter().map(entry).collect();
    (rules, outline, entries)
}

#[divan::bench(sample_count = 5)]
fn two_hundred_crowded_entries(bencher: Bencher) {
    let (rules, outline, entries) = crowded();
    let sheet = Sheet::new(&rules, &outline);
    let mut slowest = std::time::Duration::ZERO;
    let mut right = 0;
    for entry in &entries {
        let start = std::time::Instant::now();
        right += usize::from(accepted(&sheet, entry));
        slowest = slowest.max(start.elapsed());
    }
    println!("{} entries, {right} accepted; the slowest took {slowest:?}", entries.len());
    bencher
        .counter(ItemsCount::new(entries.len()))
        .bench_local(|| entries.iter().filter(|e| accepted(&sheet, e)).count());
}

fn accepted(sheet: &Sheet, entry: &str) -> bool {
    sheet.judge(&sheet.read(black_box(entry)).expect("it is well written")).is_ok()
}
