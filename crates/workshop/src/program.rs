//! Questions put to the program itself: scouting, grades, packs, testers' tries.
//!
//! Their reckoning lives with the commands; so the page's question is put as the
//! call of the command, and its `--json` is the answer: the same function, the
//! same numbers, and an end of the job ends the process. Only what is written
//! here can be asked: names are those of the project, figures are figures, and no
//! part of a call comes from a page as it is.

use std::io::{BufRead, BufReader};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use base64::Engine as _;
use base64::alphabet;
use base64::engine::{DecodePaddingMode, GeneralPurpose, GeneralPurposeConfig};
use project::{Project, stem_is_good};
use serde::Deserialize;
use serde_json::{Value, json};
use utoipa::ToSchema;

use crate::jobs::Job;
use crate::problem::Problem;
use crate::shop::Shop;
use crate::work::Outcome;

/// How often it is looked whether the answer is there, or wanted no more.
const LOOK: Duration = Duration::from_millis(25);
/// How long it has to tell what it found, once it is asked to end.
const GRACE: Duration = Duration::from_secs(3);

/// A picture to find outlines like.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Wished {
    /// Its bytes in base 64 (RFC 4648): PNG, JPEG or SVG.
    #[schema(max_length = 6000000)]
    base64: String,
}

/// How to scout.
#[derive(Debug, Default, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct Scouting {
    /// Like this picture.
    #[serde(default)]
    picture: Option<Wished>,
    /// Near this outline of the project.
    #[serde(default)]
    near: Option<String>,
    /// With `near`: so many cells may be moved.
    #[serde(default)]
    #[schema(minimum = 1, maximum = 3)]
    moves: Option<u8>,
    /// From nothing: within a box of these columns and rows.
    #[serde(default, rename = "box")]
    within: Option<[u8; 2]>,
    /// With `box`: about so many drawn at random, none twice.
    #[serde(default)]
    #[schema(minimum = 1, maximum = 1000000)]
    sample: Option<u32>,
    /// With `sample`: another seed draws others.
    #[serde(default)]
    seed: Option<u32>,
    /// What makes a find better: `unique`, `harder` or `fewer-pockets`.
    #[serde(default)]
    wish: Option<String>,
    /// End after so many seconds.
    #[serde(default)]
    #[schema(minimum = 1, maximum = 3600)]
    seconds: Option<u32>,
}

/// A question that the program answers itself.
pub(crate) enum Ask {
    Scout(Scouting),
    Grade(Vec<String>),
    Packs(Option<String>),
    Plays,
    Next(String),
    Forecast { pack: String, entrants: u32 },
}

/// Puts the question and waits for its answer, or for its end.
pub(crate) fn put(shop: &Shop, job: &Job, ask: Ask) -> Result<Outcome, Problem> {
    let project = shop.project()?;
    let mut kept = None;
    let args = ask.call(&project, &mut kept)?;
    let json = run(shop, job, &args)?;
    Ok(Outcome { json, files: Vec::new() })
}

impl Ask {
    fn call(self, project: &Project, kept: &mut Option<Picture>) -> Result<Vec<String>, Problem> {
        let text = |words: &[&str]| words.iter().map(|w| (*w).to_owned()).collect::<Vec<String>>();
        Ok(match self {
            Ask::Scout(how) => how.call(project, kept)?,
            Ask::Grade(names) => {
                let mut args = text(&["grade"]);
                for name in names {
                    args.push(outline(project, name)?);
                }
                args
            }
            Ask::Packs(None) => text(&["packs"]),
            Ask::Packs(Some(name)) => vec!["packs".into(), pack(project, name)?],
            Ask::Plays => text(&["plays"]),
            Ask::Next(tester) => {
                let plain = !tester.starts_with('-') && !tester.is_empty() && tester.len() <= 60;
                if !plain || tester.chars().any(char::is_control) {
                    return Err(Problem::none("tester", &tester));
                }
                vec!["plays".into(), "next".into(), "--tester".into(), tester]
            }
            Ask::Forecast { pack: name, entrants } => {
                let name = pack(project, name)?;
                vec!["forecast".into(), name, "--entrants".into(), entrants.clamp(1, 1_000_000).to_string()]
            }
        })
    }
}

fn outline(project: &Project, name: String) -> Result<String, Problem> {
    let known = stem_is_good(&name) && project.outline(&name).is_some();
    if known { Ok(name) } else { Err(Problem::none("outline", &name)) }
}

