//! Texts with fields: `{{title}}` in a maker's template stands for a title.
//!
//! A field is two braces, a word of small letters, two braces; white space in
//! between is free. Everything else is left as it is, and what is put in is not
//! looked at again.

use std::ops::Range;

/// What is wrong at a place of a template.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// A field that there is not.
    #[error("there is no field '{found}'")]
    Unknown {
        /// What stands there.
        found: String,
        /// The field that was meant, perhaps.
        nearest: Option<String>,
        /// All fields.
        known: Vec<&'static str>,
    },
    /// Two braces that are not closed on their line.
    #[error("a field is opened and not closed on its line")]
    Open,
}

impl Fault {
    /// What would be right.
    pub fn mend(&self) -> String {
        match self {
            Fault::Unknown { nearest: Some(nearest), .. } => format!("write {{{{{nearest}}}}}"),
            Fault::Unknown { known, .. } => format!("the fields are {}", known.join(", ")),
            Fault::Open => "close it with two braces, as in {{title}}".into(),
        }
    }
}

/// The text with every field put in.
///
/// # Errors
/// Every fault with the bytes it stands at.
pub fn fill(text: &str, fields: &[(&'static str, String)]) -> Result<String, Vec<(Range<usize>, Fault)>> {
    let mut result = String::with_capacity(text.len());
    let mut faults = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find("{{").map(|n| at + n) {
        result += &text[at..open];
        let line_end = text[open..].find('\n').map_or(text.len(), |n| open + n);
        let Some(close) = text[open..line_end].find("}}").map(|n| open + n) else {
            faults.push((open..open + 2, Fault::Open));
            at = open + 2;
            continue;
        };
        let found = text[open + 2..close].trim();
        match fields.iter().find(|f| f.0 == found) {
            Some((_, value)) => result += value,
            None => {
                let known: Vec<&'static str> = fields.iter().map(|f| f.0).collect();
                let found: String = found.chars().take(60).collect();
                let nearest = project::nearest(&found, known.iter().copied()).map(str::to_owned);
                faults.push((open..close + 2, Fault::Unknown { found, nearest, known }));
            }
        }
        at = close + 2;
    }
    result += &text[at..];
    if faults.is_empty() { Ok(result) } else { Err(faults) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn fields() -> Vec<(&'static str, String)> {
        vec![("title", "First {{tide}}".into()), ("version", "1.0".into())]
    }

    #[test]
    fn fields_are_put_in_once_and_nothing_else_changes() {
        let made = fill("# {{title}}\r\n{ {{ version }} } }} é{{version}}", &fields()).unwrap();
        assert_eq!(made, "# First {{tide}}\r\n{ 1.0 } }} é1.0");
    }

    #[test]
    fn every_fault_is_told_at_its_place() {
        let text = "{{titel}}\né {{version\n}} {{}} {{title}}";
        let faults = fill(text, &fields()).unwrap_err();
        let told: Vec<(&str, String)> =
            faults.iter().map(|(span, f)| (&text[span.clone()], f.mend())).collect();
        assert_eq!(told[0], ("{{titel}}", "write {{title}}".into()));
        assert_eq!(told[1].0, "{{");
        assert_eq!(told[2], ("{{}}", "the fields are title, version".into()));
        assert_eq!(told.len(), 3);
    }

    proptest! {
        #[test]
        fn any_text_is_filled_or_refused(text in "[{}a-z é\n]{0,60}") {
            match fill(&text, &fields()) {
                Ok(made) => prop_assert!(text.contains("{{") || made == text),
                Err(faults) => prop_assert!(faults.iter().all(|(s, _)| text[s.clone()].starts_with("{{"))),
            }
        }
    }
}
