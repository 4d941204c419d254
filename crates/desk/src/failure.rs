//! Why a question about a project has no answer, for people and as JSON.

use std::fmt::Display;

use paper::PaperError;
use project::{Mistake, Report};
use serde_json::{Map, Value, json};

/// Why there is no answer: the input or the call is wrong.
#[derive(Debug)]
pub enum Failure {
    /// The project has mistakes.
    Mistakes(Report),
    /// Something else is wrong, and what would be right.
    Plain {
        /// What is wrong, in one sentence without a full stop.
        message: String,
        /// What would be right.
        mend: String,
    },
}

impl Failure {
    /// What is wrong, and what would be right.
    pub fn plain(message: impl Display, mend: impl Display) -> Self {
        Failure::Plain { message: message.to_string(), mend: mend.to_string() }
    }

    /// Every mistake as an object with file, line, column, message and mend.
    pub fn errors(&self) -> Value {
        match self {
            Failure::Mistakes(report) => report.mistakes().iter().map(error).collect(),
            Failure::Plain { message, mend } => {
                json!([{ "file": null, "line": null, "column": null, "message": message, "mend": mend }])
            }
        }
    }
}

impl From<Report> for Failure {
    fn from(report: Report) -> Self {
        Failure::Mistakes(report)
    }
}

impl From<PaperError> for Failure {
    fn from(error: PaperError) -> Self {
        let mend = match error {
            PaperError::TooManyPixels { .. } => "ask for it as SVG, which has no pixels",
            _ => "leave the picture out, and tell the makers of this program",
        };
        Failure::plain(format_args!("no picture was drawn: {error}"), mend)
    }
}

fn error(mistake: &Mistake) -> Value {
    let mut object = Map::new();
    let place = mistake.place.as_ref();
    object.insert("file".into(), json!(mistake.file));
    object.insert("line".into(), json!(place.map(|p| p.line)));
    object.insert("column".into(), json!(place.map(|p| p.column)));
    object.insert("width".into(), json!(place.map(|p| p.width)));
    object.insert("message".into(), json!(mistake.message()));
    object.insert("mend".into(), json!(mistake.mend()));
    Value::Object(object)
}
