//! Every kind of mistake a project can have: the data, one sentence that says
//! what is wrong, and one that says what would be right.

use lattice::PieceError;
use lattice::drawing::{DrawingError, DrawingFault};

/// What is wrong at a place.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[allow(missing_docs, reason = "each field is named in the sentence above its variant")]
pub enum Fault {
    // The folder and its files.
    #[error("there is no folder here")]
    NoFolder,
    #[error("there is no such file")]
    NoFile,
    #[error("this is not a plain file")]
    NotAFile,
    #[error("this is not a folder")]
    NotAFolder,
    #[error("this cannot be read: {why}")]
    Unreadable { why: String },
    #[error("the file is larger than {} MiB", .limit >> 20)]
    FileTooLarge { limit: u64 },
    #[error("byte {byte:#04X} is not text in UTF-8")]
    NotUtf8 { byte: u8 },
    #[error("the file name {found:?} cannot name an outline")]
    FileName { found: String },
    #[error("there are {found} outline files, and {limit} are the most")]
    TooManyOutlines { found: usize, limit: usize },
    #[error("this file has at least {more} more mistakes, not shown")]
    More { more: usize },

    // TOML.
    #[error("this is not sound TOML: {found}")]
    Syntax { found: String, expected: Option<String> },
    #[error("the key '{key}' is given twice")]
    KeyTwice { key: String },

