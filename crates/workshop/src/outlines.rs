//! Outlines read and written back, with the digest of the file as entity tag:
//! a change is made only on what its sender has seen.

use std::path::PathBuf;
use std::sync::{Arc, PoisonError};

use axum::Json;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use project::{NewOutline, OutlineChange, stem_is_good};
use serde::Deserialize;
use serde_json::json;
use utoipa::ToSchema;

use crate::body::{Body, Path};
use crate::problem::Problem;
use crate::records::{Opening, OutlineView, ProjectView};
use crate::shop::{SET_FILE, Shop, apart};

/// What an outline is to be.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct OutlineDraft {
    /// What it is called in print.
    #[schema(max_length = 120)]
    title: String,
    /// Cells, pockets, spare.
    opening: Opening,
}

pub(crate) fn file_of(name: &str) -> PathBuf {
    PathBuf::from("outlines").join(format!("{name}.toml"))
}

/// A digest as an entity tag.
pub(crate) fn tag(digest: &str) -> HeaderValue {
    HeaderValue::from_str(&format!("\"{digest}\"")).expect("a digest is plain text")
}

pub(crate) fn tagged<T: serde::Serialize>(status: StatusCode, digest: &str, view: &T) -> Response {
    (status, [(header::ETAG, tag(digest))], Json(view)).into_response()
}

/// The project in brief, with every outline and piece
#[utoipa::path(get, path = "/api/project", responses(
    (status = 200, body = ProjectView), (status = 422, body = Problem, content_type = "application/problem+json", description = "The project has mistakes"),
))]
pub(crate) async fn project(State(shop): State<Arc<Shop>>) -> Result<Json<ProjectView>, Problem> {
    apart(move || {
        let (project, set) = shop.project_at(std::path::Path::new(SET_FILE))?;
        let digest = |name: &str| shop.digest(&file_of(name)).unwrap_or_default();
        Ok(Json(ProjectView::of(&project, set.unwrap_or_default(), digest)))
    })
    .await
}

/// One outline, with its digest as entity tag
#[utoipa::path(get, path = "/api/outlines/{name}", params(("name" = String, Path)), responses(
    (status = 200, body = OutlineView), (status = 404, body = Problem, content_type = "application/problem+json"), (status = 422, body = Problem, content_type = "application/problem+json"),
))]
pub(crate) async fn outline(
    State(shop): State<Arc<Shop>>,
    Path(name): Path<String>,
) -> Result<Response, Problem> {
    apart(move || {
        let view = view(&shop, &name)?;
        Ok(tagged(StatusCode::OK, &view.digest, &view))
    })
    .await
}

fn view(shop: &Shop, name: &str) -> Result<OutlineView, Problem> {
    if !stem_is_good(name) {
        return Err(Problem::none("outline", name));
    }
    let (project, digest) = shop.project_at(&file_of(name))?;
    let record = project.outline(name).ok_or_else(|| Problem::none("outline", name))?;
    Ok(OutlineView::of(record, digest.unwrap_or_default()))
}

/// Write an outline: over the one that its sender has seen (If-Match), or a new one (If-None-Match: *)
#[utoipa::path(put, path = "/api/outlines/{name}", request_body = OutlineDraft,
    params(
        ("name" = String, Path),
        ("If-Match" = Option<String>, Header, description = "The digest that was seen"),
        ("If-None-Match" = Option<String>, Header, description = "`*`: only if there is none yet"),
        ("x-pinfold-token" = String, Header),
    ),
    responses(
        (status = 200, body = OutlineView), (status = 201, body = OutlineView),
        (status = 400, body = Problem, content_type = "application/problem+json"), (status = 403, body = Problem, content_type = "application/problem+json"), (status = 404, body = Problem, content_type = "application/problem+json"),
        (status = 412, body = Problem, content_type = "application/problem+json", description = "The file is not what was seen; `current` has it"),
        (status = 413, body = Problem, content_type = "application/problem+json"), (status = 415, body = Problem, content_type = "application/problem+json"),
        (status = 422, body = Problem, content_type = "application/problem+json", description = "The result would be wrong"),
        (status = 428, body = Problem, content_type = "application/problem+json", description = "Neither header was sent"),
    ))]
pub(crate) async fn put_outline(
    State(shop): State<Arc<Shop>>,
    Path(name): Path<String>,
    headers: HeaderMap,
    Body(draft): Body<OutlineDraft>,
) -> Result<Response, Problem> {
    let seen = Seen::of(&headers)?;
    apart(move || {
        let outline = draft.opening.outline()?;
        if !stem_is_good(&name) {
            return Err(Problem::none("outline", &name));
        }
        let _one = shop.writing.lock().unwrap_or_else(PoisonError::into_inner);
        let (mut project, digest) = shop.project_at(&file_of(&name))?;
        seen.check(digest.as_deref(), || match project.outline(&name) {
            Some(record) => json!(OutlineView::of(record, digest.clone().unwrap_or_default())),
            None => json!(null),
        })?;
        let status = if digest.is_some() { StatusCode::OK } else { StatusCode::CREATED };
        if digest.is_some() {
            let change = OutlineChange {
                title: Some(draft.title),
                outline: Some(outline),
                ..OutlineChange::default()
            };
            project.change_outline(&name, &change)?;
        } else {
            let new = NewOutline {
                name: name.clone(),
                title: draft.title,
                number: None,
                note: None,
                outline,
                comment: Vec::new(),
            };
            project.add_outline(&new, false)?;
        }
        let view = view(&shop, &name)?;
        Ok(tagged(status, &view.digest, &view))
    })
    .await
}

/// What the sender of a change says to have seen.
pub(crate) enum Seen {
    Nothing,
    Digest(Vec<String>),
}

impl Seen {
    pub(crate) fn of(headers: &HeaderMap) -> Result<Self, Problem> {
        let text = |name| headers.get(name).map(|v: &HeaderValue| v.to_str().unwrap_or_default());
        match (text(header::IF_MATCH), text(header::IF_NONE_MATCH)) {
            (Some(tags), _) => {
                Ok(Seen::Digest(tags.split(',').map(|t| t.trim().trim_matches('"').to_owned()).collect()))
            }
            (None, Some("*")) => Ok(Seen::Nothing),
            _ => {
                let problem = Problem::new(
                    StatusCode::PRECONDITION_REQUIRED,
                    "the request does not say which version it changes",
                );
                Err(problem.mend("send If-Match with the entity tag that was read, or If-None-Match: *"))
            }
        }
    }

    pub(crate) fn check(
        &self,
        digest: Option<&str>,
        current: impl FnOnce() -> serde_json::Value,
    ) -> Result<(), Problem> {
        let same = match (self, digest) {
            (Seen::Nothing, None) => true,
            (Seen::Digest(seen), Some(digest)) => seen.iter().any(|s| s == digest),
            _ => false,
        };
        if same {
            return Ok(());
        }
        let problem = Problem::new(StatusCode::PRECONDITION_FAILED, "the file has changed since it was read");
        Err(problem.mend("look at both versions, and send the one to keep").current(current()))
    }
}
