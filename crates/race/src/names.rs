//! Texts that people give: names, contacts, prizes, layouts. Bounded, in one
//! normal form, and without characters that make a text look like another.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Why a text is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TextFault {
    /// There is nothing in it.
    #[error("the {what} is empty")]
    Empty {
        /// What the text is, such as "name".
        what: &'static str,
    },
    /// It is too long.
    #[error("the {what} is too long: {found} {unit}, and at most {most} are taken")]
    Long {
        /// What the text is.
        what: &'static str,
        /// Its length.
        found: usize,
        /// "characters" or "bytes".
        unit: &'static str,
        /// The most.
        most: usize,
    },
    /// A character that nobody sees, or that turns the writing round.
    #[error("the {what} has the character U+{:04X} in it, {why}", u32::from(*found))]
    Character {
        /// What the text is.
        what: &'static str,
        /// The character.
        found: char,
        /// Why it is refused.
        why: &'static str,
    },
}

/// Most characters of a name.
const NAME: usize = 60;
/// Most characters of a contact, a prize or a reason.
const LINE: usize = 200;
/// Most bytes of a layout.
const LAYOUT: usize = 4096;
/// Most marks on one letter.
const MARKS: usize = 4;

/// A name: of an entrant.
pub(crate) fn name(text: &str) -> Result<String, TextFault> {
    line("name", text, NAME)
}

/// One line of text that may be longer than a name.
pub(crate) fn sentence(what: &'static str, text: &str) -> Result<String, TextFault> {
    line(what, text, LINE)
}

/// A layout, as a person wrote it: line breaks are kept.
pub(crate) fn layout(text: &str) -> Result<String, TextFault> {
    let what = "layout";
    if text.len() > LAYOUT {
        return Err(TextFault::Long { what, found: text.len(), unit: "bytes", most: LAYOUT });
    }
    let text = text.replace("\r\n", "\n").replace(['\r', '\t'], " ");
    let text = text.trim();
    if text.is_empty() {
        return Err(TextFault::Empty { what });
    }
    text.chars().filter(|c| *c != '\n').try_for_each(|c| visible(what, c))?;
    Ok(text.nfc().collect())
}

fn line(what: &'static str, text: &str, most: usize) -> Result<String, TextFault> {
    // Before anything is reckoned with it: what is far too long is not normalised.
    if text.len() > 8 * most {
        return Err(TextFault::Long { what, found: text.len(), unit: "bytes", most: 4 * most });
    }
    let text: String = text.trim().nfc().collect();
    if text.is_empty() {
        return Err(TextFault::Empty { what });
    }
    let length = text.chars().count();
    if length > most {
        return Err(TextFault::Long { what, found: length, unit: "characters", most });
    }
    if text.len() > 4 * most {
        return Err(TextFault::Long { what, found: text.len(), unit: "bytes", most: 4 * most });
    }
    let mut marks = 0;
    for c in text.chars() {
        visible(what, c)?;
        marks = if is_combining_mark(c) { marks + 1 } else { 0 };
        if marks > MARKS {
            let why = "more marks than one letter can bear";
            return Err(TextFault::Character { what, found: c, why });
        }
    }
    if !text.chars().any(char::is_alphanumeric) && what == "name" {
        return Err(TextFault::Empty { what });
    }
    Ok(text)
}

fn visible(what: &'static str, c: char) -> Result<(), TextFault> {
    let why = match c {
        c if c.is_control() => "a control character",
        '\u{061C}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => {
            "which turns the direction of the writing"
        }
        '\u{00AD}'
        | '\u{034F}'
        | '\u{115F}'
        | '\u{1160}'
        | '\u{17B4}'
        | '\u{17B5}'
        | '\u{180E}'
        | '\u{200B}'
        | '\u{2060}'..='\u{2064}'
        | '\u{206A}'..='\u{206F}'
        | '\u{3164}'
        | '\u{FEFF}'
        | '\u{FFA0}'
        | '\u{FFF9}'..='\u{FFFB}'
        | '\u{E0000}'..='\u{E0FFF}' => "which nobody sees",
        '\u{2028}' | '\u{2029}' => "which breaks the line",
        '\u{E000}'..='\u{F8FF}' | '\u{F0000}'..='\u{10FFFF}' => "which means something else on each machine",
        '\u{FFFD}' => "which stands for text that was lost",
        c if u32::from(c) & 0xFFFE == 0xFFFE || ('\u{FDD0}'..='\u{FDEF}').contains(&c) => {
            "which is no character"
        }
        _ => return Ok(()),
    };
    Err(TextFault::Character { what, found: c, why })
}

/// What two names share that people would take for one: compatible forms, capitals,
/// joiners and spaces do not count.
pub(crate) fn folded(name: &str) -> String {
    let plain: String = name.nfkc().flat_map(char::to_lowercase).nfkc().collect();
    let joiner = |c: char| matches!(c, '\u{200C}' | '\u{200D}' | '\u{FE00}'..='\u{FE0F}');
    plain.split_whitespace().collect::<String>().replace(joiner, "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_many_scripts_are_kept_in_one_form() {
        for good in ["Ines", "Jörg-Peer", "Ōtsu 3", "نورة", "Зоя", "美咲", "Niamh O'D."] {
            assert_eq!(name(good), Ok(good.to_owned()), "{good}");
        }
        assert_eq!(name(" Jo\u{308}rg "), Ok("J\u{f6}rg".to_owned()));
        assert_eq!(folded("ＪÖRG  Peer"), folded("jo\u{308}rg peer"));
    }

    #[test]
    fn texts_that_deceive_or_flood_are_refused() {
        for bad in [
            "",
            "  ",
            "...",
            "a\u{0}b",
            "a\nb",
            "a\u{1b}[31m",
            "a\u{202e}b",
            "a\u{2066}b",
            "a\u{200b}b",
            "\u{feff}a",
            "a\u{e0041}",
            "a\u{e000}",
            "a\u{fffd}",
            "a\u{ffff}",
            "a\u{2028}b",
            "a\u{301}\u{302}\u{303}\u{304}\u{305}\u{306}",
        ] {
            assert!(name(bad).is_err(), "{bad:?}");
        }
        assert!(name(&"x".repeat(60)).is_ok() && name(&"x".repeat(61)).is_err());
        assert!(name(&"\u{1F600}".repeat(61)).is_err() && name(&"x".repeat(10_000_000)).is_err());
        assert!(layout(&"A".repeat(4097)).is_err() && layout("AB\r\nCD\u{202e}").is_err());
        assert_eq!(layout(" AB\r\nCD\n"), Ok("AB\nCD".to_owned()));
    }
}