fn pack(project: &Project, name: String) -> Result<String, Problem> {
    let known = stem_is_good(&name) && project.packs.iter().any(|p| p.name == name);
    if known { Ok(name) } else { Err(Problem::none("pack", &name)) }
}

impl Scouting {
    fn call(self, project: &Project, kept: &mut Option<Picture>) -> Result<Vec<String>, Problem> {
        let mut args = vec!["scout".to_owned()];
        let mut give = |option: &str, value: String| args.extend([option.to_owned(), value]);
        match (self.picture, self.near, self.within) {
            (Some(picture), None, None) => {
                let picture = Picture::of(&picture.base64)?;
                give("--like", picture.path.display().to_string());
                *kept = Some(picture);
            }
            (None, Some(near), None) => {
                give("--near", outline(project, near)?);
                give("--moves", self.moves.unwrap_or(1).clamp(1, 3).to_string());
            }
            (None, None, Some([width, height])) => {
                if !(1..=12).contains(&width) || !(1..=12).contains(&height) {
                    return Err(Problem::unfit("a box has 1 to 12 columns and rows"));
                }
                give("--box", format!("{width}x{height}"));
                if let Some(sample) = self.sample {
                    give("--sample", sample.clamp(1, 1_000_000).to_string());
                    give("--seed", self.seed.unwrap_or(1).to_string());
                }
            }
            _ => return Err(Problem::unfit("scouting begins from a picture, an outline or a box: name one")),
        }
        if let Some(wish) = self.wish {
            const WISHES: [&str; 3] = ["unique", "harder", "fewer-pockets"];
            let known = WISHES.into_iter().find(|w| *w == wish);
            give("--wish", known.ok_or_else(|| Problem::none("wish", &wish))?.to_owned());
        }
        give("--time", self.seconds.unwrap_or(60).clamp(1, 3600).to_string());
        give("--show", "60".to_owned());
        args.push("--as-found".to_owned());
        Ok(args)
    }
}

/// A picture that came, in a file of its own as long as it is looked at.
struct Picture {
    path: PathBuf,
    _folder: tempfile::TempDir,
}

impl Picture {
    fn of(base64: &str) -> Result<Self, Problem> {
        let bytes = decoded(base64).ok_or_else(|| Problem::unfit("the picture is not written in base 64"))?;
        let ending = match bytes.as_slice() {
            [0x89, b'P', b'N', b'G', ..] => "png",
            [0xFF, 0xD8, 0xFF, ..] => "jpg",
            text if text.iter().take(512).any(|b| *b == b'<') => "svg",
            _ => return Err(Problem::unfit("the picture is neither PNG nor JPEG nor SVG")),
        };
        let broken = |e: std::io::Error| {
            Problem::new(
                axum::http::StatusCode::INTERNAL_SERVER_ERROR,
                format!("no room for the picture: {e}"),
            )
        };
        let folder = tempfile::tempdir().map_err(broken)?;
        let path = folder.path().join(format!("wish.{ending}"));
        std::fs::write(&path, bytes).map_err(broken)?;
        Ok(Picture { path, _folder: folder })
    }
}

/// The bytes that base 64 stands for (RFC 4648, section 4), padded or not, in lines or not.
fn decoded(text: &str) -> Option<Vec<u8>> {
    const LENIENT: GeneralPurpose = GeneralPurpose::new(
        &alphabet::STANDARD,
        GeneralPurposeConfig::new()
            .with_decode_padding_mode(DecodePaddingMode::RequireNone)
            .with_decode_allow_trailing_bits(true),
    );
    let digits: String = text.chars().filter(|c| !c.is_ascii_whitespace() && *c != '=').collect();
    LENIENT.decode(digits).ok()
}

/// Runs the program and gives its answer; what it tells before that is told to the job.
fn run(shop: &Shop, job: &Job, args: &[String]) -> Result<Value, Problem> {
    let fault = |what: String| Problem::new(axum::http::StatusCode::INTERNAL_SERVER_ERROR, what);
    let mut call = Command::new(&shop.program);
    call.args(args).arg("--json").arg("--project").arg(&shop.root);
    call.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::null());
    let mut child = call.spawn().map_err(|e| fault(format!("the program cannot be run: {e}")))?;
    let said = child.stdout.take().expect("standard output is piped");
    let mut asked = None;
    std::thread::scope(|scope| {
        let reading = scope.spawn(move || listen(BufReader::new(said), job));
        let status = loop {
            match child.try_wait() {
                Ok(Some(status)) => break status,
                Ok(None) if job.must_stop() => {
                    // Asked to end, it tells what it has; what does not listen is ended.
                    let since = *asked.get_or_insert_with(|| {
                        interrupt(&child);
                        Instant::now()
                    });
                    if since.elapsed() > GRACE {
                        // It may have ended by itself just now.
                        let _ = child.kill();
                    }
                    std::thread::sleep(LOOK);
                }
                Ok(None) => std::thread::sleep(LOOK),
                Err(e) => return Err(fault(format!("the program was lost: {e}"))),
            }
        };
        let answer = reading.join().ok().and_then(Result::ok).flatten();
        match (status.code(), answer) {
            (Some(0 | 1), Some(answer)) => Ok(answer),
            (Some(_), Some(answer)) => Err(refused(&answer)),
            _ if job.must_stop() => Err(Problem::unfit("ended before it was done")),
            _ => Err(fault("the program gave no answer".into())),
        }
    })
}

