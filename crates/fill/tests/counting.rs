//! The count without listing against the search that lists.

use fill::{Ask, Counts, count, fill, sample};

#[test]
fn counting_agrees_with_listing() {
    for seed in 0..3_000 {
        let (set, outline) = sample::small_instance(seed);
        let ask = Ask { limit: None, answers: 0, turns: false, threads: 1, stop: &|| false };
        let listed = fill(&set, &outline, &ask).counts;
        let counted = count(&set, &outline, &|| false).unwrap();
        assert_eq!(counted, Counts { drop_in_layouts: None, ..listed }, "seed {seed}");
    }
}
