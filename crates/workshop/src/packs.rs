//! The order of a pack written back: only over the version of `pinfold.toml` that
//! its sender has seen.

use std::sync::{Arc, PoisonError};

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::Response;
use serde::Deserialize;
use serde_json::json;
use utoipa::ToSchema;

use crate::body::{Body, Path};
use crate::outlines::{Seen, tagged};
use crate::problem::Problem;
use crate::records::PackView;
use crate::shop::{SET_FILE, Shop, apart};

/// The order that a pack is to have.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PackDraft {
    /// Each of its outlines once.
    #[schema(max_items = 1000)]
    outlines: Vec<String>,
}

/// Put the outlines of a pack in another order, in the file that the sender has seen (If-Match)
#[utoipa::path(put, path = "/api/packs/{name}", request_body = PackDraft,
    params(
        ("name" = String, Path),
        ("If-Match" = String, Header, description = "The digest of `pinfold.toml` that was seen"),
        ("x-pinfold-token" = String, Header),
    ),
    responses(
        (status = 200, body = PackView), (status = 400, body = Problem, content_type = "application/problem+json"), (status = 403, body = Problem, content_type = "application/problem+json"), (status = 404, body = Problem, content_type = "application/problem+json"),
        (status = 412, body = Problem, content_type = "application/problem+json", description = "The file is not what was seen; `current` has the pack as it is"),
        (status = 413, body = Problem, content_type = "application/problem+json"), (status = 415, body = Problem, content_type = "application/problem+json"),
        (status = 422, body = Problem, content_type = "application/problem+json", description = "It is no order of the pack's outlines"),
        (status = 428, body = Problem, content_type = "application/problem+json", description = "If-Match was not sent"),
    ))]
pub(crate) async fn put_pack(
    State(shop): State<Arc<Shop>>,
    Path(name): Path<String>,
    headers: HeaderMap,
    Body(draft): Body<PackDraft>,
) -> Result<Response, Problem> {
    let seen = Seen::of(&headers)?;
    apart(move || {
        let file = std::path::Path::new(SET_FILE);
        let _one = shop.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let (mut project, digest) = shop.project_at(file)?;
        let pack = |project: &project::Project| {
            let pack = project.packs.iter().find(|p| p.name == name);
            pack.map(PackView::of).ok_or_else(|| Problem::none("pack", &name))
        };
        let there = pack(&project)?;
        seen.check(digest.as_deref(), || json!(there))?;
        project.order_pack(&name, &draft.outlines)?;
        let (project, digest) = shop.project_at(file)?;
        Ok(tagged(StatusCode::OK, &digest.unwrap_or_default(), &pack(&project)?))
    })
    .await
}
