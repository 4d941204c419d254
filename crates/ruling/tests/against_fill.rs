//! The judge against the search and against the definitions, on thousands of
//! random sets and outlines: every layout that `fill` finds is accepted, no
//! other is, and every fault that is told is true of all foldings that the
//! written layout could have.

use std::collections::{BTreeMap, BTreeSet};

use fill::sample::{self, Dice};
use fill::{Ask, fill};
use lattice::{
    Cell, Class, DropIn, Fold, FoldSet, Folding, Hinge, Level, Motion, Outline, Piece, Pin, Placed, Set,
    Vertex, drop_in, layout_code,
};
use ruling::{Fault, Layout, Rules, Sheet};

const SEEDS: u64 = 4_000;

struct Case {
    rules: Rules,
    outline: Outline,
    /// By short code: whether it drops in, and its layout code.
    valid: BTreeMap<String, (bool, String)>,
}

fn letters(count: usize) -> Vec<char> {
    ('A'..='Z').rev().take(count).collect()
}

/// The folds that the rule allows: sometimes only some, by their extent.
fn classes(set: &Set, seed: u64) -> Vec<Class> {
    set.classes_by(|p| {
        let all = set.folds(p);
        let area = |f: &Fold| (f.extent().0 * f.extent().1) as u64;
        let kept = all.folds().iter().filter(|f| !seed.is_multiple_of(3) || area(f) % 4 != seed / 3 % 4);
        FoldSet::from_folds(kept.cloned().collect())
    })
}

fn everything() -> Ask<'static> {
    Ask { answers: usize::MAX, turns: true, ..Ask::default() }
}

fn case(seed: u64) -> Case {
    let (set, outline) = sample::small_instance(seed);
    let classes = classes(&set, seed);
    let count = set.pieces.len();
    let found = fill(&set, &classes, &outline, &everything());
    let rules = Rules::new(set, classes, seed.is_multiple_of(5), letters(count)).unwrap();
    let sheet = Sheet::new(&rules, &outline);
    let told = |answer: &fill::Answer| {
        let layout = sheet.layout_of(&answer.folding).unwrap();
        let code = layout_code(rules.set(), rules.classes(), &outline, &answer.folding);
        (sheet.short(&layout).unwrap(), (matches!(answer.drop_in, DropIn::Order(_)), code))
    };
    let valid = found.answers.iter().map(told).collect();
    Case { rules, outline, valid }
}

/// Layouts whose shapes are right, whatever becomes of their hinges: the fillings if
/// every piece had levels of its own and the wall a pocket everywhere.
fn shapely(set: &Set, classes: &[Class], outline: &Outline) -> Vec<Folding> {
    let apart = |(p, piece): (usize, &Piece)| {
        if piece.is_rigid() {
            return piece.clone();
        }
        let own = |h: &Hinge| Hinge { level: Level(h.level.0 + p as u8 * set.levels), ..*h };
        Piece::hinged(piece.blocks().to_vec(), piece.hinges().iter().map(own).collect()).unwrap()
    };
    let pieces: Vec<Piece> = set.pieces.iter().enumerate().map(apart).collect();
    let levels = set.levels * set.pieces.len() as u8;
    let lifted = Set { pieces, levels, turn_over: set.turn_over };
    let shapes = |p: usize| -> BTreeSet<Vec<Cell>> {
        let class = classes.iter().find(|c| c.pieces.contains(&p)).unwrap();
        class.folds.folds().iter().map(|f| f.cells.clone()).collect()
    };
    let lifted_classes = lifted.classes_by(|p| {
        let shapes = shapes(p);
        let all = lifted.folds(p);
        FoldSet::from_folds(all.folds().iter().filter(|f| shapes.contains(&f.cells)).cloned().collect())
    });
    let ask = Ask { answers: 12, ..everything() };
    fill(&lifted, &lifted_classes, &outline.open(), &ask).answers.into_iter().map(|a| a.folding).collect()
}

/// The cells of each piece.
fn cells_of(sheet: &Sheet, layout: &Layout) -> Vec<Vec<Cell>> {
    let mut cells = vec![Vec::new(); sheet.rules().set().pieces.len()];
    for (owner, &cell) in layout.owners().iter().zip(sheet.reading()) {
        if let Some(p) = owner {
            cells[*p].push(cell);
        }
    }
    cells.iter_mut().for_each(|c| c.sort_unstable());
    cells
}

/// The folds of some that have a shape, put onto it: cells sorted.
fn onto(folds: &FoldSet, cells: &[Cell]) -> Vec<Placed> {
    let (Some(x), Some(y)) = (cells.iter().map(|c| c.x).min(), cells.iter().map(|c| c.y).min()) else {
        return Vec::new();
    };
    let moved = |f: &Fold| f.cells.iter().map(|c| c.shifted(x, y)).collect::<Vec<_>>();
    let there = folds.folds().iter().filter(|f| moved(f) == cells);
    there.map(|f| Placed { piece: 0, pose: f.pose.moved(Motion::STILL.shifted(x, y)) }).collect()
}

