//! The licences of everything in the program, each text once, with the crates
//! that it covers: taken from the crates' own sources, as their licences ask.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result};

use super::crates::Shipped;

/// Names that files of licences and notices begin with.
const NAMES: [&str; 5] = ["license", "licence", "copying", "notice", "copyright"];

/// The notices as one text.
pub(super) fn notices(root: &Path, crates: &[Shipped]) -> Result<String> {
    let mut covered: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut bare: Vec<String> = Vec::new();
    for shipped in crates {
        let name = format!("{} {}", shipped.name, shipped.version);
        let texts =
            texts(&shipped.folder).with_context(|| format!("the sources of {name} cannot be read"))?;
        if texts.is_empty() {
            bare.push(format!("{name}: {}", shipped.licence.as_deref().unwrap_or("no licence stated")));
        }
        for text in texts {
            covered.entry(text).or_default().push(name.clone());
        }
    }
    let mut all = String::from(
        "What Pinfold is made of, and under which licences. Pinfold itself is under the MIT licence or the\n\
         Apache License 2.0, as you like. Fonts: DejaVu, Libertinus and New Computer Modern, under their own\n\
         free licences, which stand below with the crates that carry them.\n",
    );
    for (file, title) in [("LICENSE-MIT", "Pinfold (MIT)"), ("LICENSE-APACHE", "Pinfold (Apache-2.0)")] {
        all += &section(title, &fs::read_to_string(root.join(file))?);
    }
    let mut sections: Vec<(&String, &Vec<String>)> = covered.iter().collect();
    sections.sort_by(|a, b| a.1.cmp(b.1));
    for (text, names) in sections {
        all += &section(&names.join(", "), text);
    }
    if !bare.is_empty() {
        all += &section("Stated by their authors, without a text in their sources", &bare.join("\n"));
    }
    Ok(all)
}

fn section(title: &str, text: &str) -> String {
    format!("\n{}\n{title}\n\n{}\n", "=".repeat(78), text.trim())
}

/// The texts of licences in a crate's folder and the folders in it.
fn texts(folder: &Path) -> Result<Vec<String>> {
    let mut found = Vec::new();
    let mut entries: Vec<_> = fs::read_dir(folder)?.collect::<Result<_, _>>()?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let name = entry.file_name().to_string_lossy().to_lowercase();
        if entry.file_type()?.is_dir() {
            // Fonts and other files that a crate carries have theirs beside them.
            if !["tests", "benches", "examples", "src"].contains(&name.as_str()) {
                found.extend(texts(&entry.path())?);
            }
        } else if NAMES.iter().any(|start| name.starts_with(start)) && !name.ends_with(".rs") {
            let text = String::from_utf8_lossy(&fs::read(entry.path())?).into_owned();
            found.push(text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n"));
        }
    }
    found.sort();
    found.dedup();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_text_stands_once_with_all_it_covers() {
        let folder = tempfile::tempdir().unwrap();
        let crates: Vec<Shipped> = ["ebb", "flow", "slack"]
            .map(|name| {
                let own = folder.path().join(name);
                fs::create_dir(&own).unwrap();
                if name != "slack" {
                    fs::write(own.join("LICENSE-MIT"), "Do as you like.\n").unwrap();
                }
                Shipped {
                    name: name.into(),
                    version: "1.0.0".into(),
                    licence: Some("MIT".into()),
                    description: None,
                    digest: None,
                    folder: own,
                }
            })
            .to_vec();
        let root = folder.path();
        fs::write(root.join("LICENSE-MIT"), "ours").unwrap();
        fs::write(root.join("LICENSE-APACHE"), "ours, too").unwrap();
        let text = notices(root, &crates).unwrap();
        assert_eq!(text.matches("Do as you like.").count(), 1);
        assert!(text.contains("ebb 1.0.0, flow 1.0.0"));
        assert!(text.contains("slack 1.0.0: MIT"));
    }
}
