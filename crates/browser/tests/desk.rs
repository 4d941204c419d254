//! The desk as a page asks it: answers, refusals, and any bytes at all.

use std::cell::Cell as Counter;
use std::sync::atomic::{AtomicU64, Ordering};

use browser::{Desk, seal};
use serde_json::{Value, json};

/// Two pieces of the demo project.
fn set(reach: &str, turn_over: bool) -> Value {
    json!({
        "levels": 2, "turn_over": turn_over, "reach": reach,
        "sizes": { "pitch": 15.0, "gap": 0.3, "knuckle": 3.0, "clearance": 0.3 },
        "pieces": [
            { "blocks": [[0, 0], [1, 0], [2, 0], [2, 1]], "hinges": [
                { "pin": [1, 1], "joins": [0, 1], "level": 0 },
                { "pin": [2, 0], "joins": [1, 2], "level": 1 },
                { "pin": [3, 1], "joins": [2, 3], "level": 0 }] },
            { "blocks": [[0, 0], [1, 0], [1, 1], [0, 1]], "hinges": [
                { "pin": [1, 0], "joins": [0, 1], "level": 0 },
                { "pin": [2, 1], "joins": [1, 2], "level": 0 },
                { "pin": [1, 2], "joins": [2, 3], "level": 1 }] },
        ],
    })
}

struct Page(Desk);

impl Page {
    fn of(set: Value) -> Self {
        let mut page = Page(Desk::default());
        assert_eq!(page.ask(json!({ "open": { "set": set } })).get("error"), None);
        page
    }

    fn ask(&mut self, question: Value) -> Value {
        serde_json::from_slice(&self.0.ask(question.to_string().as_bytes(), &|| 0.0)).unwrap()
    }

    fn refusal(&mut self, question: Value) -> String {
        self.ask(question)["error"].as_str().expect("it is refused").to_owned()
    }
}

fn basin() -> Value {
    json!({ "drawing": "o o o o o\n # # # #\no + + + o\n # # # #\no o o o o" })
}

#[test]
fn what_is_counted_is_judged_to_fill() {
    let mut page = Page::of(set("swings", false));
    let found = page.ask(json!({ "count": { "outline": basin(), "ask": { "answers": 50 } } }));
    assert_eq!(found["certainty"], "complete");
    let answers = found["answers"].as_array().unwrap();
    assert!(answers.len() > 3 && answers.len() as u64 == found["different"].as_u64().unwrap());
    let mut codes = Vec::new();
    for answer in answers {
        let judged = page.ask(json!({ "judge": { "outline": basin(), "placed": answer["placed"] } }));
        assert_eq!(judged["faults"], json!([]));
        assert_eq!(judged["fills"], answer["drop_in"].is_array());
        codes.push(judged["code"].as_str().unwrap().to_owned());
    }
    // Essentially different layouts have different codes.
    let count = codes.len();
    codes.sort();
    codes.dedup();
    assert_eq!(codes.len(), count);
}

#[test]
fn every_move_leads_to_a_sound_pose_and_back() {
    for (reach, over) in [("swings", false), ("any", true)] {
        let mut page = Page::of(set(reach, over));
        for piece in 0..2 {
            for mirrored in 0..=i32::from(over) {
                let mut pose = json!(vec![[mirrored, 1, 2, 3]; 4]);
                for step in 0..40usize {
                    let moves = page.ask(json!({ "moves": { "piece": piece, "pose": pose } }));
                    let moves: Vec<Value> = moves.as_array().unwrap().clone();
                    assert_eq!(moves.len(), 6, "each hinge, each way");
                    let open: Vec<&Value> = moves.iter().filter(|m| m["after"].is_array()).collect();
                    let chosen = open[step * 7 % open.len()];
                    let after = chosen["after"].clone();
                    let back = page.ask(json!({ "moves": { "piece": piece, "pose": after } }));
                    let undone = back.as_array().unwrap().iter().find(|m| {
                        m["hinge"] == chosen["hinge"] && m["turn"] == 4 - chosen["turn"].as_u64().unwrap()
                    });
                    let undone = undone.expect("both ways are told");
                    if chosen["how"] == "swing" {
                        assert_eq!((&undone["how"], &undone["after"]), (&json!("swing"), &pose));
                    }
                    pose = after;
                }
            }
        }
    }
}

