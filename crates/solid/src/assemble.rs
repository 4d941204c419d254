//! From a request to built parts that wait for their checks: pieces, board,
//! plates, coupon, in that order. All errors of all parts are gathered.

use rayon::prelude::*;

use crate::inspect::{Built, Hinged};
use crate::kernel::{KernelError, Move};
use crate::plate::{self, Plate, WayUp};
use crate::record::Kind;
use crate::request::{MakeError, PlateOrder, Request};
use crate::sizes::Sizes;
use crate::{board, coupon, piece};

/// Every part, in the order of the records.
pub(crate) struct Everything {
    pub parts: Vec<Built>,
    pub plates: Vec<Plate>,
}

/// Builds everything that is asked for.
pub(crate) fn build_all(request: &Request) -> Result<Everything, Vec<MakeError>> {
    let (sizes, levels) = (&request.sizes, request.set.levels);
    let board_size = (request.board.width, request.board.height);
    let pieces: Vec<Result<Built, MakeError>> =
        (0..request.pieces.len()).into_par_iter().map(|p| build_piece(request, p)).collect();
    let plates: Vec<Result<Plate, MakeError>> = request
        .plates
        .par_iter()
        .map(|p| {
            plate::build(&p.outline, &p.label, sizes, levels, board_size)
                .map_err(|fault| MakeError::Plate { plate: p.name.clone(), fault })
        })
        .collect();
    let mut errors = Vec::new();
    let mut keep = |result: Result<Built, MakeError>, to: &mut Vec<Built>| match result {
        Ok(built) => to.push(built),
        Err(error) => errors.push(error),
    };
    let mut parts = Vec::new();
    for piece in pieces {
        keep(piece, &mut parts);
    }
    let failed = |part: &str| {
        let part = part.to_string();
        move |error: KernelError| MakeError::Kernel { part, error }
    };
    if request.make_board {
        keep(build_board(request).map_err(failed("board")), &mut parts);
    }
    let mut sound = Vec::new();
    for (order, plate) in request.plates.iter().zip(plates) {
        keep(
            plate.map(|p| {
                let built = plate_part(order, &p);
                sound.push(p);
                built
            }),
            &mut parts,
        );
    }
    if request.coupon {
        match coupon::clearances(sizes) {
            Ok(hinges) => keep(build_coupon(request, hinges).map_err(failed("coupon")), &mut parts),
            Err(faults) => errors.extend(faults.into_iter().map(MakeError::Coupon)),
        }
    }
    if errors.is_empty() { Ok(Everything { parts, plates: sound }) } else { Err(errors) }
}

fn build_piece(request: &Request, p: usize) -> Result<Built, MakeError> {
    let (order, piece) = (&request.pieces[p], &request.set.pieces[p]);
    let made = piece::build(piece, &request.sizes, request.set.levels, &order.mark)
        .map_err(|error| MakeError::Kernel { part: order.name.clone(), error })?;
    let plain = piece.blocks().len() == 1 && order.mark.is_empty();
    let exact = plain.then(|| crate::plan::plain_block_volume(&request.sizes));
    // A chord strays by the chord error at most, over the four reliefs' faces.
    let curved = 4.0 * std::f64::consts::FRAC_PI_2 * request.sizes.relief() * request.sizes.height;
    let hinged = if piece.hinges().is_empty() {
        Vec::new()
    } else {
        vec![Hinged {
            piece: piece.clone(),
            sizes: request.sizes.clone(),
            bodies: (0..piece.bodies()).collect(),
            place: Move::STILL,
        }]
    };
    Ok(Built {
        name: order.name.clone(),
        kind: Kind::Piece,
        way_up: WayUp::FootDown,
        expected_bodies: piece.bodies(),
        colours: vec![order.colour.clone(); made.solids.len()],
        solids: made.solids,
        meshes: made.meshes,
        closed_form: exact,
        volume_error: request.sizes.chord_error * curved,
        hinged,
        change_at: None,
        bodies_touch: false,
    })
}

fn build_board(request: &Request) -> Result<Built, KernelError> {
    let made = board::build(request.board.width, request.board.height, &request.sizes)?;
    let solids = vec![made.base, made.tiles];
    Ok(Built {
        name: "board".into(),
        kind: Kind::Board,
        way_up: WayUp::FootDown,
        expected_bodies: 1,
        colours: request.board.colours.to_vec(),
        meshes: solids.iter().map(|s| s.mesh()).collect(),
        solids,
        closed_form: Some(made.volumes.iter().sum()),
        volume_error: 0.05,
        hinged: Vec::new(),
        change_at: Some(made.change_at),
        bodies_touch: true,
    })
}

fn plate_part(order: &PlateOrder, plate: &Plate) -> Built {
    let solid = plate.solid.moved(&plate.to_bed);
    let labelled = !(order.label.number.is_empty() && order.label.grade.is_empty());
    Built {
        name: order.name.clone(),
        kind: Kind::Plate,
        way_up: plate.way_up,
        expected_bodies: 1,
        colours: vec![order.colour.clone()],
        meshes: vec![solid.mesh()],
        solids: vec![solid],
        closed_form: (!labelled && plate.strips == 0).then_some(plate.plan_volume),
        volume_error: 0.05,
        hinged: Vec::new(),
        change_at: None,
        bodies_touch: false,
    }
}

fn build_coupon(request: &Request, hinges: Vec<Sizes>) -> Result<Built, KernelError> {
    let made = coupon::build(hinges)?;
    let hinged = made
        .places
        .iter()
        .zip(&made.hinges)
        .enumerate()
        .map(|(i, (place, sizes))| Hinged {
            piece: made.piece.clone(),
            sizes: sizes.clone(),
            bodies: vec![0, i + 1],
            place: *place,
        })
        .collect();
    let colour = request.pieces.first().map_or("#808080", |p| p.colour.as_str());
    Ok(Built {
        name: "coupon".into(),
        kind: Kind::Coupon,
        way_up: WayUp::FootDown,
        expected_bodies: 6,
        colours: vec![colour.into(); 6],
        meshes: made.solids.par_iter().map(|s| s.mesh()).collect(),
        solids: made.solids,
        closed_form: None,
        volume_error: 0.0,
        hinged,
        change_at: None,
        bodies_touch: false,
    })
}
