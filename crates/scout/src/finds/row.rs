//! A find as a row of a catalogue, and back.
//!
//! What each column means for a maker stands in `docs/scouting.md`.

use fill::{Alone, Look};
use lattice::{Cell, Vertex, drawing};

use super::{Find, hangs_together, holes};
use crate::outlines::Symmetry;
use crate::table::{Column, Kind, Value};

const fn always(name: &'static str, kind: Kind) -> Column {
    Column { name, kind, optional: false }
}

const fn maybe(name: &'static str, kind: Kind) -> Column {
    Column { name, kind, optional: true }
}

/// The columns in order. Those of `smallest` and `largest` are empty where no
/// pocket set leaves one layout, or not all layouts are known; `drop_in` and
/// those of `largest` also where they were not asked for.
pub const COLUMNS: [Column; 27] = [
    always("place", Kind::Number),
    always("code", Kind::Text),
    always("drawing", Kind::Text),
    always("cells", Kind::Number),
    always("width", Kind::Number),
    always("height", Kind::Number),
    always("symmetry", Kind::Text),
    always("holes", Kind::Number),
    always("joined", Kind::Text),
    always("layouts", Kind::Number),
    always("different", Kind::Number),
    maybe("drop_in", Kind::Number),
    always("complete", Kind::Truth),
    maybe("smallest", Kind::Number),
    maybe("smallest_sets", Kind::Number),
    maybe("smallest_proven", Kind::Truth),
    maybe("smallest_pockets", Kind::Text),
    maybe("largest", Kind::Number),
    maybe("largest_sets", Kind::Number),
    maybe("largest_proven", Kind::Truth),
    maybe("largest_pockets", Kind::Text),
    always("score", Kind::Measure),
    always("look_symmetry", Kind::Measure),
    always("look_compactness", Kind::Measure),
    always("look_protrusions", Kind::Measure),
    maybe("look_likeness", Kind::Measure),
    always("notes", Kind::Text),
];

/// What is wrong with a row that was read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the row at place {place} of the catalogue is damaged: its {column} can't be read")]
pub struct RowError {
    /// Its place, if that much can be read.
    pub place: i64,
    /// The column at fault.
    pub column: &'static str,
}

/// The cells of an outline in short: its rows from the top, `#` and `.`, parted
/// by `/`.
pub fn code(cells: &[Cell]) -> String {
    let x0 = cells.iter().map(|c| c.x).min().unwrap_or(0);
    let x1 = cells.iter().map(|c| c.x).max().unwrap_or(0);
    let y0 = cells.iter().map(|c| c.y).min().unwrap_or(0);
    let y1 = cells.iter().map(|c| c.y).max().unwrap_or(0);
    let mut rows = vec![vec![b'.'; (x1 - x0 + 1) as usize]; (y1 - y0 + 1) as usize];
    cells.iter().for_each(|c| rows[(y1 - c.y) as usize][(c.x - x0) as usize] = b'#');
    let rows: Vec<String> = rows.into_iter().map(|r| r.into_iter().map(char::from).collect()).collect();
    rows.join("/")
}

/// The cells that a code tells, lower left at (0, 0), sorted.
fn cells_of(code: &str) -> Option<Vec<Cell>> {
    let rows: Vec<&str> = code.split('/').collect();
    let mut cells = Vec::new();
    for (y, row) in rows.iter().rev().enumerate() {
        for (x, mark) in row.bytes().enumerate() {
            match mark {
                b'#' => cells.push(Cell::new(x as i32, y as i32)),
                b'.' => {}
                _ => return None,
            }
        }
    }
    cells.sort_unstable();
    (!cells.is_empty()).then_some(cells)
}

/// Vertices as text: "x,y" parted by spaces, from the lower left of the cells.
fn places(vertices: &[Vertex], low: Vertex) -> String {
    let told: Vec<String> = vertices.iter().map(|v| format!("{},{}", v.x - low.x, v.y - low.y)).collect();
    told.join(" ")
}

fn vertices_of(places: &str) -> Option<Vec<Vertex>> {
    let vertex = |told: &str| {
        let (x, y) = told.split_once(',')?;
        Some(Vertex::new(x.parse().ok()?, y.parse().ok()?))
    };
    places.split_whitespace().map(vertex).collect()
}

