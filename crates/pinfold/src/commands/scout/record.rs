//! The answer of `scout` as JSON.

use ::scout::finds::{Find, code};
use lattice::Vertex;
use serde_json::{Map, Value, json};

use super::page::Told;
use crate::answer::Failure;
use crate::work::Early;
use desk::layouts::vertex_json;

impl Told<'_> {
    pub(super) fn json(&self) -> Result<Value, Failure> {
        let finds = self.ranked.shown.iter().enumerate().map(|(i, find)| find_json(i + 1, find));
        let mut object = Map::new();
        object.insert("looked_at".into(), json!(self.found.looked));
        object.insert("found".into(), json!(self.found.good));
        object.insert("passed_over".into(), json!(self.ranked.among - self.ranked.shown.len()));
        object.insert("complete".into(), json!(self.hunt.work.ended().is_none()));
        let stopped = self.hunt.work.ended().map(|early| match early {
            Early::Time => "time",
            Early::Interrupted => "interrupted",
        });
        object.insert("stopped".into(), json!(stopped));
        object.insert("reach".into(), json!(self.hunt.project.rules.reach.word()));
        object.append(&mut self.found.facts.clone());
        object.insert("finds".into(), finds.collect());
        object.insert("notes".into(), json!(self.found.notes));
        object.insert("files".into(), json!(self.files));
        object.insert("kept".into(), json!(self.kept));
        object.insert("seconds".into(), json!(self.hunt.work.seconds()));
        Ok(Value::Object(object))
    }
}

pub(super) fn find_json(rank: usize, find: &Find) -> Value {
    let outline = find.outline();
    let (low, width, height) = outline.bounds();
    // As in the drawing, whose lower left corner is (0, 0).
    let places =
        |all: &[Vertex]| all.iter().map(|&v| vertex_json(v.shifted(-low.x, -low.y))).collect::<Vec<_>>();
    let look = &find.look;
    let smallest = look.smallest.as_ref();
    let largest = look.largest.as_ref();
    let terms = find.terms.iter().map(|t| json!({ "name": t.name, "weight": t.weight, "value": t.value }));
    json!({
        "rank": rank,
        "place": find.place,
        "drawing": lattice::drawing::print(&outline),
        "code": code(&find.cells),
        "width": width,
        "height": height,
        "layouts": look.layouts,
        "different": look.different,
        "drop_in_layouts": look.drop_in,
        "complete": look.complete,
        "pockets": smallest.map(|alone| places(&alone.pockets)),
        "smallest_size": smallest.map(|alone| alone.pockets.len()),
        "smallest_count": smallest.map(|alone| alone.same_size),
        "smallest_proven": smallest.map(|alone| alone.proven),
        "largest": largest.map(|alone| places(&alone.pockets)),
        "largest_size": largest.map(|alone| alone.pockets.len()),
        "largest_proven": largest.map(|alone| alone.proven),
        "score": find.score,
        "terms": terms.collect::<Vec<_>>(),
        "notes": find.notes,
    })
}
