//! What of a project is to be made, as the solids want it asked: names of parts,
//! sizes, printer, board and labels, each translated here and nowhere else; and
//! what the solids refuse, told at its place in the project's files.

use lattice::{Folding, Set};
use project::{Project, Refusal};
use solid::{
    About, BoardOrder, Label, MakeError, PieceOrder, PlateOrder, Printer, Request, SizeFault, Sizes,
};

use crate::failure::Failure;

/// Parts that every project has, besides its pieces and outlines.
const FIXED: [&str; 3] = ["board", "coupon", "backing"];

/// Cells that a board has beyond the largest outline along each side, all told,
/// where the printer's bed allows.
const MARGIN: i32 = 2;
/// The fewest columns and rows of a board.
const LEAST: i32 = 4;

/// Parts of a project.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Parts {
    /// For each piece of the set.
    pub pieces: Vec<bool>,
    /// For each outline.
    pub outlines: Vec<bool>,
    /// The board.
    pub board: bool,
    /// The test coupon.
    pub coupon: bool,
    /// The backing.
    pub backing: bool,
    /// Whether nothing was left out.
    pub all: bool,
}

impl Parts {
    /// The parts of these names; all parts if there are none. Every name that
    /// means nothing is told.
    ///
    /// # Errors
    /// Names that no part has.
    pub fn called(project: &Project, names: &[String]) -> Result<Self, Failure> {
        let all = names.is_empty();
        let mut parts = Parts {
            pieces: vec![all; project.set.pieces.len()],
            outlines: vec![all; project.outlines.len()],
            board: all,
            coupon: all,
            backing: all,
            all,
        };
        let unknown: Vec<&str> =
            names.iter().map(String::as_str).filter(|name| !parts.take(project, name)).collect();
        if unknown.is_empty() { Ok(parts) } else { Err(no_parts(project, &unknown)) }
    }

    /// Takes what is called so; whether there is anything.
    fn take(&mut self, project: &Project, name: &str) -> bool {
        let mut found = true;
        match name {
            "board" => self.board = true,
            "coupon" => self.coupon = true,
            "backing" => self.backing = true,
            _ => found = false,
        }
        if let Some(piece) = project.pieces.iter().find(|p| p.name == name) {
            self.pieces[piece.set.clone()].fill(true);
            found = true;
        }
        if let Some(outline) = project.outlines.iter().position(|o| o.name == name) {
            self.outlines[outline] = true;
            found = true;
        }
        found
    }
}

fn no_parts(project: &Project, unknown: &[&str]) -> Failure {
    let pieces = project.pieces.iter().map(|p| p.name.as_str());
    let outlines = project.outlines.iter().map(|o| o.name.as_str());
    let known: Vec<&str> = FIXED.into_iter().chain(pieces).chain(outlines).collect();
    let quoted: Vec<String> = unknown.iter().map(|n| format!("'{n}'")).collect();
    let nearest: Vec<String> = unknown
        .iter()
        .filter_map(|n| project::nearest(n, known.iter().copied()))
        .map(|n| format!("'{n}'"))
        .collect();
    let mend = if nearest.len() == unknown.len() {
        format!("write {}", nearest.join(", "))
    } else {
        format!("the parts are {}", known.join(", "))
    };
    Failure::plain(format_args!("there is no part {}", quoted.join(", no part ")), mend)
}

/// What else is asked for.
#[derive(Clone, Copy, Debug, Default)]
pub struct Wants {
    /// STL beside 3MF.
    pub stl: bool,
    /// Pictures of each part.
    pub pictures: bool,
}

/// A project's sizes as the solids take them.
pub fn sizes(sizes: &project::Sizes, printer: &project::Printer) -> Sizes {
    Sizes {
        pitch: sizes.pitch,
        height: sizes.height,
        gap: sizes.gap,
        knuckle: sizes.knuckle,
        clearance: sizes.clearance,
        chamfer: sizes.chamfer,
        layer: printer.layer,
        first_layer: printer.first_layer,
        nozzle: printer.nozzle,
        chord_error: sizes.chord_error,
        mark_depth: sizes.mark_depth,
        fit: sizes.fit,
        wall_lines: sizes.wall_lines,
        base: sizes.base,
        groove: sizes.groove,
        seat: sizes.seat,
        kerf: sizes.kerf,
    }
}

