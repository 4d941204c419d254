//! Words that must not stand in some files.

use anyhow::Result;

use super::Workspace;

/// Crates whose answers depend on their arguments alone, with the words each
/// must do without besides those in [`LOUD`].
const QUIET: [(&str, &[&str]); 6] = [
    ("lattice", &["f32", "f64", "thread"]),
    ("minutes", &["thread"]),
    ("reach", &["thread"]),
    ("fill", &[]),
    ("grade", &[]),
    ("ruling", &["thread"]),
];

/// Files, clocks, the environment, and printing.
const LOUD: [&str; 14] = [
    "fs",
    "io",
    "env",
    "net",
    "process",
    "Instant",
    "SystemTime",
    "println",
    "eprintln",
    "print",
    "eprint",
    "dbg",
    "File",
    "getenv",
];

/// Quiet crates read nothing and print nothing, outside of their tests and benches.
pub(super) fn quiet(workspace: &Workspace) -> Result<Vec<String>> {
    let mut faults = Vec::new();
    for (name, more) in QUIET {
        let sources = format!("crates/{name}/src/");
        let files: Vec<_> = workspace.files.iter().filter(|f| f.name.starts_with(&sources)).collect();
        if files.is_empty() {
            faults.push(format!("{sources} has no files: name the quiet crates anew in xtask"));
        }
        for file in files {
            for (line, word) in loud(&file.text, more) {
                faults.push(format!("{}:{line}: `{word}` has no place in a quiet crate", file.name));
            }
        }
    }
    Ok(faults)
}

/// Where the forbidden words stand, by line from 1.
fn loud(text: &str, more: &[&str]) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    let lines: Vec<&str> = text.lines().collect();
    for (i, line) in lines.iter().enumerate() {
        let starts_module = |l: &&str| l.trim_start().starts_with("mod ");
        if line.trim() == "#[cfg(test)]" && lines.get(i + 1).is_some_and(starts_module) {
            break; // tests stand last
        }
        let code = line.split("//").next().unwrap_or_default();
        let mut before = "";
        let mut rest = code;
        while let Some(start) = rest.find(is_part) {
            let word = &rest[start..];
            let word = &word[..word.find(|c| !is_part(c)).unwrap_or(word.len())];
            let gap = &rest[..start];
            rest = &rest[start + word.len()..];
            let forbidden = LOUD.contains(&word) || more.contains(&word);
            // A name of two letters may mean anything; after `std::` it does not.
            let of_std = gap.trim() == "::" && before == "std";
            let called =
                rest.starts_with('!') || word.starts_with(char::is_uppercase) || more.contains(&word);
            if forbidden && (of_std || called) {
                found.push((i + 1, word.to_owned()));
            }
            before = word;
        }
    }
    found
}

fn is_part(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Paths of one machine and hosts of registries.
pub(super) fn machine(workspace: &Workspace) -> Result<Vec<String>> {
    // In halves, so that this file does not tell of one either.
    let halves = [
        ("/wo", "rk/"),
        ("/tm", "p/"),
        ("/ho", "me/"),
        ("/ro", "ot/"),
        ("/Us", "ers/"),
        ("pypi", ".org"),
        ("pythonhosted", ".org"),
        ("npmjs", ".org"),
        ("npmjs", ".com"),
        ("static.crates", ".io"),
        ("deb.debian", ".org"),
        ("index", "-url"),
    ];
    let told: Vec<String> = halves.iter().map(|(a, b)| format!("{a}{b}")).collect();
    let mut faults = Vec::new();
    for file in &workspace.files {
        for (i, line) in file.text.lines().enumerate() {
            for word in told.iter().filter(|word| line.contains(word.as_str())) {
                faults.push(format!("{}:{}: `{word}` tells of one machine or registry", file.name, i + 1));
            }
        }
    }
    Ok(faults)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_clocks_and_printing_are_seen() {
        let words = |text| loud(text, &[]).into_iter().map(|w| w.1).collect::<Vec<_>>();
        assert_eq!(words("use std::fs;"), ["fs"]);
        assert_eq!(words("let t = std::time::Instant::now();"), ["Instant"]);
        assert_eq!(words("println!(\"{x}\"); dbg!(x);"), ["println", "dbg"]);
        assert_eq!(loud("let x: f64 = 0.0;", &["f64"]), [(1, "f64".to_owned())]);
    }

    #[test]
    fn words_in_notes_and_tests_are_free() {
        let text = "// println!\nlet fs = io(env);\n#[cfg(test)]\nmod tests {\n    println!();\n}";
        assert_eq!(loud(text, &[]), []);
    }
}
