//! The bill of materials: every crate in the program with its version, licence
//! and digest, as CycloneDX 1.5 (ECMA-424), which general tools read.

use serde_json::{Map, Value, json};

use super::crates::Shipped;

/// The bill as its JSON.
pub(super) fn bill(version: &str, crates: &[Shipped]) -> Value {
    let own = format!("pkg:cargo/pinfold@{}", version);
    let parts: Vec<Value> = crates.iter().map(part).collect();
    let names: Vec<String> = crates.iter().map(reference).collect();
    json!({
        "$schema": "http://cyclonedx.org/schema/bom-1.5.schema.json",
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "version": 1,
        "metadata": {
            "component": {
                "type": "application",
                "bom-ref": own,
                "name": "pinfold",
                "version": version,
                "purl": own,
                "licenses": [{ "expression": "MIT OR Apache-2.0" }],
            },
        },
        "components": parts,
        "dependencies": [{ "ref": own, "dependsOn": names }],
    })
}

fn reference(shipped: &Shipped) -> String {
    format!("pkg:cargo/{}@{}", shipped.name, shipped.version)
}

fn part(shipped: &Shipped) -> Value {
    let mut part = Map::new();
    part.insert("type".into(), json!("library"));
    part.insert("bom-ref".into(), json!(reference(shipped)));
    part.insert("name".into(), json!(shipped.name));
    part.insert("version".into(), json!(shipped.version));
    part.insert("purl".into(), json!(reference(shipped)));
    if let Some(description) = &shipped.description {
        part.insert("description".into(), json!(description));
    }
    if let Some(licence) = &shipped.licence {
        part.insert("licenses".into(), json!([{ "expression": expression(licence) }]));
    }
    if let Some(digest) = &shipped.digest {
        part.insert("hashes".into(), json!([{ "alg": "SHA-256", "content": digest }]));
    }
    Value::Object(part)
}

/// As SPDX has it: older crates write "MIT/Apache-2.0".
fn expression(licence: &str) -> String {
    licence.replace('/', " OR ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crate_is_a_part_with_its_digest() {
        let shipped = Shipped {
            name: "tide".into(),
            version: "1.2.3".into(),
            licence: Some("MIT/Apache-2.0".into()),
            description: None,
            digest: Some("ab".repeat(32)),
            folder: "tide".into(),
        };
        let part = part(&shipped);
        assert_eq!(part["purl"], "pkg:cargo/tide@1.2.3");
        assert_eq!(part["licenses"][0]["expression"], "MIT OR Apache-2.0");
        assert_eq!(part["hashes"][0]["content"].as_str().unwrap().len(), 64);
        assert!(part.get("description").is_none());
    }
}
