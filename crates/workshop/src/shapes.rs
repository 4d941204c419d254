//! Solids for the screen: meshes of any part, and where a piece's hinges turn.

use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use desk::parts::{self, Parts, Wants};
use lattice::Piece;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::body::{Body, Path};
use crate::pieces::with_piece;
use crate::problem::Problem;
use crate::records::PieceView;
use crate::shop::{Shop, apart};

/// What there is to make.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct PartsView {
    /// Names of pieces.
    pieces: Vec<String>,
    /// Names of outlines: each has a plate.
    plates: Vec<String>,
    /// Parts that every project has.
    fixed: Vec<String>,
}

/// The parts of the project by name
#[utoipa::path(get, path = "/api/parts", responses(
    (status = 200, body = PartsView), (status = 422, body = Problem, content_type = "application/problem+json"),
))]
pub(crate) async fn names(State(shop): State<Arc<Shop>>) -> Result<Json<PartsView>, Problem> {
    apart(move || {
        let project = shop.project()?;
        Ok(Json(PartsView {
            pieces: project.pieces.iter().map(|p| p.name.clone()).collect(),
            plates: project.outlines.iter().map(|o| o.name.clone()).collect(),
            fixed: ["board", "coupon"].map(str::to_owned).to_vec(),
        }))
    })
    .await
}

/// A part as a screen shows it, in millimetres.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct SolidView {
    /// Its name.
    name: String,
    /// Its bodies.
    bodies: Vec<BodyView>,
    /// The hinges that one side of can turn; none but for pieces.
    hinges: Vec<TurnView>,
}

/// One body.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct BodyView {
    /// Its colour.
    colour: String,
    /// Three coordinates a point.
    points: Vec<f32>,
    /// Three positions of points a triangle, anticlockwise from outside.
    triangles: Vec<u32>,
}

/// A hinge that turns.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct TurnView {
    /// Its position among the piece's hinges.
    hinge: usize,
    /// Where its pin stands, in millimetres.
    pin: [f64; 2],
    /// The bodies on its far side.
    moving: Vec<usize>,
    /// Degrees that the far side can turn from home, clockwise (not above 0) and
    /// anticlockwise, as its hinge alone allows.
    range: [i32; 2],
}

/// The solid of a part, built to be looked at
#[utoipa::path(get, path = "/api/parts/{name}/solid", params(("name" = String, Path)), responses(
    (status = 200, body = SolidView), (status = 404, body = Problem, content_type = "application/problem+json"), (status = 422, body = Problem, content_type = "application/problem+json"),
))]
pub(crate) async fn solid(
    State(shop): State<Arc<Shop>>,
    Path(name): Path<String>,
) -> Result<Json<SolidView>, Problem> {
    apart(move || {
        let project = shop.project()?;
        let known = ["board", "coupon"].contains(&name.as_str())
            || project.pieces.iter().any(|p| p.name == name)
            || project.outline(&name).is_some();
        if !known {
            return Err(Problem::none("part", &name));
        }
        let wanted = Parts::called(&project, std::slice::from_ref(&name))?;
        show(&project, &wanted)
    })
    .await
}

/// A drawing of a piece.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Drawn {
    piece: PieceView,
}

/// The solid of a piece that is being drawn
#[utoipa::path(post, path = "/api/pieces/solid", request_body = Drawn,
    params(("x-pinfold-token" = String, Header)),
    responses(
        (status = 200, body = SolidView), (status = 400, body = Problem, content_type = "application/problem+json"), (status = 403, body = Problem, content_type = "application/problem+json"),
        (status = 413, body = Problem, content_type = "application/problem+json"), (status = 415, body = Problem, content_type = "application/problem+json"), (status = 422, body = Problem, content_type = "application/problem+json"),
    ))]
pub(crate) async fn drawn_solid(
    State(shop): State<Arc<Shop>>,
    Body(drawn): Body<Drawn>,
) -> Result<Json<SolidView>, Problem> {
    apart(move || {
        let draft = drawn.piece.draft()?;
        let mut project = with_piece(shop.project()?, &draft)?;
        project.outlines.clear();
        let mut wanted = Parts::called(&project, &[])?;
        (wanted.board, wanted.coupon, wanted.backing) = (false, false, false);
        show(&project, &wanted)
    })
    .await
}

fn show(project: &project::Project, wanted: &Parts) -> Result<Json<SolidView>, Problem> {
    let mut request = parts::request(project, wanted, Wants::default(), &[]);
    request.beds = false;
    let shown = solid::show(&request).map_err(|errors| parts::refused(project, &errors))?;
    let part = shown.into_iter().next().ok_or_else(|| Problem::none("part", ""))?;
    let piece = request.set.pieces.first().filter(|_| part.kind == solid::Kind::Piece);
    let hinges = piece.map_or_else(Vec::new, |piece| turns(piece, request.sizes.pitch));
    let bodies = part.meshes.iter().zip(&part.colours).map(|(mesh, colour)| BodyView {
        colour: colour.clone(),
        points: mesh.points.iter().flatten().map(|&v| v as f32).collect(),
        triangles: mesh.triangles.iter().flatten().copied().collect(),
    });
    Ok(Json(SolidView { name: part.name, bodies: bodies.collect(), hinges }))
}

/// The hinges whose piece falls in two without them.
fn turns(piece: &Piece, pitch: f64) -> Vec<TurnView> {
    let mut all = Vec::new();
    for (h, hinge) in piece.hinges().iter().enumerate() {
        let [from, to] = hinge.joins.map(|b| piece.body_of(b));
        let mut far = vec![to];
        let mut next = 0;
        while next < far.len() {
            let body = far[next];
            next += 1;
            for (_, other) in piece.hinges().iter().enumerate().filter(|(o, _)| *o != h) {
                let [a, b] = other.joins.map(|b| piece.body_of(b));
                for (here, there) in [(a, b), (b, a)] {
                    if here == body && !far.contains(&there) {
                        far.push(there);
                    }
                }
            }
        }
        if far.contains(&from) {
            continue;
        }
        far.sort_unstable();
        // With its partner in one quadrant of the vertex, a block goes through the three others.
        let quadrant = |b: usize| {
            let (cell, at) = (piece.blocks()[b], hinge.pin);
            at.quadrants().iter().position(|c| *c == cell).unwrap_or(0) as i32
        };
        let turned = (quadrant(hinge.joins[1]) - quadrant(hinge.joins[0])).rem_euclid(4);
        all.push(TurnView {
            hinge: h,
            pin: [f64::from(hinge.pin.x) * pitch, f64::from(hinge.pin.y) * pitch],
            moving: far,
            range: [-90 * (turned - 1), 90 * (3 - turned)],
        });
    }
    all
}
