//! A table being written, row group by row group.

use std::io::Write;
use std::sync::Arc;

use parquet::basic::{LogicalType, Repetition, Type as Kind};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;
use scout::table::{self, Column, Value};

use crate::error::ColumnsError;

/// A table being written.
pub(crate) struct Writing<W: Write + Send> {
    file: SerializedFileWriter<W>,
    columns: &'static [Column],
}

impl<W: Write + Send> Writing<W> {
    /// Begins a table; `about` are names and texts that stand in the file.
    pub fn new(
        out: W,
        name: &str,
        columns: &'static [Column],
        about: &[(&str, &str)],
    ) -> Result<Self, ColumnsError> {
        let schema = Type::group_type_builder(name).with_fields(fields(columns)?).build()?;
        let about: Vec<KeyValue> =
            about.iter().map(|&(key, text)| KeyValue::new(key.to_owned(), text.to_owned())).collect();
        let properties = WriterProperties::builder()
            .set_created_by("pinfold".into())
            .set_key_value_metadata((!about.is_empty()).then_some(about))
            .build();
        Ok(Writing { file: SerializedFileWriter::new(out, Arc::new(schema), Arc::new(properties))?, columns })
    }

    /// Writes one row group, column by column: `values` is asked for each in turn.
    pub fn group(
        &mut self,
        mut values: impl FnMut(usize) -> Result<Vec<Value>, ColumnsError>,
    ) -> Result<(), ColumnsError> {
        let mut rows = self.file.next_row_group()?;
        for (nth, column) in self.columns.iter().enumerate() {
            let mut writer = rows.next_column()?.expect("a writer for each column of the schema");
            put(writer.untyped(), column, &values(nth)?)?;
            writer.close()?;
        }
        rows.close()?;
        Ok(())
    }

    /// Ends the table.
    pub fn end(self) -> Result<W, ColumnsError> {
        Ok(self.file.into_inner()?)
    }
}

fn put(writer: &mut ColumnWriter<'_>, column: &Column, values: &[Value]) -> Result<(), ParquetError> {
    let is_there = |v: &Value| i16::from(!matches!(v, Value::Missing | Value::Truth(None)));
    let there: Option<Vec<i16>> = column.optional.then(|| values.iter().map(is_there).collect());
    let there = there.as_deref();
    match writer {
        ColumnWriter::Int64ColumnWriter(w) => {
            let numbers: Vec<i64> = values.iter().filter_map(Value::number).collect();
            w.write_batch(&numbers, there, None)?
        }
        ColumnWriter::ByteArrayColumnWriter(w) => {
            let texts = values.iter().filter_map(Value::text);
            let texts: Vec<ByteArray> = texts.map(|t| ByteArray::from(t.as_bytes().to_vec())).collect();
            w.write_batch(&texts, there, None)?
        }
        ColumnWriter::BoolColumnWriter(w) => {
            let truths: Vec<bool> = values.iter().filter_map(Value::truth).collect();
            w.write_batch(&truths, there, None)?
        }
        ColumnWriter::DoubleColumnWriter(w) => {
            let measures: Vec<f64> = values.iter().filter_map(Value::measure).collect();
            w.write_batch(&measures, there, None)?
        }
        _ => unreachable!("the columns are numbers, texts, truths and measures"),
    };
    Ok(())
}

/// The columns as the format's schema has them.
pub(crate) fn fields(columns: &[Column]) -> Result<Vec<Arc<Type>>, ParquetError> {
    columns.iter().map(|c| field(c).map(Arc::new)).collect()
}

fn field(column: &Column) -> Result<Type, ParquetError> {
    let (kind, logical) = match column.kind {
        table::Kind::Number => (Kind::INT64, None),
        table::Kind::Text => (Kind::BYTE_ARRAY, Some(LogicalType::String)),
        table::Kind::Truth => (Kind::BOOLEAN, None),
        table::Kind::Measure => (Kind::DOUBLE, None),
    };
    let repetition = if column.optional { Repetition::OPTIONAL } else { Repetition::REQUIRED };
    Type::primitive_type_builder(column.name, kind)
        .with_logical_type(logical)
        .with_repetition(repetition)
        .build()
}
