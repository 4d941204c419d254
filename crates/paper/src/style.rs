//! How the pieces of a set are told apart: name, letter, colour, pattern.

use crate::colour::Rgb;
use crate::pattern::Pattern;

/// How one piece is drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceStyle {
    /// Its name, for keys and descriptions.
    pub name: String,
    /// Its mark: a letter or digit of plain ASCII.
    pub letter: char,
    /// Its colour.
    pub colour: Rgb,
    /// Its pattern, which tells it apart without colour.
    pub pattern: Pattern,
}

/// How the pieces of a set are drawn, in the order of the set.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Style {
    /// One for each piece of the set.
    pub pieces: Vec<PieceStyle>,
}

impl Style {
    /// Letters and patterns for named and coloured pieces, in the order of the
    /// set. A piece gets the first letter of its name that is still free, else
    /// the first free one of A–Z, a–z, 0–9; with more than 62 pieces letters
    /// come again. Patterns follow each other in a fixed round.
    pub fn new<N: Into<String>>(pieces: impl IntoIterator<Item = (N, Rgb)>) -> Self {
        let alphabet: Vec<char> = ('A'..='Z').chain('a'..='z').chain('0'..='9').collect();
        let mut free = alphabet.clone();
        let mut styles = Vec::new();
        for (i, (name, colour)) in pieces.into_iter().enumerate() {
            let name: String = name.into();
            if free.is_empty() {
                free.clone_from(&alphabet);
            }
            let wanted = name.chars().filter(char::is_ascii_alphabetic).map(|c| c.to_ascii_uppercase());
            let letter = wanted.chain(free.clone()).find(|c| free.contains(c)).expect("one is free");
            free.retain(|&c| c != letter);
            styles.push(PieceStyle { name, letter, colour, pattern: Pattern::ALL[i % Pattern::ALL.len()] });
        }
        Style { pieces: styles }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_come_from_the_names_and_never_twice() {
        let names = ["cleat", "crane", "cc", "Ölkanne", "", "x"];
        let style = Style::new(names.map(|n| (n, [0, 0, 0])));
        let letters: String = style.pieces.iter().map(|p| p.letter).collect();
        assert_eq!(letters, "CRALBX");
        let many = Style::new((0..100).map(|i| (format!("piece {i}"), [0, 0, 0])));
        assert!(many.pieces[..62].iter().enumerate().all(|(i, p)| {
            p.letter.is_ascii_alphanumeric() && many.pieces[..i].iter().all(|q| q.letter != p.letter)
        }));
        assert_ne!(many.pieces[0].pattern, many.pieces[1].pattern);
    }
}
