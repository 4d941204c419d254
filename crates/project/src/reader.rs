//! Reading a parsed file by hand: each getter asks for one key, checks what is
//! there, and puts what is wrong on the page instead of giving up.

use std::ops::{Range, RangeInclusive};

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use crate::fault::Fault;
use crate::limits;
use crate::names::{nearest, stem_is_good};
use crate::report::Mistake;
use crate::source::Source;

/// Where the mistakes of one file are gathered.
pub(crate) struct Page<'s> {
    pub(crate) source: &'s Source,
    pub(crate) mistakes: Vec<Mistake>,
}

impl<'s> Page<'s> {
    pub(crate) fn new(source: &'s Source) -> Self {
        Page { source, mistakes: Vec::new() }
    }

    pub(crate) fn fault(&mut self, span: Range<usize>, fault: Fault) {
        if !self.is_full() {
            self.mistakes.push(self.source.mistake(span, fault));
        }
    }

    /// Whether there are so many mistakes that no more are taken.
    pub(crate) fn is_full(&self) -> bool {
        self.mistakes.len() >= limits::GATHERED
    }
}

/// A table and the keys asked of it so far; what is left over is unknown.
pub(crate) struct Table<'a> {
    /// How the table is called in a sentence.
    pub(crate) holder: String,
    pub(crate) span: Range<usize>,
    entries: &'a DeTable<'a>,
    known: Vec<&'static str>,
}

/// A value with its key (or its place in a list) and its span.
#[derive(Clone)]
pub(crate) struct Item<'a> {
    pub(crate) key: String,
    pub(crate) key_span: Range<usize>,
    value: &'a Spanned<DeValue<'a>>,
}

/// What a figure may be.
#[derive(Clone, Copy)]
pub(crate) enum Figure {
    /// More than 0.
    Positive,
    /// 0 or more.
    NotNegative,
    /// 0 to 1.
    Fraction,
}

impl<'a> Table<'a> {
    pub(crate) fn new(holder: impl Into<String>, span: Range<usize>, entries: &'a DeTable<'a>) -> Self {
        Table { holder: holder.into(), span, entries, known: Vec::new() }
    }

