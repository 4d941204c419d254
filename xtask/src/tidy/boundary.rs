//! Where `unsafe` may stand: nowhere, but for the marks on the functions that a
//! WebAssembly module shows and the clock it takes, in one file.

use anyhow::Result;

use super::Workspace;

/// The crate whose lints are its own for that, and the file in it.
pub(super) const CRATE: &str = "browser";
const FILE: &str = "crates/browser/src/boundary.rs";

/// What may stand there.
const MARKS: [&str; 3] = ["#[unsafe(no_mangle)]", "unsafe extern \"C\" {", "#![allow(unsafe_code)]"];

pub(super) fn run(workspace: &Workspace) -> Result<Vec<String>> {
    let sources = "crates/browser/";
    let files: Vec<_> =
        workspace.files.iter().filter(|f| f.name.starts_with(sources) && f.name.ends_with(".rs")).collect();
    let mut faults = Vec::new();
    if !files.iter().any(|f| f.name == FILE) {
        faults.push(format!("{FILE} is not there: name the boundary anew in xtask"));
    }
    for file in files {
        for line in unsafe_lines(&file.text, file.name == FILE) {
            faults.push(format!("{}:{line}: `unsafe` has its place in {FILE} alone, as a mark", file.name));
        }
    }
    Ok(faults)
}

/// The lines, from 1, where `unsafe` stands that should not.
fn unsafe_lines(text: &str, marks_allowed: bool) -> Vec<usize> {
    let code = |line: &str| line.split("//").next().unwrap_or_default().trim().to_owned();
    let wrong =
        |line: &String| line.contains("unsafe") && !(marks_allowed && MARKS.iter().any(|mark| line == mark));
    text.lines().map(code).enumerate().filter(|(_, line)| wrong(line)).map(|(i, _)| i + 1).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const MARKED: &str = "#![allow(unsafe_code)] // why\n#[unsafe(no_mangle)]\npub extern \"C\" fn ask() {}";

    #[test]
    fn marks_pass_in_the_one_file() {
        assert_eq!(unsafe_lines(MARKED, true), [0; 0]);
        assert_eq!(unsafe_lines(MARKED, false), [1, 2]);
    }

    #[test]
    fn blocks_pass_nowhere() {
        assert_eq!(unsafe_lines("let x = unsafe { *p };\nunsafe fn f() {} // unsafe", true), [1, 2]);
        assert_eq!(unsafe_lines("// nothing unsafe here", false), [0; 0]);
    }
}
