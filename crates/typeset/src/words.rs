//! Every sentence of every page, in one place, so that a maker can have them in
//! another language. What stands in braces is filled in by the page.

use std::collections::BTreeMap;

use typst::foundations::{Dict, Str, Value};

/// The sentences of all pages in one language.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Words {
    language: String,
    sentences: BTreeMap<String, String>,
}

/// Why a list of sentences cannot stand in for the English one: every fault.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", .0.join("; "))]
pub struct UnusableWords(pub Vec<String>);

impl Words {
    /// The English ones.
    pub fn english() -> Self {
        let sentences = english().map(|(key, text)| (key.to_owned(), text.to_owned()));
        Words { language: "en".to_owned(), sentences: sentences.collect() }
    }

    /// Sentences of another language, by the keys of [`Words::sentences`] of the
    /// English ones. `language` is its code of two or three letters (ISO 639).
    ///
    /// # Errors
    /// A key that is missing or not known, a blank to fill in that is lost or
    /// made up, a language that is no such code.
    pub fn new(
        language: &str,
        sentences: impl IntoIterator<Item = (String, String)>,
    ) -> Result<Self, UnusableWords> {
        let sentences: BTreeMap<String, String> = sentences.into_iter().collect();
        let mut faults = Vec::new();
        let code = (2..=3).contains(&language.len()) && language.bytes().all(|b| b.is_ascii_lowercase());
        if !code {
            faults.push(format!("{language:?} is no code of a language, as \"en\" or \"nds\" is"));
        }
        let own: BTreeMap<&str, &str> = english().collect();
        for (key, text) in &own {
            match sentences.get(*key) {
                None => faults.push(format!("{key} is missing: {text:?}")),
                Some(other) if blanks(other) != blanks(text) => faults.push(format!(
                    "{key} has the blanks {:?} but needs {:?}",
                    blanks(other),
                    blanks(text)
                )),
                Some(_) => {}
            }
        }
        faults.extend(
            sentences.keys().filter(|k| !own.contains_key(k.as_str())).map(|k| format!("{k} is not known")),
        );
        if !faults.is_empty() {
            return Err(UnusableWords(faults));
        }
        Ok(Words { language: language.to_owned(), sentences })
    }

    /// The language's code.
    pub fn language(&self) -> &str {
        &self.language
    }

    /// Every key with its sentence, in order of the keys.
    pub fn sentences(&self) -> impl Iterator<Item = (&str, &str)> {
        self.sentences.iter().map(|(key, text)| (key.as_str(), text.as_str()))
    }

    /// One sentence, its blanks filled in.
    pub(crate) fn say(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        let text =
            self.sentences.get(key).unwrap_or_else(|| panic!("the page's sentence {key} is in the list"));
        // From left to right, so that what is filled in is never filled in again.
        let mut said = String::new();
        let mut rest = text.as_str();
        while let Some((before, after)) = rest.split_once('{') {
            let (name, after) = after.split_once('}').expect("a blank is closed");
            said += before;
            said += blanks.iter().find(|b| b.0 == name).map_or("", |b| b.1);
            rest = after;
        }
        said + rest
    }

    pub(crate) fn value(&self) -> Dict {
        self.sentences.iter().map(|(k, t)| (Str::from(k.as_str()), Value::Str(t.as_str().into()))).collect()
    }
}

/// The names in braces, sorted.
fn blanks(text: &str) -> Vec<&str> {
    let mut names: Vec<&str> =
        text.split('{').skip(1).filter_map(|part| part.split_once('}').map(|p| p.0)).collect();
    names.sort_unstable();
    names
}

/// A line a sentence: its key, then its text.
fn english() -> impl Iterator<Item = (&'static str, &'static str)> {
    include_str!("pages/english.txt").lines().filter_map(|line| {
        let (key, text) = line.split_once(' ')?;
        (key != "#").then_some((key, text.trim_start()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_sentence_has_one_key_and_is_used_by_a_page() {
        let keys: Vec<&str> = english().map(|s| s.0).collect();
        let distinct: BTreeSet<&str> = keys.iter().copied().collect();
        assert_eq!(keys.len(), distinct.len(), "a key stands twice");
        let pages: String = crate::typesetter::TEMPLATES.iter().map(|t| t.1).collect();
        let records = crate::typesetter::SPEAKERS.concat();
        let said = |key: &&&str| {
            let key = format!("\"{key}\"");
            pages.contains(&key) || records.contains(&key)
        };
        let idle: Vec<&&str> = keys.iter().filter(|k| !said(k)).collect();
        assert!(idle.is_empty(), "no page says {idle:?}");
    }

    #[test]
    fn other_words_must_say_as_much() {
        let mut other: BTreeMap<String, String> =
            Words::english().sentences().map(|(k, t)| (k.to_owned(), t.to_uppercase())).collect();
        // Capitals in the blanks are blanks nobody fills.
        let faults = Words::new("EN", other.clone()).unwrap_err().0;
        assert!(faults[0].contains("no code") && faults.iter().any(|f| f.contains("has the blanks")));
        for text in other.values_mut() {
            *text = blanks(&text.to_lowercase()).iter().map(|b| format!("x {{{b}}}")).collect();
        }
        assert_eq!(Words::new("nds", other.clone()).unwrap().language(), "nds");
        other.remove("contents");
        other.insert("made-up".into(), String::new());
        let faults = Words::new("nds", other).unwrap_err().0;
        assert!(faults.iter().any(|f| f.starts_with("contents is missing")), "{faults:?}");
        assert!(faults.iter().any(|f| f == "made-up is not known"), "{faults:?}");
    }

    #[test]
    fn a_blank_is_filled_once() {
        let words = Words::english();
        let said = words.say("alt-outline", &[("title", "{cells}"), ("cells", "8"), ("pockets", "2")]);
        assert!(said.contains("{cells}") && said.contains('8'), "{said}");
    }
}
