//! The catalogue of pieces.

use scout::{Entry, table};

use crate::error::ColumnsError;
use crate::writing::Writing;

/// One Parquet file with a row for each entry. `printable` has the solid's
/// word on each, or none where it was not asked.
///
/// # Errors
/// Whatever the format's library refuses.
pub fn parquet(entries: &[Entry], printable: &[Option<bool>]) -> Result<Vec<u8>, ColumnsError> {
    let mut table = Writing::new(Vec::new(), "catalogue", &table::COLUMNS, &[])?;
    table.group(|nth| {
        let field = |(i, e)| table::value(e, printable.get(i).copied().flatten(), table::COLUMNS[nth].name);
        Ok(entries.iter().enumerate().map(field).collect())
    })?;
    table.end()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::COLUMNS;
    use parquet::file::reader::{FileReader, SerializedFileReader};
    use parquet::record::RowAccessor;
    use reach::{Bed, Plan};
    use scout::{Catalogue, Wanted};

    #[test]
    fn what_is_written_is_read_back() {
        let bed = Bed { size: [220.0, 220.0], pitch: 15.0 };
        let wanted = Wanted { blocks: 4, levels: 2, loops: 0, plan: Plan::default(), bed };
        let entries = Catalogue::of(&wanted).unwrap().entries;
        let mut printable = vec![None; entries.len()];
        (printable[0], printable[2]) = (Some(true), Some(false));
        let bytes = parquet(&entries, &printable).unwrap();
        assert_eq!(bytes, parquet(&entries, &printable).unwrap());
        let file = SerializedFileReader::new(bytes::Bytes::from(bytes)).unwrap();
        assert_eq!(file.metadata().file_metadata().num_rows(), entries.len() as i64);
        for (i, row) in file.get_row_iter(None).unwrap().enumerate() {
            let row = row.unwrap();
            for (c, column) in COLUMNS.iter().enumerate() {
                match table::value(&entries[i], printable[i], column.name) {
                    table::Value::Number(n) => assert_eq!(row.get_long(c).unwrap(), n),
                    table::Value::Text(t) => assert_eq!(row.get_string(c).unwrap(), &t),
                    table::Value::Truth(Some(t)) => assert_eq!(row.get_bool(c).unwrap(), t),
                    table::Value::Truth(None) => assert!(row.get_bool(c).is_err()),
                    other => panic!("no piece has {other:?}"),
                }
            }
        }
    }
}