/// A project's printer as the solids take it.
pub fn printer(printer: &project::Printer) -> Printer {
    Printer {
        bed: printer.bed,
        bed_height: printer.bed_height,
        spacing: printer.spacing,
        walls: printer.walls,
        skins: printer.skins,
        infill: printer.infill,
        wall_speed: printer.wall_speed,
        infill_speed: printer.infill_speed,
        first_layer_speed: printer.first_layer_speed,
        travel_speed: printer.travel_speed,
        layer_change: printer.layer_change,
        colour_change: printer.colour_change,
        filament: printer.filament_diameter,
        density: printer.density,
    }
}

/// The board's columns and rows: as the project says; else the largest outline
/// with a margin as far as the printer's bed allows.
fn board_size(project: &Project, sizes: &Sizes) -> [i32; 2] {
    if let Some(size) = project.board.size {
        return size;
    }
    let mut largest = [LEAST, LEAST];
    for outline in &project.outlines {
        let (_, width, height) = outline.outline.bounds();
        largest = [largest[0].max(width), largest[1].max(height)];
    }
    // Round the lattice: room for a pocket, two walls, and air.
    let rim = sizes.relief() + 2.0 * sizes.wall() + sizes.seat;
    let printer = &project.printer;
    let mut size = [0, 0];
    for side in 0..2 {
        let room = printer.bed[side] - 2.0 * (printer.spacing + rim);
        let fits = (room / sizes.pitch).floor() as i32;
        size[side] = (largest[side] + MARGIN).min(fits).max(largest[side]);
    }
    size
}

/// The request for some parts. `foldings`: for each outline, those to be proved;
/// with any, all pieces are built, but only those asked for are made.
pub fn request(project: &Project, parts: &Parts, wants: Wants, foldings: &[Vec<Folding>]) -> Request {
    let sizes = sizes(&project.sizes, &project.printer);
    let proving = foldings.iter().any(|f| !f.is_empty());
    let mut set = Set { pieces: Vec::new(), ..project.set.clone() };
    let mut pieces = Vec::new();
    for (kind, record) in project.pieces.iter().enumerate() {
        for in_set in record.set.clone().filter(|&p| proving || parts.pieces[p]) {
            set.pieces.push(project.set.pieces[in_set].clone());
            pieces.push(PieceOrder {
                name: project.piece_name(in_set),
                mark: (kind + 1).to_string(),
                colour: record.colour.to_string(),
                made: parts.pieces[in_set],
            });
        }
    }
    let mut plates = Vec::new();
    for (n, record) in project.outlines.iter().enumerate().filter(|(n, _)| parts.outlines[*n]) {
        plates.push(PlateOrder {
            name: record.name.clone(),
            outline: record.outline.clone(),
            label: Label {
                number: record.number.unwrap_or(n as u32 + 1).to_string(),
                grade: record.grade.clone().unwrap_or_default(),
            },
            colour: project.board.plates.to_string(),
            foldings: foldings.get(n).cloned().unwrap_or_default(),
        });
    }
    let [width, height] = board_size(project, &sizes);
    Request {
        about: About {
            title: project.title.clone(),
            designer: project.terms.designer.clone().unwrap_or_default(),
            licence: project.terms.licence.clone().unwrap_or_default(),
            ..About::default()
        },
        set,
        pieces,
        sizes,
        printer: printer(&project.printer),
        board: BoardOrder {
            width,
            height,
            colours: [project.board.base.to_string(), project.board.tiles.to_string()],
        },
        make_board: parts.board,
        plates,
        coupon: parts.coupon,
        backing: parts.backing,
        beds: true,
        stl: wants.stl,
        pictures: wants.pictures,
    }
}

/// What the solids refuse, at its places in the project's files.
pub fn refused(project: &Project, errors: &[MakeError]) -> Failure {
    let refusals = errors.iter().map(|error| refusal(project, error)).collect();
    Failure::Mistakes(project.refused(refusals).expect("a refusal has at least one reason"))
}

