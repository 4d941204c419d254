//! What the server holds: the folder of the project, and what was reckoned from
//! it as long as the files stay the same.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use lattice::Class;
use project::Project;
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

/// The set with what its pieces may become.
pub(crate) struct Ways {
    pub(crate) project: Project,
    pub(crate) classes: Vec<Class>,
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

    /// What the pieces may become, reckoned anew when the set's file has changed.
    /// Takes long where the set asks for planned motions.
    pub(crate) fn ways(&self) -> Result<Arc<Ways>, Problem> {
        let (project, digest) = self.project_at(Path::new(SET_FILE))?;
        let digest = digest.unwrap_or_default();
        let mut kept = self.ways.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((of, ways)) = kept.as_ref()
            && *of == digest
        {
            return Ok(ways.clone());
        }
        let classes = desk::rules::classes(&project)?;
        let ways = Arc::new(Ways { project, classes });
        *kept = Some((digest, ways.clone()));
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
