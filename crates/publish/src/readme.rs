//! The README of a pack: what its fields say.

use solid::{Kind, Made, Part};

use crate::archive::FileInPack;
use crate::compose::Order;

/// The template that is used where the maker has none.
pub(crate) const BUILT_IN: &str = include_str!("readme.md");

/// What the fields of a template stand for.
#[derive(Default)]
pub(crate) struct Told {
    title: String,
    pack: String,
    set: String,
    version: String,
    designer: String,
    audience: String,
    count: String,
    outlines: String,
    parts: String,
    cautions: String,
    files: String,
    licence: String,
    seal: String,
}

impl Told {
    /// Fields without a value, to try a template with.
    pub fn nothing() -> Self {
        Told::default()
    }

    /// The fields of a pack; `terms`: its seal and its licence.
    pub fn of(order: &Order<'_>, made: &Made, files: &[FileInPack], terms: (&str, Option<&str>)) -> Self {
        let (project, pack, (seal, spdx)) = (order.project, order.pack, terms);
        let outline = |a: &crate::answers::Answered<'_>| {
            let grade = a.record.grade.as_ref().map_or(String::new(), |g| format!(", grade {g}"));
            format!("- {}: {}{grade}", a.number, a.record.title)
        };
        let outlines: Vec<String> = order.answered.iter().map(outline).collect();
        let licence = match spdx {
            Some(spdx) => format!("Licence: {spdx}. See LICENCE.txt."),
            None => "The maker has named no licence. See LICENCE.txt.".into(),
        };
        Told {
            title: pack.printed().to_owned(),
            pack: pack.name.clone(),
            set: project.title.clone(),
            version: pack.version.clone(),
            designer: project.terms.designer.as_ref().map_or("".into(), |who| format!("By {who}.")),
            audience: pack.audience.as_ref().map_or(String::new(), |who| format!(", {who}")),
            count: desk::counted(outlines.len(), "outline"),
            outlines: outlines.join("\n"),
            parts: parts(made),
            cautions: cautions(made),
            files: listed(files),
            licence,
            seal: seal.to_owned(),
        }
    }

    /// Each field by name.
    pub fn fields(&self) -> Vec<(&'static str, String)> {
        [
            ("title", &self.title),
            ("pack", &self.pack),
            ("set", &self.set),
            ("version", &self.version),
            ("designer", &self.designer),
            ("audience", &self.audience),
            ("count", &self.count),
            ("outlines", &self.outlines),
            ("parts", &self.parts),
            ("cautions", &self.cautions),
            ("files", &self.files),
            ("licence", &self.licence),
            ("seal", &self.seal),
        ]
        .map(|(name, value)| (name, value.clone()))
        .into()
    }
}

/// The parts, a line each, and what they come to.
fn parts(made: &Made) -> String {
    let line = |part: &Part| {
        let [w, d, h] = part.size;
        let (name, kind) = (&part.name, desk::made::kind(part.kind));
        let called = match part.kind {
            Kind::Piece | Kind::Plate => format!("{name} ({kind})"),
            Kind::Board | Kind::Coupon => name.clone(),
        };
        let changes = match part.colour_changes.len() {
            0 => String::new(),
            1 => ", 1 change of filament".into(),
            n => format!(", {n} changes of filament"),
        };
        let (time, grams) = (time(part.estimate.minutes), part.estimate.grams);
        format!("- {called}: {w:.1} × {d:.1} × {h:.1} mm, {time}, {grams:.1} g{changes}")
    };
    let mut lines: Vec<String> = made.parts.iter().map(line).collect();
    let minutes = made.parts.iter().map(|p| p.estimate.minutes).sum();
    let grams: f64 = made.parts.iter().map(|p| p.estimate.grams).sum();
    let (count, beds) = (desk::counted(lines.len(), "part"), desk::counted(made.beds.len(), "bed"));
    lines.push(format!("\n{count} on {beds}: {} and {grams:.0} g by estimate.", time(minutes)));
    lines.join("\n")
}

pub(crate) fn time(minutes: f64) -> String {
    let minutes = minutes.round() as u64;
    if minutes < 60 {
        format!("{minutes} min")
    } else {
        format!("{} h {:02} min", minutes / 60, minutes % 60)
    }
}

/// The cautions of the parts, as a section.
fn cautions(made: &Made) -> String {
    let file = made.files.iter().find(|f| f.name == "cautions.txt");
    let text = file.map(|f| String::from_utf8_lossy(&f.bytes).into_owned()).unwrap_or_default();
    let paragraphs: Vec<&str> = text.split("\n\n").skip(1).map(str::trim).collect();
    if paragraphs.is_empty() { String::new() } else { format!("## Cautions\n\n{}", paragraphs.join("\n\n")) }
}

/// What is in the pack: single files by name, folders by count.
fn listed(files: &[FileInPack]) -> String {
    let mut folders: Vec<(&str, usize)> = Vec::new();
    let mut names: Vec<&str> = files.iter().map(|f| f.name.as_str()).collect();
    names.sort_unstable();
    let mut lines = Vec::new();
    for name in names {
        match name.rsplit_once('/') {
            None => lines.push(format!("- `{name}`")),
            Some((folder, _)) => match folders.iter_mut().find(|f| f.0 == folder) {
                Some(found) => found.1 += 1,
                None => folders.push((folder, 1)),
            },
        }
    }
    lines.extend(folders.iter().map(|(f, n)| format!("- `{f}`: {}", desk::counted(*n, "file"))));
    lines.join("\n")
}
