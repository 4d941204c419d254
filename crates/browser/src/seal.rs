//! A layout's code, hashed with salt, so that it can be recognised without
//! being told.

use sha2::{Digest, Sha256};

/// What a sealed text begins with, so that no other hash is taken for one.
pub const SEAL: &str = "pinfold layout 1";

/// The SHA-256 of the lines [`SEAL`], `salt` and `code`, each ended by a line
/// feed, in hexadecimal. Without a long random salt a code can be guessed.
pub fn seal(salt: &str, code: &str) -> String {
    let sum = Sha256::digest(format!("{SEAL}\n{salt}\n{code}\n"));
    sum.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_seal_is_the_hash_of_three_lines() {
        // printf 'pinfold layout 1\nsalt\n1122\n' | sha256sum
        assert_eq!(seal("salt", "1122"), "5a99247f17989b3849ec7119500ba97ff86ed9202261471ddbd347c1a3210fef");
        assert_ne!(seal("salt", "1122"), seal("pepper", "1122"));
    }
}
