//! The answer of `packs` as JSON.

use grade::order::Terms;
use serde_json::{Map, Value, json};

use super::{Case, Ordered};
use crate::grading::short;

impl Case<'_> {
    pub(super) fn json(&self) -> Value {
        let packs: Vec<Value> = self
            .packs
            .iter()
            .map(|pack| match pack {
                Ok(pack) => told(pack),
                Err((record, why)) => json!({ "pack": record.name, "proposed": null, "why": why }),
            })
            .collect();
        let weights: Map<String, Value> =
            self.weights.named().into_iter().map(|(name, weight)| (name.to_owned(), json!(weight))).collect();
        let mut object = Map::new();
        object.insert("packs".into(), packs.into());
        object.insert("weights".into(), weights.into());
        self.args.people.json(&mut object);
        object.insert("seconds".into(), json!(self.seconds));
        object.insert("written".into(), json!(self.written));
        let files: Vec<String> = self.files.iter().map(|f| f.display().to_string()).collect();
        object.insert("files".into(), json!(files));
        object.into()
    }
}

fn told(pack: &Ordered<'_>) -> Value {
    let record = pack.record;
    let outlines: Vec<Value> = pack
        .proposed()
        .map(|(outline, grade, to_next)| {
            json!({
                "outline": outline.name,
                "title": outline.title,
                "grade": grade.step.word(),
                "effort": short(grade.effort),
                "effort_interval": grade.interval.map(short),
                "fixed": record.fixed.contains(&outline.name),
                "like_the_next": to_next.map(short),
            })
        })
        .collect();
    let names: Vec<&str> = pack.proposed().map(|p| p.0.name.as_str()).collect();
    json!({
        "pack": record.name,
        "audience": record.audience,
        "within": record.within,
        "in_the_file": { "order": record.outlines, "terms": terms(&pack.as_it_is) },
        "proposed": { "order": names, "terms": terms(&pack.proposal.terms), "proven": pack.proposal.proven },
        "outlines": outlines,
    })
}

fn terms(terms: &Terms) -> Value {
    let mut object: Map<String, Value> =
        terms.named().into_iter().map(|(name, value)| (name.to_owned(), short(value))).collect();
    object.insert("cost".into(), short(terms.cost));
    object.into()
}
