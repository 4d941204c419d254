//! Plays made up from a known truth: the fit finds it again, says how sure it
//! is, and stays sane where there is next to nothing to go by. How often its
//! intervals hold over hundreds of runs: `examples/coverage.rs`.

use minutes::{
    Basis, Estimate, Fit, FitAsk, FitError, NextAsk, Plays, Prior, Truth, Try, fit, foretell, made_up, next,
};

fn fitted(plays: &Plays) -> Fit {
    fit(plays, &FitAsk::default()).unwrap()
}

fn truth() -> Truth {
    Truth {
        outlines: 25,
        efforts: (3.0, 7.0),
        testers: 30,
        share: 0.8,
        line: (-1.5, 0.9),
        spreads: [0.4, 0.5, 0.6],
        budget: (20.0, 120.0),
    }
}

#[test]
fn a_known_truth_is_found_again() {
    let made = made_up(&truth(), 42);
    let given_up = made.plays.tries.iter().filter(|t| !t.finished).count();
    assert!(given_up * 5 > made.plays.tries.len(), "censoring must matter here");
    let found = fitted(&made.plays);
    assert_eq!(found.basis(), Basis::Plays);
    assert!(found.mixing().unwrap().is_settled(), "{:?}", found.mixing());
    let spreads = found.spreads();
    let near = |e: Estimate, truth: f64, within: f64| {
        assert!(e.holds(truth) && (e.median - truth).abs() < within, "{e:?} {truth}");
    };
    near(found.slope(), 0.9, 0.15);
    near(spreads.outlines, 0.4, 0.15);
    near(spreads.testers, 0.5, 0.15);
    near(spreads.noise, 0.6, 0.05);
    let held = (0..25).filter(|&o| found.minutes(o).typical.holds(made.outlines[o].exp())).count();
    assert!((20..=25).contains(&held), "{held} of 25 outlines");
    let held = (0..30).filter(|&t| found.pace(t).holds(made.testers[t].exp())).count();
    assert!((23..=30).contains(&held), "{held} of 30 testers");
    // Taking given-up tries for finished ones would make hard outlines look easy.
    let mut blind = made.plays.clone();
    blind.tries.iter_mut().for_each(|t| t.finished = true);
    let off = |f: &Fit| f.minutes(24).typical.median.ln() - made.outlines[24];
    assert!(off(&fitted(&blind)) < off(&found) - 0.3);
}

/// Many outlines and many testers are drawn in turn, most of the time.
#[test]
fn a_known_truth_of_many_is_found_too() {
    let made = made_up(&Truth { outlines: 140, testers: 140, share: 0.07, ..truth() }, 3);
    let found = fitted(&made.plays);
    assert!(found.mixing().unwrap().is_settled(), "{:?}", found.mixing());
    let held = (0..140).filter(|&o| found.minutes(o).typical.holds(made.outlines[o].exp())).count();
    assert!((117..=135).contains(&held), "{held} of 140 outlines");
    assert!(found.slope().holds(0.9) && found.spreads().noise.holds(0.6));
}

#[test]
fn sittings_are_foretold_without_their_outline() {
    let made = made_up(&truth(), 7);
    let told = foretell(&fitted(&made.plays));
    assert_eq!(told.len(), made.plays.tries.len());
    let done: Vec<_> = told.iter().filter(|f| f.sitting.finished).collect();
    // Finished ones are the quicker ones, so few lie above.
    let above = done.iter().filter(|f| f.sitting.minutes > f.minutes.high).count() as f64;
    let below = done.iter().filter(|f| f.sitting.minutes < f.minutes.low).count() as f64;
    let count = told.len() as f64;
    assert!(above / count < 0.06 && (0.02..0.08).contains(&(below / count)), "{above} {below} of {count}");
}

/// Leaving an outline out by formula is leaving it out by a fit without it.
#[test]
fn foretelling_is_a_fit_without_the_outline() {
    let mut truth = truth();
    truth.budget = (1e6, 1e6);
    let made = made_up(&truth, 3);
    let told = foretell(&fitted(&made.plays));
    let mut without = made.plays.clone();
    without.tries.retain(|t| t.outline != 12);
    let fit = fitted(&without);
    let fresh = fit.minutes(12).fresh;
    let mine: Vec<f64> =
        told.iter().filter(|f| f.sitting.outline == 12).map(|f| f.minutes.median.ln()).collect();
    let paces: Vec<f64> = told
        .iter()
        .filter(|f| f.sitting.outline == 12)
        .map(|f| fit.pace(f.sitting.tester).median.ln())
        .collect();
    let middle = fit.minutes(12).typical.median.ln();
    for (told, pace) in mine.iter().zip(paces) {
        assert!((told - middle - pace).abs() < 0.12, "{told} {middle} {pace}");
    }
    assert!(fresh.low < fresh.median && fresh.median < fresh.high);
}

#[test]
fn equal_seeds_give_equal_answers_and_others_nearly_so() {
    let made = made_up(&Truth { outlines: 8, testers: 6, ..truth() }, 5);
    let of = |seed| fit(&made.plays, &FitAsk { seed, ..FitAsk::default() }).unwrap().minutes(3);
    assert_eq!(of(1), of(1));
    let (a, b) = (of(1), of(2));
    assert_ne!(a, b);
    for (a, b) in [(a.typical, b.typical), (a.fresh, b.fresh)] {
        for (a, b) in [(a.low, b.low), (a.median, b.median), (a.high, b.high)] {
            assert!((a / b).ln().abs() < 0.15, "{a} {b}");
        }
    }
}

