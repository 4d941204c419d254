//! Entry marks: twelve symbols that an entrant writes on a slip for the photo.
//!
//! Eleven symbols of Crockford's base 32 (no I, L, O, U) carry 55 bits of
//! HMAC-SHA-256 over the race's and the entrant's name, under a key that only this
//! race has; the twelfth is their check symbol by ISO 7064 MOD 37,36. How they are
//! spelt, `ruling::mark` knows, for pages, too. Marks whose check symbol would be one
//! of the four letters left out are passed over, so no mark has a symbol that is
//! easily taken for another.

use std::fmt;

use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;

use ruling::mark::{BITS, read, write};
use ruling::symbols::Miscopied;

/// What is hashed begins so, that no other hash is taken for a mark.
const TAG: &str = "pinfold entry mark 1";
/// Letters that only a check symbol could be, and is not here.
const ALIKE: [char; 4] = ['I', 'L', 'O', 'U'];

/// An entry mark that is spelt right; whether it is somebody's is for the store to say.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mark(String);

/// A text that is no entry mark, and every mistake in copying it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the entry mark is misspelt: {}", told(.0))]
pub struct MarkFault(pub Vec<Miscopied>);

fn told(faults: &[Miscopied]) -> String {
    let most = faults.iter().take(3).map(ToString::to_string).collect::<Vec<_>>().join("; ");
    if faults.len() > 3 { format!("{most}; and {} more mistakes", faults.len() - 3) } else { most }
}

impl Mark {
    /// Reads a mark as people write it: small letters, hyphens and spaces do not
    /// matter, I and L are read as 1, O as 0.
    ///
    /// # Errors
    /// What is wrong with the spelling.
    pub fn parse(text: &str) -> Result<Self, MarkFault> {
        let mark = write(read(text).map_err(MarkFault)?);
        // None of ours ends so: a 0 or 1 at its end was never the check symbol.
        if mark.contains(ALIKE) { Err(MarkFault(vec![Miscopied::Check])) } else { Ok(Mark(mark)) }
    }

    /// The mark of a name in a race.
    pub(crate) fn made(key: &[u8; 32], race: &str, name: &str) -> Self {
        for count in 0u32.. {
            let mut mac = Hmac::<Sha256>::new_from_slice(key).expect("a key may have any length");
            // Names have no line feed in them, so no two sets of parts have one text.
            mac.update(format!("{TAG}\n{race}\n{name}\n{count}\n").as_bytes());
            let bytes = mac.finalize().into_bytes();
            let head: [u8; 8] = bytes[..8].try_into().expect("a hash has 32 bytes");
            let mark = write(u64::from_be_bytes(head) >> (64 - BITS));
            if !mark.contains(ALIKE) {
                return Mark(mark);
            }
        }
        unreachable!("eight marks in nine have a check symbol that is taken")
    }

    /// As it is kept and shown: three groups of four.
    pub(crate) fn text(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_belongs_to_one_name_in_one_race_under_one_key() {
        let mark = Mark::made(&[7; 32], "spring-tide", "Ines");
        assert_eq!(mark, Mark::made(&[7; 32], "spring-tide", "Ines"));
        assert_ne!(mark, Mark::made(&[7; 32], "spring-tide", "Tamsin"));
        assert_ne!(mark, Mark::made(&[7; 32], "neap-tide", "Ines"));
        assert_ne!(mark, Mark::made(&[8; 32], "spring-tide", "Ines"));
    }

    #[test]
    fn marks_are_read_as_people_write_them() {
        for name in 0..2000 {
            let mark = Mark::made(&[1; 32], "r", &name.to_string());
            let text = mark.to_string();
            assert!(!text.contains(['I', 'L', 'O', 'U']), "{text}");
            assert_eq!(Mark::parse(&text), Ok(mark.clone()));
            let sloppy = text.to_lowercase().replace('-', " \u{2013} ").replace('1', "l").replace('0', "o");
            assert_eq!(Mark::parse(&sloppy), Ok(mark));
        }
    }

    #[test]
    fn slips_are_told() {
        let mark = Mark::made(&[1; 32], "r", "n").to_string();
        let faults = |text: &str| Mark::parse(text).unwrap_err().0;
        assert_eq!(faults(&mark[..13]), [Miscopied::Length { found: 11, expected: 12 }]);
        assert!(faults("AB'; DROP").contains(&Miscopied::Symbol { found: '\'', position: 3 }));
        let other = if mark.starts_with('2') { "3" } else { "2" };
        assert_eq!(faults(&format!("{other}{}", &mark[1..])), [Miscopied::Check]);
        let long = Mark::parse(&"\u{202e}!".repeat(1_000_000)).unwrap_err().to_string();
        assert!(long.len() < 300, "{long}");
    }
}
