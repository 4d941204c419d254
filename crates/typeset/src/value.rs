//! Records as values of the typesetter. Text enters as text: a value is never
//! read as markup, whatever it holds.

use typst::foundations::{Array, Dict, Str, Value};

/// A dictionary of some fields.
pub(crate) fn dict<const N: usize>(fields: [(&str, Field); N]) -> Dict {
    fields.into_iter().map(|(key, field)| (Str::from(key), field.0)).collect()
}

/// A list.
pub(crate) fn list(items: impl IntoIterator<Item = Field>) -> Field {
    Field(Value::Array(items.into_iter().map(|f| f.0).collect::<Array>()))
}

/// One value.
#[derive(Clone, Debug)]
pub(crate) struct Field(pub Value);

impl From<&str> for Field {
    fn from(text: &str) -> Self {
        Field(Value::Str(text.into()))
    }
}

impl From<String> for Field {
    fn from(text: String) -> Self {
        Field(Value::Str(text.into()))
    }
}

impl From<i64> for Field {
    fn from(number: i64) -> Self {
        Field(Value::Int(number))
    }
}

impl From<usize> for Field {
    fn from(number: usize) -> Self {
        Field(Value::Int(i64::try_from(number).unwrap_or(i64::MAX)))
    }
}

impl From<f64> for Field {
    fn from(number: f64) -> Self {
        Field(Value::Float(number))
    }
}

impl From<bool> for Field {
    fn from(yes: bool) -> Self {
        Field(Value::Bool(yes))
    }
}

impl From<Dict> for Field {
    fn from(dict: Dict) -> Self {
        Field(Value::Dict(dict))
    }
}

impl<T: Into<Field>> From<Option<T>> for Field {
    fn from(item: Option<T>) -> Self {
        item.map_or(Field(Value::None), Into::into)
    }
}

/// A number with two figures that count, as people say minutes and grams.
pub(crate) fn short(number: f64) -> String {
    if !number.is_finite() {
        return "–".to_owned();
    }
    let digits = if number.abs() < 10.0 { 1 } else { 0 };
    let text = format!("{number:.digits$}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}