    pub(crate) fn optional(&mut self, key: &'static str) -> Option<Item<'a>> {
        self.known.push(key);
        let (found, value) = self.entries.get_key_value(key)?;
        Some(Item { key: key.to_owned(), key_span: found.span(), value })
    }

    pub(crate) fn required(&mut self, page: &mut Page, key: &'static str, example: &str) -> Option<Item<'a>> {
        let item = self.optional(key);
        if item.is_none() {
            let fault =
                Fault::Missing { holder: self.holder.clone(), key: key.into(), example: example.into() };
            page.fault(self.span.clone(), fault);
        }
        item
    }

    /// A figure that keeps its default if it is not given or wrong.
    pub(crate) fn figure(&mut self, page: &mut Page, key: &'static str, figure: Figure, into: &mut f64) {
        if let Some(found) = self.optional(key).and_then(|item| item.figure(page, figure)) {
            *into = found;
        }
    }

    /// Puts every key that was not asked for on the page.
    pub(crate) fn close(self, page: &mut Page) {
        for (key, _) in self.entries {
            let found: &str = key.get_ref();
            if !self.known.contains(&found) && !page.is_full() {
                let fault = Fault::UnknownKey {
                    holder: self.holder.clone(),
                    key: found.chars().take(limits::NAME).collect(),
                    nearest: nearest(found, self.known.iter().copied()).map(str::to_owned),
                    known: self.known.iter().map(|&k| k.to_owned()).collect(),
                };
                page.fault(key.span(), fault);
            }
        }
    }
}

impl<'a> Item<'a> {
    pub(crate) fn span(&self) -> Range<usize> {
        self.value.span()
    }

    fn wrong_type(&self, page: &mut Page, expected: &str, example: &str) {
        let found = match self.value.get_ref() {
            DeValue::String(_) => "a string",
            DeValue::Integer(_) => "a whole number",
            DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        let fault = Fault::WrongType {
            key: self.key.clone(),
            found,
            expected: expected.into(),
            example: example.into(),
        };
        page.fault(self.span(), fault);
    }

    pub(crate) fn text(&self, page: &mut Page, example: &str) -> Option<&'a str> {
        match self.value.get_ref() {
            DeValue::String(text) => Some(text),
            _ => {
                self.wrong_type(page, "a string", example);
                None
            }
        }
    }

    /// A line of text for people: not empty, not long, no line break.
    pub(crate) fn title(&self, page: &mut Page, example: &str) -> Option<String> {
        let text = self.text(page, example)?;
        if title_is_good(text) {
            return Some(text.to_owned());
        }
        page.fault(self.span(), Fault::Title { key: self.key.clone(), limit: limits::TITLE });
        None
    }

    /// A name that can stand in a file name.
    pub(crate) fn name(&self, page: &mut Page, what: &'static str, example: &str) -> Option<String> {
        let text = self.text(page, example)?;
        if stem_is_good(text) {
            return Some(text.to_owned());
        }
        page.fault(self.span(), Fault::Name { what, found: text.chars().take(limits::NAME).collect() });
        None
    }

    pub(crate) fn choice<T: Copy>(&self, page: &mut Page, words: &[(&'static str, T)]) -> Option<T> {
        let text = self.text(page, &format!("{} = \"{}\"", self.key, words[0].0))?;
        if let Some(&(_, value)) = words.iter().find(|w| w.0 == text) {
            return Some(value);
        }
        let fault = Fault::Choice {
            key: self.key.clone(),
            found: text.chars().take(limits::NAME).collect(),
            nearest: nearest(text, words.iter().map(|w| w.0)).map(str::to_owned),
            words: words.iter().map(|w| format!("\"{}\"", w.0)).collect(),
        };
        page.fault(self.span(), fault);
        None
    }

    pub(crate) fn flag(&self, page: &mut Page) -> Option<bool> {
        match self.value.get_ref() {
            DeValue::Boolean(flag) => Some(*flag),
            _ => {
                self.wrong_type(page, "true or false", &format!("{} = true", self.key));
                None
            }
        }
    }

    pub(crate) fn integer(&self, page: &mut Page, range: RangeInclusive<i64>) -> Option<i64> {
        let DeValue::Integer(found) = self.value.get_ref() else {
            self.wrong_type(page, "a whole number", &format!("{} = {}", self.key, range.start()));
            return None;
        };
        let number = i64::from_str_radix(found.as_str(), found.radix()).ok();
        let number = number.filter(|n| range.contains(n));
        if number.is_none() {
            self.out_of_range(page, range.start().to_string(), range.end().to_string());
        }
        number
    }

    pub(crate) fn figure(&self, page: &mut Page, figure: Figure) -> Option<f64> {
        let found = match self.value.get_ref() {
            DeValue::Integer(n) => {
                i128::from_str_radix(n.as_str(), n.radix()).map_or(f64::INFINITY, |n| n as f64)
            }
            DeValue::Float(n) => n.as_str().parse().unwrap_or(f64::NAN),
            _ => {
                self.wrong_type(page, "a number", &format!("{} = 0.5", self.key));
                return None;
            }
        };
        let (low, high) = match figure {
            Figure::Positive => ("more than 0", limits::FIGURE),
            Figure::NotNegative => ("0", limits::FIGURE),
            Figure::Fraction => ("0", 1.0),
        };
        let low_enough = if matches!(figure, Figure::Positive) { found > 0.0 } else { found >= 0.0 };
        if low_enough && found <= high {
            return Some(found);
        }
        self.out_of_range(page, low.to_owned(), high.to_string());
        None
    }

    fn out_of_range(&self, page: &mut Page, low: String, high: String) {
        let found = page.source.text.get(self.span()).unwrap_or_default().chars().take(40).collect();
        page.fault(self.span(), Fault::OutOfRange { key: self.key.clone(), found, low, high });
    }

    pub(crate) fn list(&self, page: &mut Page, example: &str) -> Option<Vec<Item<'a>>> {
        match self.value.get_ref() {
            DeValue::Array(list) => Some(self.items(list)),
            _ => {
                self.wrong_type(page, "a list", example);
                None
            }
        }
    }

    fn items(&self, list: &'a DeArray<'a>) -> Vec<Item<'a>> {
        let item = |(i, value): (usize, &'a Spanned<DeValue<'a>>)| Item {
            key: format!("{}[{i}]", self.key),
            key_span: value.span(),
            value,
        };
        list.iter().enumerate().map(item).collect()
    }

    /// A list of exactly `N` items.
    pub(crate) fn tuple<const N: usize>(&self, page: &mut Page, example: &str) -> Option<[Item<'a>; N]> {
        let items = self.list(page, example)?;
        let found = items.len();
        let tuple = items.try_into().ok();
        if tuple.is_none() {
            let fault =
                Fault::ItemCount { key: self.key.clone(), found, expected: N, example: example.into() };
            page.fault(self.span(), fault);
        }
        tuple
    }

    /// Two whole numbers, each within `range`.
    pub(crate) fn pair(
        &self,
        page: &mut Page,
        range: RangeInclusive<i64>,
        example: &str,
    ) -> Option<[(i64, Range<usize>); 2]> {
        let [a, b] = self.tuple(page, example)?;
        let (first, second) = (a.integer(page, range.clone()), b.integer(page, range));
        Some([(first?, a.span()), (second?, b.span())])
    }

    pub(crate) fn table(&self, page: &mut Page, holder: &str, example: &str) -> Option<Table<'a>> {
        match self.value.get_ref() {
            DeValue::Table(entries) => Some(Table::new(holder, self.span(), entries)),
            _ => {
                self.wrong_type(page, "a table", example);
                None
            }
        }
    }
}

/// Whether a text can be a title.
pub(crate) fn title_is_good(text: &str) -> bool {
    let count = text.chars().count();
    !text.trim().is_empty() && count <= limits::TITLE && !text.chars().any(char::is_control)
}
