//! What the project's rules mean, with a sign of life where that takes long.

pub(crate) use desk::rules::{can_list, folds_used, plan};
use lattice::Class;
use project::Project;

use crate::answer::Failure;
use crate::work::waiting;

/// The pieces by what they may become in a filling, as the set's rule on folds has it.
pub(crate) fn classes(project: &Project) -> Result<Vec<Class>, Failure> {
    waiting("ways of the pieces", || desk::rules::classes(project))
}
