//! What the page is told of a set: how its pieces are drawn and what the rules are.
//!
//! The field `set` is what `browser` opens; the page adds nothing to it.

use lattice::{Cell, Outline, Piece, Vertex};
use motion::{Answer, Effort, Planned};
use paper::Style;
use paper::art::{KNUCKLE_RADIUS, UNIT, piece_art};
use project::{OutlineRecord, Project, Reach};
use reach::Plan;
use serde::Serialize;

/// Goes up when an older page could not read what is written.
const VERSION: u32 = 1;

#[derive(Serialize)]
pub(crate) struct DataRecord<'a> {
    version: u32,
    title: &'a str,
    set: SetRecord,
    /// Units to a pitch, and the radius of a knuckle in them.
    unit: f64,
    knuckle: f64,
    art: Vec<ArtRecord>,
    outlines: Vec<PlayedRecord<'a>>,
    /// Where plays are sent, if anywhere: a path of the server the page came from.
    send: Option<&'a str>,
}

/// What the entry page is told.
#[derive(Serialize)]
pub(crate) struct EntryRecord<'a> {
    version: u32,
    title: &'a str,
    set: SetRecord,
    unit: f64,
    art: Vec<ArtRecord>,
    outlines: Vec<PlayedRecord<'a>>,
    race: Option<&'a str>,
    until: Option<&'a str>,
}

#[derive(Serialize)]
struct SetRecord {
    levels: u8,
    turn_over: bool,
    interlocked: bool,
    reach: &'static str,
    sizes: SizesRecord,
    pieces: Vec<PieceRecord>,
}

#[derive(Serialize)]
struct SizesRecord {
    pitch: f64,
    gap: f64,
    knuckle: f64,
    clearance: f64,
}

#[derive(Clone, Serialize)]
struct PieceRecord {
    blocks: Vec<[i32; 2]>,
    hinges: Vec<HingeRecord>,
    rigid: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    poses: Vec<Vec<[i32; 4]>>,
}

#[derive(Clone, Serialize)]
struct HingeRecord {
    pin: [i32; 2],
    joins: [usize; 2],
    level: u8,
}

#[derive(Serialize)]
struct ArtRecord {
    name: String,
    letter: char,
    colour: String,
    ink: String,
    pattern: &'static str,
    blocks: Vec<String>,
    hatching: String,
    hatching_ink: String,
    weight: f64,
    glyph: String,
    patch: f64,
}

#[derive(Serialize)]
struct PlayedRecord<'a> {
    name: &'a str,
    title: &'a str,
    number: Option<u32>,
    grade: Option<&'a str>,
    cells: Vec<[i32; 2]>,
    pockets: Vec<[i32; 2]>,
    spare: usize,
}

