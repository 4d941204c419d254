//! Forecasts against entrants simulated one by one, and against closed forms.

use minutes::{FitAsk, Plays, RaceAsk, RaceError, Truth, fit, forecast, kth_of, made_up};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64Mcg;

fn ask(outlines: usize, entrants: u64) -> RaceAsk {
    RaceAsk { outlines: (0..outlines).collect(), entrants, within: 420.0, slower: 1.0, seed: 1 }
}

/// So many plays that the fit's own doubt is small against luck and skill.
fn truth(pace: f64) -> Truth {
    Truth {
        outlines: 5,
        efforts: (4.0, 6.0),
        testers: 200,
        share: 1.0,
        line: (-1.5, 1.0),
        spreads: [0.3, pace, 0.5],
        budget: (1e6, 1e6),
    }
}

#[test]
fn entrants_simulated_one_by_one_tell_the_same() {
    for pace in [0.5, 0.1] {
        let made = made_up(&truth(pace), 9);
        let fitted = fit(&made.plays, &FitAsk::default()).unwrap();
        let told = forecast(&fitted, &ask(5, 200)).unwrap();
        let mut rng = Pcg64Mcg::seed_from_u64(11);
        let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
        let (mut first, mut tenth, mut within) = (Vec::new(), Vec::new(), Vec::new());
        for _ in 0..2000 {
            let mut times: Vec<f64> = (0..200)
                .map(|_| {
                    let own = pace * normal();
                    made.outlines.iter().map(|d| (d + own + 0.5 * normal()).exp()).sum()
                })
                .collect();
            times.sort_by(f64::total_cmp);
            first.push(times[0]);
            tenth.push(times[9]);
            within.push(times.iter().filter(|t| **t <= 420.0).count() as f64);
        }
        let median = |all: &mut Vec<f64>| {
            all.sort_by(f64::total_cmp);
            (all[100], all[1000], all[1900])
        };
        let (first, tenth, within) = (median(&mut first), median(&mut tenth), median(&mut within));
        let near = |a: f64, b: f64| assert!((a / b).ln().abs() < 0.12, "pace {pace}: {a} {b}");
        near(told.first.median, first.1);
        near(told.first.low, first.0);
        near(told.first.high, first.2);
        near(told.tenth.unwrap().median, tenth.1);
        assert!((told.finishers[1] as f64 - within.1).abs() < 16.0, "{:?} {within:?}", told.finishers);
        // The fit's doubt comes on top of luck: never narrower than luck alone.
        assert!(told.finishers[0] as f64 <= within.0 + 4.0 && told.finishers[2] as f64 >= within.2 - 4.0);
        assert!(!told.closed);
    }
}

/// For one outline, the least of N log-normals: F⁻¹(1 − (1 − p)^(1/N)).
#[test]
fn one_outline_is_the_closed_form() {
    let made = made_up(&truth(0.5), 9);
    let fitted = fit(&made.plays, &FitAsk::default()).unwrap();
    let told = forecast(&fitted, &RaceAsk { outlines: vec![2], ..ask(1, 100) }).unwrap();
    assert!(told.closed);
    // Half of the time the first of 100 is below the share 1 − 0.5^(1/100) of one.
    let share: f64 = 1.0 - 0.5f64.powf(0.01);
    let score = -2.461_3; // the normal score of that share, 0.006 907 5 (a table's value)
    assert!((share - 0.006_907_5).abs() < 1e-6);
    let minutes = (made.outlines[2] + 0.5f64.hypot(0.5) * score).exp();
    // Spreads from 200 testers are unsure by a twentieth, which the score multiplies.
    assert!((told.first.median / minutes).ln().abs() < 0.15, "{:?} {minutes}", told.first);
    // The curve is the same distribution: at its points, at the median.
    let at = told.first_curve.iter().find(|c| c.minutes >= told.first.median).unwrap();
    assert!((0.5..0.58).contains(&at.chance) && at.low <= at.chance && at.chance <= at.high);
}

#[test]
fn more_entrants_are_sooner_and_slower_ones_later() {
    let made = made_up(&truth(0.4), 2);
    let fitted = fit(&made.plays, &FitAsk::default()).unwrap();
    let of = |entrants, slower| forecast(&fitted, &RaceAsk { slower, ..ask(5, entrants) }).unwrap();
    let (few, many, slow) = (of(5, 1.0), of(50_000, 1.0), of(5, 2.0));
    assert!(many.first.median < few.first.median && few.tenth.is_none() && few.tenth_curve.is_empty());
    assert!((slow.first.median / few.first.median - 2.0).abs() < 0.01);
    assert!(slow.finishers[1] <= few.finishers[1]);
    assert_eq!(of(5, 1.0), few);
    // One entrant: the first is that one.
    let one = of(1, 1.0);
    assert_eq!(one.first, one.one);
}

/// Nobody has played: a forecast all the same, as wide as the belief.
#[test]
fn a_belief_alone_is_forecast_wide() {
    let plays = Plays { efforts: vec![Some(4.0), None], ..Plays::default() };
    let fitted = fit(&plays, &FitAsk::default()).unwrap();
    let told = forecast(&fitted, &ask(2, 100)).unwrap();
    assert_eq!(told.basis, minutes::Basis::Belief);
    assert!(told.first.low > 0.0 && told.first.high / told.first.low > 30.0);
    assert!(told.finishers[0] <= told.finishers[1] && told.finishers[2] <= 100);
}

#[test]
fn what_is_no_race_is_refused() {
    let fitted = fit(&Plays { efforts: vec![None], ..Plays::default() }, &FitAsk::default()).unwrap();
    let no = |ask: RaceAsk| forecast(&fitted, &ask).unwrap_err();
    assert_eq!(no(ask(0, 1)), RaceError::Pack);
    assert_eq!(no(ask(2, 1)), RaceError::Pack);
    assert_eq!(no(ask(1, 0)), RaceError::Nobody);
    assert_eq!(no(RaceAsk { within: 0.0, ..ask(1, 1) }), RaceError::NotAbove0);
    assert_eq!(no(RaceAsk { slower: f64::NAN, ..ask(1, 1) }), RaceError::NotAbove0);
    assert!((kth_of(0.5, 1, 2) - 0.75).abs() < 1e-15);
}
