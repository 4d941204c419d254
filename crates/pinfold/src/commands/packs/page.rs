//! The answer of `packs` for a person.

use super::{Case, Ordered};
use crate::answer::counted;
use crate::commands::grade::effort;
use crate::screen::Screen;

impl Case<'_> {
    pub(super) fn page(&self, screen: &Screen) -> String {
        let mut text = String::new();
        for pack in &self.packs {
            match pack {
                Ok(pack) => text += &self.told(pack, screen),
                Err((record, why)) => {
                    text += &screen.wrap(&format!("{}: no order, for {why}.", record.name), "  ");
                }
            }
            text.push('\n');
        }
        let seconds = self.seconds;
        text += &format!("{} ordered; grades took {seconds:.1} s.\n", counted(self.packs.len(), "pack"));
        for path in &self.files {
            text += &format!("Written: {}.\n", path.display());
        }
        if self.written {
            text += "Written: the order, into pinfold.toml.\n";
        }
        text
    }

    fn told(&self, pack: &Ordered<'_>, screen: &Screen) -> String {
        let record = pack.record;
        let mut facts = vec![counted(pack.outlines.len(), "outline")];
        facts.extend(record.audience.clone());
        facts.extend(record.within.as_ref().map(|w| format!("within {w}")));
        let mut text = screen.wrap(&format!("{}: {}", record.name, facts.join("; ")), "  ");
        text.push('\n');
        let wide = pack.outlines.iter().map(|o| o.0.title.chars().count()).max().unwrap_or(0);
        for (place, (outline, grade, to_next)) in pack.proposed().enumerate() {
            let like = to_next.map_or(String::new(), |l| format!("{l:.2} like the next"));
            let fixed = if record.fixed.contains(&outline.name) { "fixed" } else { "" };
            let was = record.outlines.iter().position(|o| *o == outline.name).map_or(0, |p| p + 1);
            let moved = if was == place + 1 { String::new() } else { format!("was {was}") };
            let line = format!(
                "  {:>3}  {:wide$}  {}  {:<33}  {like:18}  {fixed:5}  {moved}",
                place + 1,
                outline.title,
                grade.step.word(),
                effort(grade),
            );
            text += line.trim_end();
            text.push('\n');
        }
        text += "\n  term     weight  in the file  proposed\n";
        let (file, proposed) = (&pack.as_it_is, &pack.proposal.terms);
        for (((name, weight), (_, was)), (_, is)) in
            self.weights.named().into_iter().zip(file.named()).zip(proposed.named())
        {
            text += &format!("  {name:7}  {weight:6.2}  {was:11.3}  {is:8.3}\n");
        }
        text += &format!("  cost             {:11.3}  {:8.3}\n", file.cost, proposed.cost);
        let same = pack.proposal.order.iter().enumerate().all(|(place, &i)| place == i);
        let proof = match (pack.proposal.proven, same) {
            (true, true) => "The order in the file is the best: none costs less.",
            (true, false) => "No order costs less than the one proposed.",
            (false, true) => "No order was found that costs less than the one in the file; there may be one.",
            (false, false) => "No order was found that costs less than the one proposed; there may be one.",
        };
        text.push('\n');
        text += &screen.wrap(proof, "");
        text
    }
}
