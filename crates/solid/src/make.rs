//! The one way in: a request, and what comes of it.
//!
//! Parts are built and checked side by side on all threads, and gathered in
//! the request's order: the same request gives the same bytes. A part that
//! fails a check leaves no file, only its record and a drawing of the place.

use rayon::prelude::*;

use crate::assemble::{Everything, build_all};
use crate::backing;
use crate::caution;
use crate::file::{NamedFile, flat, manifest};
use crate::inspect::inspect;
use crate::near::Tree;
use crate::proof::{Proof, prove};
use crate::publish::{bed_files, part_files};
use crate::record::{Bed, Failure, Kind, Part, PlateProof};
use crate::request::{BoardOrder, MakeError, Request};
use crate::{board, key};

/// What was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// All files, the manifest last.
    pub files: Vec<NamedFile>,
    /// One record a part that was asked for: pieces, board, plates, coupon.
    pub parts: Vec<Part>,
    /// Beds, if asked for.
    pub beds: Vec<Bed>,
    /// For each plate in order, the proof of each of its foldings.
    pub proofs: Vec<Vec<Proof>>,
}

/// Builds, checks and writes everything that is asked for.
///
/// # Errors
/// Every mistake of the request; then nothing is made. A failed check is no
/// error: it is in the part's record, and its file is missing.
pub fn make(request: &Request) -> Result<Made, Vec<MakeError>> {
    let faults = request.faults();
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut built = build_all(request)?;
    let proving = request.plates.iter().any(|p| !p.foldings.is_empty());
    let trees = if proving { piece_trees(&built) } else { Vec::new() };
    leave_out_unmade(request, &mut built);
    let (sizes, printer) = (&request.sizes, &request.printer);
    let inspected: Vec<_> = built.parts.par_iter().map(|b| inspect(b, sizes, printer)).collect();
    let (mut parts, drawings): (Vec<Part>, Vec<_>) = inspected.into_iter().unzip();
    let proofs = prove_all(request, &built, &trees, &mut parts);

    let mut files: Vec<NamedFile> = drawings
        .into_iter()
        .flatten()
        .map(|(name, svg)| NamedFile { name, bytes: svg.into_bytes() })
        .collect();
    let written: Vec<Vec<NamedFile>> =
        built.parts.par_iter().zip(&parts).map(|(b, p)| part_files(request, b, p)).collect();
    for (part, written) in parts.iter_mut().zip(written) {
        part.file = written.first().map(|f| f.name.clone());
        files.extend(written);
    }
    let beds = if request.beds { bed_files(request, &built.parts, &parts, &mut files) } else { Vec::new() };
    if request.backing {
        let lines = backing::lines(request.board.width, request.board.height, sizes);
        let title = format!("{}: backing", request.about.title);
        files.push(NamedFile { name: "backing.svg".into(), bytes: flat::svg(&lines, &title).into_bytes() });
        files.push(NamedFile { name: "backing.dxf".into(), bytes: flat::dxf(&lines).into_bytes() });
    }
    if !files.is_empty() {
        let small: Vec<String> =
            parts.iter().filter(|p| p.small_part && p.file.is_some()).map(|p| p.name.clone()).collect();
        let text = caution::text(&small, request.backing);
        files.push(NamedFile { name: "cautions.txt".into(), bytes: text.into_bytes() });
        files.push(manifest::write(&files));
    }
    Ok(Made { files, parts, beds, proofs })
}

/// Leaves out the pieces that were built for a proof alone.
pub(crate) fn leave_out_unmade(request: &Request, built: &mut Everything) {
    // Pieces stand first, in the request's order.
    let mut order = request.pieces.iter();
    built.parts.retain(|part| part.kind != Kind::Piece || order.next().is_none_or(|o| o.made));
}

/// The trees of every piece's bodies at home.
pub(crate) fn piece_trees(built: &Everything) -> Vec<Vec<Tree>> {
    let pieces = built.parts.par_iter().filter(|p| p.kind == Kind::Piece);
    pieces.map(|p| p.meshes.iter().map(Tree::of).collect()).collect()
}

/// Sets every plate on the board and every folding in its plate, and notes what
/// came of it in the plates' records.
fn prove_all(
    request: &Request,
    built: &Everything,
    trees: &[Vec<Tree>],
    parts: &mut [Part],
) -> Vec<Vec<Proof>> {
    // Where the foot, grown by most of its air, meets a tile, the plate does not go in.
    let BoardOrder { width, height, .. } = request.board;
    let tiles = (!built.plates.is_empty()).then(|| board::tile_plan(width, height, &request.sizes));
    let records = parts.iter_mut().filter(|p| p.kind == Kind::Plate);
    let mut all = Vec::new();
    for ((order, plate), record) in request.plates.iter().zip(&built.plates).zip(records) {
        let outline = order.outline.moved(plate.on_board);
        record.lugs = plate.lugs;
        record.strips = plate.strips;
        record.places = Some(key::places(&outline, request.board.width, request.board.height).len());
        let grown = plate.foot.grown(0.9 * request.sizes.seat, request.sizes.chord_error);
        let meets = tiles.as_ref().map_or(0.0, |t| grown.common(t).area());
        if meets > 1e-6 || record.places != Some(1) {
            record.failures.push(Failure {
                check: "seat",
                sentence: format!(
                    "the foot meets {meets:.3} mm² of the board's tiles and has {:?} places on it; it must have one, with air all round",
                    record.places
                ),
                at: None,
                drawing: None,
            });
        }
        let tree = Tree::of(&plate.solid.mesh());
        let proofs = prove(&request.set, trees, &order.foldings, &tree, plate.on_board, &request.sizes);
        for (n, proof) in proofs.iter().enumerate() {
            if let Some(t) = proof.touches.first() {
                let with = t.other.map_or("the plate".into(), |o| format!("piece {} body {}", o.0, o.1));
                record.failures.push(Failure {
                    check: "folding",
                    sentence: format!(
                        "folding {n}: piece {} body {} comes within {:.3} mm of {with}, less than {:.3} mm",
                        t.body.0, t.body.1, t.gap, proof.limit
                    ),
                    at: None,
                    drawing: None,
                });
            }
        }
        record.proof = (!proofs.is_empty()).then(|| PlateProof {
            foldings: proofs.len(),
            between_bodies: proofs.iter().map(|p| p.between_bodies).fold(f64::MAX, f64::min),
            to_plate: proofs.iter().map(|p| p.to_plate).fold(f64::MAX, f64::min),
            touches: proofs.iter().map(|p| p.touches.len()).sum(),
        });
        all.push(proofs);
    }
    all
}
