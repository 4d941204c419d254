//! What catalogues, proposals and homes reckon with: the project's sizes, bed
//! and levels, or the defaults where there is no project yet.

use std::path::{Path, PathBuf};

use desk::press::Press;
use project::{Compose, Project, write_whole};
use reach::{Bed, Plan, Sizes};

use crate::answer::Failure;
use crate::cli::Call;

/// Sizes, bed and levels.
pub(super) struct Making {
    pub(super) plan: Plan,
    pub(super) bed: Bed,
    pub(super) levels: u8,
    pub(super) weights: Compose,
    /// The solids' word on a piece.
    pub(super) press: Press,
    /// Where files go.
    out: PathBuf,
}

impl Making {
    /// Of the project that the call is about, if there is one in its folder.
    pub(super) fn of(call: &Call) -> Result<Making, Failure> {
        if !call.project.join("pinfold.toml").exists() {
            let sizes = project::Sizes::default();
            let printer = project::Printer::default();
            return Ok(Making {
                plan: Plan::default(),
                bed: Bed { size: printer.bed, pitch: sizes.pitch },
                levels: 1,
                weights: Compose::default(),
                press: Press::of(&sizes, &printer),
                out: call.project.join("out"),
            });
        }
        Self::of_project(&super::open(call)?)
    }

    pub(super) fn of_project(project: &Project) -> Result<Making, Failure> {
        let s = &project.sizes;
        let sizes = Sizes { pitch: s.pitch, gap: s.gap, knuckle: s.knuckle, clearance: s.clearance };
        let plan = Plan::new(sizes).map_err(|errors| {
            let all: Vec<String> = errors.iter().map(ToString::to_string).collect();
            Failure::plain(all.join("; "), "change these in [sizes]")
        })?;
        let bed = Bed { size: project.printer.bed, pitch: s.pitch };
        let out = project.root.join("out");
        let press = Press::of(&project.sizes, &project.printer);
        Ok(Making { plan, bed, levels: project.set.levels, weights: project.compose, press, out })
    }

    /// Writes a file below `out`, whole or not at all; its path as shown.
    pub(super) fn write(&self, name: &str, bytes: &[u8]) -> Result<String, Failure> {
        let path = self.out.join(name);
        let broken =
            |e| Failure::plain(format_args!("{}: {e}", path.display()), "make room, or name another folder");
        std::fs::create_dir_all(path.parent().unwrap_or(Path::new("."))).map_err(broken)?;
        write_whole(&path, bytes, true).map_err(broken)?;
        Ok(path.display().to_string())
    }
}

/// The colour that pieces without one of their own are drawn in, and their style.
pub(super) fn plain_style(name: &str) -> paper::PieceStyle {
    let style = paper::Style::new([(name, [0x56, 0xB4, 0xE9])]);
    style.pieces.into_iter().next().expect("one piece, one style")
}
