//! What is asked for, as plain records, and what is wrong with it.

use lattice::{Folding, FoldingFault, Outline, Set};

use crate::file::threemf::About;
use crate::kernel::KernelError;
use crate::plate::{Label, PlateFault};
use crate::printer::Printer;
use crate::sizes::{SizeFault, Sizes};

/// How one piece of the set is made. One for each piece, in the set's order.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceOrder {
    /// Its name, also of its files.
    pub name: String,
    /// Cut into its top face: a number or a letter or two.
    pub mark: String,
    /// `#RRGGBB`.
    pub colour: String,
    /// Whether it is itself made; one that is not is built for the proofs alone.
    pub made: bool,
}

/// The board.
#[derive(Clone, Debug, PartialEq)]
pub struct BoardOrder {
    /// Columns of the lattice.
    pub width: i32,
    /// Rows of the lattice.
    pub height: i32,
    /// `#RRGGBB` of the base and of the tiles.
    pub colours: [String; 2],
}

/// One plate.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateOrder {
    /// Its name, also of its files.
    pub name: String,
    /// The opening and its pockets.
    pub outline: Outline,
    /// Number and grade.
    pub label: Label,
    /// `#RRGGBB`.
    pub colour: String,
    /// Foldings to be proved against the plate, best one of every layout.
    pub foldings: Vec<Folding>,
}

/// Everything that is to be made of a set.
#[derive(Clone, Debug, PartialEq)]
pub struct Request {
    /// Title, designer and terms, for the files.
    pub about: About,
    /// The pieces and their rules.
    pub set: Set,
    /// One a piece.
    pub pieces: Vec<PieceOrder>,
    /// Sizes of everything.
    pub sizes: Sizes,
    /// The printer.
    pub printer: Printer,
    /// The board; plates need one, and it is made if `make_board`.
    pub board: BoardOrder,
    /// Whether the board itself is made.
    pub make_board: bool,
    /// The plates.
    pub plates: Vec<PlateOrder>,
    /// Whether the test coupon is made.
    pub coupon: bool,
    /// Whether the backing's cut and engrave files are made.
    pub backing: bool,
    /// Whether parts are also laid out on beds.
    pub beds: bool,
    /// Whether STL is written beside 3MF.
    pub stl: bool,
    /// Whether pictures are drawn.
    pub pictures: bool,
}

/// Why nothing can be made.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MakeError {
    /// Sizes that do not work.
    #[error("sizes: {0}")]
    Sizes(SizeFault),
    /// A printer profile that does not work.
    #[error("printer: {0}")]
    Printer(SizeFault),
    /// The coupon's hinges can't be built round the set's clearance.
    #[error("coupon: {0}")]
    Coupon(SizeFault),
    /// As many orders as pieces are needed.
    #[error("{orders} pieces are named, but the set has {pieces}")]
    PieceCount {
        /// Orders given.
        orders: usize,
        /// Pieces in the set.
        pieces: usize,
    },
    /// Two parts whose files would have one name.
    #[error("two parts are called '{name}'; each needs a name of its own")]
    SameName {
        /// The name, as a file would have it.
        name: String,
    },
    /// A colour that is none.
    #[error("the colour of '{part}' is '{found}'; write it as #RRGGBB")]
    Colour {
        /// The part.
        part: String,
        /// What was given.
        found: String,
    },
    /// A board that is no board.
    #[error("the board is {width} × {height} cells; each must be between 1 and 60")]
    Board {
        /// Columns.
        width: i32,
        /// Rows.
        height: i32,
    },
    /// A hinge above the set's levels.
    #[error("piece '{piece}' has a hinge on level {level}, but the set has {levels} levels")]
    Level {
        /// The piece.
        piece: String,
        /// The hinge's level, from 0.
        level: u8,
        /// Levels in the set.
        levels: u8,
    },
    /// A plate that can't be made.
    #[error("plate '{plate}': {fault}")]
    Plate {
        /// The plate.
        plate: String,
        /// Why.
        fault: PlateFault,
    },
    /// A folding that is none, by the lattice's own judge.
    #[error("plate '{plate}', folding {folding}: {fault}")]
    NoFolding {
        /// The plate.
        plate: String,
        /// Its position in the order.
        folding: usize,
        /// Why.
        fault: FoldingFault,
    },
    /// The solid library failed.
    #[error("'{part}': {error}")]
    Kernel {
        /// The part.
        part: String,
        /// Its error.
        error: KernelError,
    },
}

impl Request {
    /// Every mistake that can be seen before anything is built.
    pub fn faults(&self) -> Vec<MakeError> {
        let mut faults: Vec<MakeError> =
            self.sizes.faults(self.set.levels).into_iter().map(MakeError::Sizes).collect();
        faults.extend(self.printer.faults().into_iter().map(MakeError::Printer));
        if self.pieces.len() != self.set.pieces.len() {
            faults.push(MakeError::PieceCount { orders: self.pieces.len(), pieces: self.set.pieces.len() });
        }
        let BoardOrder { width, height, .. } = self.board;
        if !(1..=60).contains(&width) || !(1..=60).contains(&height) {
            faults.push(MakeError::Board { width, height });
        }
        for (order, piece) in self.pieces.iter().zip(&self.set.pieces) {
            for level in piece.hinges().iter().map(|h| h.level.0).filter(|l| *l >= self.set.levels) {
                faults.push(MakeError::Level { piece: order.name.clone(), level, levels: self.set.levels });
            }
        }
        let mut names: Vec<String> = self
            .pieces
            .iter()
            .map(|p| &p.name)
            .chain(self.plates.iter().map(|p| &p.name))
            .map(|n| crate::file::slug(n))
            .chain(["board".into(), "coupon".into()])
            .collect();
        names.sort();
        let twice = names.windows(2).filter(|w| w[0] == w[1]).map(|w| w[0].clone());
        faults.extend(twice.map(|name| MakeError::SameName { name }));
        let board = self.board.colours.iter().map(|c| ("board", c));
        let colours = self.pieces.iter().map(|p| (p.name.as_str(), &p.colour));
        let plates = self.plates.iter().map(|p| (p.name.as_str(), &p.colour));
        for (part, found) in colours.chain(plates).chain(board) {
            let digits = found.strip_prefix('#').unwrap_or("");
            if digits.len() != 6 || !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
                faults.push(MakeError::Colour { part: part.into(), found: found.clone() });
            }
        }
        for plate in &self.plates {
            for (folding, f) in plate.foldings.iter().enumerate() {
                let wrong = f.faults(&self.set, &plate.outline);
                faults.extend(wrong.into_iter().map(|fault| MakeError::NoFolding {
                    plate: plate.name.clone(),
                    folding,
                    fault,
                }));
            }
        }
        faults
    }
}
