//! Errors as the pages get them: problem details (RFC 9457), with every mistake
//! of the project at its place.

use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use desk::Failure;
use project::WriteError;
use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

/// Why a request was not done.
#[derive(Debug, Serialize, ToSchema)]
pub(crate) struct Problem {
    /// Always `about:blank`: the status says what kind of problem it is.
    #[serde(rename = "type")]
    kind: &'static str,
    /// What the status means.
    title: &'static str,
    /// The status.
    status: u16,
    /// What is wrong here, in one sentence.
    detail: String,
    /// What would be right.
    #[serde(skip_serializing_if = "Option::is_none")]
    mend: Option<String>,
    /// Each mistake with its file, line, column, message and mend.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<Object>>)]
    errors: Option<Box<Value>>,
    /// What is on the disk, where that is not what the request thought.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    current: Option<Box<Value>>,
}

impl Problem {
    pub(crate) fn new(status: StatusCode, detail: impl Into<String>) -> Self {
        let title = status.canonical_reason().unwrap_or("Problem");
        let (mend, errors, current) = (None, None, None);
        Problem {
            kind: "about:blank",
            title,
            status: status.as_u16(),
            detail: detail.into(),
            mend,
            errors,
            current,
        }
    }

    pub(crate) fn mend(mut self, mend: impl Into<String>) -> Self {
        self.mend = Some(mend.into());
        self
    }

    pub(crate) fn errors(mut self, errors: Value) -> Self {
        self.errors = Some(Box::new(errors));
        self
    }

    pub(crate) fn current(mut self, current: Value) -> Self {
        self.current = Some(Box::new(current));
        self
    }

    /// The status, at least that of a server's own mistake.
    pub(crate) fn status(&self) -> StatusCode {
        StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
    }

    /// There is nothing of that name.
    pub(crate) fn none(what: &str, name: &str) -> Self {
        Problem::new(StatusCode::NOT_FOUND, format!("there is no {what} {name:?}"))
    }

    /// What came is understood but cannot be.
    pub(crate) fn unfit(detail: impl Into<String>) -> Self {
        Problem::new(StatusCode::UNPROCESSABLE_ENTITY, detail)
    }
}

impl From<Failure> for Problem {
    fn from(failure: Failure) -> Self {
        let errors = failure.errors();
        let problem = match failure {
            Failure::Mistakes(report) => {
                let count = desk::counted(report.mistakes().len(), "mistake");
                Problem::unfit(format!("the project has {count}"))
            }
            Failure::Plain { message, mend } => Problem::unfit(message).mend(mend),
        };
        Problem { errors: Some(Box::new(errors)), ..problem }
    }
}

impl From<project::Report> for Problem {
    fn from(report: project::Report) -> Self {
        Failure::Mistakes(report).into()
    }
}

impl From<WriteError> for Problem {
    fn from(error: WriteError) -> Self {
        match error {
            WriteError::Mistakes(report) | WriteError::WouldBeWrong(report) => {
                let errors = Failure::Mistakes(report).errors();
                let problem =
                    Problem::unfit("nothing was written, for the project has or would have mistakes");
                Problem { errors: Some(Box::new(errors)), ..problem }
            }
            WriteError::NoOutline(name) => Problem::none("outline", &name),
            WriteError::NoPack(name) => Problem::none("pack", &name),
            WriteError::NoOrder(_) => Problem::unfit(error.to_string()),
            WriteError::ChangedSince(_) | WriteError::Exists(_) => {
                Problem::new(StatusCode::PRECONDITION_FAILED, error.to_string())
            }
            WriteError::Disk { .. } => Problem::new(StatusCode::INTERNAL_SERVER_ERROR, error.to_string()),
        }
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let mut response = (self.status(), Json(self)).into_response();
        let kind = HeaderValue::from_static("application/problem+json");
        response.headers_mut().insert(header::CONTENT_TYPE, kind);
        response
    }
}
