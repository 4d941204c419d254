//! Pieces read and written back, and a drawing of one looked at: its mistakes,
//! its folds, the swings to each, its solid.

use std::path::Path;
use std::sync::{Arc, PoisonError};

use axum::Json;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use desk::folds::{Kind, Wants};
use lattice::{FoldSet, Pin, Pose};
use project::{PieceDraft, PieceRecord, Project};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use utoipa::ToSchema;

use crate::body::Body;
use crate::outlines::{Seen, tagged};
use crate::problem::Problem;
use crate::records::{PieceView, PiecesView};
use crate::shop::{SET_FILE, Shop, apart};

/// Folds that a page can show.
const MOST_FOLDS: usize = 20_000;

/// The pieces of the set, with the digest of its file as entity tag
#[utoipa::path(get, path = "/api/pieces", responses(
    (status = 200, body = PiecesView), (status = 422, body = Problem, content_type = "application/problem+json"),
))]
pub(crate) async fn pieces(State(shop): State<Arc<Shop>>) -> Result<Response, Problem> {
    apart(move || {
        let (project, digest) = shop.project_at(Path::new(SET_FILE))?;
        let view = view(&project, digest);
        Ok(tagged(StatusCode::OK, &view.digest, &view))
    })
    .await
}

fn view(project: &Project, digest: Option<String>) -> PiecesView {
    let pieces = project.drafts().iter().map(PieceView::of).collect();
    PiecesView { pieces, digest: digest.unwrap_or_default() }
}

/// The set as the pages' own core opens it: what `browser` reads
#[utoipa::path(get, path = "/api/core", responses(
    (status = 200, body = Object, content_type = "application/json"), (status = 422, body = Problem, content_type = "application/problem+json"),
))]
pub(crate) async fn core(State(shop): State<Arc<Shop>>) -> Result<Json<Value>, Problem> {
    apart(move || Ok(Json(shop.ways()?.core()?.clone()))).await
}

/// All pieces of a set as they are to be.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PiecesDraft {
    /// By name: those there are changed, others added, what is missing taken out.
    #[schema(max_items = 200)]
    pieces: Vec<PieceView>,
}

/// Write the pieces over those that the sender has seen (If-Match)
#[utoipa::path(put, path = "/api/pieces", request_body = PiecesDraft,
    params(
        ("If-Match" = String, Header, description = "The digest that was seen"),
        ("x-pinfold-token" = String, Header),
    ),
    responses(
        (status = 200, body = PiecesView), (status = 400, body = Problem, content_type = "application/problem+json"), (status = 403, body = Problem, content_type = "application/problem+json"),
        (status = 412, body = Problem, content_type = "application/problem+json", description = "The file is not what was seen; `current` has it"),
        (status = 413, body = Problem, content_type = "application/problem+json"), (status = 415, body = Problem, content_type = "application/problem+json"),
        (status = 422, body = Problem, content_type = "application/problem+json", description = "The result would be wrong"),
        (status = 428, body = Problem, content_type = "application/problem+json", description = "If-Match was not sent"),
    ))]
pub(crate) async fn put_pieces(
    State(shop): State<Arc<Shop>>,
    headers: HeaderMap,
    Body(draft): Body<PiecesDraft>,
) -> Result<Response, Problem> {
    let seen = Seen::of(&headers)?;
    apart(move || {
        let wanted: Vec<PieceDraft> = draft.pieces.iter().map(PieceView::draft).collect::<Result<_, _>>()?;
        let _one = shop.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let (mut project, digest) = shop.project_at(Path::new(SET_FILE))?;
        seen.check(digest.as_deref(), || json!(view(&project, digest.clone())))?;
        project.change_pieces(&wanted)?;
        let (project, digest) = shop.project_at(Path::new(SET_FILE))?;
        let view = view(&project, digest);
        Ok(tagged(StatusCode::OK, &view.digest, &view))
    })
    .await
}

/// A piece that is being drawn, and which of its folds to go to.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Look {
    /// The piece, sound or not.
    piece: PieceView,
    /// The fold whose way from home is wanted, by its number from 1.
    #[serde(default)]
    way: Option<usize>,
}

/// What is seen of a piece that is being drawn.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Seeing {
    /// Everything wrong with the drawing; then there is nothing else.
    faults: Vec<String>,
    /// What `folds --json --each` says of it.
    #[schema(value_type = Option<Object>)]
    folds: Option<Value>,
    /// The numbers of the folds that are no turns of earlier ones, nearest to home first.
    unlike: Vec<usize>,
    /// The way that was asked for: poses from home to the fold.
    way: Option<Vec<Stand>>,
}

/// One pose on a way.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Stand {
    /// The cell of each block.
    cells: Vec<[i32; 2]>,
    /// How many quarter turns anticlockwise each block is turned against home.
    turns: Vec<u8>,
    /// Whether the piece lies on its face.
    face_down: bool,
    /// Each hinge, `[x, y, level]`.
    pins: Vec<[i32; 3]>,
    /// The swing that led here; none at home.
    swing: Option<SwingView>,
}

