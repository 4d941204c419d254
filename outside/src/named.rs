//! The polyominoes by name, and regions to fill with them.

use lattice::{Cell, Outline, Piece};

/// The twelve pentominoes by the letters that S. W. Golomb, Polyominoes (1965),
/// gave them (from memory). Rows from the top, `#` a cell.
pub const PENTOMINOES: [(char, &str); 12] = [
    ('F', ".## ##. .#."),
    ('I', "#####"),
    ('L', "#### #..."),
    ('N', "##.. .###"),
    ('P', "## ## #."),
    ('T', "### .#. .#."),
    ('U', "#.# ###"),
    ('V', "#.. #.. ###"),
    ('W', "#.. ##. .##"),
    ('X', ".#. ### .#."),
    ('Y', ".#.. ####"),
    ('Z', "##. .#. .##"),
];

/// The five free tetrominoes.
pub const TETROMINOES: [&str; 5] = ["####", "## ##", "### .#.", "### #..", "##. .##"];

/// The cells of a drawing: rows from the top, `#` a cell, rows apart by blanks.
pub fn cells(drawing: &str) -> Vec<Cell> {
    let rows: Vec<&str> = drawing.split_whitespace().collect();
    let marks = rows
        .iter()
        .rev()
        .enumerate()
        .flat_map(|(y, row)| row.chars().enumerate().map(move |(x, m)| (x, y, m)));
    let place = |n: usize| i32::try_from(n).expect("a small drawing");
    marks.filter(|&(.., mark)| mark == '#').map(|(x, y, _)| Cell::new(place(x), place(y))).collect()
}

/// A rigid piece from a drawing.
pub fn rigid(drawing: &str) -> Piece {
    Piece::rigid(cells(drawing)).expect("a polyomino hangs together")
}

/// A full rectangle.
pub fn rectangle(width: i32, height: i32) -> Outline {
    let cells = (0..width).flat_map(|x| (0..height).map(move |y| Cell::new(x, y)));
    Outline::new(cells, [], 0).expect("a rectangle has cells")
}
