//! Text pictures for a terminal: boxes of characters, marks at the hinges.
//!
//! A cell is three columns and one line, with its walls round it. Heavy lines
//! are the wall of the plate, light ones part the pieces. A vertex shows its
//! hinges, else its pocket, else the lines that meet there. In plain ASCII the
//! wall is `#`. Every drawing ends with the key of the marks it uses.

use std::collections::{BTreeMap, BTreeSet};

use lattice::{Cell, DropIn, Fold, Folding, Level, Outline, Pin, Set, Vertex};

use crate::block::Posed;
use crate::colour::{Rgb, ink_on};
use crate::error::{PaperError, check_layout, check_letter, check_outline};
use crate::fold_sheet::checked;
use crate::line::bounds;
use crate::style::{PieceStyle, Style};

/// How text pictures are drawn. Whether the terminal has colours, and whether
/// its user wants them, is for the caller to know.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Look {
    /// ANSI colours (24 bits) on the pieces.
    pub colour: bool,
    /// Only characters of plain ASCII.
    pub ascii: bool,
}

/// An outline with its pockets.
///
/// # Errors
/// Cells that spread too far.
pub fn outline(outline: &Outline, look: Look) -> Result<String, PaperError> {
    check_outline(outline)?;
    let mut grid = Grid::new(outline.cells(), look);
    grid.plate(outline);
    let mut text = grid.print(&[]);
    if !outline.pockets().is_empty() {
        text += "o pocket\n";
    }
    Ok(text)
}

/// A folding on its outline; pieces not placed leave their cells empty.
///
/// # Errors
/// As for the picture of a layout.
pub fn layout(
    set: &Set,
    outline: &Outline,
    folding: &Folding,
    style: &Style,
    look: Look,
) -> Result<String, PaperError> {
    check_layout(set, outline, folding, &style.pieces)?;
    let mut grid = Grid::new(outline.cells(), look);
    let mut pins = Vec::new();
    let mut colours = Vec::new();
    for (i, placed) in folding.placed.iter().enumerate() {
        let posed = Posed::new(&set.pieces[placed.piece], &placed.pose, set.levels);
        let piece = &style.pieces[placed.piece];
        grid.fill(&posed.cells, i, piece.letter);
        grid.part(&posed.cells);
        pins.extend(posed.pins);
        colours.push(piece.colour);
    }
    grid.plate(outline);
    let mut key = grid.hinges(&pins);
    if outline.pockets().iter().any(|v| pins.iter().all(|p| p.at != *v)) {
        key.push("o empty pocket".to_owned());
    }
    let mut text = grid.print(&colours);
    text += &line_of(&key, "   ");
    let letter = |i: &usize| style.pieces[folding.placed[*i].piece].letter.to_string();
    match folding.drop_in(set) {
        DropIn::Order(order) if order.len() > 1 => {
            let letters: Vec<String> = order.iter().map(letter).collect();
            text += &format!("drop in: {}\n", letters.join(", "));
        }
        DropIn::Order(_) => {}
        DropIn::Interlocked(ring) => {
            let letters: Vec<String> = ring.iter().chain(&ring[..1]).map(letter).collect();
            text += &format!("interlocked: {}\n", letters.join(" before "));
        }
    }
    Ok(text)
}

/// One fold of a piece, every block in its own box.
///
/// # Errors
/// A piece that is not in the set, a fold that is not one of that piece.
pub fn fold(
    set: &Set,
    piece: usize,
    fold: &Fold,
    style: &PieceStyle,
    look: Look,
) -> Result<String, PaperError> {
    check_letter(style)?;
    let posed = checked(set, piece, &fold.pose, 0, style)?;
    let mut grid = Grid::new(&posed.cells, look);
    grid.fill(&posed.cells, 0, style.letter);
    for &cell in &posed.cells {
        grid.part(&[cell]);
    }
    let key = grid.hinges(&posed.pins);
    Ok(grid.print(&[style.colour]) + &line_of(&key, "   "))
}

fn line_of(parts: &[String], between: &str) -> String {
    if parts.is_empty() { String::new() } else { parts.join(between) + "\n" }
}

/// Weight of a line: none, light, heavy.
type Stroke = u8;