/// Cells and pins with the lower left cell at the origin: what a fold is.
fn fold(page: &mut Page, piece: usize, pose: &Value) -> Value {
    let places = page.ask(json!({ "places": { "piece": piece, "pose": pose } }));
    let read = |key: &str| -> Vec<Vec<i64>> { serde_json::from_value(places[key].clone()).unwrap() };
    let (mut cells, mut pins) = (read("cells"), read("pins"));
    let low = [0, 1].map(|axis| cells.iter().map(|c| c[axis]).min().unwrap());
    for place in cells.iter_mut().chain(&mut pins) {
        place[0] -= low[0];
        place[1] -= low[1];
    }
    cells.sort();
    pins.sort();
    json!([cells, pins])
}

#[test]
fn moves_lead_to_just_the_folds_that_swings_reach() {
    let mut page = Page::of(set("swings", false));
    for piece in 0..2 {
        let all = page.ask(json!({ "folds": { "piece": piece } }));
        let mut wanted: Vec<String> = all["folds"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|f| !f["distance"].is_null())
            .map(|f| fold(&mut page, piece, &f["pose"]).to_string())
            .collect();
        // From home, turned all four ways: the hand turns the whole for nothing.
        let mut poses: Vec<Value> = (0..4).map(|turn| json!(vec![[0, turn, 0, 0]; 4])).collect();
        let mut known: Vec<String> = poses.iter().map(|p| fold(&mut page, piece, p).to_string()).collect();
        let mut at = 0;
        while at < poses.len() {
            let moves = page.ask(json!({ "moves": { "piece": piece, "pose": poses[at] } }));
            for after in moves.as_array().unwrap().iter().map(|m| &m["after"]).filter(|a| a.is_array()) {
                let key = fold(&mut page, piece, after).to_string();
                if !known.contains(&key) {
                    known.push(key);
                    poses.push(after.clone());
                }
            }
            at += 1;
        }
        known.sort();
        known.dedup();
        wanted.sort();
        assert_eq!(known, wanted);
        assert!(known.len() > 50, "{}", known.len());
    }
}

#[test]
fn a_budget_ends_a_search_and_says_so() {
    let mut page = Page::of(set("any", false));
    let big = json!({ "cells": (0..64).map(|i| [i % 8, i / 8]).collect::<Vec<[i32; 2]>>(), "spare": 56 });
    let ask = json!({ "open": true, "budget": { "looks": 2 } });
    let stopped = page.ask(json!({ "count": { "outline": big, "ask": ask } }));
    assert_eq!(stopped["certainty"], "stopped");
    let ticks = AtomicU64::new(0);
    let clock = || ticks.fetch_add(1, Ordering::Relaxed) as f64;
    let ask = json!({ "open": true, "budget": { "milliseconds": 3 } });
    let question = json!({ "count": { "outline": big, "ask": ask } }).to_string();
    let told: Value = serde_json::from_slice(&page.0.ask(question.as_bytes(), &clock)).unwrap();
    assert_eq!(told["certainty"], "stopped");
    let limit = page.ask(json!({ "count": { "outline": basin(), "ask": { "limit": 2 } } }));
    assert_eq!((&limit["certainty"], &limit["different"]), (&json!("limit"), &json!(2)));
}

#[test]
fn pockets_told_leave_one_layout() {
    let mut page = Page::of(set("swings", false));
    let told = page.ask(json!({ "pockets": { "outline": basin(), "ask": { "most_layouts": 10_000 } } }));
    assert_eq!(told["complete"], true);
    for end in ["smallest", "largest"] {
        let facts = page.ask(json!({ "outline": { "outline": basin() } }));
        let outline = json!({ "cells": facts["cells"], "pockets": told[end]["pockets"] });
        let counted = page.ask(json!({ "count": { "outline": outline, "ask": {} } }));
        assert_eq!((&counted["different"], &counted["certainty"]), (&json!(1), &json!("complete")));
    }
}