    // Keys and values.
    #[error("{holder} has no '{key}'")]
    Missing { holder: String, key: String, example: String },
    #[error("{holder} knows no key '{key}'")]
    UnknownKey { holder: String, key: String, nearest: Option<String>, known: Vec<String> },
    #[error("'{key}' is {found}, not {expected}")]
    WrongType { key: String, found: &'static str, expected: String, example: String },
    #[error("'{key}' is {found}, which is not between {low} and {high}")]
    OutOfRange { key: String, found: String, low: String, high: String },
    #[error("'{key}' has {}, not {expected}", items(*.found))]
    ItemCount { key: String, found: usize, expected: usize, example: String },
    #[error("'{key}' is {found:?}, which is none of its words")]
    Choice { key: String, found: String, nearest: Option<String>, words: Vec<String> },
    #[error("{found:?} is not a colour")]
    Colour { found: String },
    #[error("{found:?} cannot be the name of a {what}: it is used in file names")]
    Name { what: &'static str, found: String },
    #[error("'{key}' is empty or has more than {limit} characters or a line break")]
    Title { key: String, limit: usize },
    #[error("the {what} {found:?} is taken: {by} has it already")]
    Taken { what: &'static str, found: String, by: String },

    // Pieces.
    #[error("in {piece}, {error}")]
    Piece { piece: String, error: PieceError, tied: Option<[usize; 2]> },
    #[error("in {piece}, hinge {hinge} is on level {level}, but the set has {}", levels_word(*.levels))]
    Level { piece: String, hinge: usize, level: u8, levels: u8 },
    #[error("{piece} has {found} {what}, and {limit} are the most")]
    PieceTooLarge { piece: String, what: &'static str, found: usize, limit: usize },
    #[error("with this piece the set has {found} {what}, copies counted, and {limit} are the most")]
    SetTooLarge { what: &'static str, found: usize, limit: usize },

    // Outlines.
    #[error("{}{}", within(.error, *.placed), .error.fault)]
    Drawing { error: DrawingError, placed: bool },
    #[error("the drawing is {columns} by {rows} cells, and {limit} by {limit} is the largest")]
    DrawingTooLarge { columns: usize, rows: usize, limit: usize },
    #[error("the outline has {cells} cells, but the set has {blocks} blocks and 'spare' is {spare}")]
    Area { cells: usize, blocks: usize, spare: usize },
    #[error("'spare' is {spare}, but the outline has only {cells} cells")]
    SpareAll { spare: usize, cells: usize },

    // What the file may say but nobody can make.
    #[error("{message}")]
    Refused { message: String, mend: String },

    // Packs.
    #[error("there is no outline {found:?}")]
    NoOutline { found: String, nearest: Option<String>, known: Vec<String> },
    #[error("the pack has {found} outlines, and {limit} are the most")]
    PackTooLarge { found: usize, limit: usize },
    #[error("there are {found} packs, and {limit} are the most")]
    TooManyPacks { found: usize, limit: usize },
    #[error("the pack has no outlines")]
    EmptyPack,
    #[error("the pack has the outline {found:?} twice")]
    OutlineTwice { found: String },
    #[error("the outline {found:?} is not in the pack {pack:?}")]
    NotInPack { found: String, pack: String, nearest: Option<String> },
    #[error("there is no pack {found:?} that this one could be within")]
    NoPack { found: String, nearest: Option<String>, known: Vec<String> },
    #[error("{found:?} is no version")]
    Version { found: String },
    #[error("{found:?} is no SPDX identifier of a licence")]
    Licence { found: String },
    #[error("the pack is within {found:?}, which is within the pack itself")]
    PackRing { found: String },

    // Plays.
    #[error("there is no column '{column}'")]
    NoColumn { column: &'static str, header: String },
    #[error("{found:?} is no column of plays")]
    Column { found: String, nearest: Option<String>, known: Vec<String> },
    #[error("the column '{column}' is there twice")]
    ColumnTwice { column: &'static str },
    #[error("the row has {found} cells, and there are only {columns} columns")]
    Cells { found: usize, columns: usize },
    #[error("a quotation mark is not closed on its line, or something follows it")]
    Quote,
    #[error("'{column}' is empty")]
    NoCell { column: &'static str, example: &'static str },
    #[error("'{column}' is {found:?}, not {expected}")]
    Cell { column: &'static str, found: String, expected: &'static str, example: &'static str },
    #[error("'{tester}' has a try {number} at '{outline}' on line {line} already")]
    TryTwice { tester: String, outline: String, number: u32, line: usize },
    #[error("this is the same as line {line}: one tester, outline, number of minutes and outcome")]
    PlayTwice { line: usize },
    #[error("'{tester}' started at this moment on line {line} already")]
    StartTwice { tester: String, line: usize },
    #[error("'{found}' differs from '{other}' on line {line} in capitals alone")]
    TesterCase { found: String, other: String, line: usize },
    #[error("there are {found} tries, and {limit} are the most")]
    TooManyPlays { found: usize, limit: usize },
}

/// How many names of a list are told.
pub(crate) const LISTED: usize = 20;

fn levels_word(levels: u8) -> String {
    if levels == 1 { "only level 0".into() } else { format!("levels 0 to {}", levels - 1) }
}

fn items(count: usize) -> String {
    if count == 1 { "1 item".into() } else { format!("{count} items") }
}

/// Where in a drawing a fault is, for one that cannot be pointed at.
fn within(error: &DrawingError, placed: bool) -> String {
    match error.fault {
        DrawingFault::Empty => String::new(),
        _ if placed => String::new(),
        _ => format!("in line {}, column {} of the drawing: ", error.line + 1, error.column + 1),
    }
}

impl Fault {
    /// What would be right, as an order to the maker.
    pub fn mend(&self) -> String {
        match self {
            Fault::NoFolder => "name the folder of a project, or start one with `pinfold new DIR`".into(),
            Fault::NoFile => "a project has a file pinfold.toml: start one with `pinfold new DIR`".into(),
            Fault::NotAFile => "put a plain text file here, or take it away".into(),
            Fault::NotAFolder => "make it a folder with one file NAME.toml for each outline".into(),
            Fault::Unreadable { .. } => "see to it that the file is there and may be read".into(),
            Fault::FileTooLarge { .. } => "keep in it only what belongs to the set".into(),
            Fault::NotUtf8 { .. } => "save the file as UTF-8".into(),
            Fault::FileName { .. } | Fault::Name { .. } => {
                "use letters, digits, '-' and '_' only, 60 at most, as in \"long-boat\"".into()
            }
            Fault::PackTooLarge { .. } => "share them out over several packs".into(),
            Fault::TooManyPacks { .. } | Fault::TooManyOutlines { .. } => {
                "share them out over several projects".into()
            }
            Fault::More { .. } => "mend the ones shown and check again".into(),
            Fault::Syntax { expected: Some(expected), .. } => format!("what fits here is {expected}"),
            Fault::Syntax { expected: None, .. } => "see the rules at toml.io".into(),
            Fault::KeyTwice { .. } => "keep one of the two".into(),
            Fault::Missing { example, .. } => format!("add {example}"),
            Fault::UnknownKey { nearest: Some(nearest), .. } => format!("write '{nearest}', or leave it out"),
            Fault::UnknownKey { known, .. } => format!("the keys here are {}", listed(known)),
            Fault::WrongType { example, .. } => format!("write it as in {example}"),
            Fault::OutOfRange { low, high, .. } => format!("give a number from {low} to {high}"),
            Fault::ItemCount { example, .. } => format!("write it as in {example}"),
            Fault::Choice { nearest: Some(nearest), .. } => format!("write \"{nearest}\""),
            Fault::Choice { words, .. } => format!("use one of {}", listed(words)),
            Fault::Colour { .. } => {
                "write '#' and six hexadecimal digits, red, green and blue, as in \"#0072B2\"".into()
            }
            Fault::Title { limit, .. } => format!("write one line of 1 to {limit} characters"),
            Fault::Taken { what, .. } => format!("give it a {what} of its own"),
            Fault::Piece { error, tied, .. } => piece_mend(error, *tied),
            Fault::Level { level, levels, .. } => {
                let top = levels - 1;
                let below = if top == 0 { "level 0".into() } else { format!("a level from 0 to {top}") };
                format!("use {below}, or set levels = {} in [set]", u16::from(*level) + 1)
            }
            Fault::PieceTooLarge { .. } => "make it smaller, or several pieces".into(),
            Fault::SetTooLarge { .. } => "use fewer pieces or copies".into(),
            Fault::Drawing { error, .. } => drawing_mend(&error.fault),
            Fault::DrawingTooLarge { .. } => "draw a smaller outline".into(),
            Fault::Area { cells, blocks, spare } => area_mend(*cells, *blocks, *spare),
            Fault::SpareAll { cells, .. } => {
                format!(
                    "leave fewer than {cells} cells empty: spare is how many cells stay empty when filled"
                )
            }
            Fault::Refused { mend, .. } => mend.clone(),
            Fault::NoOutline { nearest: Some(nearest), .. } => format!("write \"{nearest}\""),
            Fault::NoOutline { known, .. } if known.is_empty() => {
                "there are no outlines yet: add a file outlines/NAME.toml".into()
            }
            Fault::NoOutline { known, .. } => format!("the outlines are {}", listed(known)),
            Fault::EmptyPack => "name outlines, as in outlines = [\"tug\"]".into(),
            Fault::OutlineTwice { .. } => "name each outline once".into(),
            Fault::NotInPack { nearest: Some(nearest), .. } => format!("write \"{nearest}\""),
            Fault::NotInPack { found, pack, .. } => {
                format!("add \"{found}\" to the outlines of {pack:?}, or take it out here")
            }
            Fault::NoPack { nearest: Some(nearest), .. } => format!("write \"{nearest}\""),
            Fault::NoPack { known, .. } if known.is_empty() => {
                "add a section [[pack]] of that name with all outlines of this one".into()
            }
            Fault::NoPack { known, .. } => format!("the other packs are {}", listed(known)),
            Fault::Version { .. } => {
                "write one to three numbers with dots between them, as in \"1.0\" or \"2.3.1\"".into()
            }
            Fault::Licence { .. } => {
                "write it as spdx.org/licenses has it, as in \"CC-BY-4.0\"; one of your own as \
                 \"LicenseRef-quayside\", its text in templates/LICENCE.txt"
                    .into()
            }
            Fault::PackRing { .. } => "take 'within' out of the larger one of the two".into(),
            Fault::NoColumn { header, .. } => format!("let the first line be {header}"),
            Fault::Column { nearest: Some(nearest), .. } => format!("write '{nearest}', or leave it out"),
            Fault::Column { known, .. } => format!("the columns are {}", listed(known)),
            Fault::ColumnTwice { .. } => "keep one of the two".into(),
            Fault::Cells { columns, .. } => format!("write {columns} cells at most"),
            Fault::Quote => "close it, or leave quotation marks out: no cell needs them".into(),
            Fault::NoCell { example, .. } | Fault::Cell { example, .. } => {
                format!("write it as in {example}")
            }
            Fault::TryTwice { .. } => "take one of the two out, or give this one the next number".into(),
            Fault::PlayTwice { .. } => {
                "take one of the two out; if they are two tries, number them in the column 'try'".into()
            }
            Fault::StartTwice { .. } => "take one of the two out, or mend the moment".into(),
            Fault::TesterCase { other, .. } => {
                format!("write '{other}' if it is the same tester, else another name")
            }
            Fault::TooManyPlays { .. } => "keep older ones in a file of another name".into(),
        }
    }
}

/// "a, b and c"; of a long list its beginning.
fn listed(words: &[String]) -> String {
    match words {
        [] => "none".into(),
        [one] => one.clone(),
        _ if words.len() > LISTED => format!("{} and others", words[..LISTED].join(", ")),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

fn piece_mend(error: &PieceError, tied: Option<[usize; 2]>) -> String {
    match error {
        PieceError::NoBlocks => "name a cell for each block, as in blocks = [[0, 0], [1, 0]]".into(),
        PieceError::SameCell { .. } => "give each block a cell of its own".into(),
        PieceError::NoSuchBlock { blocks, .. } if *blocks < 2 => {
            "a piece of one block has no hinges: add blocks or take the hinge away".into()
        }
        PieceError::NoSuchBlock { blocks, .. } => {
            format!("blocks are counted from 0 in the order of 'blocks': use 0 to {}", blocks - 1)
        }
        PieceError::JoinsItself { .. } => "name two blocks that meet at the pin".into(),
        PieceError::PinOffCorner { shared, .. } => {
            let pins: Vec<String> = shared.iter().map(|v| format!("[{}, {}]", v.x, v.y)).collect();
            match (pins.as_slice(), tied) {
                ([], Some([a, b])) => {
                    format!("blocks {a} and {b} meet at no corner: join two blocks that touch")
                }
                ([], None) => "join two blocks that touch".into(),
                ([one], _) => format!("set the pin at {one}, the corner both blocks share"),
                _ => format!("set the pin at {}, the corners both blocks share", pins.join(" or ")),
            }
        }
        PieceError::SamePin { .. } => "move one of them to another corner or another level".into(),
        PieceError::NotConnected { block } => {
            format!("add a hinge that joins block {block}, or write rigid = true for one solid body")
        }
        PieceError::HingeInRigid { .. } => "take out the hinges, or take out rigid = true".into(),
        PieceError::RigidApart { .. } => "move it so that a whole side touches another block".into(),
    }
}

fn drawing_mend(fault: &DrawingFault) -> String {
    match fault {
        DrawingFault::Empty => {
            "draw rows of vertices (+, or o with a pocket) and of cells (#, or . outside) in turn".into()
        }
        DrawingFault::Mark { vertex_row: true, .. } => {
            "write '+' for a vertex or 'o' for a vertex with a pocket".into()
        }
        DrawingFault::Mark { vertex_row: false, .. } => {
            "write '#' for a cell of the outline or '.' for a cell outside".into()
        }
        DrawingFault::Ragged { found, expected, .. } if found > expected => {
            format!("take {} away: {expected} fit here", marks(found - expected))
        }
        DrawingFault::Ragged { found, expected, .. } => {
            format!("add {}: {expected} fit here", marks(expected - found))
        }
        DrawingFault::NotClosed => "add a row of vertices below it".into(),
        DrawingFault::PocketOffEdge { .. } => "write '+' here".into(),
    }
}

fn marks(count: usize) -> String {
    if count == 1 { "1 mark".into() } else { format!("{count} marks") }
}

fn area_mend(cells: usize, blocks: usize, spare: usize) -> String {
    let count = |n: usize| if n == 1 { "1 cell".into() } else { format!("{n} cells") };
    let needed = blocks + spare;
    if cells < blocks {
        let most = blocks - cells;
        return format!(
            "draw {} more{}",
            count(needed - cells),
            if spare > 0 { format!(", or {} more and set spare = 0", count(most)) } else { String::new() }
        );
    }
    let drawing = if cells > needed {
        format!("take {} out of the drawing", count(cells - needed))
    } else {
        format!("draw {} more", count(needed - cells))
    };
    format!("set spare = {}, or {drawing}", cells - blocks)
}
