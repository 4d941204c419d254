//! Speed of a race: standings of 50,000 entries, 10,000 entries checked, a log verified.

use divan::Bencher;
use fill::sample::{Dice, blob, hinged_piece};
use fill::{Ask, fill};
use lattice::{Outline, Set, VertexKind};
use race::{
    Answers, Goal, GoalKind, Moment, NewEntry, Ruling, SealedOutline, Secrets, Store, Terms, Tie, Which,
    standings_csv, standings_page,
};
use ruling::{Rules, Sheet};
use tempfile::TempDir;

const ENTRANTS: usize = 2500;
const OUTLINES: usize = 20;

fn main() {
    divan::main();
}

fn at(minute: i64) -> Moment {
    let start = Moment::parse("2026-11-25T17:00:00Z").expect("it is a moment");
    Moment::from_micros(start.micros() + minute * 60_000_000)
}

/// A race with 50,000 entries: 2,500 entrants, each with an entry for 20 outlines.
fn filled(entrants: usize, layout: impl Fn(usize) -> String) -> (TempDir, Store) {
    let dir = tempfile::tempdir().expect("a folder");
    let outline = |n: usize| SealedOutline {
        name: format!("outline-{n}"),
        title: format!("Outline {n}"),
        number: u32::try_from(n).ok(),
        in_pack: n < 10,
        lines: Vec::new(),
        answers: Answers { codes: vec!["1".to_owned()], complete: true },
    };
    let goal = |kind| Goal { kind, prize: None };
    let terms = Terms {
        race: "spring-tide".to_owned(),
        pack: "first".to_owned(),
        larger: Some("all".to_owned()),
        opened: at(0),
        until: at(100_000),
        tie: Tie::Receipt,
        proof: false,
        goals: GoalKind::ALL.map(goal).to_vec(),
        set: Vec::new(),
        outlines: (0..OUTLINES).map(outline).collect(),
    };
    let mut store = Store::create(dir.path()).expect("a store");
    store.open_race(terms, &Secrets { salt: [1; 32], mark_key: [2; 32] }).expect("a race");
    let marks: Vec<String> = (0..entrants)
        .map(|n| {
            let registered = store.register("spring-tide", &format!("Entrant {n}"), None, &at(1));
            registered.expect("a mark").mark.to_string()
        })
        .collect();
    let mut random = fastrand::Rng::with_seed(5);
    let mut all = Vec::new();
    for outline in 0..OUTLINES {
        all.extend(marks.iter().enumerate().map(|(n, mark)| NewEntry {
            mark: mark.clone(),
            outline: format!("outline-{outline}"),
            layout: layout(outline * marks.len() + n),
            received: Some(at(random.i64(2..90_000))),
            ..NewEntry::default()
        }));
    }
    let answers = store.enter_all(&all, &at(90_000)).expect("entries");
    assert!(answers.iter().all(Result::is_ok));
    (dir, store)
}

fn plain(n: usize) -> String {
    format!("LAYOUT {n}")
}

fn judge(_: &str, layout: &str) -> Ruling {
    match layout.ends_with('7') {
        true => Ruling { code: None, reasons: vec!["Cell 3 is empty.".to_owned()] },
        false => Ruling { code: Some("1122".to_owned()), reasons: Vec::new() },
    }
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn standings_of_50_000_entries(bencher: Bencher) {
    let (_dir, mut store) = filled(ENTRANTS, plain);
    store.check("spring-tide", Which::Waiting, &at(95_000), judge).expect("rulings");
    bencher.bench_local(|| store.standings("spring-tide").expect("standings").goals.len());
}

#[divan::bench(sample_count = 20, sample_size = 1)]
fn standings_as_page_csv_and_json(bencher: Bencher) {
    let (_dir, mut store) = filled(ENTRANTS, plain);
    store.check("spring-tide", Which::Waiting, &at(95_000), judge).expect("rulings");
    let standings = store.standings("spring-tide").expect("standings");
    bencher.bench_local(|| {
        let json = serde_json::to_string(&standings).expect("a record is JSON");
        standings_page(&standings, "Quayside", &at(95_000)).len()
            + standings_csv(&standings).len()
            + json.len()
    });
}

/// Five pieces, 22 blocks, a pocket everywhere; 10,000 layouts, half of them spoiled:
/// read, judged as a race judges them, and kept on the disk.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn checking_10_000_entries(bencher: Bencher) {
    let (rules, outline, layouts) = layouts();
    bencher.with_inputs(|| filled(500, |n| layouts[n % layouts.len()].clone())).bench_local_values(
        |(_dir, mut store)| {
            let sheet = Sheet::new(&rules, &outline);
            let judge = |_: &str, layout: &str| {
                let read = sheet.read(layout).expect("it is well written");
                match sheet.judge(&read) {
                    Ok(accepted) => Ruling { code: Some(accepted.code), reasons: Vec::new() },
                    Err(faults) => {
                        Ruling { code: None, reasons: faults.iter().map(|f| f.says(&sheet)).collect() }
                    }
                }
            };
            store.check("spring-tide", Which::Waiting, &at(95_000), judge).expect("rulings").len()
        },
    );
}

/// As in the bench of `ruling`.
fn layouts() -> (Rules, Outline, Vec<String>) {
    let mut dice = Dice::new(8);
    loop {
        let pieces = [4, 4, 4, 5, 5].map(|n| hinged_piece(&mut dice, n, 2, 0)).to_vec();
        let set = Set { pieces, levels: 2, turn_over: false };
        let outline = Outline::new(blob(&mut dice, 22, 3), [], 0).expect("a blob has cells");
        let outline = outline.with_pockets(outline.vertices(VertexKind::Edge)).expect("all on the edge");
        let classes = set.classes();
        let found = fill(&set, &classes, &outline, &Ask { limit: Some(200), answers: 200, ..Ask::default() });
        if found.answers.len() < 200 {
            continue;
        }
        let rules = Rules::new(set, classes, false, "CFSPG".chars().collect()).expect("letters are distinct");
        let sheet = Sheet::new(&rules, &outline);
        let entry = |i: usize| {
            let layout = sheet.layout_of(&found.answers[i % 200].folding).expect("it lies on the outline");
            let mut owners = layout.owners().to_vec();
            if i.is_multiple_of(2) {
                owners.swap(dice.below(22), dice.below(22));
            }
            sheet.rows(&sheet.layout(owners).expect("pieces of the set"))
        };
        let entries = (0..10_000).map(entry).collect();
        return (rules, outline, entries);
    }
}

#[divan::bench(sample_count = 5, sample_size = 1)]
fn verifying_a_log_of_20_000_lines(bencher: Bencher) {
    let (_dir, mut store) = filled(500, plain);
    store.check("spring-tide", Which::Waiting, &at(95_000), judge).expect("rulings");
    bencher.bench_local(|| {
        let verified = store.verify("spring-tide").expect("a log");
        assert!(verified.faults.is_empty());
        verified.lines.len()
    });
}
