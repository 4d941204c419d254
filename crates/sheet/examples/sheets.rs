//! Writes sheets and ornaments as JSON, for `outside/sheets.py` to judge.

use serde_json::{Value, json};
use sheet::ornament::{Aim, Ask, Symmetry, solve};
use sheet::rigidity::{Where, nullity};
use sheet::{End, Hand, Sheet};

fn main() {
    let mut all = Vec::new();
    for (m, n) in [(2, 2), (3, 2), (4, 2), (3, 3), (4, 3), (4, 4), (5, 5), (6, 6)] {
        for hand in [Hand::Left, Hand::Right] {
            let sheet = Sheet::new(m, n, hand).expect("a size that is made");
            all.push(told(&sheet));
        }
    }
    println!("{}", Value::Array(all));
}

fn told(sheet: &Sheet) -> Value {
    let angles: Vec<f64> = (0..=180).map(|k| f64::from(k) / 2.0).collect();
    let poses: Vec<Value> = angles
        .iter()
        .map(|a| {
            let theta = a.to_radians();
            let of = |b| {
                let [x, y] = sheet.centre(b, theta);
                [x, y, sheet.turn(b, theta)]
            };
            json!({ "degrees": a, "extent": sheet.extent(theta), "blocks": (0..sheet.blocks()).map(of).collect::<Vec<_>>() })
        })
        .collect();
    let met = End::BOTH.map(|e| sheet.meetings(e));
    json!({
        "columns": sheet.columns(),
        "rows": sheet.rows(),
        "hand": sheet.hand().sign(),
        "hinges": sheet.ties().len(),
        "coincident": met.map(|m| m.coincident),
        "alone": met.map(|m| m.alone),
        "nullity": Where::ALL.map(|w| nullity(sheet, w)),
        "trees": sheet::left::left(sheet, 1_000, &|| false).map(|all| all.iter().map(|l| l.trees).sum::<usize>()),
        "poses": poses,
        "ornaments": ornaments(sheet),
    })
}

fn ornaments(sheet: &Sheet) -> Vec<Value> {
    let mut all = Vec::new();
    for aim in [Aim::Holes, Aim::Loops, Aim::Contrast] {
        for symmetry in [Symmetry::None, Symmetry::Quarter, Symmetry::Mirror] {
            for islands in [false, true] {
                let Ok(found) = solve(sheet, &Ask { aim, symmetry, islands, seed: 1 }, &|| false) else {
                    continue;
                };
                let ends = [found.closed, found.turned];
                all.push(json!({
                    "aim": format!("{aim:?}").to_lowercase(),
                    "symmetry": format!("{symmetry:?}").to_lowercase(),
                    "islands": islands,
                    "panels": found.panels.iter().map(|j| j.code()).collect::<String>(),
                    "loops": ends.map(|c| c.loops),
                    "holes": ends.map(|c| c.holes),
                    "parts": ends.map(|c| c.parts),
                    "islands_seen": ends.map(|c| c.islands),
                    "bound": found.bound,
                    "proven": found.proven,
                }));
            }
        }
    }
    all
}
