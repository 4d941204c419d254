//! A piece's colour, as written in the file.

use std::fmt;

/// Red, green and blue, each 0 to 255.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// The colour that `#RRGGBB` stands for; no other notation is read.
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.strip_prefix('#')?;
        if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
            return None;
        }
        let part = |i: usize| u8::from_str_radix(&digits[i..i + 2], 16).ok();
        Some(Colour(part(0)?, part(2)?, part(4)?))
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02X}{:02X}{:02X}", self.0, self.1, self.2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_six_hexadecimal_digits_are_a_colour() {
        assert_eq!(Colour::parse("#0072b2"), Some(Colour(0, 0x72, 0xB2)));
        assert_eq!(Colour(0, 0x72, 0xB2).to_string(), "#0072B2");
        for bad in ["", "#", "0072B2", "#0072B", "#0072B2F", "#00é2B2", "#+072B2", "blue"] {
            assert_eq!(Colour::parse(bad), None, "{bad}");
        }
    }
}
