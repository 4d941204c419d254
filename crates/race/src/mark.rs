//! Entry marks: twelve symbols that an entrant writes on a slip for the photo.
//!
//! Eleven symbols of Crockford's base 32 (no I, L, O, U) carry 55 bits of
//! HMAC-SHA-256 over the race's and the entrant's name, under a key that only this
//! race has; the twelfth is their check symbol by ISO 7064 MOD 37,36. Marks whose
//! check symbol would be one of the four letters left out are passed over, so no
//! mark has a symbol that is easily taken for another.

use std::fmt;

use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;

use crate::check_symbol::{check_symbol, passes};

/// Crockford's alphabet.
const ALPHABET: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// Symbols before the check symbol.
const CARRIED: usize = 11;
/// What is hashed begins so, that no other hash is taken for a mark.
const TAG: &str = "pinfold entry mark 1";

/// An entry mark that is spelt right; whether it is somebody's is for the store to say.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mark(String);

/// Why a text is no entry mark.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MarkFault {
    /// It has too many or too few symbols.
    #[error("the entry mark has {found} symbols instead of 12")]
    Length {
        /// How many.
        found: usize,
    },
    /// A symbol that no mark has.
    #[error("symbol {place} of the entry mark, '{}', is none of a mark's", found.escape_debug())]
    Symbol {
        /// The symbol.
        found: char,
        /// Its place, from 1, hyphens and spaces not counted.
        place: usize,
    },
    /// The check symbol does not go with the others.
    #[error("the entry mark is misspelt: its check symbol does not go with the others")]
    Check,
}

impl Mark {
    /// Reads a mark as people write it: small letters, hyphens and spaces do not
    /// matter, I and L are read as 1, O as 0.
    ///
    /// # Errors
    /// What is wrong with the spelling.
    pub fn parse(text: &str) -> Result<Self, MarkFault> {
        let dropped = |c: &char| !c.is_whitespace() && !matches!(c, '-' | '\u{2010}'..='\u{2015}');
        let mut mark = String::new();
        for (i, c) in text.chars().filter(dropped).enumerate() {
            if i > CARRIED {
                return Err(MarkFault::Length { found: text.chars().filter(dropped).count() });
            }
            let read = match c.to_ascii_uppercase() {
                'I' | 'L' => '1',
                'O' => '0',
                other => other,
            };
            if !u8::try_from(read).is_ok_and(|byte| ALPHABET.contains(&byte)) {
                return Err(MarkFault::Symbol { found: c, place: i + 1 });
            }
            mark.push(read);
        }
        if mark.len() != CARRIED + 1 {
            return Err(MarkFault::Length { found: mark.len() });
        }
        if passes(&mark) { Ok(Mark(mark)) } else { Err(MarkFault::Check) }
    }

    /// The mark of a name in a race.
    pub(crate) fn made(key: &[u8; 32], race: &str, name: &str) -> Self {
        for count in 0u32.. {
            let mut mac = Hmac::<Sha256>::new_from_slice(key).expect("a key may have any length");
            // Names have no line feed in them, so no two sets of parts have one text.
            mac.update(format!("{TAG}\n{race}\n{name}\n{count}\n").as_bytes());
            let bytes = mac.finalize().into_bytes();
            let head: [u8; 8] = bytes[..8].try_into().expect("a hash has 32 bytes");
            let bits = u64::from_be_bytes(head);
            let symbol = |i: usize| char::from(ALPHABET[(bits >> (59 - 5 * i)) as usize & 31]);
            let mut mark: String = (0..CARRIED).map(symbol).collect();
            let check = check_symbol(&mark).expect("the alphabet is part of the standard's");
            if u8::try_from(check).is_ok_and(|byte| ALPHABET.contains(&byte)) {
                mark.push(check);
                return Mark(mark);
            }
        }
        unreachable!("eight marks in nine have a check symbol that is taken")
    }

    /// Without hyphens, as it is kept.
    pub(crate) fn bare(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "{}-{}-{}", &self.0[..4], &self.0[4..8], &self.0[8..])
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
        assert_eq!(Mark::parse(""), Err(MarkFault::Length { found: 0 }));
        assert_eq!(Mark::parse(&mark[..13]), Err(MarkFault::Length { found: 11 }));
        assert_eq!(Mark::parse(&format!("{mark}0")), Err(MarkFault::Length { found: 13 }));
        assert_eq!(Mark::parse("AB'; DROP"), Err(MarkFault::Symbol { found: '\'', place: 3 }));
        assert_eq!(Mark::parse("U"), Err(MarkFault::Symbol { found: 'U', place: 1 }));
        let other = if mark.starts_with('2') { "3" } else { "2" };
        assert_eq!(Mark::parse(&format!("{other}{}", &mark[1..])), Err(MarkFault::Check));
    }
}
