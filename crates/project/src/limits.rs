//! How large a project may be. Everything is measured against these before it
//! is worked on, so that no file, however odd, makes the program run long.

use std::ops::RangeInclusive;

/// Largest file read, in bytes.
pub(crate) const FILE_BYTES: u64 = 4 << 20;
/// Most outline files in a project.
pub(crate) const OUTLINES: usize = 2_000;
/// Most packs in a project.
pub(crate) const PACKS: usize = 200;
/// Coordinates in a drawing of a piece.
pub(crate) const COORDINATE: RangeInclusive<i64> = -10_000..=10_000;
/// Most blocks, and most hinges, in one piece. Checking a piece takes time of
/// the order blocks² × hinges.
pub(crate) const PIECE_PARTS: usize = 256;
/// Most blocks in a set, copies counted.
pub(crate) const SET_BLOCKS: usize = 10_000;
/// Most pieces in a set, copies counted.
pub(crate) const SET_PIECES: usize = 1_000;
/// Copies of one piece.
pub(crate) const COPIES: RangeInclusive<i64> = 1..=100;
/// Levels of hinges in a block's height.
pub(crate) const LEVELS: RangeInclusive<i64> = 1..=8;
/// Most cells in a row or a column of an outline: a metre and a half at the
/// usual pitch.
pub(crate) const OUTLINE_SIDE: usize = 100;
/// An outline's printed number.
pub(crate) const NUMBER: RangeInclusive<i64> = 1..=9999;
/// Most characters in an outline's printed grade.
pub(crate) const GRADE: usize = 4;
/// Most characters in a title, and in a name.
pub(crate) const TITLE: usize = 120;
/// Most characters in the name of a piece, an outline or a pack.
pub(crate) const NAME: usize = 60;
/// Largest figure in `[sizes]` and `[printer]`.
pub(crate) const FIGURE: f64 = 10_000.0;
/// Most mistakes told of one file.
pub(crate) const MISTAKES: usize = 200;
/// Mistakes gathered in one file before reading on only to the end.
pub(crate) const GATHERED: usize = 10 * MISTAKES;
/// Longest line of source shown with a mistake, in characters.
pub(crate) const SHOWN_LINE: usize = 500;
/// Most tries in `plays.csv`, and in a file to add.
pub(crate) const PLAYS: usize = 50_000;
/// Minutes of one try: a second to two months.
pub(crate) const MINUTES: RangeInclusive<f64> = 0.01..=100_000.0;
/// Numbers of a tester's tries at one outline.
pub(crate) const TRY: RangeInclusive<u32> = 1..=9999;
