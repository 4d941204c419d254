//! What the project's rules and sizes mean for the crates that reckon: each
//! translated here and nowhere else.

use lattice::{FoldSet, Piece};
use project::{PieceRecord, Project};
use reach::{Plan, Reach, Sizes};

use crate::answer::{Failure, counted};

/// The plan that the project's sizes give the bodies.
pub(crate) fn plan(project: &Project) -> Result<Plan, Failure> {
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
pub(crate) fn can_list<'p>(
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

/// What each kind of piece reaches, in the order of the project's pieces.
pub(crate) fn reaches(project: &Project) -> Result<Vec<Reach>, Failure> {
    let plan = plan(project)?;
    Ok(project.pieces.iter().map(|piece| reach_of(project, piece, &plan)).collect())
}

/// What one kind of piece reaches.
pub(crate) fn reach_of(project: &Project, piece: &PieceRecord, plan: &Plan) -> Reach {
    let set = &project.set;
    Reach::of(&set.pieces[piece.set.start], set.levels, set.turn_over, plan)
}

/// Refuses a rule on folds that fillings cannot be held to yet. With `swings`
/// or `planned` they can where single swings reach every fold: then the rule
/// leaves none out.
pub(crate) fn every_fold_may_be_used(project: &Project) -> Result<(), Failure> {
    let rule = project.rules.reach;
    if rule == project::Reach::Any {
        return Ok(());
    }
    let missing: Vec<String> = reaches(project)?
        .iter()
        .zip(&project.pieces)
        .filter(|(reach, _)| !reach.missed().is_empty())
        .map(|(reach, piece)| format!("'{}' {} of {}", piece.name, reach.missed().len(), reach.folds().len()))
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    Err(Failure::plain(
        format_args!(
            "reach = \"{}\" is not yet held to in fillings, and single swings miss some folds: {}",
            rule.word(),
            missing.join(", ")
        ),
        "write reach = \"any\" in [set] of pinfold.toml",
    ))
}
