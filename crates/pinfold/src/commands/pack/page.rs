//! The answer of `pack` for a person and as JSON.

use project::PackRecord;
use serde_json::{Value, json};

use super::Case;
use crate::answer::{Answer, counted};
use crate::screen::Screen;

impl Case<'_> {
    pub(super) fn json(&self) -> Value {
        let (manifest, made) = (&self.composed.manifest, &self.composed.made);
        let sum = |of: fn(&solid::Part) -> f64| made.parts.iter().map(of).sum::<f64>();
        json!({
            "pack": manifest.pack,
            "title": manifest.title,
            "version": manifest.version,
            "licence": manifest.licence,
            "within": manifest.within,
            "folder": self.folder.display().to_string(),
            "zip": self.zip.display().to_string(),
            "bytes": self.composed.archive.len(),
            "sha256": self.composed.sha256,
            "seal": manifest.seal,
            "answers": self.answers.iter().map(|p| p.display().to_string()).collect::<Vec<_>>(),
            "outlines": manifest
                .outlines
                .iter()
                .map(|o| json!({ "number": o.number, "name": o.name, "title": o.title }))
                .collect::<Vec<_>>(),
            "numbered": self
                .numbered
                .iter()
                .map(|(name, number)| json!({ "name": name, "number": number }))
                .collect::<Vec<_>>(),
            "parts": made.parts.len(),
            "beds": made.beds.len(),
            "minutes": sum(|p| p.estimate.minutes),
            "grams": sum(|p| p.estimate.grams),
            "files": manifest
                .files
                .iter()
                .map(|f| json!({ "path": f.path, "bytes": f.bytes, "sha256": f.sha256 }))
                .collect::<Vec<_>>(),
            "seconds": self.seconds,
        })
    }

    pub(super) fn page(&self, screen: &Screen) -> String {
        let (manifest, made) = (&self.composed.manifest, &self.composed.made);
        let mut lines = Vec::new();
        for (name, number) in &self.numbered {
            lines.push(format!("{name} now has the number {number}."));
        }
        let numbers: Vec<u32> = manifest.outlines.iter().map(|o| o.number).collect();
        let (low, high) = (numbers.iter().min().unwrap_or(&0), numbers.iter().max().unwrap_or(&0));
        lines.push(format!(
            "{}, version {}: {}, numbers from {low} to {high}; {} on {}.",
            manifest.title,
            manifest.version,
            counted(numbers.len(), "outline"),
            counted(made.parts.len(), "part"),
            counted(made.beds.len(), "bed"),
        ));
        if let Some(outer) = &manifest.within {
            lines.push(format!("All of it is in the pack '{outer}', too, under the same numbers."));
        }
        lines.push(format!(
            "Folder: {} ({}).",
            self.folder.display(),
            counted(manifest.files.len() + 2, "file")
        ));
        lines.push(format!(
            "Zip, verified: {} ({:.1} MB).",
            self.zip.display(),
            self.composed.archive.len() as f64 / 1e6
        ));
        lines.push(format!("SHA-256 of the zip, for your page: {}", self.composed.sha256));
        lines.push(format!("Seal of the answers, in SEAL.txt: {}", manifest.seal));
        let kept: Vec<String> = self.answers.iter().map(|p| p.display().to_string()).collect();
        lines.push(format!("Keep to yourself until you publish the answers: {}.", kept.join(", ")));
        if manifest.licence.is_empty() {
            lines.push(
                "No licence is named, so all rights are reserved: add licence = \"CC-BY-4.0\" or another \
                 one to the pack or to [set]."
                    .into(),
            );
        }
        if self.project.terms.designer.is_none() {
            lines.push("The pack names no designer: add designer = \"…\" to [set].".into());
        }
        if self.pack.title.is_none() {
            lines.push("The pack has no title of its own: add title = \"…\" to it.".into());
        }
        lines.iter().map(|line| screen.wrap(line, "  ")).collect()
    }
}

/// The answer that outlines cannot be filled.
pub(super) fn unfilled(pack: &PackRecord, names: &[String]) -> Answer {
    let text = format!(
        "The pack {} was not made: by the set's rules {} cannot be filled.\nSee `pinfold fill {}`.",
        pack.name,
        names.join(", "),
        names[0]
    );
    Answer::no(json!({ "pack": pack.name, "unfilled": names }), text)
}

/// The answer that parts failed their checks.
pub(super) fn failed(pack: &PackRecord, sentences: &[String]) -> Answer {
    let text = format!("The pack {} was not made.\n{}", pack.name, sentences.join("\n"));
    Answer::no(json!({ "pack": pack.name, "failed": sentences }), text)
}
