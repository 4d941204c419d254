//! What the project's rules and sizes mean for the crates that reckon: each
//! translated here and nowhere else.

use lattice::{Class, FoldSet, Piece};
use motion::{Allowed, Effort, Rule};
use project::{PieceRecord, Project};
use reach::{Plan, Reach, Sizes};

use crate::failure::Failure;
use crate::layouts::counted;

/// The plan that the project's sizes give the bodies.
///
/// # Errors
/// Sizes that do not go together.
pub fn plan(project: &Project) -> Result<Plan, Failure> {
    let sizes = &project.sizes;
    let sizes =
        Sizes { pitch: sizes.pitch, gap: sizes.gap, knuckle: sizes.knuckle, clearance: sizes.clearance };
    Plan::new(sizes).map_err(|errors| {
        let limits: Vec<String> = errors.iter().map(ToString::to_string).collect();
        Failure::plain(
            format_args!("the sizes do not go together: {}", limits.join("; ")),
            "change [sizes] in pinfold.toml",
        )
    })
}

/// Refuses pieces with too many folds to list, before any is made.
///
/// # Errors
/// Every piece that has too many.
pub fn can_list<'p>(
    project: &Project,
    pieces: impl IntoIterator<Item = &'p PieceRecord>,
) -> Result<(), Failure> {
    let piece = |record: &PieceRecord| -> &Piece { &project.set.pieces[record.set.start] };
    let over: Vec<&PieceRecord> = pieces.into_iter().filter(|p| !FoldSet::can_list(piece(p))).collect();
    if over.is_empty() {
        return Ok(());
    }
    let told: Vec<String> = over
        .iter()
        .map(|p| {
            let free = piece(p).free_hinges();
            format!("'{}' has {} (as many as 4 × 3^{free} folds)", p.name, counted(free, "hinge"))
        })
        .collect();
    Err(Failure::plain(
        format_args!("too many folds to list: {}", told.join(", ")),
        format_args!(
            "give each piece at most {} hinges; those that only close a loop do not count",
            FoldSet::MOST_FREE_HINGES
        ),
    ))
}

/// What one kind of piece reaches.
pub fn reach_of(project: &Project, piece: &PieceRecord, plan: &Plan) -> Reach {
    let set = &project.set;
    Reach::of(&set.pieces[piece.set.start], set.levels, set.turn_over, plan)
}

/// How hard the planner looks for ways to a fold.
pub fn planner() -> Effort {
    Effort::default()
}

/// The pieces by what they may become in a filling, as the set's rule on folds has it.
///
/// # Errors
/// Pieces with too many folds to list; sizes that do not go together.
pub fn classes(project: &Project) -> Result<Vec<Class>, Failure> {
    can_list(project, &project.pieces)?;
    let set = &project.set;
    let rule = match project.rules.reach {
        project::Reach::Any => return Ok(set.classes()),
        project::Reach::Swings => Rule::Swings,
        project::Reach::Planned => Rule::Planned(planner()),
    };
    let plan = plan(project)?;
    let allowed: Vec<FoldSet> = project
        .pieces
        .iter()
        .map(|record| {
            let piece = &set.pieces[record.set.start];
            Allowed::of(piece, set.levels, set.turn_over, &plan, rule).folds
        })
        .collect();
    Ok(set.classes_by(|p| {
        let kind = project.pieces.iter().position(|piece| piece.set.contains(&p));
        allowed[kind.expect("every piece of the set has a record")].clone()
    }))
}

/// Which folds a filling may use under the set's rule, as a sentence.
pub fn folds_used(project: &Project) -> &'static str {
    match project.rules.reach {
        project::Reach::Any => {
            "Folds: all that the lattice allows, reached by swings or not (reach = \"any\")."
        }
        project::Reach::Swings => "Folds: only those that clear single swings reach (reach = \"swings\").",
        project::Reach::Planned => {
            "Folds: those that swings reach, and those for which a motion of several hinges was found \
             within the planner's effort (reach = \"planned\")."
        }
    }
}
