//! The salts of sealed answers: `sealed/PACK.salt`, made once and then kept.
//!
//! A salt is 32 bytes in small hexadecimal figures on one line. Whoever has it
//! can guess at what is sealed, so the file is for its maker's eyes (rights
//! 0600 where there are such) and goes into no pack.

use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::PathBuf;

use crate::project::Project;
use crate::whole_file::write_whole_by;

/// The folder of salts, below the project folder.
const SEALED: &str = "sealed";

/// Why there is no salt.
#[derive(Debug, thiserror::Error)]
pub enum SaltError {
    /// The file holds something else.
    #[error("{file} holds no salt: it must be one line of 64 hexadecimal figures, as Pinfold made it")]
    NoSalt {
        /// The file, below the project folder.
        file: String,
    },
    /// The disk did not give or take it.
    #[error("{path} cannot be read or written: {why}", path = .path.display())]
    Disk {
        /// The file.
        path: PathBuf,
        /// What the system said.
        why: io::Error,
    },
}

impl Project {
    /// The salt of a pack's answers: the one that is kept, else a `fresh` one,
    /// which is kept from now on. Of two calls at once both get the same.
    ///
    /// # Errors
    /// A file that holds no salt, or what the system says.
    pub fn salt(&self, pack: &str, fresh: impl FnOnce() -> [u8; 32]) -> Result<[u8; 32], SaltError> {
        let file = format!("{SEALED}/{pack}.salt");
        let path = self.root.join(&file);
        let disk = |why| SaltError::Disk { path: path.clone(), why };
        if !path.exists() {
            fs::create_dir_all(self.root.join(SEALED)).map_err(disk)?;
            let text = hex(&fresh());
            let written: io::Result<()> = write_whole_by(&path, false, |out| {
                #[cfg(unix)]
                out.set_permissions(std::os::unix::fs::PermissionsExt::from_mode(0o600))?;
                writeln!(out, "{text}")
            });
            match written {
                // Another call was faster: its salt counts.
                Err(e) if e.kind() == ErrorKind::AlreadyExists => {}
                written => written.map_err(disk)?,
            }
        }
        let text = fs::read(&path).map_err(disk)?;
        String::from_utf8(text).ok().and_then(|t| bytes(t.trim_end())).ok_or(SaltError::NoSalt { file })
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

fn bytes(hex: &str) -> Option<[u8; 32]> {
    let small = hex.bytes().all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b));
    if hex.len() != 64 || !small {
        return None;
    }
    let mut salt = [0; 32];
    for (i, byte) in salt.iter_mut().enumerate() {
        *byte = u8::from_str_radix(&hex[2 * i..2 * i + 2], 16).ok()?;
    }
    Some(salt)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn project() -> (tempfile::TempDir, Project) {
        let folder = tempfile::tempdir().unwrap();
        let text = "[set]\ntitle = \"Q\"\n[[piece]]\nname = \"a\"\ncolour = \"#0072B2\"\nblocks = [[0, 0]]\n";
        fs::write(folder.path().join("pinfold.toml"), text).unwrap();
        let project = Project::read(folder.path()).unwrap_or_else(|report| panic!("{report}"));
        (folder, project)
    }

    #[test]
    fn a_salt_is_made_once_and_then_kept() {
        let (folder, project) = project();
        assert_eq!(project.salt("tide", || [7; 32]).unwrap(), [7; 32]);
        assert_eq!(project.salt("tide", || panic!("it is there")).unwrap(), [7; 32]);
        assert_eq!(project.salt("ebb", || [8; 32]).unwrap(), [8; 32]);
        let path = folder.path().join("sealed/tide.salt");
        assert_eq!(fs::read_to_string(&path).unwrap(), "07".repeat(32) + "\n");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        }
    }

    #[test]
    fn a_file_that_holds_no_salt_is_told_and_left_alone() {
        let (folder, project) = project();
        let path = folder.path().join("sealed/tide.salt");
        fs::create_dir(folder.path().join("sealed")).unwrap();
        for wrong in ["", "07", &"0G".repeat(32), &"é".repeat(32), &"07".repeat(33)] {
            fs::write(&path, wrong).unwrap();
            let refused = project.salt("tide", || [7; 32]).unwrap_err();
            assert!(matches!(refused, SaltError::NoSalt { .. }), "{wrong}");
            assert_eq!(fs::read_to_string(&path).unwrap(), wrong);
        }
    }
}