#[test]
fn without_plays_there_is_the_order_and_a_wide_belief() {
    let plays = Plays { efforts: vec![Some(100f64.ln()), Some(7.0), None], ..Plays::default() };
    let found = fitted(&plays);
    assert_eq!((found.basis(), found.mixing()), (Basis::Belief, None));
    let minutes = found.minutes(0);
    assert!((minutes.typical.median / 15.0).ln().abs() < 0.1, "{minutes:?}");
    assert!(minutes.typical.high / minutes.typical.low > 100.0, "{minutes:?}");
    assert!(minutes.fresh.high > minutes.typical.high && minutes.fresh.low < minutes.typical.low);
    assert!(found.minutes(1).typical.median > 3.0 * minutes.typical.median);
    let same = found.minutes_of_effort(100f64.ln()).typical;
    assert!((same.median / minutes.typical.median).ln().abs() < 0.15);
    assert!(foretell(&found).is_empty());
}

#[test]
fn next_to_nothing_gives_wide_and_finite_answers() {
    let at = |tester, outline, minutes, finished| Try { tester, outline, minutes, finished };
    let cases: Vec<(&str, Vec<Try>)> = vec![
        ("one try", vec![at(0, 0, 12.0, true)]),
        ("one given up", vec![at(0, 0, 12.0, false)]),
        ("all given up", (0..4).flat_map(|t| (0..4).map(move |o| at(t, o, 60.0, false))).collect()),
        ("all alike", (0..4).flat_map(|t| (0..4).map(move |o| at(t, o, 10.0, true))).collect()),
        ("one tester", (0..4).map(|o| at(0, o, 5.0 + o as f64, true)).collect()),
        ("one outline", (0..4).map(|t| at(t, 2, 5.0 + t as f64, true)).collect()),
        ("far apart", vec![at(0, 0, 1e-2, true), at(1, 1, 1e6, true), at(2, 0, 1e6, false)]),
        ("again and again", (0..50).map(|i| at(0, 0, 1.0, i == 49)).collect()),
    ];
    for efforts in [vec![Some(4.0), Some(5.0), Some(6.0), Some(4.5)], vec![None; 4], vec![Some(3.0); 4]] {
        for (name, tries) in &cases {
            let found = fitted(&Plays { efforts: efforts.clone(), testers: 4, tries: tries.clone() });
            let mut all = vec![found.slope(), found.spreads().testers, found.spreads().outlines];
            all.push(found.spreads().noise);
            for i in 0..4 {
                let minutes = found.minutes(i);
                all.extend([minutes.typical, minutes.fresh, found.pace(i)]);
                assert!(minutes.typical.high / minutes.typical.low > 1.1, "{name}: {minutes:?}");
            }
            for e in all {
                assert!(e.low.is_finite() && e.high.is_finite() && e.low <= e.median && e.median <= e.high);
            }
            for n in next(&found, &NextAsk { tester: None, budget: 60.0 }) {
                assert!(
                    n.gain.is_finite() && n.gain >= 0.0 && (0.0..=1.0).contains(&n.finish),
                    "{name}: {n:?}"
                );
            }
            for f in foretell(&found) {
                assert!(f.minutes.low.is_finite() && f.minutes.high.is_finite(), "{name}");
            }
            let basis = if tries.iter().any(|t| t.finished) { Basis::Plays } else { Basis::GivenUp };
            assert_eq!(found.basis(), basis, "{name}");
        }
    }
    // Given up after an hour, all of them: longer than an hour, nobody knows how much.
    let found = fitted(&Plays { efforts: vec![Some(5.0); 4], testers: 4, tries: cases[2].1.clone() });
    let typical = found.minutes(0).typical;
    assert!(typical.low > 40.0 && typical.high > 240.0, "{typical:?}");
    // All alike: about so long, but not to the minute.
    let found = fitted(&Plays { efforts: vec![Some(5.0); 4], testers: 4, tries: cases[3].1.clone() });
    let typical = found.minutes(0).typical;
    assert!(typical.holds(10.0) && typical.low > 6.0 && typical.high < 16.0, "{typical:?}");
}

#[test]
fn what_is_not_sound_is_refused() {
    let no = |plays: Plays| fit(&plays, &FitAsk::default()).unwrap_err();
    let tries = |minutes, tester, outline| vec![Try { tester, outline, minutes, finished: true }];
    let plays = |tries| Plays { efforts: vec![None], testers: 1, tries };
    assert_eq!(no(plays(tries(0.0, 0, 0))), FitError::Minutes { index: 0, minutes: 0.0 });
    assert!(matches!(no(plays(tries(f64::NAN, 0, 0))), FitError::Minutes { .. }));
    assert_eq!(no(plays(tries(1.0, 1, 0))), FitError::Position { index: 0 });
    assert_eq!(no(plays(tries(1.0, 0, 1))), FitError::Position { index: 0 });
    let bad = Plays { efforts: vec![Some(f64::INFINITY)], testers: 0, tries: vec![] };
    assert_eq!(no(bad), FitError::Effort { outline: 0 });
    let ask = FitAsk { prior: Prior { noise: 0.0, ..Prior::default() }, ..FitAsk::default() };
    assert_eq!(fit(&plays(vec![]), &ask).unwrap_err(), FitError::Ask);
}
