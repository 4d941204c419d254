//! The pages' types are made from the description of the interface, which is
//! made from the code: `PINFOLD_GOLDEN=1 cargo test -p workshop --test wire`
//! writes them anew.

use std::fmt::Write;
use std::path::Path;

use serde_json::Value;

fn typed(schema: &Value) -> String {
    if let Some(name) = schema["$ref"].as_str() {
        return name.rsplit('/').next().expect("a split has a last part").to_owned();
    }
    if let Some(all) = schema["oneOf"].as_array() {
        return all.iter().map(typed).collect::<Vec<_>>().join(" | ");
    }
    if let Some(words) = schema["enum"].as_array() {
        return words.iter().map(Value::to_string).collect::<Vec<_>>().join(" | ");
    }
    let one = |kind: &str| match kind {
        "integer" | "number" => "number".to_owned(),
        "string" => "string".to_owned(),
        "boolean" => "boolean".to_owned(),
        "null" => "null".to_owned(),
        "array" => {
            let item = typed(&schema["items"]);
            match (schema["minItems"].as_u64(), schema["maxItems"].as_u64()) {
                (Some(n), Some(m)) if n == m => {
                    format!("[{}]", vec![item; n as usize].join(", "))
                }
                _ if item.contains(' ') && !item.starts_with('[') => format!("({item})[]"),
                _ => format!("{item}[]"),
            }
        }
        _ if schema["properties"].is_object() => fields(schema, "  "),
        _ => "Record<string, unknown>".to_owned(),
    };
    match &schema["type"] {
        Value::String(kind) => one(kind),
        Value::Array(kinds) => {
            kinds.iter().filter_map(Value::as_str).map(one).collect::<Vec<_>>().join(" | ")
        }
        _ => "unknown".to_owned(),
    }
}

fn fields(schema: &Value, indent: &str) -> String {
    let required: Vec<&str> =
        schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    let mut text = String::from("{\n");
    for (name, of) in schema["properties"].as_object().into_iter().flatten() {
        if let Some(what) = of["description"].as_str() {
            writeln!(text, "{indent}/** {} */", what.replace('\n', " ")).unwrap();
        }
        let mark = if required.contains(&name.as_str()) { "" } else { "?" };
        writeln!(text, "{indent}{name}{mark}: {};", typed(of)).unwrap();
    }
    text + &indent[2..] + "}"
}

fn types() -> String {
    let api: Value = serde_json::from_str(&workshop::openapi()).unwrap();
    let mut text = String::from(
        "// What the server and the pages say to each other. Made from the server's code by\n\
         // its test `wire`: not to be changed by hand.\n",
    );
    for (name, schema) in api["components"]["schemas"].as_object().unwrap() {
        let what = schema["description"].as_str().unwrap_or_default().replace('\n', " ");
        write!(text, "\n/** {what} */\n").unwrap();
        if schema["properties"].is_object() {
            writeln!(text, "export interface {name} {}", fields(schema, "  ")).unwrap();
        } else {
            writeln!(text, "export type {name} = {};", typed(schema)).unwrap();
        }
    }
    text
}

#[test]
fn the_pages_types_are_those_of_the_server() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../web/workshop/src/wire.ts");
    let made = types();
    if std::env::var_os("PINFOLD_GOLDEN").is_some() {
        std::fs::write(&path, &made).unwrap();
    }
    let there = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(there, made, "write them anew with PINFOLD_GOLDEN=1");
}

#[test]
fn every_request_that_writes_says_that_it_needs_the_token() {
    let api: Value = serde_json::from_str(&workshop::openapi()).unwrap();
    let mut writing = 0;
    for (path, methods) in api["paths"].as_object().unwrap() {
        for (method, of) in methods.as_object().unwrap().iter().filter(|(m, _)| *m != "get") {
            writing += 1;
            let names = of["parameters"].as_array().into_iter().flatten().filter_map(|p| p["name"].as_str());
            assert!(names.into_iter().any(|n| n == "x-pinfold-token"), "{method} {path}");
            assert!(of["responses"]["403"].is_object(), "{method} {path}");
        }
    }
    assert!(writing >= 6, "{writing}");
}
