//! What is published at the opening: the seal, the goals, the rules, how to check
//! them, and cautions. The same sentences go onto the printed sheet.

use crate::phases::RaceState;
use crate::seal::Tie;
use crate::standings::told;

/// The caution that stands on every opening.
pub const CAUTION: &str = "Contests with prizes are regulated almost everywhere: as games of skill or chance, \
    in advertising, in tax, in what minors may enter, in what must be published. Before this is published, \
    the maker checks the law where they and their entrants live; what stands here is no legal advice.";

impl RaceState {
    /// The rules of the race, a sentence or more each.
    pub fn rules_told(&self) -> Vec<String> {
        let proof = if self.proof {
            "An entry is the outline's number or name, the layout in writing, and at least one photo or file \
             that shows the folding with the entry mark written beside it."
        } else {
            "An entry is the outline's number or name, and the layout in writing; a photo may go with it."
        };
        let mut rules = vec![
            "Whoever wants to take part registers a name and gets an entry mark. The mark is good for this \
             name and this race alone."
                .to_owned(),
            proof.to_owned(),
            "Every layout that fills the outline by the set's rules is accepted, whether the maker knew it or \
             not."
                .to_owned(),
            format!(
                "Entries count that were received at {} or before, by the maker's clock. Later ones are kept \
                 and shown, and do not count.",
                self.until
            ),
            "An entry that is wrong costs nothing: it is told what is wrong, and another may be put in. An \
             outline counts once, from the first entry that is accepted."
                .to_owned(),
            "One photo or file is good for one entrant: a later entry of another with the same file is \
             rejected."
                .to_owned(),
            "Entrants may withdraw an entry or themselves until the race is closed.".to_owned(),
        ];
        if self.larger.is_some() {
            rules.push(format!(
                "The race is over the {} outlines of both packs; the smaller pack has {}.",
                self.outlines.len(),
                self.outlines.iter().filter(|o| o.in_pack).count()
            ));
        }
        rules
    }

    /// How a tie is decided, in a sentence or two.
    pub fn tie_told(&self) -> String {
        let level = "Entrants are level in a goal of being first when their deciding entries were received at \
                     the same instant, and in the most outlines when they have as many.";
        match self.tie {
            Tie::Receipt => format!(
                "{level} For most outlines the one who had them earlier is before the others. {}",
                Tie::Receipt.sentence()
            ),
            Tie::Shared => format!("{level} {}", Tie::Shared.sentence()),
        }
    }

    /// How anybody checks the seal after the end, a step each.
    pub fn recipe(&self) -> Vec<String> {
        let name = &self.name;
        vec![
            format!(
                "Keep this number and the file {name}-rules.txt: together they are what cannot be changed any \
                 more."
            ),
            format!(
                "At the end {name}-sealed.txt is published: the same rules with every answer and the salt."
            ),
            format!("sha256sum {name}-sealed.txt must print the number."),
            format!(
                "grep -Ev '^(salt |  answers? )' {name}-sealed.txt | diff - {name}-rules.txt must print \
                 nothing."
            ),
        ]
    }

    /// How personal data are kept, a sentence each.
    pub fn data_told(&self) -> Vec<String> {
        vec![
            "Kept are the name an entrant chooses, how to reach them if they say so, their entries and \
             photos; nothing else."
                .to_owned(),
            "Names are shown in the standings. The published log names nobody.".to_owned(),
            "On request an entrant gets all of it, or it is erased, photos too; what was solved stays under a \
             number."
                .to_owned(),
        ]
    }

    /// The goals: what is to be done, and what it wins.
    pub fn goals_told(&self) -> Vec<(String, Option<String>)> {
        self.goals.iter().map(|goal| (told(self, goal.kind), goal.prize.clone())).collect()
    }
}

/// The opening as Markdown that reads well as it is. `title` is the set's;
/// `forecast` are sentences.
pub fn opening_text(race: &RaceState, title: &str, forecast: &[String]) -> String {
    let mut text = format!("# The race {}: {}\n\n", plain(&race.name), plain(title));
    let larger = race.larger.as_ref().map_or(String::new(), |l| format!(", and over the pack {}", plain(l)));
    text += &format!("Over the pack {}{larger}.\n\n", plain(&race.pack));
    text += &format!("- Opens: {}\n- Closes: {}\n", race.opened, race.until);
    text += &format!("\n## The seal\n\nSHA-256 over rules and answers:\n\n    {}\n", race.commitment);
    text += "\n## Goals\n\n";
    for (goal, prize) in race.goals_told() {
        let prize = prize.map_or(String::new(), |prize| format!(" Prize: {}.", plain(&prize)));
        text += &format!("- {}.{prize}\n", plain(&goal));
    }
    let numbered = |items: &[String]| -> String {
        items.iter().enumerate().map(|(i, item)| format!("{}. {item}\n", i + 1)).collect()
    };
    let listed = |items: &[String]| -> String { items.iter().map(|item| format!("- {item}\n")).collect() };
    text += &format!("\n## Rules\n\n{}", numbered(&race.rules_told()));
    text += &format!("\n## Ties\n\n{}\n", race.tie_told());
    text += "\n## Outlines\n\n";
    for outline in &race.outlines {
        let number = outline.number.map_or(String::new(), |n| format!("{n}: "));
        let pack = if outline.in_pack { "" } else { " (larger pack)" };
        text += &format!("- {number}{} ({}){pack}\n", plain(&outline.title), plain(&outline.name));
    }
    if !forecast.is_empty() {
        text += &format!("\n## When the first will finish\n\n{}", listed(forecast));
    }
    let recipe: Vec<String> = race.recipe().iter().map(|step| coded(step)).collect();
    text += &format!("\n## Checking the seal\n\n{}", numbered(&recipe));
    text += &format!("\n## Personal data\n\n{}", listed(&race.data_told()));
    text += &format!("\n## Caution\n\n{CAUTION}\n");
    text
}

/// A text in which Markdown finds no markup.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '!' | '&' | '$') {
            out.push('\\');
        }
        out.push(if c.is_control() { ' ' } else { c });
    }
    out
}

/// A step of the recipe with its command as code.
fn coded(step: &str) -> String {
    match (step.find(" must print"), step.starts_with("sha256sum") || step.starts_with("grep")) {
        (Some(end), true) => format!("`{}`{}", &step[..end], &step[end..]),
        _ => step.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_is_no_markup() {
        assert_eq!(plain("*Tug* <b> [x](y) #1"), "\\*Tug\\* \\<b\\> \\[x\\](y) \\#1");
    }
}