#[test]
fn a_fold_that_the_rule_leaves_out_does_not_fill() {
    // A ring that moves only as a whole: swings reach home alone.
    let ring = |reach: &str| {
        let mut set = set(reach, false);
        set["pieces"] = json!([{ "blocks": [[0, 0], [1, 0], [1, 1], [0, 1]], "hinges": [
            { "pin": [1, 0], "joins": [0, 1], "level": 0 },
            { "pin": [1, 1], "joins": [1, 2], "level": 1 },
            { "pin": [1, 2], "joins": [2, 3], "level": 0 },
            { "pin": [1, 1], "joins": [3, 0], "level": 0 }] }]);
        set
    };
    let mut any = Page::of(ring("any"));
    let home = json!(vec![[0, 0, 0, 0]; 4]);
    let moves = any.ask(json!({ "moves": { "piece": 0, "pose": home } }));
    let together = moves.as_array().unwrap().iter().find(|m| m["how"] == "together").unwrap();
    let placed = json!([{ "piece": 0, "pose": together["after"] }]);
    let places = any.ask(json!({ "places": { "piece": 0, "pose": together["after"] } }));
    let open = any.ask(json!({ "outline": { "outline": { "cells": places["cells"] } } }));
    let outline = json!({ "cells": places["cells"], "pockets": open["edge"] });
    let ask = json!({ "judge": { "outline": outline, "placed": placed } });
    assert_eq!(any.ask(ask.clone())["fills"], true);
    let mut swings = Page::of(ring("swings"));
    let judged = swings.ask(ask.clone());
    assert_eq!((&judged["fills"], &judged["faults"][0]["kind"]), (&json!(false), &json!("not reached")));
    // Planned: the pose is among those that the program has found.
    let mut set = ring("planned");
    set["pieces"][0]["poses"] = json!([together["after"]]);
    let mut planned = Page::of(set);
    assert_eq!(planned.ask(ask)["fills"], true);
    let moves = planned.ask(json!({ "moves": { "piece": 0, "pose": home } }));
    assert!(moves.as_array().unwrap().iter().any(|m| m["how"] == "together"));
}

#[test]
fn the_seal_is_the_programs_own() {
    let mut page = Page(Desk::default());
    let told = page.ask(json!({ "seal": { "salt": "s", "code": "1122" } }));
    assert_eq!(told["seal"], seal("s", "1122"));
}

#[test]
fn what_is_wrong_is_told() {
    let mut page = Page(Desk::default());
    assert_eq!(page.refusal(json!({ "moves": { "piece": 0, "pose": [] } })), "no set is open");
    assert!(page.refusal(json!({ "sing": {} })).contains("was not understood"));
    let mut torn = set("any", false);
    torn["pieces"][0]["hinges"][0]["pin"] = json!([7, 7]);
    torn["pieces"][1]["hinges"][0]["level"] = json!(2);
    let said = page.refusal(json!({ "open": { "set": torn } }));
    assert!(said.contains("piece 0: the pin") && said.contains("piece 1: level 2"), "{said}");
    let mut thin = set("any", false);
    thin["sizes"]["knuckle"] = json!(-1.0);
    assert!(page.refusal(json!({ "open": { "set": thin } })).contains("knuckle"));
    let mut page = Page::of(set("any", false));
    assert!(page.refusal(json!({ "moves": { "piece": 9, "pose": [] } })).contains("no piece 9"));
    assert!(page.refusal(json!({ "moves": { "piece": 0, "pose": [[0, 0, 0, 0]] } })).contains("1 motions"));
    let torn = json!([[0, 0, 0, 0], [0, 0, 0, 0], [0, 0, 0, 0], [0, 0, 1, 0]]);
    assert!(page.refusal(json!({ "moves": { "piece": 0, "pose": torn } })).contains("hold together"));
    let far = json!({ "cells": [[2_000_000_000, 0]] });
    assert!(page.refusal(json!({ "outline": { "outline": far } })).contains("too far out"));
    assert!(page.refusal(json!({ "outline": { "outline": { "drawing": "+ x" } } })).contains("line 1"));
}