/// One swing.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct SwingView {
    /// The hinge, by its position.
    hinge: usize,
    /// The blocks that turn.
    blocks: Vec<usize>,
    /// 1: a quarter turn anticlockwise, -1: clockwise.
    quarter: i8,
}

/// Look at a piece that is being drawn: mistakes, folds, the way to one of them
#[utoipa::path(post, path = "/api/pieces/look", request_body = Look,
    params(("x-pinfold-token" = String, Header)),
    responses(
        (status = 200, body = Seeing), (status = 400, body = Problem, content_type = "application/problem+json"), (status = 403, body = Problem, content_type = "application/problem+json"),
        (status = 413, body = Problem, content_type = "application/problem+json"), (status = 415, body = Problem, content_type = "application/problem+json"), (status = 422, body = Problem, content_type = "application/problem+json"),
    ))]
pub(crate) async fn look(
    State(shop): State<Arc<Shop>>,
    Body(look): Body<Look>,
) -> Result<Json<Seeing>, Problem> {
    apart(move || {
        let draft = look.piece.draft()?;
        let project = shop.project()?;
        let faults = faults(&draft, project.set.levels);
        if !faults.is_empty() {
            return Ok(Json(Seeing { faults, folds: None, unlike: Vec::new(), way: None }));
        }
        let project = with_piece(project, &draft)?;
        let plan = desk::rules::plan(&project)?;
        let levels = project.set.levels;
        let kind = Kind::of(&project, &project.pieces[0], &plan, None);
        if kind.folds().len() > MOST_FOLDS {
            let detail = format!("the piece has {} folds, too many for a page", kind.folds().len());
            return Err(Problem::unfit(detail));
        }
        let stand = |pose: &Pose, swing: Option<SwingView>| Stand {
            cells: pose.cells(kind.piece).iter().map(|c| [c.x, c.y]).collect(),
            turns: (0..kind.piece.blocks().len()).map(|b| pose.turn(kind.piece, b).quarters()).collect(),
            face_down: pose.motions().iter().any(|m| m.mirrored),
            pins: pose
                .pins(kind.piece, levels)
                .into_iter()
                .map(|Pin { at, level }| [at.x, at.y, i32::from(level.0)])
                .collect(),
            swing,
        };
        let way = match look.way {
            None => None,
            Some(n) if n == 0 || n > kind.folds().len() => return Err(Problem::none("fold", &n.to_string())),
            Some(n) => kind.reach.path(n - 1).map(|path| {
                let steps = path.steps.iter().map(|step| {
                    let quarter = if step.turn.quarters() == 1 { 1 } else { -1 };
                    let swing = SwingView { hinge: step.hinge, blocks: step.moving.clone(), quarter };
                    stand(&step.after, Some(swing))
                });
                std::iter::once(stand(&path.start, None)).chain(steps).collect()
            }),
        };
        let unlike = kind.unlike(levels).into_iter().map(|f| f + 1).collect();
        let folds = Some(kind.json(Wants { way: false, each: true }));
        Ok(Json(Seeing { faults, folds, unlike, way }))
    })
    .await
}

/// Everything wrong with a drawing, as sentences.
fn faults(draft: &PieceDraft, levels: u8) -> Vec<String> {
    const PARTS: usize = 256;
    if draft.blocks.len() > PARTS || draft.hinges.len() > PARTS {
        return vec![format!("a piece has at most {PARTS} blocks and {PARTS} hinges")];
    }
    let drawn = lattice::Piece::faults(&draft.blocks, &draft.hinges, draft.rigid);
    let mut all: Vec<String> = drawn.iter().map(ToString::to_string).collect();
    all.extend(draft.hinges.iter().enumerate().filter(|(_, h)| h.level.0 >= levels).map(|(n, h)| {
        format!("hinge {n} is on level {}, but the set has levels 0 to {}", h.level.0, levels - 1)
    }));
    all
}

/// The project with one piece alone, which is sound.
pub(crate) fn with_piece(mut project: Project, draft: &PieceDraft) -> Result<Project, Problem> {
    let (blocks, hinges) = (draft.blocks.clone(), draft.hinges.clone());
    let made =
        if draft.rigid { lattice::Piece::rigid(blocks) } else { lattice::Piece::hinged(blocks, hinges) };
    let piece = made.map_err(|faults| {
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        Problem::unfit(told.join("; "))
    })?;
    if !FoldSet::can_list(&piece) {
        let most = FoldSet::MOST_FREE_HINGES;
        return Err(Problem::unfit(format!(
            "the piece has too many folds to list: give it at most {most} hinges"
        )));
    }
    project.set.pieces = vec![piece];
    project.pieces = vec![PieceRecord { name: draft.name.clone(), colour: draft.colour, set: 0..1 }];
    Ok(project)
}
