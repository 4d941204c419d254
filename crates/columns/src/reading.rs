//! A table being read, column by column.

use parquet::column::reader::{ColumnReader, ColumnReaderImpl};
use parquet::data_type::DataType;
use parquet::errors::ParquetError;
use parquet::file::reader::{ChunkReader, FileReader, SerializedFileReader};
use scout::table::{Column, Value};

use crate::error::ColumnsError;
use crate::writing::fields;

/// A table being read.
pub(crate) struct Reading<R: ChunkReader + 'static> {
    file: SerializedFileReader<R>,
    columns: &'static [Column],
}

impl<R: ChunkReader + 'static> Reading<R> {
    /// Opens a table, which must have just these columns.
    pub fn new(source: R, columns: &'static [Column]) -> Result<Self, ColumnsError> {
        let file = SerializedFileReader::new(source)?;
        let wanted = fields(columns)?;
        if file.metadata().file_metadata().schema().get_fields() != wanted {
            return Err(ColumnsError::Columns);
        }
        Ok(Reading { file, columns })
    }

    /// A text that stands in the file.
    pub fn about(&self, key: &str) -> Option<&str> {
        let all = self.file.metadata().file_metadata().key_value_metadata()?;
        all.iter().find(|kv| kv.key == key)?.value.as_deref()
    }

    pub fn groups(&self) -> usize {
        self.file.metadata().num_row_groups()
    }

    pub fn rows(&self) -> usize {
        self.file.metadata().file_metadata().num_rows() as usize
    }

    /// One column of one row group.
    pub fn column(&self, group: usize, nth: usize) -> Result<Vec<Value>, ColumnsError> {
        let rows = self.file.get_row_group(group)?;
        let count = rows.metadata().num_rows() as usize;
        Ok(match rows.get_column_reader(nth)? {
            ColumnReader::Int64ColumnReader(r) => values(r, count, |n| Ok(Value::Number(n)))?,
            ColumnReader::BoolColumnReader(r) => values(r, count, |t| Ok(Value::Truth(Some(t))))?,
            ColumnReader::DoubleColumnReader(r) => values(r, count, |m| Ok(Value::Measure(m)))?,
            ColumnReader::ByteArrayColumnReader(r) => {
                values(r, count, |t| Ok(Value::Text(t.as_utf8()?.to_owned())))?
            }
            _ => return Err(ColumnsError::Columns),
        })
    }

    /// One column of all row groups.
    pub fn whole_column(&self, nth: usize) -> Result<Vec<Value>, ColumnsError> {
        let mut all = Vec::with_capacity(self.rows());
        for group in 0..self.groups() {
            all.append(&mut self.column(group, nth)?);
        }
        Ok(all)
    }

    /// Tells of each row in turn, one row group in memory at a time.
    pub fn each(
        &self,
        mut tell: impl FnMut(&[Value]) -> Result<(), ColumnsError>,
    ) -> Result<(), ColumnsError> {
        for group in 0..self.groups() {
            let columns: Vec<Vec<Value>> =
                (0..self.columns.len()).map(|nth| self.column(group, nth)).collect::<Result<_, _>>()?;
            let mut columns: Vec<_> = columns.into_iter().map(Vec::into_iter).collect();
            while let Some(first) = columns[0].next() {
                let rest = columns[1..].iter_mut().map(|c| c.next().unwrap_or(Value::Missing));
                let row: Vec<Value> = std::iter::once(first).chain(rest).collect();
                tell(&row)?;
            }
        }
        Ok(())
    }
}

/// The values of a column, missing ones in their places.
fn values<T: DataType>(
    mut reader: ColumnReaderImpl<T>,
    count: usize,
    value: impl Fn(T::T) -> Result<Value, ParquetError>,
) -> Result<Vec<Value>, ParquetError> {
    let (mut there, mut found) = (Vec::new(), Vec::new());
    while reader.read_records(count, Some(&mut there), None, &mut found)?.0 > 0 {}
    // A column that must be there has no marks of what is.
    if there.is_empty() {
        return found.into_iter().map(value).collect();
    }
    let mut found = found.into_iter();
    let mut next = || found.next().map_or(Ok(Value::Missing), &value);
    there.iter().map(|&mark| if mark == 0 { Ok(Value::Missing) } else { next() }).collect()
}