fn refusal(project: &Project, error: &MakeError) -> Refusal {
    let set = |keys: Vec<(&'static str, &'static str)>, message: String, mend: String| Refusal {
        outline: None,
        keys,
        message,
        mend,
    };
    match error {
        MakeError::Sizes(fault) => of_figures(project, "", fault),
        MakeError::Printer(fault) => of_figures(project, "", fault),
        MakeError::Coupon(fault) => of_figures(project, "on the test coupon, ", fault),
        MakeError::Plate { plate, fault } => Refusal {
            outline: Some(plate.clone()),
            keys: vec![("", "drawing")],
            message: format!("the plate cannot be made: {fault}"),
            mend: match fault {
                solid::PlateFault::LargerThanBoard { outline, .. } => {
                    format!("set size = [{}, {}] or more in [board]", outline.0, outline.1)
                }
                solid::PlateFault::NoOnePlace => "set another size in [board] of pinfold.toml".into(),
                _ => "draw the outline so that its wall hangs together".into(),
            },
        },
        MakeError::Board { width, height } => set(
            vec![("board", "size")],
            format!("the board is {width} × {height} cells"),
            "give 1 to 60 columns and rows, as in size = [12, 10]".into(),
        ),
        MakeError::SameName { name } => set(
            vec![("piece", "")],
            format!("two parts have files of one name, '{name}'"),
            "give pieces and outlines names that differ in letters or digits".into(),
        ),
        other => set(Vec::new(), other.to_string(), "tell the makers of this program".into()),
    }
}

/// A figure that is refused: its keys as the project's files have them.
fn of_figures(project: &Project, where_: &str, fault: &SizeFault) -> Refusal {
    let (names, mend) = match fault {
        SizeFault::Range { name, least, most, .. } => {
            (*name, format!("give a figure from {least} to {most}"))
        }
        SizeFault::Count { name, least, most, .. } => {
            (*name, format!("give a number from {least} to {most}"))
        }
        SizeFault::Together { names, .. } => (*names, String::new()),
    };
    let keys: Vec<(&str, &str)> = names.split(", ").filter_map(key).collect();
    let message = match fault {
        SizeFault::Range { found, .. } => format!("{where_}'{}' is {found}, which cannot be made", keys[0].1),
        SizeFault::Count { found, .. } => format!("{where_}'{}' is {found}, which cannot be made", keys[0].1),
        SizeFault::Together { what, found, at_least, limit, .. } => {
            let bound = if *at_least { "at least" } else { "at most" };
            format!("{where_}{what} is {found:.3} mm, but must be {bound} {limit:.3} mm")
        }
    };
    let mend = if mend.is_empty() {
        let told: Vec<String> = keys.iter().map(|k| format!("{} = {}", k.1, value(project, k.1))).collect();
        format!("it comes of {}: change one of them", told.join(", "))
    } else {
        mend
    };
    Refusal { outline: None, keys, message, mend }
}

/// Where the solids' name of a figure stands in `pinfold.toml`.
fn key(name: &str) -> Option<(&'static str, &'static str)> {
    const SIZES: [&str; 14] = [
        "pitch",
        "height",
        "gap",
        "knuckle",
        "clearance",
        "chamfer",
        "chord_error",
        "mark_depth",
        "fit",
        "wall_lines",
        "base",
        "groove",
        "seat",
        "kerf",
    ];
    const PRINTER: [&str; 14] = [
        "layer",
        "first_layer",
        "nozzle",
        "bed_height",
        "spacing",
        "infill",
        "walls",
        "skins",
        "wall_speed",
        "infill_speed",
        "first_layer_speed",
        "travel_speed",
        "layer_change",
        "colour_change",
    ];
    let of = |section: &'static str, keys: &[&'static str]| {
        keys.iter().find(|k| **k == name).map(|k| (section, *k))
    };
    match name {
        "levels" => Some(("set", "levels")),
        "bed (across)" | "bed (away)" => Some(("printer", "bed")),
        "filament" => Some(("printer", "filament_diameter")),
        "density" => Some(("printer", "density")),
        _ => of("sizes", &SIZES).or_else(|| of("printer", &PRINTER)),
    }
}

/// What the project has for a figure that goes together with others.
fn value(project: &Project, key: &str) -> f64 {
    let (sizes, printer) = (&project.sizes, &project.printer);
    match key {
        "levels" => f64::from(project.set.levels),
        "pitch" => sizes.pitch,
        "height" => sizes.height,
        "gap" => sizes.gap,
        "knuckle" => sizes.knuckle,
        "clearance" => sizes.clearance,
        "chamfer" => sizes.chamfer,
        "chord_error" => sizes.chord_error,
        "mark_depth" => sizes.mark_depth,
        "fit" => sizes.fit,
        "wall_lines" => f64::from(sizes.wall_lines),
        "base" => sizes.base,
        "groove" => sizes.groove,
        "seat" => sizes.seat,
        "kerf" => sizes.kerf,
        "layer" => printer.layer,
        "first_layer" => printer.first_layer,
        _ => printer.nozzle,
    }
}
