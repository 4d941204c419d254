//! What `make` made, for a person's page and as JSON: every measured number of
//! every part.

use std::path::Path;

use num_bigint::BigUint;
use project::Project;
use serde_json::{Map, Value, json};
use solid::{Bed, Kind, Made, Part, Request, WayUp, WithoutPocket, sha256};

use crate::disk::{CAUTIONS, paragraphs};
use crate::layouts::{number, vertex_json};

/// What was measured on one outline.
pub struct Proved {
    /// The outline.
    pub name: String,
    /// Layouts found.
    pub layouts: BigUint,
    /// Whether these are all.
    pub complete: bool,
    /// Layouts set into the plate.
    pub tried: usize,
    /// Those of them that touched nothing.
    pub clear: usize,
    /// Least gap between bodies in mm; none where nothing was tried.
    pub between_bodies: Option<f64>,
    /// Least gap to the plate in mm.
    pub to_plate: Option<f64>,
    /// The least gap that is allowed, in mm.
    pub limit: Option<f64>,
    /// What happens without each pocket.
    pub without: Vec<WithoutPocket>,
}

impl Proved {
    /// Whether there was something to prove and it held: no layout touches, and
    /// every pocket is needed by the solids as by the lattice.
    pub fn is_proof(&self) -> bool {
        self.tried > 0 && self.clear == self.tried && self.without.iter().all(|w| w.collides)
    }

    /// Pockets without which a knuckle collides.
    pub fn collisions(&self) -> usize {
        self.without.iter().filter(|w| w.collides).count()
    }
}

/// Parts that were asked for, and what came of it.
pub struct Asked<'a> {
    /// The project.
    pub project: &'a Project,
    /// What was asked of the solids.
    pub request: &'a Request,
    /// What came of it.
    pub made: &'a Made,
    /// Layouts set into plates, if that was asked.
    pub proved: Option<&'a [Proved]>,
    /// The folder that the files go into.
    pub out: &'a Path,
}

