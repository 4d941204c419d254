//! The catalogue of outlines: parts, each with the rows of some places, and
//! parts joined to one file.
//!
//! A part and a whole say in their metadata what they are of. Joining is by the
//! rows alone, so it does not matter who wrote which part: the whole has the
//! same bytes.

use std::io::{self, Write};

use parquet::file::reader::ChunkReader;
use scout::finds::{self, COLUMNS, Find};

use crate::error::ColumnsError;
use crate::reading::Reading;
use crate::writing::Writing;

const NAME: &str = "outlines";
/// The key of the text that says what a catalogue is of.
const ABOUT: &str = "pinfold.catalogue";
/// Rows that a row group of a whole has at least (but for the last): parts are
/// taken whole, so it has less than a part more.
const GROUP: usize = 65_536;

/// One part: the rows of these finds, in order.
///
/// # Errors
/// Whatever the format's library refuses.
pub fn part(of: &str, finds: &[Find]) -> Result<Vec<u8>, ColumnsError> {
    let mut columns: Vec<Vec<_>> = COLUMNS.iter().map(|_| Vec::with_capacity(finds.len())).collect();
    for find in finds {
        finds::row(find).into_iter().zip(&mut columns).for_each(|(value, column)| column.push(value));
    }
    let mut table = Writing::new(Vec::new(), NAME, &COLUMNS, &[(ABOUT, of)])?;
    table.group(|nth| Ok(std::mem::take(&mut columns[nth])))?;
    table.end()
}

/// What a part or a whole says it is of.
///
/// # Errors
/// It is no catalogue of outlines, or does not say.
pub fn about(source: impl ChunkReader + 'static) -> Result<String, ColumnsError> {
    Reading::new(source, &COLUMNS)?.about(ABOUT).map(str::to_owned).ok_or(ColumnsError::NoAbout)
}

/// Tells of each row of a part or a whole in turn, one row group in memory at a
/// time, and gives what it says it is of.
///
/// # Errors
/// It is no catalogue of outlines, or a row is damaged.
pub fn finds(source: impl ChunkReader + 'static, mut tell: impl FnMut(Find)) -> Result<String, ColumnsError> {
    let table = Reading::new(source, &COLUMNS)?;
    table.each(|row| {
        tell(finds::read(row)?);
        Ok(())
    })?;
    table.about(ABOUT).map(str::to_owned).ok_or(ColumnsError::NoAbout)
}

/// Joins parts, in order, to a whole. Column after column of at most a row
/// group is in memory. How many rows it has.
///
/// # Errors
/// A part that can't be opened, is no catalogue of outlines, or is of
/// something else; whatever the format's library refuses.
pub fn join<W: Write + Send, R: ChunkReader + 'static>(
    out: W,
    of: &str,
    parts: impl Iterator<Item = io::Result<R>>,
) -> Result<(W, u64), ColumnsError> {
    let mut table = Writing::new(out, NAME, &COLUMNS, &[(ABOUT, of)])?;
    let (mut some, mut rows, mut all) = (Vec::new(), 0, 0);
    let write = |table: &mut Writing<W>, some: &mut Vec<Reading<R>>| -> Result<(), ColumnsError> {
        table.group(|nth| {
            let mut values = Vec::new();
            for part in some.iter() {
                values.append(&mut part.whole_column(nth)?);
            }
            Ok(values)
        })?;
        some.clear();
        Ok(())
    };
    for part in parts {
        let part = Reading::new(part?, &COLUMNS)?;
        if part.about(ABOUT) != Some(of) {
            return Err(ColumnsError::NoAbout);
        }
        rows += part.rows();
        all += part.rows() as u64;
        some.push(part);
        if rows >= GROUP {
            write(&mut table, &mut some)?;
            rows = 0;
        }
    }
    if rows > 0 {
        write(&mut table, &mut some)?;
    }
    Ok((table.end()?, all))
}

#[cfg(test)]
mod tests {
    use super::*;
    use bytes::Bytes;
    use fill::{Alone, Look};
    use lattice::{Cell, Vertex};

    fn some(places: std::ops::Range<u64>) -> Vec<Find> {
        let find = |place: u64| {
            let cells = (0..=place as i32 % 5).map(|x| Cell::new(x, 0)).collect();
            let alone =
                Alone { pockets: vec![Vertex::new(0, 0)], same_size: place, proven: place.is_multiple_of(3) };
            let look = Look {
                layouts: place,
                different: place / 2,
                drop_in: (!place.is_multiple_of(5)).then_some(place / 3),
                complete: !place.is_multiple_of(4),
                smallest: place.is_multiple_of(2).then(|| alone.clone()),
                largest: place.is_multiple_of(7).then_some(alone),
            };
            Find::new(place, cells, look, None)
        };
        places.map(find).collect()
    }

    #[test]
    fn rows_are_read_back_and_what_they_are_of() {
        let all = some(0..40);
        let bytes = Bytes::from(part("demo", &all).unwrap());
        let mut read = Vec::new();
        assert_eq!(finds(bytes.clone(), |find| read.push(find)).unwrap(), "demo");
        assert_eq!(read, all);
        assert_eq!(about(bytes).unwrap(), "demo");
        let none = Bytes::from(part("demo", &[]).unwrap());
        assert_eq!(finds(none, |_| panic!("a row of none")).unwrap(), "demo");
    }

    #[test]
    fn a_whole_depends_on_the_rows_alone() {
        let join_of = |cuts: &[u64]| {
            let parts = cuts.windows(2).map(|w| Ok(Bytes::from(part("demo", &some(w[0]..w[1])).unwrap())));
            join(Vec::new(), "demo", parts).unwrap()
        };
        let (whole, rows) = join_of(&[0, 100]);
        assert_eq!(rows, 100);
        assert_eq!(join_of(&[0, 1, 50, 50, 100]).0, whole);
        let mut read = Vec::new();
        finds(Bytes::from(whole), |find| read.push(find)).unwrap();
        assert_eq!(read, some(0..100));
        let other = std::iter::once(Ok(Bytes::from(part("another", &some(0..3)).unwrap())));
        assert!(matches!(join(Vec::new(), "demo", other), Err(ColumnsError::NoAbout)));
    }

    #[test]
    fn what_is_no_catalogue_is_refused() {
        for bytes in [&b""[..], b"PAR1", b"no parquet at all, whatever it may be"] {
            assert!(finds(Bytes::copy_from_slice(bytes), |_| ()).is_err());
        }
        let pieces = Bytes::from(crate::parquet(&[], &[]).unwrap());
        assert!(matches!(finds(pieces, |_| ()), Err(ColumnsError::Columns)));
    }
}
