//! How the hand takes a piece from home to the fold it has in a layout.

use lattice::{Fold, Folding, Placed, Pose};
use project::Project;
use reach::{Reach, Step};
use serde_json::{Value, json};

use crate::failure::Failure;
use crate::layouts::counted;
use crate::rules;

/// What every kind of piece of a project reaches.
pub struct Ways<'a> {
    project: &'a Project,
    reaches: Vec<Reach>,
}

impl<'a> Ways<'a> {
    /// Of every piece of a project.
    ///
    /// # Errors
    /// Sizes that do not go together.
    pub fn of(project: &'a Project) -> Result<Self, Failure> {
        let plan = rules::plan(project)?;
        let reach = |piece| rules::reach_of(project, piece, &plan);
        let reaches = project.pieces.iter().map(reach).collect();
        Ok(Ways { project, reaches })
    }

    /// The fewest swings from home to the fold of a placed piece; none if no single
    /// swings lead there.
    fn steps(&self, placed: &Placed) -> Option<Vec<Step>> {
        Some(self.path(placed)?.steps)
    }

    /// Home and the pose after each of the fewest swings to the fold of a placed
    /// piece, home alone if it lies as printed; none if no single swings lead there.
    pub fn poses(&self, placed: &Placed) -> Option<Vec<Pose>> {
        let path = self.path(placed)?;
        Some(std::iter::once(path.start).chain(path.steps.into_iter().map(|step| step.after)).collect())
    }

    fn path(&self, placed: &Placed) -> Option<reach::Path> {
        let set = &self.project.set;
        let kind = self.project.pieces.iter().position(|p| p.set.contains(&placed.piece))?;
        let reach = &self.reaches[kind];
        let fold = Fold::of(&set.pieces[placed.piece], &placed.pose, set.levels);
        reach.path(reach.folds().position(&fold)?)
    }

    /// A sentence for each piece of a folding.
    pub fn sentences(&self, folding: &Folding) -> Vec<String> {
        let sentence = |placed: &Placed| {
            let name = self.project.piece_name(placed.piece);
            match self.steps(placed) {
                None => format!("{name}: no single swings lead there"),
                Some(steps) if steps.is_empty() => format!("{name}: as it is at home"),
                Some(steps) => {
                    let told: Vec<String> = steps.iter().map(in_words).collect();
                    format!("{name}: {}: {}", counted(steps.len(), "swing"), told.join(", "))
                }
            }
        };
        folding.placed.iter().map(sentence).collect()
    }

    /// The swings of each piece of a folding, in its order.
    pub fn json(&self, folding: &Folding) -> Vec<Value> {
        let swings = |placed: &Placed| self.steps(placed).map(|steps| steps_json(&steps));
        folding.placed.iter().map(|placed| json!(swings(placed))).collect()
    }
}

/// Which way a swing turns, seen from above.
pub fn sense(step: &Step) -> &'static str {
    if step.turn.quarters() == 1 { "anticlockwise" } else { "clockwise" }
}

fn in_words(step: &Step) -> String {
    format!("hinge {} {}", step.hinge, sense(step))
}

/// Swings as JSON: hinge, blocks that turn, sense.
pub fn steps_json(steps: &[Step]) -> Vec<Value> {
    let one = |step: &Step| json!({ "hinge": step.hinge, "blocks": step.moving, "turn": sense(step) });
    steps.iter().map(one).collect()
}