impl Asked<'_> {
    /// Whether every part passed and everything asked was proved.
    pub fn passed(&self) -> bool {
        let failed = self.made.parts.iter().any(|part| !part.failures.is_empty());
        let unproved = self.proved.iter().copied().flatten().any(|p| !p.is_proof());
        !failed && !unproved
    }

    /// The sum of something over the parts that were written.
    pub fn total(&self, of: impl Fn(&Part) -> f64) -> f64 {
        self.made.parts.iter().filter(|part| part.file.is_some()).map(of).sum()
    }

    /// The cautions that go with the parts, a paragraph each.
    pub fn cautions(&self) -> Vec<String> {
        let file = self.made.files.iter().find(|file| file.name == CAUTIONS);
        let text = file.map(|file| String::from_utf8_lossy(&file.bytes).into_owned()).unwrap_or_default();
        // The first paragraph is the heading.
        paragraphs(&text).skip(1).map(str::to_owned).collect()
    }

    /// The answer as JSON.
    pub fn json(&self) -> Value {
        let (request, made) = (self.request, self.made);
        let sizes = &request.sizes;
        json!({
            "title": self.project.title,
            "out": self.out.display().to_string(),
            "passed": self.passed(),
            "levels": request.set.levels,
            "sizes": {
                "pitch": sizes.pitch,
                "height": sizes.height,
                "gap": sizes.gap,
                "knuckle": sizes.knuckle,
                "clearance": sizes.clearance,
                "chamfer": sizes.chamfer,
                "layer": sizes.layer,
                "first_layer": sizes.first_layer,
                "nozzle": sizes.nozzle,
                "chord_error": sizes.chord_error,
                "mark_depth": sizes.mark_depth,
                "fit": sizes.fit,
                "wall_lines": sizes.wall_lines,
                "base": sizes.base,
                "groove": sizes.groove,
                "seat": sizes.seat,
                "kerf": sizes.kerf,
            },
            "printer": {
                "bed": request.printer.bed,
                "spacing": request.printer.spacing,
                "filament_diameter": request.printer.filament,
                "density": request.printer.density,
            },
            "board": [request.board.width, request.board.height],
            "parts": made.parts.iter().map(|part| self.part(part)).collect::<Vec<_>>(),
            "beds": made.beds.iter().map(|bed| self.bed(bed)).collect::<Vec<_>>(),
            "proofs": self.proved.map(|all| all.iter().map(proved).collect::<Vec<_>>()),
            "minutes": self.total(|p| p.estimate.minutes),
            "metres": self.total(|p| p.estimate.metres),
            "grams": self.total(|p| p.estimate.grams),
            "cautions": self.cautions(),
            "files": made
                .files
                .iter()
                .map(|f| json!({ "file": f.name, "bytes": f.bytes.len(), "sha256": sha256(&f.bytes) }))
                .collect::<Vec<_>>(),
        })
    }

    fn part(&self, part: &Part) -> Value {
        let mut object = Map::new();
        let mut put = |key: &str, value: Value| object.insert(key.to_owned(), value);
        put("name", json!(part.name));
        put("kind", json!(kind(part.kind)));
        put("file", json!(part.file));
        put("bodies", json!(part.bodies));
        put("volume_mm3", json!(part.volume_mm3));
        put("closed_form_mm3", json!(part.closed_form_mm3));
        put("min_gap_mm", json!(part.min_gap_mm));
        put("least_wall_mm", json!(part.least_wall.map(|w| w.thickness)));
        put("closed", json!(part.closed));
        put("oriented", json!(part.oriented));
        put("triangles", json!(part.triangles));
        put("size_mm", json!(part.size));
        put("down", json!(if part.way_up == WayUp::FaceDown { "face" } else { "foot" }));
        let overhangs = part.overhangs.unsupported.iter().map(
            |o| json!({ "body": o.body, "layer": o.layer, "z_mm": o.z, "area_mm2": o.area, "at": o.at }),
        );
        put("overhangs", overhangs.collect());
        put("bridged_mm2", json!(part.overhangs.bridged));
        put("over_release_mm2", json!(part.overhangs.over_release));
        put("posts", json!(part.posts));
        put("hinges", self.hinges(part));
        put("fits_bed", json!(part.fits_bed));
        put("minutes", json!(part.estimate.minutes));
        put("metres", json!(part.estimate.metres));
        put("grams", json!(part.estimate.grams));
        put("filament_mm3", json!(part.estimate.filament_mm3));
        put("layers", json!(part.estimate.layers));
        let changes = part.colour_changes.iter();
        put("colour_changes", changes.map(|c| json!({ "z_mm": c.height, "layer": c.layer })).collect());
        put("small_part", json!(part.small_part));
        if part.kind == Kind::Plate {
            put("lugs", json!(part.lugs));
            put("strips", json!(part.strips));
            put("places", json!(part.places));
        }
        let failures = part
            .failures
            .iter()
            .map(|f| json!({ "check": f.check, "message": f.sentence, "at": f.at, "drawing": f.drawing }));
        put("failures", failures.collect());
        Value::Object(object)
    }

    /// The hinges of a piece as drawn, each with its gaps at every 5° and its play.
    fn hinges(&self, part: &Part) -> Value {
        let position = self.request.pieces.iter().position(|p| p.name == part.name);
        let piece = position.filter(|_| part.kind == Kind::Piece).map(|p| &self.request.set.pieces[p]);
        let each = part.hinge_gaps.iter().zip(&part.captures).map(|(gaps, play)| {
            let (least, at) = gaps.least();
            let mut object = Map::new();
            object.insert("hinge".into(), json!(gaps.hinge));
            if let Some(piece) = piece {
                let hinge = &piece.hinges()[gaps.hinge];
                let [leaf, eye] = hinge.joins.map(|b| piece.blocks()[b]);
                object.insert("pin".into(), vertex_json(hinge.pin));
                object.insert("level".into(), json!(hinge.level.0));
                object.insert("leaf".into(), json!([leaf.x, leaf.y]));
                object.insert("eye".into(), json!([eye.x, eye.y]));
            }
            object.insert("least_gap_mm".into(), json!(least));
            object.insert("least_at_degrees".into(), json!(at));
            object.insert("gaps_mm".into(), json!(gaps.at));
            object.insert("play_up_mm".into(), json!(play.up));
            object.insert("play_down_mm".into(), json!(play.down));
            object.insert("play_across_mm".into(), json!(play.across));
            Value::Object(object)
        });
        each.collect()
    }

    fn bed(&self, bed: &Bed) -> Value {
        let parts = bed
            .parts
            .iter()
            .map(|on| json!({ "part": self.made.parts[on.part].name, "at": on.at, "turned": on.turned }));
        json!({
            "file": bed.file,
            "parts": parts.collect::<Vec<_>>(),
            "minutes": bed.minutes,
            "grams": bed.grams,
        })
    }
}

fn proved(proved: &Proved) -> Value {
    let without = proved.without.iter();
    json!({
        "outline": proved.name,
        "proof": proved.is_proof(),
        "layouts": number(&proved.layouts),
        "complete": proved.complete,
        "tried": proved.tried,
        "clear": proved.clear,
        "between_bodies_mm": proved.between_bodies,
        "to_plate_mm": proved.to_plate,
        "limit_mm": proved.limit,
        "without_pockets": without
            .map(|w| json!({ "pocket": vertex_json(w.pocket), "collides": w.collides }))
            .collect::<Vec<_>>(),
    })
}

/// The word for a kind of part.
pub fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Piece => "piece",
        Kind::Board => "board",
        Kind::Plate => "plate",
        Kind::Coupon => "coupon",
    }
}