/// Whatever the bytes, there is an answer, and it is JSON.
#[test]
fn no_bytes_break_it() {
    let mut rng = fastrand::Rng::with_seed(11);
    let outline = json!({ "cells": [[0, 0], [1, 0]], "pockets": [[1, 1]] });
    let placed = json!({ "piece": 0, "pose": vec![[0, 0, 0, 0]; 4] });
    let questions: Vec<String> = [
        json!({ "open": { "set": set("planned", true) } }),
        json!({ "moves": { "piece": 1, "pose": vec![[0, 3, 5, -5]; 4] } }),
        json!({ "places": { "piece": 1, "pose": vec![[1, 3, 5, -5]; 4] } }),
        json!({ "lay": { "outline": outline, "lying": [placed], "piece": placed } }),
        json!({ "judge": { "outline": outline, "placed": [placed, placed] } }),
        json!({ "count": { "outline": outline, "ask": { "limit": 3, "budget": { "looks": 4 } } } }),
        json!({ "outline": { "outline": { "drawing": "+ o +\n # #\n+ + +" } } }),
    ]
    .iter()
    .map(Value::to_string)
    .collect();
    let mut desk = Desk::default();
    let answered = Counter::new(0);
    for round in 0..20_000 {
        let mut bytes = questions[round % questions.len()].clone().into_bytes();
        for _ in 0..rng.usize(0..4) {
            let at = rng.usize(0..bytes.len());
            match rng.u8(0..4) {
                0 => bytes[at] = rng.u8(..),
                1 => drop(bytes.remove(at)),
                2 => bytes[at] = b"0123456789-[]{},\"e."[rng.usize(0..19)],
                _ => bytes.insert(at, b"0123456789-"[rng.usize(0..11)]),
            }
        }
        let told: Value = serde_json::from_slice(&desk.ask(&bytes, &|| 0.0)).unwrap();
        answered.set(answered.get() + usize::from(told.get("error").is_none()));
    }
    assert!(answered.get() > 4_000, "most were refused: {}", answered.get());
}

#[test]
fn a_drawing_is_told_of_at_once_and_then_in_full() {
    let mut page = Page::of(set("swings", false));
    let cells = page.ask(json!({ "outline": { "outline": basin() } }))["cells"].clone();
    let mut drawn = cells.as_array().unwrap().clone();
    // An outline that no turn maps onto itself, so that the tables serve: the last cell moves.
    drawn.pop();
    drawn.push(json!([0, 2]));
    let first = page.ask(json!({ "live": { "cells": drawn, "pockets": [] } }));
    assert_eq!((first["missing"].as_i64(), first["parts"].as_u64()), (Some(0), Some(1)));
    assert_eq!((&first["advice"]["complete"], &first["advice"]["largest"]), (&json!(true), &Value::Null));
    let full = page.ask(json!({ "live": { "cells": drawn, "pockets": [], "thorough": true } }));
    assert_eq!(first["filling"], full["filling"]);
    assert_eq!(full["advice"]["sought_largest"], true);
    let listed =
        page.ask(json!({ "pockets": { "outline": { "cells": drawn }, "ask": { "most_layouts": 10_000 } } }));
    for told in [&first, &full] {
        for name in ["layouts_open", "different_open"] {
            assert_eq!(told["advice"][name], listed[name], "{name}");
        }
        assert_eq!(told["advice"]["smallest"]["same_size"], listed["smallest"]["same_size"]);
        assert_eq!(told["advice"]["smallest"]["pockets"], listed["smallest"]["pockets"]);
        assert_eq!(told["advice"]["smallest"]["blind"], listed["smallest"]["blind"]);
    }
    assert_eq!(full["advice"]["largest"]["pockets"], listed["largest"]["pockets"]);
    // The pockets that were advised leave one layout.
    let advised = &first["advice"]["smallest"]["pockets"];
    let alone = page.ask(json!({ "live": { "cells": drawn, "pockets": advised } }));
    assert_eq!(alone["filling"]["unique"], true);
    let fit = alone["filling"]["layout"]["pieces"].as_array().unwrap();
    assert_eq!(fit.iter().map(|p| p["cells"].as_array().unwrap().len()).sum::<usize>(), 8);

    drawn.pop();
    let small = page.ask(json!({ "live": { "cells": drawn, "pockets": [] } }));
    assert_eq!(small["notes"], json!(["1 cell to draw: the set has 8 blocks."]));
    drawn.push(json!([9, 9]));
    let apart = page.ask(json!({ "live": { "cells": drawn, "pockets": [] } }));
    assert!(apart["notes"][0].as_str().unwrap().contains("no pieces of the set add up to"), "{apart}");
    assert_eq!(apart["filling"]["layouts"], 0);
    assert!(page.refusal(json!({ "live": { "cells": drawn, "pockets": [[20, 20]] } })).contains("(20, 20)"));
}

