//! Random sets and outlines from a seed, for tests, benches and outside judges.

use lattice::{Cell, Corner, Hinge, Level, Outline, Piece, Set, Vertex, VertexKind};

/// A small generator of numbers: xorshift64 (G. Marsaglia, "Xorshift RNGs",
/// J. Stat. Softw. 8(14), 2003; shifts 13, 7, 17, from memory).
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Dice that always fall the same way for one seed.
    pub fn new(seed: u64) -> Self {
        // Any state but zero will do; the first throws mix small seeds.
        let mut dice = Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        for _ in 0..8 {
            dice.below(2);
        }
        dice
    }

    /// A number below `n`, which is at least 1.
    pub fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 16) % n as u64) as usize
    }

    /// True once in `n` throws.
    pub fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }
}

/// A hinged piece of `blocks` blocks drawn side by side, with `extra` attempts
/// at a hinge that closes a loop.
pub fn hinged_piece(dice: &mut Dice, blocks: usize, levels: u8, extra: usize) -> Piece {
    loop {
        let mut cells = vec![Cell::new(0, 0)];
        let mut hinges: Vec<Hinge> = Vec::new();
        for _ in 0..blocks * 40 {
            if cells.len() == blocks {
                break;
            }
            let from = dice.below(cells.len());
            let cell = cells[from].sides()[dice.below(4)];
            let pin = cells[from].corner(Corner::new(dice.below(4) as u8));
            let level = Level(dice.below(usize::from(levels)) as u8);
            let taken = hinges.iter().any(|h| (h.pin, h.level) == (pin, level));
            if cells.contains(&cell) || cell.corner_at(pin).is_none() || taken {
                continue;
            }
            hinges.push(Hinge { pin, joins: [from, cells.len()], level });
            cells.push(cell);
        }
        for _ in 0..extra {
            let joins = [dice.below(cells.len()), dice.below(cells.len())];
            let pin = cells[joins[0]].corner(Corner::new(dice.below(4) as u8));
            hinges.push(Hinge { pin, joins, level: Level(dice.below(usize::from(levels)) as u8) });
            if !Piece::faults(&cells, &hinges, false).is_empty() {
                hinges.pop();
            }
        }
        if cells.len() == blocks
            && let Ok(piece) = Piece::hinged(cells, hinges)
        {
            return piece;
        }
    }
}

/// A rigid piece of `blocks` blocks.
pub fn rigid_piece(dice: &mut Dice, blocks: usize) -> Piece {
    Piece::rigid(blob(dice, blocks, 1)).expect("a blob hangs together")
}

/// Cells that hang together by whole sides; the higher `compact`, the rounder.
pub fn blob(dice: &mut Dice, cells: usize, compact: usize) -> Vec<Cell> {
    let mut blob = vec![Cell::new(0, 0)];
    while blob.len() < cells {
        let next = blob[dice.below(blob.len())].sides()[dice.below(4)];
        let touching = next.sides().iter().filter(|s| blob.contains(s)).count();
        if !blob.contains(&next) && (touching > 1 || dice.one_in(compact)) {
            blob.push(next);
        }
    }
    blob
}

/// A small set and an outline of its area, of every kind the lattice knows:
/// loops, rigid pieces, copies, one to three levels, turning over, pockets,
/// holes and corners, spare cells. Small enough for a naive search.
pub fn small_instance(seed: u64) -> (Set, Outline) {
    let mut dice = Dice::new(seed);
    let levels = 1 + dice.below(3) as u8;
    let mut pieces = Vec::new();
    let mut blocks = 0;
    let room = 3 + dice.below(5);
    while blocks < room {
        let size = (1 + dice.below(4)).min(room - blocks);
        let piece = match dice.below(8) {
            0 => rigid_piece(&mut dice, size),
            1 if blocks + size == room || pieces.is_empty() => hinged_piece(&mut dice, size, levels, 6),
            1 => Piece::clone(&pieces[dice.below(pieces.len())]),
            extra => hinged_piece(&mut dice, size, levels, extra / 6 * 4),
        };
        if blocks + piece.blocks().len() <= room {
            blocks += piece.blocks().len();
            pieces.push(piece);
        }
    }
    let set = Set { pieces, levels, turn_over: dice.one_in(4) };
    let spare = if dice.one_in(3) { 1 + dice.below(2) } else { 0 };
    let mut cells = blob(&mut dice, blocks + spare, 3);
    if dice.one_in(4) {
        // Move one cell to a free corner: holes, necks, parts that touch at a corner.
        let from = dice.below(cells.len());
        let corner = cells[dice.below(cells.len())].corner(Corner::new(dice.below(4) as u8));
        let to = corner.quadrants()[dice.below(4)];
        if !cells.contains(&to) {
            cells[from] = to;
        }
    }
    let plain = Outline::new(cells, [], spare).expect("a blob has cells");
    let odds = dice.below(4);
    let pockets: Vec<Vertex> = plain
        .vertices(VertexKind::Edge)
        .into_iter()
        .filter(|_| odds == 0 || !dice.one_in(odds + 1))
        .collect();
    let outline = plain.with_pockets(pockets).expect("edge vertices are on the edge");
    (set, outline)
}