impl<'a> DataRecord<'a> {
    pub fn new(
        project: &'a Project,
        plan: &Plan,
        outlines: &[&'a OutlineRecord],
        send: Option<&'a str>,
    ) -> Self {
        DataRecord {
            version: VERSION,
            title: &project.title,
            set: set(project, plan),
            unit: UNIT,
            knuckle: KNUCKLE_RADIUS,
            art: arts(project),
            outlines: outlines.iter().map(|o| played(o)).collect(),
            send,
        }
    }
}

impl<'a> EntryRecord<'a> {
    pub fn new(
        project: &'a Project,
        plan: &Plan,
        outlines: &[&'a OutlineRecord],
        race: Option<&'a str>,
        until: Option<&'a str>,
    ) -> Self {
        EntryRecord {
            version: VERSION,
            title: &project.title,
            set: set(project, plan),
            unit: UNIT,
            art: arts(project),
            outlines: outlines.iter().map(|o| played(o)).collect(),
            race,
            until,
        }
    }

    pub fn letters(&self) -> Vec<char> {
        self.art.iter().map(|a| a.letter).collect()
    }
}

/// How the pieces are told apart.
fn style(project: &Project) -> Style {
    let colours = (0..project.set.pieces.len()).map(|p| {
        let colour = project.piece(p).expect("every piece of the set has a record").colour;
        (project.piece_name(p), [colour.0, colour.1, colour.2])
    });
    Style::new(colours)
}

fn arts(project: &Project) -> Vec<ArtRecord> {
    let style = style(project);
    project.set.pieces.iter().zip(&style.pieces).map(|(piece, style)| art(piece, style)).collect()
}

/// The set as the pages' core opens it, as JSON. Under the rule `planned` motions are
/// searched for, which takes seconds.
pub fn set_json(project: &Project, plan: &Plan) -> serde_json::Value {
    serde_json::to_value(set(project, plan)).expect("a record is plain data")
}

fn set(project: &Project, plan: &Plan) -> SetRecord {
    let sizes = plan.sizes();
    // One search for each kind of piece, however many copies.
    let mut pieces = Vec::new();
    for kind in &project.pieces {
        let one = piece(project, &project.set.pieces[kind.set.start], plan);
        pieces.extend(kind.set.clone().map(|_| one.clone()));
    }
    SetRecord {
        levels: project.set.levels,
        turn_over: project.set.turn_over,
        interlocked: project.rules.interlocked,
        reach: project.rules.reach.word(),
        sizes: SizesRecord {
            pitch: sizes.pitch,
            gap: sizes.gap,
            knuckle: sizes.knuckle,
            clearance: sizes.clearance,
        },
        pieces,
    }
}

fn piece(project: &Project, piece: &Piece, plan: &Plan) -> PieceRecord {
    let poses = match project.rules.reach {
        Reach::Planned => planned(project, piece, plan),
        Reach::Swings | Reach::Any => Vec::new(),
    };
    let hinge = |h: &lattice::Hinge| HingeRecord { pin: vertex(h.pin), joins: h.joins, level: h.level.0 };
    PieceRecord {
        blocks: piece.blocks().iter().map(|&c| cell(c)).collect(),
        hinges: piece.hinges().iter().map(hinge).collect(),
        rigid: piece.is_rigid(),
        poses,
    }
}

/// A pose for each fold that only a motion of several hinges leads to.
fn planned(project: &Project, piece: &Piece, plan: &Plan) -> Vec<Vec<[i32; 4]>> {
    let found = Planned::of(piece, project.set.levels, false, plan, Effort::default());
    let folds = found.folds().folds().iter().enumerate();
    let planned = folds.filter(|(f, _)| found.answer(*f) == Answer::Planned);
    let motion = |m: &lattice::Motion| [i32::from(m.mirrored), i32::from(m.turn.quarters()), m.dx, m.dy];
    planned.map(|(_, fold)| fold.pose.motions().iter().map(motion).collect()).collect()
}

fn art(piece: &Piece, style: &paper::PieceStyle) -> ArtRecord {
    let art = piece_art(piece, style);
    let hex = |[r, g, b]: [u8; 3]| format!("#{r:02x}{g:02x}{b:02x}");
    ArtRecord {
        name: style.name.clone(),
        letter: style.letter,
        colour: hex(style.colour),
        ink: hex(art.ink),
        pattern: style.pattern.name(),
        blocks: art.blocks,
        hatching: art.hatching,
        hatching_ink: hex(art.hatching_ink),
        weight: art.weight,
        glyph: art.letter,
        patch: art.patch,
    }
}

fn played(record: &OutlineRecord) -> PlayedRecord<'_> {
    let outline: &Outline = &record.outline;
    PlayedRecord {
        name: &record.name,
        title: &record.title,
        number: record.number,
        grade: record.grade.as_deref(),
        cells: outline.cells().iter().map(|&c| cell(c)).collect(),
        pockets: outline.pockets().iter().map(|&v| vertex(v)).collect(),
        spare: outline.spare(),
    }
}

fn cell(c: Cell) -> [i32; 2] {
    [c.x, c.y]
}

fn vertex(v: Vertex) -> [i32; 2] {
    [v.x, v.y]
}
