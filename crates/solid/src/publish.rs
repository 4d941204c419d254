//! The files of parts that passed their checks, one by one and laid out on beds.

use rayon::prelude::*;

use crate::beds::lay_out;
use crate::file::threemf::{self, About, Coloured, Item};
use crate::file::{NamedFile, stl};
use crate::inspect::Built;
use crate::kernel::Move;
use crate::mesh::Mesh;
use crate::picture::{Sheet, body_colours, hinge_section, png};
use crate::record::{Bed, OnBed, Part};
use crate::request::Request;

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
pub(crate) fn part_files(request: &Request, built: &Built, part: &Part) -> Vec<NamedFile> {
    if !part.failures.is_empty() {
        return Vec::new();
    }
    let name = part.stem();
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
    let colours = body_colours(built);
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

/// Lays the parts that passed out on beds and writes one 3MF a bed, with STL one
/// STL, too.
pub(crate) fn bed_files(
    request: &Request,
    built: &[Built],
    parts: &[Part],
    files: &mut Vec<NamedFile>,
) -> Vec<Bed> {
    let good: Vec<usize> = (0..parts.len()).filter(|&i| parts[i].file.is_some()).collect();
    let sizes: Vec<[f64; 2]> = good.iter().map(|&i| [parts[i].size[0], parts[i].size[1]]).collect();
    let spots = lay_out(&sizes, request.printer.bed, request.printer.spacing);
    let count = spots.iter().flatten().map(|s| s.bed + 1).max().unwrap_or(0);
    let beds: Vec<(Bed, Vec<NamedFile>)> = (0..count)
        .into_par_iter()
        .map(|n| {
            let file = format!("beds/bed-{}.3mf", n + 1);
            let mut bed = Bed { file: file.clone(), parts: Vec::new(), minutes: 0.0, grams: 0.0 };
            let mut items = Vec::new();
            let mut meshes = Vec::new();
            for (&part, spot) in good.iter().zip(&spots) {
                let Some(spot) = spot.filter(|s| s.bed == n) else { continue };
                let b = &built[part];
                let turn = Move::about([0.0, 0.0], if spot.turned { 90.0 } else { 0.0 });
                let (lo, _) = Mesh::together(&b.meshes).moved(&turn).bounds();
                let place = turn.then(&Move::shift(spot.at[0] - lo[0], spot.at[1] - lo[1], -lo[2]));
                if request.stl {
                    meshes.extend(b.meshes.iter().map(|m| m.moved(&place)));
                }
                items.push(Item { name: b.name.clone(), colours: by_colour(b, &b.name), place });
                bed.parts.push(OnBed { part, at: spot.at, turned: spot.turned });
                bed.minutes += parts[part].estimate.minutes;
                bed.grams += parts[part].estimate.grams;
            }
            let about =
                About { title: format!("{}: bed {}", request.about.title, n + 1), ..request.about.clone() };
            let mut written = vec![NamedFile { name: file, bytes: threemf::write(&items, &about, None) }];
            if request.stl {
                let name = format!("stl/beds/bed-{}.stl", n + 1);
                written.push(NamedFile { name, bytes: stl::write(&meshes) });
            }
            (bed, written)
        })
        .collect();
    let (beds, written): (Vec<Bed>, Vec<Vec<NamedFile>>) = beds.into_iter().unzip();
    files.extend(written.into_iter().flatten());
    beds
}
