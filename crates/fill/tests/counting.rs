//! The count without listing against the search that lists.

use fill::{Ask, Counts, count, fill, sample};

#[test]
fn counting_agrees_with_listing() {
    for seed in 0..3_000 {
        let (set, outline) = sample::small_instance(seed);
        let ask = Ask::default();
        let listed = fill(&set, &set.classes(), &outline, &ask).counts;
        let counted = count(&set, &set.classes(), &outline, &|| false).unwrap();
        assert_eq!(counted, Counts { drop_in_layouts: None, ..listed }, "seed {seed}");
    }
}
