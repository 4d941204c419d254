//! What a command answers or why it cannot, told to a person or as JSON.

use std::io::{self, ErrorKind, Write};

pub(crate) use desk::{Failure, counted};
use project::Report;
use serde_json::{Value, json};

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Status {
    /// Done.
    Done = 0,
    /// The answer is a plain no.
    No = 1,
    /// The input or the call is wrong.
    Wrong = 2,
}

/// What a command found: the same for a program and for a person.
#[derive(Debug)]
pub(crate) struct Answer {
    status: Status,
    json: Value,
    text: String,
    on_one_line: bool,
}

impl Answer {
    /// An answer of which only what will be told is made: large ones take long.
    pub(crate) fn made(
        status: Status,
        as_json: bool,
        json: impl FnOnce() -> Result<Value, Failure>,
        text: impl FnOnce() -> Result<String, Failure>,
    ) -> Result<Self, Failure> {
        let (json, text) = if as_json { (json()?, String::new()) } else { (Value::Null, text()?) };
        Ok(Answer { status, json, text, on_one_line: false })
    }

    /// An answer to a call that is done. `json` is an object; `text` is what a
    /// person reads, with or without an end to its last line.
    pub(crate) fn done(json: Value, text: impl Into<String>) -> Self {
        Answer { status: Status::Done, json, text: text.into(), on_one_line: false }
    }

    /// The answer "no", as [`Answer::done`].
    pub(crate) fn no(json: Value, text: impl Into<String>) -> Self {
        Answer { status: Status::No, json, text: text.into(), on_one_line: false }
    }

    /// The answer as the last of JSON Lines: its object on one.
    pub(crate) fn on_one_line(self) -> Self {
        Answer { on_one_line: true, ..self }
    }

    pub(crate) fn tell(&self, as_json: bool) -> Status {
        let text = match (as_json, self.on_one_line) {
            (false, _) => self.text.clone(),
            (true, false) => pretty(&self.json),
            (true, true) => self.json.to_string(),
        };
        put(&mut io::stdout().lock(), &text).unwrap_or(self.status)
    }
}

/// A call that the command line does not understand.
pub(crate) fn of_call(wrong: &clap::Error) -> Failure {
    let text = wrong.render().to_string();
    let mut lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    let message = lines.next().unwrap_or("the call is wrong").trim_start_matches("error: ").to_owned();
    Failure::Plain { message, mend: lines.collect::<Vec<_>>().join("; ") }
}

/// Tells why there is no answer.
pub(crate) fn tell_failure(failure: &Failure, as_json: bool) -> Status {
    if as_json {
        let object = json!({ "errors": failure.errors() });
        return put(&mut io::stdout().lock(), &pretty(&object)).unwrap_or(Status::Wrong);
    }
    let text = match failure {
        Failure::Mistakes(report) => format!("{}\n\n{}", report.page(true), count(report)),
        Failure::Plain { message, mend } => format!("error: {message}\n  = mend: {mend}"),
    };
    // Takes the colours out again where nobody can see them.
    put(&mut anstream::stderr().lock(), &text).unwrap_or(Status::Wrong)
}

fn count(report: &Report) -> String {
    let mut files: Vec<&str> = report.mistakes().iter().map(|m| m.file.as_str()).collect();
    files.dedup();
    format!("{} in {}.", counted(report.mistakes().len(), "mistake"), counted(files.len(), "file"))
}

/// Says something before the command is done: one JSON object where `json` is
/// one, else the text.
pub(crate) fn say(json: &Value, text: &str) {
    let text = if json.is_null() { text.to_owned() } else { pretty(json) };
    // A command that goes on does not end because nobody listens.
    let _ = put(&mut io::stdout().lock(), &text);
}

/// Says something of work that goes on, as one of JSON Lines.
pub(crate) fn say_line(json: &Value) {
    // As above.
    let _ = put(&mut io::stdout().lock(), &json.to_string());
}

/// JSON for programs and for eyes: lists of numbers, such as cells, on one line.
fn pretty(json: &Value) -> String {
    let mut text = String::new();
    write_json(json, 0, &mut text);
    text
}

fn write_json(json: &Value, depth: usize, text: &mut String) {
    let numbers = |v: &Value| v.as_array().is_some_and(|list| list.iter().all(Value::is_number));
    let on_one_line = |list: &[Value]| list.iter().all(|v| v.is_number() || numbers(v));
    let line = |text: &mut String, depth: usize| {
        text.push('\n');
        text.extend(std::iter::repeat_n("  ", depth));
    };
    match json {
        Value::Array(list) if !on_one_line(list) => {
            text.push('[');
            for (i, value) in list.iter().enumerate() {
                text.push_str(if i == 0 { "" } else { "," });
                line(text, depth + 1);
                write_json(value, depth + 1, text);
            }
            line(text, depth);
            text.push(']');
        }
        Value::Object(object) if !object.is_empty() => {
            text.push('{');
            for (i, (key, value)) in object.iter().enumerate() {
                text.push_str(if i == 0 { "" } else { "," });
                line(text, depth + 1);
                text.push_str(&format!("{}: ", Value::String(key.clone())));
                write_json(value, depth + 1, text);
            }
            line(text, depth);
            text.push('}');
        }
        plain => text.push_str(&plain.to_string()),
    }
}

/// Writes a text and ends its last line. `Some` status if that changes how the
/// program ends: a full disk does, a reader that went away does not.
fn put(out: &mut dyn Write, text: &str) -> Option<Status> {
    let end = if text.is_empty() || text.ends_with('\n') { "" } else { "\n" };
    let written = out.write_all(text.as_bytes()).and_then(|()| out.write_all(end.as_bytes()));
    match written.and_then(|()| out.flush()) {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            // Where this cannot be told either, the status must do.
            let _ = writeln!(io::stderr(), "error: the answer could not be written: {e}");
            Some(Status::Wrong)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_printed_is_the_same_value_with_cells_on_one_line() {
        let value = json!({
            "a \"quoted\" key": [], "none": {}, "cells": [[0, 1], [2, 3]], "n": [1.5, -2],
            "words": ["x\ny", null, true], "deep": [{ "pins": [[0, 0, 1]] }, [[[1]]]],
        });
        let text = pretty(&value);
        assert_eq!(serde_json::from_str::<Value>(&text).unwrap(), value);
        assert!(text.contains("  \"cells\": [[0,1],[2,3]],\n"), "{text}");
        assert!(text.contains("\n      \"pins\": [[0,0,1]]\n"), "{text}");
    }
}
