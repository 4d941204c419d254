//! Answers sealed: published as a commitment now, and as a text that anybody can
//! hold against it later.
//!
//! The sealed text, to the byte (UTF-8, every line ended by one line feed):
//!
//! ```text
//! 64 small hexadecimal figures: the salt
//! pinfold sealed answers 1
//! pack NAME VERSION
//! outline NUMBER NAME all N        (or: at least N)
//! CODE                             (N lines, sorted: lattice::layout_code)
//! ```
//!
//! with the last two for each outline by number. The commitment is the SHA-256
//! (FIPS 180-4) of that text, so that the usual checksum program checks it. The
//! salt is there because answers alone could be tried out one after another.

use desk::Failure;
use lattice::Class;
use project::Project;
use solid::sha256;

use crate::answers::Answered;

/// Sealed answers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealed {
    /// What is kept until the answers are published.
    pub text: String,
    /// What is published now: SHA-256 of the text in hexadecimal figures.
    pub commitment: String,
    /// The codes of all layouts, for making sure that they are nowhere else.
    pub codes: Vec<String>,
}

/// Seals the answers of a pack.
///
/// # Errors
/// An outline whose search was interrupted: half an answer is not sealed.
pub fn seal(
    project: &Project,
    classes: &[Class],
    pack: (&str, &str),
    answered: &[Answered<'_>],
    salt: [u8; 32],
) -> Result<Sealed, Failure> {
    let mut text: String = salt.iter().map(|b| format!("{b:02x}")).collect();
    text += &format!("\npinfold sealed answers 1\npack {} {}\n", pack.0, pack.1);
    let mut by_number: Vec<&Answered<'_>> = answered.iter().collect();
    by_number.sort_by_key(|a| a.number);
    let mut all = Vec::new();
    for one in by_number {
        let codes = one.codes(project, classes);
        let certainty = match one.filling.certainty {
            fill::Certainty::Complete => "all",
            fill::Certainty::Limit => "at least",
            _ => {
                let name = &one.record.name;
                return Err(Failure::plain(
                    format_args!("the search of '{name}' was interrupted: nothing was sealed"),
                    "run the command again",
                ));
            }
        };
        text += &format!("outline {} {} {certainty} {}\n", one.number, one.record.name, codes.len());
        for code in &codes {
            text += code;
            text.push('\n');
        }
        all.extend(codes);
    }
    Ok(Sealed { commitment: sha256(text.as_bytes()), text, codes: all })
}
