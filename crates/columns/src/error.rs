//! Why a catalogue could not be written or read.

use parquet::errors::ParquetError;
use scout::finds::RowError;

/// Why a catalogue could not be written or read.
#[derive(Debug, thiserror::Error)]
pub enum ColumnsError {
    /// The format's library refused.
    #[error("Parquet: {0}")]
    Parquet(#[from] ParquetError),
    /// The file has other columns.
    #[error("the file has not the columns of a catalogue of outlines")]
    Columns,
    /// The file does not say what it is a catalogue of.
    #[error("the file does not say what it is a catalogue of")]
    NoAbout,
    /// A row can't be read.
    #[error(transparent)]
    Row(#[from] RowError),
    /// A file could not be opened.
    #[error("a part can't be opened: {0}")]
    Open(#[from] std::io::Error),
}
