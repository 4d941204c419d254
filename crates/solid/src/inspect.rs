//! Every check on one built part, and the record that comes of it.

use lattice::Piece;
use rayon::prelude::*;

use crate::area::Area;
use crate::caution::is_small;
use crate::check::{capture, gap, overhang, wall};
use crate::estimate::estimate;
use crate::kernel::{Move, Solid};
use crate::layers::{Layers, layer_top, layers_to};
use crate::mesh::Mesh;
use crate::near::Tree;
use crate::picture::Sheet;
use crate::plate::WayUp;
use crate::printer::Printer;
use crate::record::{ColourChange, Failure, Kind, Part};
use crate::sizes::Sizes;

/// A part that was built and waits for its checks, as it stands on the bed.
pub(crate) struct Built {
    pub name: String,
    pub kind: Kind,
    pub way_up: WayUp,
    pub solids: Vec<Solid>,
    pub meshes: Vec<Mesh>,
    /// A colour for each body.
    pub colours: Vec<String>,
    pub expected_bodies: usize,
    pub closed_form: Option<f64>,
    /// How far the meshes' chords may take the volume from its closed form.
    pub volume_error: f64,
    /// The hinges to turn: the piece, its sizes, which bodies are its blocks, where it stands.
    pub hinged: Vec<Hinged>,
    pub change_at: Option<f64>,
    /// Whether bodies that touch are one part in two colours.
    pub bodies_touch: bool,
}

/// A hinged piece among a part's bodies.
pub(crate) struct Hinged {
    pub piece: Piece,
    pub sizes: Sizes,
    pub bodies: Vec<usize>,
    pub place: Move,
}