/// Lines and marks on a patch of the lattice.
struct Grid {
    look: Look,
    x0: i32,
    y0: i32,
    x1: i32,
    y1: i32,
    /// Lines rightward and upward from a vertex.
    across: BTreeMap<Vertex, Stroke>,
    upright: BTreeMap<Vertex, Stroke>,
    marks: BTreeMap<Vertex, char>,
    cells: BTreeMap<Cell, (usize, char)>,
}

impl Grid {
    fn new(cells: &[Cell], look: Look) -> Self {
        let (x0, y0, x1, y1) = bounds(cells);
        let (across, upright) = (BTreeMap::new(), BTreeMap::new());
        Grid { look, x0, y0, x1, y1, across, upright, marks: BTreeMap::new(), cells: BTreeMap::new() }
    }

    fn fill(&mut self, cells: &[Cell], owner: usize, letter: char) {
        self.cells.extend(cells.iter().map(|&c| (c, (owner, letter))));
    }

    /// Lines of a weight round a set of cells, never lighter than before.
    fn edge(&mut self, cells: &BTreeSet<Cell>, weight: Stroke) {
        for c in cells {
            let sides = [
                (c.shifted(0, -1), &mut self.across, Vertex::new(c.x, c.y)),
                (c.shifted(-1, 0), &mut self.upright, Vertex::new(c.x, c.y)),
            ];
            for (near, lines, at) in sides {
                if !cells.contains(&near) {
                    let line = lines.entry(at).or_default();
                    *line = weight.max(*line);
                }
            }
            let sides = [
                (c.shifted(0, 1), &mut self.across, Vertex::new(c.x, c.y + 1)),
                (c.shifted(1, 0), &mut self.upright, Vertex::new(c.x + 1, c.y)),
            ];
            for (near, lines, at) in sides {
                if !cells.contains(&near) {
                    let line = lines.entry(at).or_default();
                    *line = weight.max(*line);
                }
            }
        }
    }

    fn part(&mut self, cells: &[Cell]) {
        self.edge(&cells.iter().copied().collect(), 1);
    }

    fn plate(&mut self, outline: &Outline) {
        self.edge(&outline.cells().iter().copied().collect(), 2);
        for &v in outline.pockets() {
            self.marks.entry(v).or_insert('o');
        }
    }

    /// Marks the hinges and gives the key of the marks used.
    fn hinges(&mut self, pins: &[Pin]) -> Vec<String> {
        let mut at: BTreeMap<Vertex, BTreeSet<Level>> = BTreeMap::new();
        for pin in pins {
            at.entry(pin.at).or_default().insert(pin.level);
        }
        let mut used: BTreeMap<BTreeSet<Level>, char> = BTreeMap::new();
        let mut key = BTreeMap::new();
        for (vertex, levels) in at {
            let mark = self.mark(&levels);
            self.marks.insert(vertex, mark);
            used.insert(levels, mark);
        }
        for (levels, mark) in used {
            let names: Vec<String> = levels.iter().map(|l| l.0.to_string()).collect();
            let words = match names.len() {
                1 => format!("{mark} hinge on level {}", names[0]),
                _ if self.several(&levels) => format!("{mark} hinges on several levels"),
                _ => format!("{mark} hinges on levels {}", names.join(" and ")),
            };
            key.insert((levels.len(), mark), words);
        }
        key.into_values().collect()
    }

    /// Whether the mark of these levels also stands for other sets of levels.
    fn several(&self, levels: &BTreeSet<Level>) -> bool {
        levels.len() > 1 && !levels.iter().map(|l| l.0).eq([0, 1])
    }

    fn mark(&self, levels: &BTreeSet<Level>) -> char {
        let numbers: Vec<u8> = levels.iter().map(|l| l.0).collect();
        let digit = |n: u8| char::from_digit(n.into(), 10).unwrap_or('9');
        match (numbers.as_slice(), self.look.ascii) {
            ([0], false) => '•',
            ([1], false) => '◦',
            ([0, 1], false) => '◉',
            ([n], _) => digit(*n),
            ([0, 1], true) => '%',
            (_, _) => '*',
        }
    }