#[test]
fn a_layout_is_judged_however_it_is_told() {
    let mut page = Page::of({
        let mut set = set("swings", false);
        set["letters"] = json!("CF");
        set
    });
    let found = page.ask(json!({ "count": { "outline": basin(), "ask": { "answers": 50 } } }));
    let mut accepted = 0;
    for answer in found["answers"].as_array().unwrap() {
        let judged = page.ask(json!({ "judge": { "outline": basin(), "placed": answer["placed"] } }));
        let mut covered = Vec::new();
        for placed in answer["placed"].as_array().unwrap() {
            let at = page.ask(json!({ "places": { "piece": placed["piece"], "pose": placed["pose"] } }));
            for cell in at["cells"].as_array().unwrap() {
                covered.push(json!([cell[0], cell[1], placed["piece"]]));
            }
        }
        let painted = page.ask(json!({ "painted": { "outline": basin(), "covered": covered } }));
        // One of its foldings may be interlocked and another not.
        if judged["fills"] == json!(true) {
            assert_eq!(painted["accepted"], true, "{painted}");
            assert_eq!(painted["code"], judged["code"]);
            accepted += 1;
        }
        assert_eq!(painted["covered"].as_array().unwrap().len(), 8);
        for text in [&painted["rows"], &painted["short"]] {
            let read = page.ask(json!({ "written": { "outline": basin(), "text": text } }));
            assert_eq!(read, painted, "{text}");
        }
    }
    assert!(accepted > 3);
}

#[test]
fn slips_and_faults_of_a_written_layout_are_told() {
    let mut page = Page::of(set("swings", false));
    let read = page.ask(json!({ "written": { "outline": basin(), "text": "AAAA/BXB" } }));
    assert_eq!(
        read["misread"],
        json!([
            "row 2 from the top, mark 2: no piece has the letter 'X'; the letters are A B",
            "row 2 from the top has 3 marks instead of 4, one for each of its cells",
        ])
    );
    let read = page.ask(json!({ "written": { "outline": basin(), "text": "ABAB/BABA" } }));
    assert_eq!((&read["accepted"], &read["misread"]), (&json!(false), &json!([])));
    assert_eq!(read["faults"][0]["kind"], "no fold");
    let few = page.ask(json!({ "painted": { "outline": basin(), "covered": [[0, 0, 1]] } }));
    assert_eq!(few["faults"][1]["says"], "B covers 1 cell but has 4 blocks");
    assert_eq!((&few["rows"], &few["short"]), (&json!("----/B---"), &Value::Null));
    for covered in
        [json!([[0, 0, 2]]), json!([[0, 0, -1]]), json!([[9, 9, 0]]), json!([[0, 0, 0], [0, 0, 1]])]
    {
        page.refusal(json!({ "painted": { "outline": basin(), "covered": covered } }));
    }
    let mark = page.ask(json!({ "mark": { "text": "0000-0000-0000" } }));
    assert!(mark["mark"].is_null() && mark["misread"][0].as_str().unwrap().contains("check symbol"));
    let mut twice = set("swings", false);
    twice["letters"] = json!("AA");
    let mut page = Page::of(twice);
    let refused = page.refusal(json!({ "written": { "outline": basin(), "text": "AAAA/AAAA" } }));
    assert_eq!(refused, "pieces 0 and 1 have the same letter, 'A'");
}
