//! Parts to be looked at: their meshes, built but not measured.

use crate::assemble::build_all;
use crate::make::leave_out_unmade;
use crate::mesh::Mesh;
use crate::record::Kind;
use crate::request::{MakeError, Request};

/// A part as it stands on the bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// Its name.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// Its bodies; of a piece, in the order of its blocks, its lattice at the origin.
    pub meshes: Vec<Mesh>,
    /// The colour of each body.
    pub colours: Vec<String>,
}

/// Builds the parts that are asked for and nothing else: for a screen. What is
/// to be printed comes from [`crate::make`], which measures it first.
///
/// # Errors
/// Every mistake of the request.
pub fn show(request: &Request) -> Result<Vec<Shown>, Vec<MakeError>> {
    let faults = request.faults();
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut built = build_all(request)?;
    leave_out_unmade(request, &mut built);
    let shown = built.parts.into_iter().map(|part| Shown {
        name: part.name,
        kind: part.kind,
        meshes: part.meshes,
        colours: part.colours,
    });
    Ok(shown.collect())
}
