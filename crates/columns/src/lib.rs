//! Catalogues as Parquet, the open column format, so that those who like can
//! query them with the tools they know.
//!
//! A crate of its own because the format's library is heavy. It makes bytes
//! and knows no files. Equal catalogues give equal bytes: nothing in them
//! tells the time or the machine. The text of a catalogue has the same columns
//! ([`COLUMNS`]).

use std::sync::Arc;

use parquet::basic::{LogicalType, Repetition, Type as Kind};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;
use scout::{Entry, table};

pub use scout::table::COLUMNS;

/// Why a catalogue could not be written as Parquet.
#[derive(Debug, thiserror::Error)]
#[error("the catalogue could not be written as Parquet: {0}")]
pub struct ColumnsError(#[from] ParquetError);

/// One Parquet file with a row for each entry. `printable` has the solid's
/// word on each, or none where it was not asked.
///
/// # Errors
/// Whatever the format's library refuses.
pub fn parquet(entries: &[Entry], printable: &[Option<bool>]) -> Result<Vec<u8>, ColumnsError> {
    let fields = COLUMNS.iter().map(|c| field(c).map(Arc::new)).collect::<Result<Vec<_>, _>>()?;
    let schema = Type::group_type_builder("catalogue").with_fields(fields).build()?;
    let properties = WriterProperties::builder().set_created_by("pinfold".into()).build();
    let mut bytes = Vec::new();
    let mut file = SerializedFileWriter::new(&mut bytes, Arc::new(schema), Arc::new(properties))?;
    let mut rows = file.next_row_group()?;
    for column in COLUMNS {
        let mut writer = rows.next_column()?.expect("a writer for each column of the schema");
        let values: Vec<table::Value> = entries
            .iter()
            .enumerate()
            .map(|(i, e)| table::value(e, printable.get(i).copied().flatten(), column.name))
            .collect();
        match writer.untyped() {
            ColumnWriter::Int64ColumnWriter(w) => {
                let numbers: Vec<i64> = values.iter().filter_map(table::Value::number).collect();
                w.write_batch(&numbers, None, None)?;
            }
            ColumnWriter::ByteArrayColumnWriter(w) => {
                let texts: Vec<ByteArray> = values
                    .iter()
                    .filter_map(table::Value::text)
                    .map(|t| ByteArray::from(t.as_bytes().to_vec()))
                    .collect();
                w.write_batch(&texts, None, None)?;
            }
            ColumnWriter::BoolColumnWriter(w) => {
                let there: Vec<i16> = values.iter().map(|v| i16::from(v.truth().is_some())).collect();
                let truths: Vec<bool> = values.iter().filter_map(table::Value::truth).collect();
                w.write_batch(&truths, Some(&there), None)?;
            }
            _ => unreachable!("the columns are numbers, texts and truths"),
        }
        writer.close()?;
    }
    rows.close()?;
    file.close()?;
    Ok(bytes)
}

fn field(column: &table::Column) -> Result<Type, ParquetError> {
    let (kind, logical, repetition) = match column.kind {
        table::Kind::Number => (Kind::INT64, None, Repetition::REQUIRED),
        table::Kind::Text => (Kind::BYTE_ARRAY, Some(LogicalType::String), Repetition::REQUIRED),
        table::Kind::Truth => (Kind::BOOLEAN, None, Repetition::OPTIONAL),
    };
    Type::primitive_type_builder(column.name, kind)
        .with_logical_type(logical)
        .with_repetition(repetition)
        .build()
}

#[cfg(test)]
mod tests {
    use super::*;
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
                }
            }
        }
    }
}
