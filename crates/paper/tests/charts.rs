//! The charts of times, as a reader of SVG sees them.

use paper::PaperError;
use paper::chart::{CurvePoint, Foretold, RaceCurve, Rung, Seen, foretold, ladder, race};
use resvg::usvg::{Options, Tree};

fn count(svg: &str, what: &str) -> usize {
    svg.matches(what).count()
}

fn sound(picture: &paper::Picture) {
    Tree::from_str(picture.svg(), &Options::default()).expect("valid SVG");
    assert!(!picture.svg().contains("NaN") && !picture.svg().contains("inf"));
    assert!(!picture.png(300).unwrap().is_empty());
}

fn rung<'a>(name: &'a str, median: f64, seen: &'a [Seen]) -> Rung<'a> {
    Rung { name, typical: (median / 2.0, median, median * 2.0), fresh: (median / 5.0, median * 5.0), seen }
}

#[test]
fn a_ladder_has_a_rung_for_each_outline_from_quick_to_slow() {
    let seen = [Seen { minutes: 12.0, finished: true }, Seen { minutes: 60.0, finished: false }];
    let rungs = [rung("Lighthouse <1>", 90.0, &seen), rung("Tug", 9.0, &[])];
    let picture = ladder("Quayside", &rungs, &["Uncalibrated.".to_owned()]).unwrap();
    sound(&picture);
    let svg = picture.svg();
    assert_eq!(count(svg, "class=\"outline\""), 2);
    assert!(svg.contains("2 outlines from quick to slow: Tug, Lighthouse &lt;1&gt;."));
    // Equal input, equal bytes; further rungs make it higher.
    assert_eq!(picture, ladder("Quayside", &rungs, &["Uncalibrated.".to_owned()]).unwrap());
    let many: Vec<Rung<'_>> = (1..=30).map(|i| rung("x", f64::from(i), &[])).collect();
    let tall = ladder("", &many, &[]).unwrap();
    sound(&tall);
    assert!(tall.size_mm().1 > picture.size_mm().1);
    // From seconds to years, and all alike.
    for (a, b) in [(0.001, 1e7), (5.0, 5.0)] {
        sound(&ladder("", &[rung("a", a, &[]), rung("b", b, &[])], &[]).unwrap());
    }
}

#[test]
fn tries_have_letters_while_they_are_few() {
    let one = |minutes, finished| Foretold { told: (5.0, 12.0, 40.0), minutes, finished, letter: 'A' };
    let few = [one(10.0, true), one(50.0, true), one(60.0, false)];
    let picture = foretold("Seen", &few, &[('A', "Tug")], &[]).unwrap();
    sound(&picture);
    assert_eq!(count(picture.svg(), "class=\"try\""), 3);
    assert!(picture.svg().contains("3 tries, foretold and seen; 2 as foretold."));
    let many = vec![one(10.0, true); 500];
    let crowd = foretold("Seen", &many, &[('A', "Tug")], &[]).unwrap();
    sound(&crowd);
    assert!(crowd.size_mm().1 < picture.size_mm().1, "the letters' line is left out");
}

#[test]
fn curves_have_bands_and_differ_without_colour() {
    let point = |i: i32| {
        let chance = f64::from(i) / 10.0;
        CurvePoint { minutes: 10.0 * f64::from(i + 1), chance, low: 0.8 * chance, high: 1.0 }
    };
    let points: Vec<CurvePoint> = (0..=10).map(point).collect();
    let curves = ["the first", "the tenth"].map(|name| RaceCurve { name, points: &points });
    let picture = race("Race", &curves, &[]).unwrap();
    sound(&picture);
    let svg = picture.svg();
    assert_eq!((count(svg, "class=\"band\""), count(svg, "class=\"curve\"")), (2, 2));
    let dashed = |l: &&str| l.contains("class=\"curve\"") && l.contains("dasharray");
    assert_eq!(svg.lines().filter(dashed).count(), 1);
    sound(&race("Race", &curves[..1], &[]).unwrap());
}

#[test]
fn nothing_and_times_without_a_place_are_refused() {
    assert_eq!(ladder("", &[], &[]).unwrap_err(), PaperError::Nothing);
    assert_eq!(foretold("", &[], &[], &[]).unwrap_err(), PaperError::Nothing);
    assert_eq!(race("", &[], &[]).unwrap_err(), PaperError::Nothing);
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let seen = [Seen { minutes: bad, finished: true }];
        assert!(matches!(ladder("", &[rung("a", 5.0, &seen)], &[]), Err(PaperError::NoTime { .. })), "{bad}");
    }
}
