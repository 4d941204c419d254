//! The one way in: a request, and what comes of it.
//!
//! Parts are built and checked side by side on all threads, and gathered in
//! the request's order: the same request gives the same bytes. A part that
//! fails a check leaves no file, only its record and a drawing of the place.

use rayon::prelude::*;

use crate::beds::lay_out;
use crate::caution;
use crate::file::threemf::{self, About, Coloured, Item};
use crate::file::{NamedFile, flat, manifest, slug, stl};
use crate::inspect::{Built, Hinged, inspect};
use crate::kernel::{KernelError, Move};
use crate::mesh::Mesh;
use crate::near::Tree;
use crate::picture::{Sheet, hinge_section, png};
use crate::plate::{self, Plate, WayUp};
use crate::proof::{Proof, prove};
use crate::record::{Bed, Failure, Kind, OnBed, Part, PlateProof};
use crate::request::{BoardOrder, MakeError, PlateOrder, Request};
use crate::{backing, board, coupon, key, piece};

/// What was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// All files, the manifest last.
    pub files: Vec<NamedFile>,
    /// One record a part: pieces, board, plates, coupon.
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
    let built = build_all(request)?;
    let (sizes, printer) = (&request.sizes, &request.printer);
    let inspected: Vec<_> = built.parts.par_iter().map(|b| inspect(b, sizes, printer)).collect();
    let (mut parts, drawings): (Vec<Part>, Vec<_>) = inspected.into_iter().unzip();
    let proofs = prove_all(request, &built, &mut parts);

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

/// Every part, in the order of the records.
struct Everything {
    parts: Vec<Built>,
    plates: Vec<Plate>,
}

