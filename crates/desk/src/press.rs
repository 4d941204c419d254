//! What the solids say of one piece: made in its home pose and measured, but
//! not written. The plane proposes, this decides.

use lattice::{Piece, Set};
use solid::{About, BoardOrder, PieceOrder, Printer, Request, Sizes};

use crate::parts;

/// Sizes and printer that pieces are tried with.
#[derive(Clone, Debug)]
pub struct Press {
    sizes: Sizes,
    printer: Printer,
}

impl Press {
    /// Those of a project.
    pub fn of(sizes: &project::Sizes, printer: &project::Printer) -> Self {
        Press { sizes: parts::sizes(sizes, printer), printer: parts::printer(printer) }
    }

    /// Everything that keeps a piece from being printed in its home pose; nothing
    /// if it passes every check.
    pub fn faults(&self, piece: &Piece, levels: u8) -> Vec<String> {
        let order =
            PieceOrder { name: "piece".into(), mark: "1".into(), colour: "#777777".into(), made: true };
        let request = Request {
            about: About::default(),
            set: Set { pieces: vec![piece.clone()], levels, turn_over: false },
            pieces: vec![order],
            sizes: self.sizes.clone(),
            printer: self.printer.clone(),
            board: BoardOrder { width: 4, height: 4, colours: ["#000000".into(), "#FFFFFF".into()] },
            make_board: false,
            plates: Vec::new(),
            coupon: false,
            backing: false,
            beds: true,
            stl: false,
            pictures: false,
        };
        match solid::make(&request) {
            Ok(made) => made.parts.iter().flat_map(|p| &p.failures).map(|f| f.sentence.clone()).collect(),
            Err(errors) => errors.iter().map(ToString::to_string).collect(),
        }
    }
}
