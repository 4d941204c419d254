//! The last step of the demo: the workshop opened on the demo project, without a
//! browser, and its first page asked for, so that whoever types the demo's last
//! line sees pages.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Stdio};
use std::time::Duration;

use anyhow::{Context, Result, ensure};
use serde_json::Value;

use crate::report::Outcome;
use crate::run::{program, say};

/// Opens the workshop, reads its first page and closes it again.
pub(crate) fn run(root: &Path, pinfold: &Path, project: &Path) -> Result<Outcome> {
    let project = project.display().to_string();
    let call = ["workshop", "--project", &project, "--port", "0", "--no-open", "--json"];
    say(&format!("pinfold {}", call.join(" ")));
    let mut run = program(pinfold, call, root);
    let mut open = Open(run.stdout(Stdio::piped()).spawn().context("the workshop cannot be opened")?);
    let address = open.address()?;
    let page = asked(address.trim_start_matches("http://").trim_end_matches('/'))?;
    let has_pages = page.contains("<script type=\"module\"");
    say(&format!("{address}: {}", if has_pages { "its pages are there" } else { "no page came" }));
    Ok(Outcome::one(has_pages, ""))
}

/// A workshop that is closed when we are done with it.
struct Open(Child);

impl Open {
    fn address(&mut self) -> Result<String> {
        let said = self.0.stdout.take().context("standard output is piped")?;
        let mut text = String::new();
        for line in BufReader::new(said).lines() {
            text += &line?;
            if let Ok(told) = serde_json::from_str::<Value>(&text) {
                ensure!(told["built"] == true, "this program was built without its pages");
                return Ok(told["workshop"].as_str().context("it says its address")?.to_owned());
            }
        }
        anyhow::bail!("the workshop did not begin: {text}")
    }
}

impl Drop for Open {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// The answer to a request for the first page, whole.
fn asked(host: &str) -> Result<String> {
    let mut stream = TcpStream::connect(host)?;
    stream.set_read_timeout(Some(Duration::from_secs(20)))?;
    write!(stream, "GET / HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n\r\n")?;
    let mut text = String::new();
    stream.read_to_string(&mut text)?;
    ensure!(text.starts_with("HTTP/1.1 200"), "it answered {:?}", text.lines().next().unwrap_or_default());
    Ok(text)
}