/// Folds that the rule allows, in poses of the piece's own.
fn allowed(rules: &Rules, piece: usize) -> FoldSet {
    let class = rules.classes().iter().find(|c| c.pieces.contains(&piece)).unwrap();
    let all = rules.set().folds(piece);
    let kept = all.folds().iter().filter(|f| class.folds.position(f).is_some());
    FoldSet::from_folds(kept.cloned().collect())
}

fn pins(rules: &Rules, piece: usize, placed: &Placed) -> Vec<Pin> {
    placed.pose.pins(&rules.set().pieces[piece], rules.set().levels)
}

/// Every choice of one from each list.
fn product(lists: &[Vec<Vec<Pin>>]) -> Vec<Vec<Vec<Pin>>> {
    lists.iter().fold(vec![Vec::new()], |all, list| {
        all.iter()
            .flat_map(|some| list.iter().map(|one| [&some[..], std::slice::from_ref(one)].concat()))
            .collect()
    })
}

fn meet(choice: &[Vec<Pin>]) -> Vec<Vertex> {
    let all: Vec<Pin> = choice.iter().flatten().copied().collect();
    all.iter().enumerate().filter(|(i, p)| all[..*i].contains(p)).map(|(_, p)| p.at).collect()
}

/// Checks a fault by going through all that the layout could be.
fn is_true(sheet: &Sheet, layout: &Layout, fault: &Fault) {
    let rules = sheet.rules();
    let (set, outline) = (rules.set(), sheet.outline());
    let cells = cells_of(sheet, layout);
    let over = |p: usize| FoldSet::of(&set.pieces[p], set.levels, true);
    let on = |folds: &FoldSet, p: usize| onto(folds, &cells[p]);
    let standing = |p: &usize| -> Vec<Vec<Pin>> {
        let all = on(&allowed(rules, *p), *p).into_iter().map(|placed| pins(rules, *p, &placed));
        all.filter(|pins| pins.iter().all(|pin| outline.allows_hinge(pin.at))).collect()
    };
    match fault {
        Fault::Blocks { piece, found, blocks } => {
            assert_eq!((*found, *blocks), (cells[*piece].len(), set.pieces[*piece].blocks().len()));
            assert_ne!(found, blocks);
        }
        Fault::Empty { found, spare } => {
            let empty = layout.owners().iter().filter(|o| o.is_none()).count();
            assert_eq!((*found, *spare), (empty, outline.spare()));
            assert_ne!(found, spare);
        }
        Fault::Torn { piece, cells: loose } => {
            let rest: Vec<&Cell> = cells[*piece].iter().filter(|c| !loose.contains(c)).collect();
            assert!(!loose.is_empty() && !rest.is_empty() && loose.iter().all(|c| cells[*piece].contains(c)));
            let far = |a: &Cell, b: &Cell| (a.x - b.x).abs() > 1 || (a.y - b.y).abs() > 1;
            assert!(loose.iter().all(|a| rest.iter().all(|b| far(a, b))));
        }
        Fault::NoFold { piece } => assert!(on(&over(*piece), *piece).is_empty()),
        Fault::TurnedOver { piece } => {
            assert!(!set.turn_over && on(&set.folds(*piece), *piece).is_empty());
            assert!(!on(&over(*piece), *piece).is_empty());
        }
        Fault::NotReached { piece } => {
            assert!(on(&allowed(rules, *piece), *piece).is_empty());
            assert!(!on(&set.folds(*piece), *piece).is_empty());
        }
        Fault::Walled { piece, at } => {
            assert!(!at.is_empty() && at.iter().all(|&v| !outline.allows_hinge(v)));
            let folds = on(&allowed(rules, *piece), *piece);
            assert!(!folds.is_empty());
            assert!(folds.iter().all(|f| pins(rules, *piece, f).iter().any(|p| at.contains(&p.at))));
        }
        Fault::HingesMeet { pieces, at } => {
            assert!(pieces.len() > 1 && !at.is_empty());
            let choices = product(&pieces.iter().map(standing).collect::<Vec<_>>());
            assert!(!choices.is_empty());
            assert!(choices.iter().all(|c| meet(c).iter().any(|v| at.contains(v))));
        }
        Fault::Interlocked { pieces, at } => {
            assert!(!sheet.rules().interlocked() && pieces.len() > 1 && !at.is_empty());
            let choices = product(&pieces.iter().map(standing).collect::<Vec<_>>());
            let clear: Vec<_> = choices.iter().filter(|c| meet(c).is_empty()).collect();
            assert!(!clear.is_empty());
            for choice in clear {
                let there: Vec<Vec<Pin>> = choice
                    .iter()
                    .map(|c| c.iter().filter(|p| at.contains(&p.at)).copied().collect())
                    .collect();
                assert!(matches!(drop_in::drop_in(&there), DropIn::Interlocked(_)));
            }
        }
    }
    let says = fault.says(sheet);
    assert!(!says.is_empty() && !says.contains('\n'), "{says}");
}

