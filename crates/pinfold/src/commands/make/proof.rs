//! Blocks against plates: every layout of an outline set into its plate, and
//! what happens where a pocket is missing.

pub(super) use desk::made::Proved;
use desk::parts::Parts;
use fill::{Ask, Certainty};
use lattice::Folding;
use num_bigint::BigUint;
use project::Project;
use solid::{Made, WithoutPocket};

use crate::answer::Failure;
use crate::rules;
use crate::work::{self, Early, Work};

/// The layouts of one outline, as far as they were looked for.
pub(super) struct Found {
    /// The outline, by its position in the project.
    outline: usize,
    /// One folding of each layout, one that drops in where there is one.
    pub(super) foldings: Vec<Folding>,
    /// How many layouts were found.
    layouts: BigUint,
    /// Whether that is all there are.
    complete: bool,
}

/// The layouts of every outline of the project in order; of those not asked for, none.
pub(super) fn layouts(project: &Project, parts: &Parts, most: u32) -> Result<Vec<Found>, Failure> {
    let classes = rules::classes(project)?;
    let mut all = Vec::new();
    for (n, record) in project.outlines.iter().enumerate() {
        let mut found = Found { outline: n, foldings: Vec::new(), layouts: BigUint::ZERO, complete: true };
        if parts.outlines[n] {
            let work = Work::start(&format!("layouts of {}", record.name), None);
            let ask = Ask {
                limit: Some(u64::from(most)),
                answers: most as usize,
                turns: true,
                threads: work::threads(None),
                stop: &|| work.must_stop(),
                progress: &|done, all| work.progress(done, all),
            };
            let filling = fill::fill(&project.set, &classes, &record.outline, &ask);
            if work.ended() == Some(Early::Interrupted) {
                return Err(Failure::plain("interrupted: nothing was written", "run the command again"));
            }
            found.complete = filling.certainty == Certainty::Complete;
            found.layouts = filling.counts.layouts;
            found.foldings = filling.answers.into_iter().map(|answer| answer.folding).collect();
        }
        all.push(found);
    }
    Ok(all)
}

/// The measured proofs, by outline. `made` and `without` have them for the
/// outlines asked for, in order.
pub(super) fn gather(
    found: Vec<Found>,
    project: &Project,
    parts: &Parts,
    made: &Made,
    without: &[Vec<WithoutPocket>],
) -> Vec<Proved> {
    let asked = found.into_iter().filter(|f| parts.outlines[f.outline]);
    let measured = made.proofs.iter().zip(without);
    asked
        .zip(measured)
        .map(|(found, (proofs, without))| {
            let least = |of: fn(&solid::Proof) -> f64| proofs.iter().map(of).reduce(f64::min);
            Proved {
                name: project.outlines[found.outline].name.clone(),
                complete: found.complete && found.layouts == BigUint::from(proofs.len()),
                layouts: found.layouts,
                tried: proofs.len(),
                clear: proofs.iter().filter(|p| p.touches.is_empty()).count(),
                between_bodies: least(|p| p.between_bodies),
                to_plate: least(|p| p.to_plate),
                limit: least(|p| p.limit),
                without: without.clone(),
            }
        })
        .collect()
}
