//! What a request carries, read so that what is wrong with it is told as a
//! [`Problem`] like everything else.

use axum::Json;
use axum::extract::rejection::{JsonRejection, PathRejection};
use axum::extract::{FromRequest, FromRequestParts};

use crate::problem::Problem;

/// A JSON body.
#[derive(FromRequest)]
#[from_request(via(Json), rejection(Problem))]
pub(crate) struct Body<T>(pub(crate) T);

/// Parts of the path.
#[derive(FromRequestParts)]
#[from_request(via(axum::extract::Path), rejection(Problem))]
pub(crate) struct Path<T>(pub(crate) T);

impl From<JsonRejection> for Problem {
    fn from(rejection: JsonRejection) -> Self {
        Problem::new(rejection.status(), rejection.body_text())
    }
}

impl From<PathRejection> for Problem {
    fn from(rejection: PathRejection) -> Self {
        Problem::new(rejection.status(), rejection.body_text())
    }
}
