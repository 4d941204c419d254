//! Entries as rows of a table: the same columns in text and in Parquet.

use lattice::Piece;

use crate::catalogue::Entry;

/// What stands in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Whole numbers.
    Number,
    /// Text.
    Text,
    /// Yes, no, or not known.
    Truth,
    /// Numbers with a fraction.
    Measure,
}

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its heading.
    pub name: &'static str,
    /// What stands in it.
    pub kind: Kind,
    /// Whether a field may be missing.
    pub optional: bool,
}

/// One field of a row.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A whole number.
    Number(i64),
    /// Text.
    Text(String),
    /// Yes, no, or not known.
    Truth(Option<bool>),
    /// A number with a fraction.
    Measure(f64),
    /// Nothing.
    Missing,
}

impl Value {
    /// The number, if it is one.
    pub fn number(&self) -> Option<i64> {
        if let Value::Number(n) = self { Some(*n) } else { None }
    }

    /// The text, if it is one.
    pub fn text(&self) -> Option<&str> {
        if let Value::Text(t) = self { Some(t) } else { None }
    }

    /// The number with a fraction, if it is one.
    pub fn measure(&self) -> Option<f64> {
        if let Value::Measure(m) = self { Some(*m) } else { None }
    }

    /// What kind of column it can stand in; any where it is missing.
    pub fn kind(&self) -> Option<Kind> {
        match self {
            Value::Number(_) => Some(Kind::Number),
            Value::Text(_) => Some(Kind::Text),
            Value::Truth(_) => Some(Kind::Truth),
            Value::Measure(_) => Some(Kind::Measure),
            Value::Missing => None,
        }
    }

    /// The truth, if it is one and known.
    pub fn truth(&self) -> Option<bool> {
        if let Value::Truth(t) = self { *t } else { None }
    }
}

const fn column(name: &'static str, kind: Kind) -> Column {
    Column { name, kind, optional: matches!(kind, Kind::Truth) }
}

/// The columns in order. `mirror` and `over` are numbers of the same
/// catalogue; `over_nothing` and `stuck` count hinges of the home pose;
/// `home_good` is the plane's word, `printable` the solid's.
pub const COLUMNS: [Column; 18] = [
    column("number", Kind::Number),
    column("linkage", Kind::Number),
    column("blocks", Kind::Number),
    column("hinges", Kind::Number),
    column("folds", Kind::Number),
    column("shapes", Kind::Number),
    column("reached", Kind::Number),
    column("reached_shapes", Kind::Number),
    column("farthest", Kind::Number),
    column("mirror", Kind::Number),
    column("over", Kind::Number),
    column("width", Kind::Number),
    column("height", Kind::Number),
    column("over_nothing", Kind::Number),
    column("stuck", Kind::Number),
    column("home_good", Kind::Truth),
    column("printable", Kind::Truth),
    column("drawing", Kind::Text),
];

/// The field of an entry in a column, by its heading.
///
/// # Panics
/// If there is no column of that name.
pub fn value(entry: &Entry, printable: Option<bool>, column: &str) -> Value {
    let number = |n: usize| Value::Number(n as i64);
    let span = |of: fn(&lattice::Cell) -> i32| {
        let all = entry.piece.blocks().iter().map(of);
        Value::Number(i64::from(all.clone().max().unwrap_or(0) - all.min().unwrap_or(0) + 1))
    };
    match column {
        "number" => number(entry.number),
        "linkage" => number(entry.linkage),
        "blocks" => number(entry.piece.blocks().len()),
        "hinges" => number(entry.piece.hinges().len()),
        "folds" => number(entry.folds),
        "shapes" => number(entry.shapes),
        "reached" => number(entry.reached),
        "reached_shapes" => number(entry.reached_shapes),
        "farthest" => number(entry.farthest as usize),
        "mirror" => number(entry.mirror),
        "over" => number(entry.over),
        "width" => span(|c| c.x),
        "height" => span(|c| c.y),
        "over_nothing" => number(entry.home.over_nothing),
        "stuck" => number(entry.home.stuck),
        "home_good" => Value::Truth(Some(entry.home.is_good())),
        "printable" => Value::Truth(printable),
        "drawing" => Value::Text(drawing(&entry.piece)),
        other => panic!("the table has no column '{other}'"),
    }
}

/// A piece as the lines of a project file: what stands behind `blocks` and
/// `hinges` there, ready to be pasted.
pub fn drawing(piece: &Piece) -> String {
    let blocks: Vec<String> = piece.blocks().iter().map(|c| format!("[{}, {}]", c.x, c.y)).collect();
    let hinges: Vec<String> = piece
        .hinges()
        .iter()
        .map(|h| {
            let [a, b] = h.joins;
            format!("{{ pin = [{}, {}], joins = [{a}, {b}], level = {} }}", h.pin.x, h.pin.y, h.level.0)
        })
        .collect();
    format!("blocks = [{}]\nhinges = [{}]", blocks.join(", "), hinges.join(", "))
}

/// The whole table as text: a heading and a line for each entry, fields parted
/// by tabs, a dash where something is not known. Line ends in a drawing become
/// "; ".
pub fn text(entries: &[Entry], printable: &[Option<bool>]) -> String {
    let mut text = COLUMNS.map(|c| c.name).join("\t");
    text.push('\n');
    for (i, entry) in entries.iter().enumerate() {
        let field = |c: &Column| match value(entry, printable.get(i).copied().flatten(), c.name) {
            Value::Number(n) => n.to_string(),
            Value::Text(t) => t.replace('\n', "; "),
            Value::Measure(m) => m.to_string(),
            Value::Missing | Value::Truth(None) => "-".into(),
            Value::Truth(Some(yes)) => if yes { "yes" } else { "no" }.into(),
        };
        text += &COLUMNS.iter().map(field).collect::<Vec<String>>().join("\t");
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Catalogue, Wanted};
    use reach::{Bed, Plan};

    #[test]
    fn the_text_has_a_field_for_each_column_and_no_number_is_a_truth() {
        let bed = Bed { size: [220.0, 220.0], pitch: 15.0 };
        let wanted = Wanted { blocks: 2, levels: 1, loops: 0, plan: Plan::default(), bed };
        let entries = Catalogue::of(&wanted).unwrap().entries;
        let told = text(&entries, &[Some(true)]);
        let lines: Vec<Vec<&str>> = told.lines().map(|l| l.split('\t').collect()).collect();
        assert_eq!(lines.len(), 2);
        assert!(lines.iter().all(|l| l.len() == COLUMNS.len()));
        assert_eq!(lines[1][..9], ["1", "1", "2", "1", "6", "4", "6", "4", "1"]);
        for c in COLUMNS {
            let kind = value(&entries[0], None, c.name).kind();
            assert_eq!(kind, Some(c.kind), "{}", c.name);
        }
    }
}