fn build_all(request: &Request) -> Result<Everything, Vec<MakeError>> {
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

fn build_coupon(request: &Request, hinges: Vec<crate::Sizes>) -> Result<Built, KernelError> {
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

/// Sets every plate on the board and every folding in its plate, and notes what
/// came of it in the plates' records.
fn prove_all(request: &Request, built: &Everything, parts: &mut [Part]) -> Vec<Vec<Proof>> {
    let trees: Vec<Vec<Tree>> = built
        .parts
        .par_iter()
        .filter(|p| p.kind == Kind::Piece)
        .map(|p| p.meshes.iter().map(Tree::of).collect())
        .collect();
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
        let proofs = prove(&request.set, &trees, &order.foldings, &tree, plate.on_board, &request.sizes);
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

/// Bodies grouped by colour, in order of the first of each.
fn by_colour<'a>(built: &'a Built, name: &str) -> Vec<Coloured<'a>> {
    let mut groups: Vec<Coloured> = Vec::new();
    let mut start = 0;
    while start < built.meshes.len() {
        let run = built.colours[start..].iter().take_while(|c| **c == built.colours[start]).count();
        groups.push(Coloured {
            name: format!("{name} {}", groups.len() + 1),
            meshes: &built.meshes[start..start + run],
            colour: &built.colours[start],
        });
        start += run;
    }
    groups
}

/// The files of a part that passed: 3MF first, then STL and pictures.
fn part_files(request: &Request, built: &Built, part: &Part) -> Vec<NamedFile> {
    if !part.failures.is_empty() {
        return Vec::new();
    }
    let folder = match built.kind {
        Kind::Piece => "pieces/",
        Kind::Plate => "plates/",
        Kind::Board | Kind::Coupon => "",
    };
    let name = format!("{folder}{}", slug(&built.name));
    let mut pictures = Vec::new();
    let mut thumbnail = None;
    if request.pictures {
        let svg = picture(built);
        let dots = png(&svg, 6.0);
        thumbnail = Some(dots.clone());
        pictures.push(NamedFile { name: format!("pictures/{name}.svg"), bytes: svg.into_bytes() });
        pictures.push(NamedFile { name: format!("pictures/{name}.png"), bytes: dots });
    }
    let (lo, _) = Mesh::together(&built.meshes).bounds();
    let spacing = request.printer.spacing;
    let item = Item {
        name: built.name.clone(),
        colours: by_colour(built, &built.name),
        place: Move::shift(spacing - lo[0], spacing - lo[1], -lo[2]),
    };
    let about = About { title: format!("{}: {}", request.about.title, built.name), ..request.about.clone() };
    let mut files = vec![NamedFile {
        name: format!("{name}.3mf"),
        bytes: threemf::write(&[item], &about, thumbnail.as_deref()),
    }];
    if request.stl {
        files.push(NamedFile { name: format!("stl/{name}.stl"), bytes: stl::write(&built.meshes) });
    }
    files.extend(pictures);
    files
}

/// A part from the fixed viewpoint, and beside it a section through one hinge of each level and clearance.
fn picture(built: &Built) -> String {
    let mut sheet = Sheet::new();
    let paint = |hex: &str, body: usize| -> [u8; 3] {
        let v = u32::from_str_radix(&hex[1..], 16).unwrap_or(0x808080);
        let base = [(v >> 16) as u8, (v >> 8) as u8, v as u8];
        // Bodies of one colour are told apart by a lighter or darker shade.
        let shift = if built.bodies_touch { 0 } else { [0, 30, -24, 48, -40][body % 5] };
        base.map(|c| (i32::from(c) + shift).clamp(0, 255) as u8)
    };
    let colours: Vec<[u8; 3]> = built.colours.iter().enumerate().map(|(b, c)| paint(c, b)).collect();
    let bodies: Vec<_> = built.meshes.iter().zip(colours.iter().copied()).collect();
    sheet.shaded(&bodies, [0.0, 0.0]);
    for h in &built.hinged {
        let back = Move::shift(-h.place.shift[0], -h.place.shift[1], -h.place.shift[2]);
        let solids: Vec<_> = h.bodies.iter().map(|&b| built.solids[b].moved(&back)).collect();
        let mut levels = Vec::new();
        for (n, hinge) in h.piece.hinges().iter().enumerate() {
            if levels.contains(&hinge.level) {
                continue;
            }
            levels.push(hinge.level);
            let x = sheet.right() + 0.8 * h.sizes.pitch;
            for (b, area) in hinge_section(&h.piece, &solids, &h.sizes, n) {
                let [r, g, blue] = colours[h.bodies[b]];
                sheet.area(&area, [x, 0.0], &format!("#{r:02x}{g:02x}{blue:02x}"), Some("#000000"));
            }
        }
    }
    sheet.svg(&built.name)
}

/// Lays the parts that passed out on beds and writes one 3MF a bed.
fn bed_files(request: &Request, built: &[Built], parts: &[Part], files: &mut Vec<NamedFile>) -> Vec<Bed> {
    let good: Vec<usize> = (0..parts.len()).filter(|&i| parts[i].file.is_some()).collect();
    let sizes: Vec<[f64; 2]> = good.iter().map(|&i| [parts[i].size[0], parts[i].size[1]]).collect();
    let spots = lay_out(&sizes, request.printer.bed, request.printer.spacing);
    let count = spots.iter().flatten().map(|s| s.bed + 1).max().unwrap_or(0);
    let beds: Vec<(Bed, NamedFile)> = (0..count)
        .into_par_iter()
        .map(|n| {
            let file = format!("beds/bed-{}.3mf", n + 1);
            let mut bed = Bed { file: file.clone(), parts: Vec::new(), minutes: 0.0, grams: 0.0 };
            let mut items = Vec::new();
            for (&part, spot) in good.iter().zip(&spots) {
                let Some(spot) = spot.filter(|s| s.bed == n) else { continue };
                let b = &built[part];
                let turn = Move::about([0.0, 0.0], if spot.turned { 90.0 } else { 0.0 });
                let (lo, _) = Mesh::together(&b.meshes).moved(&turn).bounds();
                let place = turn.then(&Move::shift(spot.at[0] - lo[0], spot.at[1] - lo[1], -lo[2]));
                items.push(Item { name: b.name.clone(), colours: by_colour(b, &b.name), place });
                bed.parts.push(OnBed { part, at: spot.at, turned: spot.turned });
                bed.minutes += parts[part].estimate.minutes;
                bed.grams += parts[part].estimate.grams;
            }
            let about =
                About { title: format!("{}: bed {}", request.about.title, n + 1), ..request.about.clone() };
            (bed, NamedFile { name: file, bytes: threemf::write(&items, &about, None) })
        })
        .collect();
    let (beds, written): (Vec<Bed>, Vec<NamedFile>) = beds.into_iter().unzip();
    files.extend(written);
    beds
}
