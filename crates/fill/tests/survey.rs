//! A survey against the pocket design of single outlines, which lists every layout.

use fill::{Look, PocketAsk, Survey, SurveyAsk, pockets, sample};
use lattice::{Outline, Set};

/// Layouts, different ones, and size and number of the smallest pocket sets.
type Seen = (u64, u64, Option<(usize, u64)>);

fn seen(look: &Look) -> Seen {
    let smallest = look.smallest.as_ref().map(|s| (s.pockets.len(), s.same_size));
    (look.layouts, look.different, smallest)
}

fn designed(set: &Set, outline: &Outline, interlocked: bool) -> Seen {
    let ask = PocketAsk { interlocked, most_layouts: u64::MAX, ..PocketAsk::default() };
    let found = pockets(set, &set.classes(), outline, &ask);
    let smallest = found.smallest.map(|s| (s.pockets.len(), s.same_size));
    (found.layouts_open, found.different_open, smallest)
}

/// Checks a look, and that the pockets it names do leave one layout.
fn holds(set: &Set, outline: &Outline, survey: &mut Survey, what: &str) -> bool {
    for interlocked in [false, true] {
        let look = survey.look(outline.cells(), &SurveyAsk { interlocked, ..SurveyAsk::default() });
        assert_eq!(seen(&look), designed(set, outline, interlocked), "{what}, interlocked {interlocked}");
        if let Some(alone) = &look.smallest {
            let outline = outline.with_pockets(alone.pockets.iter().copied()).unwrap();
            let ask = fill::Ask { limit: Some(2), ..fill::Ask::default() };
            let counts = fill::fill(set, &set.classes(), &outline, &ask).counts;
            assert_eq!(counts.different, 1u8.into(), "{what}");
            assert!(interlocked || counts.drop_in_layouts > Some(0u8.into()), "{what}");
        }
    }
    survey.look(outline.cells(), &SurveyAsk::default()).smallest.is_some()
}

#[test]
fn small_outlines_of_every_kind_are_seen_as_one_by_one() {
    let (mut some, mut none) = (0, 0);
    for seed in 0..2_000 {
        let (set, outline) = sample::small_instance(seed);
        if outline.spare() > 0 {
            continue;
        }
        let classes = set.classes();
        let mut survey = Survey::new(&set, &classes);
        let found = holds(&set, &outline, &mut survey, &format!("seed {seed}"));
        *(if found { &mut some } else { &mut none }) += 1;
    }
    assert!(some > 250 && none > 250, "{some} with pockets, {none} without");
}

#[test]
fn sets_of_one_to_six_pieces_are_seen_as_one_by_one() {
    let mut some = 0;
    for seed in 0..50 {
        let mut dice = sample::Dice::new(seed);
        let count = 1 + dice.below(6);
        let levels = 1 + dice.below(3) as u8;
        let mut pieces: Vec<_> = (0..count)
            .map(|_| {
                let blocks = 1 + dice.below(if count > 4 { 3 } else { 4 });
                sample::hinged_piece(&mut dice, blocks, levels, 0)
            })
            .collect();
        if dice.one_in(3) {
            pieces.push(pieces[0].clone());
        }
        let set = Set { pieces, levels, turn_over: dice.one_in(5) };
        let classes = set.classes();
        let mut survey = Survey::new(&set, &classes);
        for _ in 0..6 {
            let compact = 1 + dice.below(6);
            let outline = Outline::new(sample::blob(&mut dice, set.blocks(), compact), [], 0).unwrap();
            some += usize::from(holds(&set, &outline, &mut survey, &format!("seed {seed}")));
        }
    }
    assert!(some > 40, "{some} with pockets");
}

#[test]
fn twenty_cells_are_seen_as_one_by_one() {
    let mut dice = sample::Dice::new(7);
    let mut some = 0;
    for _ in 0..3 {
        let pieces = (0..5).map(|_| sample::hinged_piece(&mut dice, 4, 2, 0)).collect();
        let set = Set { pieces, levels: 2, turn_over: false };
        let classes = set.classes();
        let mut survey = Survey::new(&set, &classes);
        for _ in 0..4 {
            let outline = Outline::new(sample::blob(&mut dice, 20, 1), [], 0).unwrap();
            some += usize::from(holds(&set, &outline, &mut survey, "twenty cells"));
        }
    }
    assert!(some > 2, "{some} with pockets");
}

#[test]
fn an_outline_of_another_area_has_no_layout() {
    let mut dice = sample::Dice::new(1);
    let set = Set { pieces: vec![sample::hinged_piece(&mut dice, 4, 1, 0)], levels: 1, turn_over: false };
    let classes = set.classes();
    let mut survey = Survey::new(&set, &classes);
    for cells in [0, 3, 5] {
        let blob = if cells == 0 { Vec::new() } else { sample::blob(&mut dice, cells, 1) };
        let look = survey.look(&blob, &SurveyAsk::default());
        assert_eq!((look.layouts, look.complete, look.smallest), (0, true, None));
    }
}