/// The verdict held to the valid layouts; the kinds of its faults.
fn check(case: &Case, sheet: &Sheet, layout: &Layout) -> Vec<&'static str> {
    let short = sheet.short(layout);
    let known = short.as_ref().and_then(|s| case.valid.get(s));
    let counts = known.filter(|(drops_in, _)| *drops_in || sheet.rules().interlocked());
    match (sheet.judge(layout), counts) {
        (Ok(accepted), Some((_, code))) => {
            assert_eq!(&accepted.code, code);
            assert_eq!(accepted.folding.faults(sheet.rules().set(), sheet.outline()), []);
            assert!(sheet.rules().interlocked() || matches!(accepted.drop_in, DropIn::Order(_)));
            assert_eq!(
                cells_of(sheet, &sheet.layout_of(&accepted.folding).unwrap()),
                cells_of(sheet, layout)
            );
            vec!["accepted"]
        }
        (Err(faults), None) => {
            assert!(!faults.is_empty());
            faults.iter().for_each(|f| is_true(sheet, layout, f));
            let once: BTreeSet<String> = faults.iter().map(|f| f.says(sheet)).collect();
            assert_eq!(once.len(), faults.len());
            if known.is_some() {
                assert!(faults.iter().all(|f| matches!(f, Fault::Interlocked { .. })), "{faults:?}");
            }
            faults.iter().map(Fault::kind).collect()
        }
        (verdict, known) => panic!("{verdict:?} of {}, but the search says {known:?}", sheet.rows(layout)),
    }
}

fn reads_back(sheet: &Sheet, layout: &Layout) {
    let rows = sheet.rows(layout);
    assert_eq!(sheet.read(&rows).as_ref(), Ok(layout), "{rows}");
    let loose = format!(" {}\n", rows.replace('/', " / ").to_lowercase());
    assert_eq!(sheet.read(&loose).as_ref(), Ok(layout), "{loose}");
    if let Some(short) = sheet.short(layout) {
        let again = sheet.read(&short.to_lowercase()).unwrap_or_else(|e| panic!("{short}: {e:?}"));
        assert_eq!(sheet.short(&again), Some(short));
        assert_eq!(sheet.judge(&again).ok().map(|a| a.code), sheet.judge(layout).ok().map(|a| a.code));
    }
}

fn spoiled(dice: &mut Dice, layout: &Layout, pieces: usize) -> Vec<Option<usize>> {
    let mut owners = layout.owners().to_vec();
    for _ in 0..1 + dice.below(3) {
        let (a, b) = (dice.below(owners.len()), dice.below(owners.len()));
        match dice.below(5) {
            0 => owners[a] = (!dice.one_in(3)).then(|| dice.below(pieces)),
            _ => owners.swap(a, b),
        }
    }
    owners
}

fn run(seeds: impl Iterator<Item = u64>) -> BTreeMap<&'static str, usize> {
    let mut seen: BTreeMap<&'static str, usize> = BTreeMap::new();
    for seed in seeds {
        let case = case(seed);
        let sheet = Sheet::new(&case.rules, &case.outline);
        let mut dice = Dice::new(seed);
        let mut layouts: Vec<Layout> = Vec::new();
        for code in case.valid.keys().take(40) {
            layouts.push(sheet.read(code).unwrap());
        }
        for folding in shapely(case.rules.set(), case.rules.classes(), &case.outline) {
            layouts.push(sheet.layout_of(&folding).unwrap());
        }
        for i in 0..layouts.len().min(10) {
            let owners = spoiled(&mut dice, &layouts[i], case.rules.set().pieces.len());
            layouts.push(sheet.layout(owners).unwrap());
        }
        for layout in &layouts {
            for kind in check(&case, &sheet, layout) {
                *seen.entry(kind).or_default() += 1;
            }
            reads_back(&sheet, layout);
        }
    }
    seen
}

#[test]
fn the_judge_agrees_with_the_search_and_tells_the_truth() {
    let halves = std::thread::scope(|scope| {
        [0, 1]
            .map(|half| scope.spawn(move || run((0..SEEDS).filter(move |s| s % 2 == half))))
            .map(|h| h.join().unwrap())
    });
    let mut seen = BTreeMap::new();
    for (kind, count) in halves.into_iter().flatten() {
        *seen.entry(kind).or_default() += count;
    }
    println!("{seen:?}");
    // Each kind must have been met often enough to mean something.
    let least = [
        ("accepted", 5_000),
        ("blocks", 500),
        ("empty", 100),
        ("torn", 500),
        ("no fold", 200),
        ("turned over", 20),
        ("not reached", 200),
        ("walled", 2_000),
        ("hinges meet", 100),
        ("interlocked", 5),
    ];
    for (kind, least) in least {
        let found: usize = seen.get(kind).copied().unwrap_or(0);
        assert!(found >= least, "{kind}: {found} met");
    }
    assert_eq!(seen.len(), least.len());
}
