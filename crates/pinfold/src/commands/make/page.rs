//! The answer of `make` for a person: a table of the parts, what failed, beds,
//! changes of filament, proofs, totals, cautions.

use desk::made::kind;
use solid::Part;

use super::Case;
use super::proof::Proved;
use crate::answer::counted;
use crate::screen::Screen;

const HEADS: [&str; 8] = ["part", "", "bodies", "size, mm", "least gap", "least wall", "time", "filament"];

impl Case<'_> {
    pub(super) fn page(&self, screen: &Screen) -> String {
        let mut text = String::new();
        if !self.made.parts.is_empty() {
            text += &table(&self.made.parts);
            text.push('\n');
        }
        for part in &self.made.parts {
            for failure in &part.failures {
                let drawn = failure.drawing.as_ref().map_or(String::new(), |d| format!(" Drawn in {d}."));
                let line = format!("{} failed: {failure}. It was not written.{drawn}", part.name);
                text += &screen.wrap(&line, "  ");
            }
        }
        for proved in self.proved.unwrap_or_default() {
            text += &screen.wrap(&proof(proved), "  ");
        }
        for sentence in self.sentences() {
            text += &screen.wrap(&sentence, "  ");
        }
        let cautions = self.asked().cautions();
        if !cautions.is_empty() {
            text += "\nCautions\n";
        }
        for caution in cautions {
            text += &screen.wrap(&format!("  {caution}"), "  ");
        }
        text
    }

    fn sentences(&self) -> Vec<String> {
        let mut all = Vec::new();
        for part in &self.made.parts {
            for change in &part.colour_changes {
                all.push(format!(
                    "{}: change the filament before layer {}, at {:.2} mm.",
                    part.name, change.layer, change.height
                ));
            }
        }
        for bed in &self.made.beds {
            let names: Vec<&str> =
                bed.parts.iter().map(|on| self.made.parts[on.part].name.as_str()).collect();
            let time = time(bed.minutes);
            all.push(format!("{}: {} ({time}, {:.1} g)", bed.file, names.join(", "), bed.grams));
        }
        let written = self.made.parts.iter().filter(|part| part.file.is_some()).count();
        if written > 0 {
            all.push(format!(
                "{}: {} and {:.1} m or {:.1} g of filament, by estimate.",
                counted(written, "part"),
                time(self.asked().total(|p| p.estimate.minutes)),
                self.asked().total(|p| p.estimate.metres),
                self.asked().total(|p| p.estimate.grams),
            ));
        }
        let files = counted(self.made.files.len(), "file");
        all.push(format!("Written: {files} in {}, each in manifest.sha256.", self.out.display()));
        if self.parts.coupon {
            all.push("Print the coupon first: it tells the clearance that moves on your printer.".into());
        }
        if self.args.stl {
            all.push("STL knows no units: these files are in millimetres.".into());
        }
        all
    }
}

/// The parts, a line each, figures right-aligned.
fn table(parts: &[Part]) -> String {
    let millimetres = |n: Option<f64>| n.map_or("-".into(), |n| format!("{n:.3}"));
    let mut rows: Vec<[String; 8]> = vec![HEADS.map(str::to_owned)];
    for part in parts {
        let [w, d, h] = part.size;
        rows.push([
            part.name.clone(),
            if part.failures.is_empty() { kind(part.kind).into() } else { "FAILED".into() },
            part.bodies.to_string(),
            format!("{w:.1} × {d:.1} × {h:.1}"),
            millimetres(least_gap(part)),
            millimetres(part.least_wall.map(|w| w.thickness)),
            time(part.estimate.minutes),
            format!("{:.1} g", part.estimate.grams),
        ]);
    }
    let wide: Vec<usize> =
        (0..8).map(|c| rows.iter().map(|r| r[c].chars().count()).max().unwrap_or(0)).collect();
    let mut text = String::new();
    for row in rows {
        let mut line = String::new();
        for (column, cell) in row.iter().enumerate() {
            let room = " ".repeat(wide[column] - cell.chars().count());
            line += &if column < 2 { format!("{cell}{room}  ") } else { format!("{room}{cell}  ") };
        }
        text += line.trim_end();
        text.push('\n');
    }
    text
}

/// The least gap of a part, as printed and at every angle of its hinges.
fn least_gap(part: &Part) -> Option<f64> {
    part.hinge_gaps.iter().map(|gaps| gaps.least().0).chain(part.min_gap_mm).reduce(f64::min)
}

fn time(minutes: f64) -> String {
    let minutes = minutes.round() as u64;
    if minutes < 60 {
        format!("{minutes} min")
    } else {
        format!("{} h {:02} min", minutes / 60, minutes % 60)
    }
}

fn proof(proved: &Proved) -> String {
    let name = &proved.name;
    let (Some(between), Some(wall)) = (proved.between_bodies, proved.to_plate) else {
        return format!("{name}: no layout fills it, so there is nothing to set into its plate.");
    };
    let of = if proved.complete { "all" } else { "not all: --layouts N tries more" };
    let pockets = match proved.without.len() {
        0 => "It needs no pocket.".into(),
        n => format!("Without its pocket, {} of {} knuckles collide.", proved.collisions(), n),
    };
    format!(
        "{name}: {} of {} set into the plate touched nothing ({of}). Least gap between blocks \
         {between:.3} mm, to the wall {wall:.3} mm. {pockets}",
        proved.clear,
        counted(proved.tried, "layout"),
    )
}