/// Checks a part. The drawings are SVG files for the failures that have a place.
pub(crate) fn inspect(built: &Built, sizes: &Sizes, printer: &Printer) -> (Part, Vec<(String, String)>) {
    let (solids, meshes) = judged(built);
    let trees: Vec<Tree> = meshes.par_iter().map(Tree::of).collect();
    let whole = Mesh::together(&built.meshes);
    let (lo, hi) = whole.bounds();
    let size: [f64; 3] = std::array::from_fn(|i| hi[i] - lo[i]);
    let mut failures = Vec::new();
    let mut fail = |check, sentence: String, at| {
        failures.push(Failure { check, sentence, at, drawing: None });
    };

    let open: Vec<_> = built.meshes.iter().filter_map(Mesh::open_edges).collect();
    for o in &open {
        fail(
            "closed",
            format!("{} edges without a partner, {} collapsed triangles", o.unpaired, o.collapsed),
            None,
        );
    }
    // Tiles that stand on a base share its edges; each file's own bodies are judged.
    for (mesh, o) in built.meshes.iter().filter_map(|m| Some((m, m.open_edges_in_single_precision()?))) {
        let at = mesh.points.first().copied();
        fail("closed", format!("{} edges open when read in single precision", o.unpaired), at);
    }
    let bodies: usize = meshes.iter().map(|m| m.shells().len()).sum();
    if bodies != built.expected_bodies {
        fail("bodies", format!("{bodies} separate bodies instead of {}", built.expected_bodies), None);
    }
    let volumes: Vec<f64> = built.meshes.iter().map(Mesh::volume).collect();
    let oriented = open.is_empty() && volumes.iter().all(|v| *v > 0.0);
    if !oriented {
        fail("oriented", "a body is inside out or open".into(), None);
    }
    let volume: f64 = volumes.iter().sum();
    if let Some(exact) = built.closed_form
        && (volume - exact).abs() > built.volume_error
    {
        fail("volume", format!("{volume:.2} mm³ instead of {exact:.2} ± {:.2}", built.volume_error), None);
    }

    let walls: Vec<_> = trees.par_iter().map(wall::least).collect();
    let least_wall = walls.into_iter().flatten().min_by(|a, b| a.thickness.total_cmp(&b.thickness));
    // Chords lie inside pins and outside holes.
    let needed = 2.0 * sizes.nozzle - 2.0 * sizes.chord_error;
    if let Some(w) = least_wall
        && w.thickness < needed - 1e-9
    {
        fail("wall", format!("{:.3} mm, less than two lines ({:.3} mm)", w.thickness, needed), Some(w.at));
    }

    let home = gap::at_home(&trees);
    let hinges: Vec<(&Hinged, Vec<Tree>)> = built
        .hinged
        .iter()
        .map(|h| {
            let back = Move::shift(-h.place.shift[0], -h.place.shift[1], -h.place.shift[2]);
            (h, h.bodies.iter().map(|&b| trees[b].moved(&back)).collect())
        })
        .collect();
    let jobs: Vec<(usize, usize)> = hinges
        .iter()
        .enumerate()
        .flat_map(|(i, (h, _))| (0..h.piece.hinges().len()).map(move |n| (i, n)))
        .collect();
    let turned: Vec<_> = jobs
        .par_iter()
        .map(|&(i, n)| {
            let (h, trees) = &hinges[i];
            let swung = gap::over_range(&h.piece, trees, &h.sizes, n);
            (h.sizes.clearance, swung, capture::measure(&h.piece, trees, &h.sizes, n))
        })
        .collect();
    let least_clearance = turned.iter().map(|t| t.0).fold(sizes.clearance, f64::min);
    if let Some(g) = home
        && g.distance < 0.9 * least_clearance.min(sizes.gap)
    {
        fail(
            "gap",
            format!(
                "{:.3} mm between two bodies as printed, less than 0.9 × {least_clearance} mm",
                g.distance
            ),
            g.at,
        );
    }
    let (mut hinge_gaps, mut captures) = (Vec::new(), Vec::new());
    for (number, (clearance, mut swung, mut play)) in turned.into_iter().enumerate() {
        (swung.hinge, play.hinge) = (number, number);
        let (least, angle) = swung.least();
        if least < 0.9 * clearance {
            fail(
                "turn",
                format!(
                    "hinge {number} at {angle}°: {least:.3} mm between its blocks, less than 0.9 × {clearance} mm"
                ),
                None,
            );
        }
        for (way, found) in [("up", play.up), ("down", play.down), ("across", play.across)] {
            if found > 2.0 * clearance + 1e-9 {
                fail(
                    "capture",
                    format!("hinge {number} gives {found:.3} mm {way}, more than 2 × {clearance} mm"),
                    None,
                );
            }
        }
        hinge_gaps.push(swung);
        captures.push(play);
    }

    let layers = Layers::cut(&solids, size[2], sizes);
    let widest = built.hinged.iter().map(|h| &h.sizes).max_by(|a, b| a.clearance.total_cmp(&b.clearance));
    let overhangs = overhang::find(&layers, widest.unwrap_or(sizes));
    for o in &overhangs.unsupported {
        fail(
            "overhang",
            format!("{:.2} mm² printed on air at height {:.2} mm (layer {})", o.area, o.z, o.layer),
            Some([o.at[0], o.at[1], o.z + sizes.layer / 2.0]),
        );
    }

    let room = printer.bed.map(|b| b - 2.0 * printer.spacing);
    let fits_bed = size[2] <= printer.bed_height
        && ((size[0] <= room[0] && size[1] <= room[1]) || (size[1] <= room[0] && size[0] <= room[1]));
    if !fits_bed {
        fail(
            "bed",
            format!(
                "{:.1} × {:.1} × {:.1} mm does not fit a bed of {:.0} × {:.0} × {:.0} mm with {:.0} mm round it",
                size[0],
                size[1],
                size[2],
                printer.bed[0],
                printer.bed[1],
                printer.bed_height,
                printer.spacing
            ),
            None,
        );
    }

    let colour_changes: Vec<ColourChange> = built
        .change_at
        .into_iter()
        .map(|height| ColourChange { height, layer: layers_to(sizes, height) + 1 })
        .collect();
    for change in &colour_changes {
        // The layer before must end where the colour begins.
        let top = layer_top(sizes, change.layer - 2);
        if (top - change.height).abs() > 1e-6 {
            fail(
                "colour change",
                format!(
                    "the colour begins at {:.3} mm, but layers end at {top:.3} mm; make base a whole number of layers",
                    change.height
                ),
                None,
            );
        }
    }
    let small_part = is_small(&whole) || built.meshes.iter().any(is_small);
    let drawings = draw(built, &mut failures, &overhangs);
    let part = Part {
        name: built.name.clone(),
        kind: built.kind,
        file: None,
        way_up: built.way_up,
        size,
        bodies,
        closed: open.is_empty(),
        oriented,
        triangles: whole.triangles.len(),
        volume_mm3: volume,
        closed_form_mm3: built.closed_form,
        least_wall,
        min_gap_mm: home.map(|g| g.distance),
        hinge_gaps,
        captures,
        posts: 0,
        fits_bed,
        estimate: estimate(&layers, printer, sizes, colour_changes.len()),
        colour_changes,
        small_part,
        overhangs,
        lugs: 0,
        strips: 0,
        places: None,
        proof: None,
        failures,
    };
    (part, drawings)
}

/// What the checks look at: the bodies, or, where bodies of two colours touch,
/// the one solid that they make.
fn judged(built: &Built) -> (Vec<Solid>, Vec<Mesh>) {
    if built.bodies_touch
        && let Ok(joined) = Solid::sum(&built.solids)
    {
        let mesh = joined.mesh();
        return (vec![joined], vec![mesh]);
    }
    (built.solids.clone(), built.meshes.clone())
}

