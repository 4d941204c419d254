//! The other half of the proof: a knuckle whose pocket is taken away collides
//! with the wall. If it did not, the proof that foldings stand clear would be
//! worth nothing.

use lattice::Vertex;
use rayon::prelude::*;

use crate::assemble::build_all;
use crate::make::piece_trees;
use crate::near::Tree;
use crate::plate;
use crate::proof::prove;
use crate::request::{MakeError, Request};

/// What happens at one pocket of a plate without it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WithoutPocket {
    /// The pocket, in the outline's coordinates.
    pub pocket: Vertex,
    /// Whether a body meets the wall.
    pub collides: bool,
}

/// For each plate in order, and each pocket that its first folding needs: the
/// plate is built without it, and the folding set in all the same.
///
/// # Errors
/// Every mistake of the request.
pub fn without_pockets(request: &Request) -> Result<Vec<Vec<WithoutPocket>>, Vec<MakeError>> {
    let faults = request.faults();
    if !faults.is_empty() {
        return Err(faults);
    }
    let bare = Request { plates: Vec::new(), make_board: false, coupon: false, ..request.clone() };
    let trees = piece_trees(&build_all(&bare)?);
    let board = (request.board.width, request.board.height);
    let mut jobs = Vec::new();
    for (n, order) in request.plates.iter().enumerate() {
        if let Some(folding) = order.foldings.first() {
            let footprint = folding.footprint(&request.set, &order.outline);
            jobs.extend(footprint.into_iter().map(|pocket| (n, folding, pocket)));
        }
    }
    let tried: Vec<Result<(usize, WithoutPocket), MakeError>> = jobs
        .into_par_iter()
        .map(|(n, folding, pocket)| {
            let order = &request.plates[n];
            let rest = order.outline.pockets().iter().copied().filter(|v| *v != pocket);
            let outline = order.outline.with_pockets(rest).expect("fewer pockets stand on the edge too");
            let plate = plate::build(&outline, &order.label, &request.sizes, request.set.levels, board)
                .map_err(|fault| MakeError::Plate { plate: order.name.clone(), fault })?;
            let tree = Tree::of(&plate.solid.mesh());
            let folding = std::slice::from_ref(folding);
            let proofs = prove(&request.set, &trees, folding, &tree, plate.on_board, &request.sizes);
            let meets = |t: &crate::proof::Touch| t.other.is_none() && t.gap == 0.0;
            let collides = proofs.iter().any(|p| p.touches.iter().any(meets));
            Ok((n, WithoutPocket { pocket, collides }))
        })
        .collect();
    let mut found = vec![Vec::new(); request.plates.len()];
    let mut errors = Vec::new();
    for result in tried {
        match result {
            Ok((n, one)) => found[n].push(one),
            Err(error) => errors.push(error),
        }
    }
    if errors.is_empty() { Ok(found) } else { Err(errors) }
}
