//! What the server holds: the folder of the project, and what was reckoned from
//! it as long as the files stay the same.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use browser::LiveSet;
use project::Project;
use serde_json::Value;
use tokio::sync::broadcast;

use crate::jobs::Jobs;
use crate::live::Desks;
use crate::problem::Problem;
use crate::serve::Options;

/// The set's file, below the project folder.
pub(crate) const SET_FILE: &str = "pinfold.toml";

/// One project being served.
pub(crate) struct Shop {
    pub(crate) root: PathBuf,
    pub(crate) port: u16,
    /// The folder of the pages, where these are being worked on.
    pub(crate) pages: Option<PathBuf>,
    /// This program, for questions whose reckoning lives with its commands.
    pub(crate) program: PathBuf,
    /// Stands in the pages, and must come back with whatever changes anything.
    pub(crate) token: String,
    /// Told whenever a file of the project has changed.
    pub(crate) changes: broadcast::Sender<()>,
    pub(crate) jobs: Jobs,
    pub(crate) desks: Desks,
    /// One change of files at a time.
    pub(crate) writing: Mutex<()>,
    ways: Mutex<Option<(String, Arc<Ways>)>>,
}

/// The set with what its pieces may become, ready for questions about drawings.
pub(crate) struct Ways {
    pub(crate) project: Project,
    pub(crate) live: LiveSet,
    /// The set as the pages' core opens it, once asked for.
    core: OnceLock<Value>,
}

impl Ways {
    /// The set as the pages' core opens it. Takes long where it asks for planned motions.
    pub(crate) fn core(&self) -> Result<&Value, Problem> {
        if self.core.get().is_none() {
            let plan = desk::rules::plan(&self.project)?;
            let _ = self.core.set(play::set_json(&self.project, &plan));
        }
        Ok(self.core.get().expect("set above"))
    }
}

impl Shop {
    pub(crate) fn new(options: &Options, port: u16, token: String) -> Self {
        Shop {
            root: options.root.clone(),
            port,
            pages: options.pages.clone(),
            program: options.program.clone(),
            token,
            changes: broadcast::channel(16).0,
            jobs: Jobs::default(),
            desks: Desks::default(),
            writing: Mutex::new(()),
            ways: Mutex::new(None),
        }
    }

    /// The project as it is on the disk now.
    pub(crate) fn project(&self) -> Result<Project, Problem> {
        Ok(Project::read(&self.root)?)
    }

    /// The digest of a file of the project, by its path below the folder; none if
    /// there is no such file.
    pub(crate) fn digest(&self, file: &Path) -> Option<String> {
        std::fs::read(self.root.join(file)).ok().map(|bytes| solid::sha256(&bytes))
    }

    /// The project with the digest of one of its files: both of the same moment.
    pub(crate) fn project_at(&self, file: &Path) -> Result<(Project, Option<String>), Problem> {
        loop {
            let before = self.digest(file);
            let project = self.project()?;
            if self.digest(file) == before {
                return Ok((project, before));
            }
        }
    }

    /// What the pieces may become, reckoned anew when the set's file has changed; its
    /// project is that of the time of reckoning, so its outlines may be older.
    /// Takes long where the set asks for planned motions.
    pub(crate) fn ways(&self) -> Result<Arc<Ways>, Problem> {
        let mut kept = self.ways.lock().unwrap_or_else(PoisonError::into_inner);
        let now = self.digest(Path::new(SET_FILE));
        if let (Some((of, ways)), Some(now)) = (kept.as_ref(), now)
            && *of == now
        {
            return Ok(ways.clone());
        }
        let (project, digest) = self.project_at(Path::new(SET_FILE))?;
        let classes = desk::rules::classes(&project)?;
        let live = LiveSet::new(project.set.clone(), classes, project.rules.interlocked);
        let ways = Arc::new(Ways { project, live, core: OnceLock::new() });
        *kept = Some((digest.unwrap_or_default(), ways.clone()));
        Ok(ways)
    }
}

/// Does what takes long away from the threads that answer.
pub(crate) async fn apart<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    let broken = |_| Problem::new(axum::http::StatusCode::INTERNAL_SERVER_ERROR, "the work broke off");
    tokio::task::spawn_blocking(work).await.map_err(broken)?
}