/// One drawing for each failure that has a place: the part's plan there, with a ring round it.
fn draw(built: &Built, failures: &mut [Failure], overhangs: &overhang::Overhangs) -> Vec<(String, String)> {
    let mut drawings = Vec::new();
    for (n, failure) in failures.iter_mut().enumerate() {
        let Some(at) = failure.at else { continue };
        let mut sheet = Sheet::new();
        for (solid, colour) in built.solids.iter().zip(&built.colours) {
            sheet.area(&solid.slice(at[2].max(1e-3)), [0.0; 2], colour, Some("#000000"));
        }
        for o in overhangs.unsupported.iter().filter(|o| o.at == [at[0], at[1]]) {
            let area = Area::from_contours(o.contours.iter().map(Vec::as_slice));
            sheet.area(&area, [0.0; 2], "#D55E00", None);
        }
        let ring = |r| Area::disc_round([at[0], at[1]], r, 32);
        sheet.area(&ring(2.4).minus(&ring(2.0)), [0.0; 2], "#D55E00", None);
        let name = format!("failed/{}-{}.svg", crate::file::slug(&built.name), n + 1);
        drawings.push((name.clone(), sheet.svg(&format!("{}, {failure}", built.name))));
        failure.drawing = Some(name);
    }
    drawings
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(low: [f64; 3], high: [f64; 3]) -> Solid {
        Solid::prism(&Area::rectangle([low[0], low[1]], [high[0], high[1]]), low[2], high[2]).unwrap()
    }

    fn failures(solids: Vec<Solid>, spoil: impl Fn(&mut Built)) -> (Vec<Failure>, Vec<(String, String)>) {
        let mut built = Built {
            name: "a specimen".into(),
            kind: Kind::Piece,
            way_up: WayUp::FootDown,
            meshes: solids.iter().map(Solid::mesh).collect(),
            colours: vec!["#808080".into(); solids.len()],
            expected_bodies: solids.len(),
            solids,
            closed_form: None,
            volume_error: 0.01,
            hinged: Vec::new(),
            change_at: None,
            bodies_touch: false,
        };
        spoil(&mut built);
        let (part, drawings) = inspect(&built, &Sizes::default(), &Printer::default());
        (part.failures, drawings)
    }

    fn checks(solids: Vec<Solid>, spoil: impl Fn(&mut Built)) -> Vec<&'static str> {
        failures(solids, spoil).0.iter().map(|f| f.check).collect()
    }

    #[test]
    fn each_defect_fails_its_own_check() {
        let sound = || bar([0.0, 0.0, 0.0], [10.0, 10.0, 10.0]);
        assert_eq!(checks(vec![sound()], |_| ()), [""; 0]);
        assert_eq!(checks(vec![sound()], |b| b.closed_form = Some(1000.0)), [""; 0]);
        assert_eq!(checks(vec![sound()], |b| b.closed_form = Some(999.0)), ["volume"]);
        assert_eq!(checks(vec![sound()], |b| b.expected_bodies = 2), ["bodies"]);
        assert_eq!(checks(vec![sound()], |b| b.change_at = Some(1.1)), ["colour change"]);
        assert_eq!(checks(vec![bar([0.0; 3], [10.0, 0.7, 10.0])], |_| ()), ["wall"]);
        assert_eq!(checks(vec![bar([0.0; 3], [230.0, 10.0, 10.0])], |_| ()), ["bed"]);
        assert_eq!(checks(vec![sound(), bar([10.2, 0.0, 0.0], [20.0, 10.0, 10.0])], |_| ()), ["gap"]);
        let open = checks(vec![sound()], |b| {
            b.meshes[0].triangles.pop();
        });
        assert!(open.contains(&"closed") && open.contains(&"oriented"));
        let turned = checks(vec![sound()], |b| b.meshes[0].triangles.iter_mut().for_each(|t| t.swap(0, 1)));
        assert_eq!(turned[0], "oriented");
    }

    #[test]
    fn an_overhang_is_drawn_where_it_is() {
        let shelf = bar([0.0; 3], [5.0, 5.0, 10.0]).plus(&bar([0.0, 0.0, 8.0], [9.0, 5.0, 10.0])).unwrap();
        let (failures, drawings) = failures(vec![shelf], |_| ());
        assert_eq!(failures.iter().map(|f| f.check).collect::<Vec<_>>(), ["overhang"]);
        assert_eq!(failures[0].drawing.as_deref(), Some("failed/a-specimen-1.svg"));
        assert_eq!(drawings[0].0, "failed/a-specimen-1.svg");
        // The shelf's loose part is marked, and a ring stands round it.
        assert_eq!(drawings[0].1.matches("#D55E00").count(), 2);
    }
}