/// Reads what the program says: lines with finds and progress, each an object of its
/// own, then its answer. None if that did not come.
fn listen(said: impl BufRead, job: &Job) -> std::io::Result<Option<Value>> {
    let mut answer = String::new();
    for line in said.lines() {
        let line = line?;
        let told: Option<Value> = if answer.is_empty() { serde_json::from_str(&line).ok() } else { None };
        match told {
            Some(mut told) if told["find"].is_object() => job.found(told["find"].take()),
            Some(told) if told["done"].is_u64() && told["all"].is_u64() && told["finds"].is_null() => {
                let number = |key: &str| told[key].as_u64().unwrap_or(0) as usize;
                job.progress(number("done"), number("all"));
            }
            _ => {
                answer.push_str(&line);
                answer.push('\n');
            }
        }
    }
    Ok(serde_json::from_str(&answer).ok())
}

/// Asks the program to end with what it has, as an interrupt on a terminal does.
#[cfg(unix)]
fn interrupt(child: &Child) {
    let own = i32::try_from(child.id()).ok().and_then(rustix::process::Pid::from_raw);
    if let Some(own) = own {
        // It may have ended by itself just now.
        let _ = rustix::process::kill_process(own, rustix::process::Signal::INT);
    }
}

/// Elsewhere nothing can be asked: it is ended when its grace is over.
#[cfg(not(unix))]
fn interrupt(_: &Child) {}

/// What the program refused, as a problem.
fn refused(answer: &Value) -> Problem {
    let errors = answer["errors"].as_array().cloned().unwrap_or_default();
    let first = errors.first().cloned().unwrap_or(json!({}));
    let of = |key: &str| first[key].as_str().unwrap_or_default().to_owned();
    let detail = if of("message").is_empty() { "the program refused it".to_owned() } else { of("message") };
    Problem::unfit(detail).mend(of("mend")).errors(Value::Array(errors))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base_64_is_read_as_its_standard_has_it() {
        // RFC 4648, section 10.
        for (text, bytes) in
            [("", ""), ("Zg==", "f"), ("Zm8=", "fo"), ("Zm9v", "foo"), ("Zm9vYmFy", "foobar")]
        {
            assert_eq!(decoded(text).as_deref(), Some(bytes.as_bytes()));
        }
        assert_eq!(decoded("Zm9-"), None);
    }

    #[test]
    fn only_names_of_the_project_are_put_into_a_call() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../quayside");
        let project = Project::read(&root).unwrap();
        let call = |ask: Ask| ask.call(&project, &mut None);
        assert_eq!(call(Ask::Grade(vec!["tug".into()])).unwrap(), ["grade", "tug"]);
        for bad in ["--project=x", "../tug", "", "no-such"] {
            assert!(call(Ask::Grade(vec![bad.into()])).is_err(), "{bad}");
            assert!(call(Ask::Packs(Some(bad.into()))).is_err(), "{bad}");
        }
        for bad in ["--tester", "", "a\nb"] {
            assert!(call(Ask::Next(bad.into())).is_err(), "{bad}");
        }
        let near = |name: &str| Scouting { near: Some(name.into()), moves: Some(9), ..Scouting::default() };
        let args = call(Ask::Scout(near("tug"))).unwrap();
        assert_eq!(args[..5], ["scout", "--near", "tug", "--moves", "3"]);
        assert!(call(Ask::Scout(Scouting::default())).is_err());
        let wish = Scouting { wish: Some("--keep".into()), ..near("tug") };
        assert!(call(Ask::Scout(wish)).is_err());
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        assert!(Picture::of("Zm9vYmFy").is_err());
        let picture = Picture::of("PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciLz4=").unwrap();
        assert!(picture.path.ends_with("wish.svg"));
    }
}
