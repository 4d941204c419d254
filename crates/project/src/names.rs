//! Names that become file names, their order, and the name somebody probably meant.

use crate::limits;

/// Device names that some systems keep for themselves, with any ending (from
/// memory: the naming rules published for Windows).
const KEPT: [&str; 22] = [
    "aux", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9", "con", "lpt1", "lpt2",
    "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9", "nul", "prn",
];

/// Whether a name can stand in a file name on any system: letters, digits,
/// `-` and `_`, not led by `-`, no longer than 60 characters, no device name.
pub fn stem_is_good(name: &str) -> bool {
    let marks = name.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_');
    let kept = KEPT.contains(&name.to_lowercase().as_str());
    !name.is_empty() && marks && !kept && !name.starts_with('-') && name.chars().count() <= limits::NAME
}

/// The name among `known` that `found` is most likely a slip for: at most about a
/// third of its letters differ. The first of equals.
pub fn nearest<'k>(found: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let length = found.chars().count();
    if length > 2 * limits::NAME {
        return None;
    }
    let found = found.to_lowercase();
    known
        .into_iter()
        .map(|k| (strsim::osa_distance(&found, &k.to_lowercase()), k))
        .filter(|&(distance, k)| distance <= ((length.max(k.chars().count()) + 1) / 3).max(1))
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, k)| k)
}

/// What two names share if they would be one file where capitals do not count.
pub(crate) fn folded(name: &str) -> String {
    name.to_lowercase()
}

/// A name with its numbers filled up, so that t10 comes after t9.
pub(crate) fn natural(name: &str) -> String {
    let mut key = String::new();
    let mut digits = String::new();
    for c in name.chars().chain(['\0']) {
        if c.is_ascii_digit() {
            digits.push(c);
            continue;
        }
        if !digits.is_empty() {
            key += &format!("{digits:0>60}");
            digits.clear();
        }
        key.push(c);
    }
    key
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_good_name_is_a_file_name_everywhere() {
        for good in ["cleat", "long-boat", "pier_2", "tau", "Boje-ü"] {
            assert!(stem_is_good(good), "{good}");
        }
        for bad in ["", "a b", "a/b", "..", ".tug", "-x", "con", "NUL", "a\nb", "tug.", &"x".repeat(61)] {
            assert!(!stem_is_good(bad), "{bad:?}");
        }
    }

    #[test]
    fn the_nearest_name_is_a_slip_away_or_none() {
        let keys = ["name", "copies", "colour", "blocks", "hinges", "rigid"];
        assert_eq!(nearest("color", keys), Some("colour"));
        assert_eq!(nearest("Hinge", keys), Some("hinges"));
        assert_eq!(nearest("bolcks", keys), Some("blocks"));
        assert_eq!(nearest("weight", keys), None);
    }
}