/// The fields of a find, in the order of [`COLUMNS`].
pub fn row(find: &Find) -> Vec<Value> {
    let number = |n: u64| Value::Number(i64::try_from(n).unwrap_or(i64::MAX));
    let truth = |t: bool| Value::Truth(Some(t));
    let text = |t: &str| Value::Text(t.to_owned());
    let term = |name: &str| find.term(name).map_or(Value::Missing, Value::Measure);
    let Find { cells, look, .. } = find;
    let outline = find.outline();
    let (low, width, height) = outline.bounds();
    let end = |which: &Option<Alone>| match which {
        None => [const { Value::Missing }; 4],
        Some(alone) => [
            number(alone.pockets.len() as u64),
            number(alone.same_size),
            truth(alone.proven),
            Value::Text(places(&alone.pockets, low)),
        ],
    };
    let mut row = vec![
        number(find.place),
        Value::Text(code(cells)),
        Value::Text(drawing::print(&outline)),
        number(cells.len() as u64),
        Value::Number(width.into()),
        Value::Number(height.into()),
        text(Symmetry::of(cells).map_or("", Symmetry::name)),
        number(holes(cells) as u64),
        text(if hangs_together(cells, false) { "sides" } else { "corners" }),
        number(look.layouts),
        number(look.different),
        look.drop_in.map_or(Value::Missing, number),
        truth(look.complete),
    ];
    row.extend(end(&look.smallest));
    row.extend(end(&look.largest));
    row.extend([
        Value::Measure(find.score),
        term("symmetry"),
        term("compactness"),
        term("protrusions"),
        term("likeness"),
        Value::Text(find.notes.join("\n")),
    ]);
    row
}

/// The find that a row tells of, its fields in the order of [`COLUMNS`].
///
/// # Errors
/// The first field that can't be read.
pub fn read(row: &[Value]) -> Result<Find, RowError> {
    let field = |name: &'static str| {
        let at = COLUMNS.iter().position(|c| c.name == name).expect("a column of the table");
        row.get(at).unwrap_or(&Value::Missing)
    };
    let place = field("place").number().unwrap_or(-1);
    let damaged = |column: &'static str| RowError { place, column };
    let count = |name: &'static str| {
        let number = field(name).number().and_then(|n| u64::try_from(n).ok());
        number.ok_or_else(|| damaged(name))
    };
    let truth = |name: &'static str| field(name).truth().ok_or_else(|| damaged(name));
    let text = |name: &'static str| field(name).text().ok_or_else(|| damaged(name));
    let end = |names: [&'static str; 4]| -> Result<Option<Alone>, RowError> {
        if *field(names[0]) == Value::Missing {
            return Ok(None);
        }
        let pockets = vertices_of(text(names[3])?).ok_or_else(|| damaged(names[3]))?;
        if count(names[0])? != pockets.len() as u64 {
            return Err(damaged(names[0]));
        }
        Ok(Some(Alone { pockets, same_size: count(names[1])?, proven: truth(names[2])? }))
    };
    let look = Look {
        layouts: count("layouts")?,
        different: count("different")?,
        drop_in: (*field("drop_in") != Value::Missing).then(|| count("drop_in")).transpose()?,
        complete: truth("complete")?,
        smallest: end(["smallest", "smallest_sets", "smallest_proven", "smallest_pockets"])?,
        largest: end(["largest", "largest_sets", "largest_proven", "largest_pockets"])?,
    };
    let cells = cells_of(text("code")?).ok_or_else(|| damaged("code"))?;
    // A pocket off the edge would be a fault of the catalogue, not of the one who reads it.
    let pockets = look.smallest.iter().chain(&look.largest).flat_map(|a| a.pockets.iter().copied());
    lattice::Outline::new(cells.iter().copied(), pockets, 0).map_err(|_| damaged("smallest_pockets"))?;
    let likeness = if let Value::Measure(m) = field("look_likeness") { Some(*m) } else { None };
    let mut find = Find::new(count("place")?, cells, look, likeness);
    find.notes = text("notes")?.lines().map(str::to_owned).collect();
    Ok(find)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find() -> Find {
        let cells = vec![Cell::new(0, 0), Cell::new(1, 0), Cell::new(1, 1)];
        let pockets = vec![Vertex::new(0, 1), Vertex::new(1, 1)];
        let look = Look {
            layouts: 5,
            different: 4,
            drop_in: Some(3),
            complete: true,
            smallest: Some(Alone { pockets, same_size: 2, proven: true }),
            largest: None,
        };
        Find { notes: vec!["one".into(), "two".into()], ..Find::new(7, cells, look, Some(0.25)) }
    }

    #[test]
    fn a_row_loses_nothing() {
        let find = find();
        assert_eq!(read(&row(&find)), Ok(find.clone()));
        assert_eq!(code(&find.cells), ".#/##");
        let row = row(&find);
        assert_eq!(row.len(), COLUMNS.len());
        for (column, value) in COLUMNS.iter().zip(row) {
            assert!(value.kind() == Some(column.kind) || column.optional && value == Value::Missing);
            match column.name {
                "smallest_pockets" => assert_eq!(value, Value::Text("0,1 1,1".into())),
                "drawing" => assert_eq!(value, Value::Text("+ + +\n . #\no o +\n # #\n+ + +\n".into())),
                _ => {}
            }
        }
    }

    #[test]
    fn a_damaged_row_is_told_by_its_column() {
        for (column, bad) in [
            ("code", Value::Text(".x/##".into())),
            ("complete", Value::Missing),
            ("smallest", Value::Number(9)),
            ("smallest_pockets", Value::Text("9,9 8,8".into())),
            ("layouts", Value::Number(-1)),
        ] {
            let mut row = row(&find());
            row[COLUMNS.iter().position(|c| c.name == column).unwrap()] = bad;
            assert_eq!(read(&row), Err(RowError { place: 7, column }));
        }
    }
}