    fn print(&self, colours: &[Rgb]) -> String {
        let mut text = String::new();
        for y in (self.y0..=self.y1).rev() {
            let mut row = Row::new(colours, self.look.colour);
            for x in self.x0..=self.x1 {
                let v = Vertex::new(x, y);
                row.put(self.vertex(v), self.shared(&v.quadrants()));
                if x < self.x1 {
                    let line = self.across.get(&v).copied().unwrap_or(0);
                    let owner = self.shared(&[Cell::new(x, y), Cell::new(x, y - 1)]);
                    let c = [
                        ' ',
                        if self.look.ascii { '-' } else { '─' },
                        if self.look.ascii { '#' } else { '━' },
                    ];
                    (0..3).for_each(|_| row.put(c[usize::from(line)], owner));
                }
            }
            text += &row.end();
            if y == self.y0 {
                break;
            }
            let mut row = Row::new(colours, self.look.colour);
            for x in self.x0..=self.x1 {
                let cell = Cell::new(x, y - 1);
                let line = self.upright.get(&Vertex::new(x, y - 1)).copied().unwrap_or(0);
                let c =
                    [' ', if self.look.ascii { '|' } else { '│' }, if self.look.ascii { '#' } else { '┃' }];
                row.put(c[usize::from(line)], self.shared(&[cell, cell.shifted(-1, 0)]));
                if x < self.x1 {
                    let owner = self.cells.get(&cell);
                    for c in [' ', owner.map_or(' ', |o| o.1), ' '] {
                        row.put(c, owner.map(|o| o.0));
                    }
                }
            }
            text += &row.end();
        }
        text
    }

    /// The owner that all these cells have in common.
    fn shared(&self, cells: &[Cell]) -> Option<usize> {
        let first = self.cells.get(&cells[0])?.0;
        cells.iter().all(|c| self.cells.get(c).is_some_and(|o| o.0 == first)).then_some(first)
    }

    fn vertex(&self, v: Vertex) -> char {
        if let Some(&mark) = self.marks.get(&v) {
            return mark;
        }
        let at = |lines: &BTreeMap<Vertex, Stroke>, v| lines.get(&v).copied().unwrap_or(0);
        let arms = [
            at(&self.across, v),
            at(&self.upright, v),
            at(&self.across, v.shifted(-1, 0)),
            at(&self.upright, v.shifted(0, -1)),
        ];
        if self.look.ascii { plain_junction(arms) } else { junction(arms) }
    }
}

/// The box-drawing character with these arms: right, up, left, down.
/// Unicode 16.0, block "Box Drawing": every mix of light and heavy arms exists.
fn junction(arms: [Stroke; 4]) -> char {
    // By the arm to the right, then up, then left, then down, each none, light, heavy.
    const ALL: &str = " ╷╻╴┐┒╸┑┓╵│╽┘┤┧┙┥┪╹╿┃┚┦┨┛┩┫\
                       ╶┌┎─┬┰╾┭┱└├┟┴┼╁┵┽╅┖┞┠┸╀╂┹╃╉\
                       ╺┍┏╼┮┲━┯┳┕┝┢┶┾╆┷┿╈┗┡┣┺╄╊┻╇╋";
    let index = arms.iter().fold(0, |n, &a| n * 3 + usize::from(a));
    ALL.chars().nth(index).expect("81 ways for four arms of three weights")
}

fn plain_junction(arms: [Stroke; 4]) -> char {
    let [right, up, left, down] = arms;
    match (arms.iter().max(), right | left > 0, up | down > 0) {
        (Some(2), _, _) => '#',
        (_, true, true) => '+',
        (_, true, false) => '-',
        (_, false, true) => '|',
        _ => ' ',
    }
}

/// One line of text, coloured in runs.
struct Row<'a> {
    colours: &'a [Rgb],
    coloured: bool,
    text: String,
    now: Option<usize>,
}

impl<'a> Row<'a> {
    fn new(colours: &'a [Rgb], coloured: bool) -> Self {
        Row { colours, coloured, text: String::new(), now: None }
    }

    fn put(&mut self, c: char, owner: Option<usize>) {
        if self.coloured && owner != self.now {
            self.text += &match owner.and_then(|o| self.colours.get(o)) {
                Some(&colour) => {
                    let ([r, g, b], [fr, fg, fb]) = (colour, ink_on(colour));
                    format!("\u{1b}[48;2;{r};{g};{b};38;2;{fr};{fg};{fb}m")
                }
                None => "\u{1b}[0m".to_owned(),
            };
            self.now = owner;
        }
        self.text.push(c);
    }

    fn end(mut self) -> String {
        if self.coloured && self.now.is_some() {
            self.text += "\u{1b}[0m";
        }
        // Blanks at the end of a line help nobody.
        let kept = self.text.trim_end_matches(' ').len();
        self.text.truncate(kept);
        self.text.push('\n');
        self.text
    }
}
