//! A file replaced in one step: the old one or the new one, never half.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

use tempfile::Builder;

/// Writes a whole file in one step: a hidden temporary file in the same folder
/// is filled, forced to the disk, and renamed. Whoever looks, or whatever
/// breaks, there is the old file or the new one. Permissions are kept; a link
/// stays a link. The folder must be there.
///
/// # Errors
/// What the system says; `AlreadyExists` if there is a file and `overwrite` is
/// false, `PermissionDenied` if the file there may not be written.
pub fn write_whole(path: &Path, bytes: &[u8], overwrite: bool) -> io::Result<()> {
    write_whole_by(path, overwrite, |file| file.write_all(bytes))
}

/// The same for a file that is too large to be held in memory: `fill` writes it.
///
/// # Errors
/// As [`write_whole`], and whatever `fill` fails with; then nothing is changed.
pub fn write_whole_by<E: From<io::Error>>(
    path: &Path,
    overwrite: bool,
    fill: impl FnOnce(&mut File) -> Result<(), E>,
) -> Result<(), E> {
    let target = match fs::canonicalize(path) {
        Ok(target) => target,
        Err(e) if e.kind() == io::ErrorKind::NotFound => path.to_owned(),
        Err(e) => return Err(e.into()),
    };
    let folder = target.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let old = fs::metadata(&target).ok().map(|m| m.permissions());
    if old.as_ref().is_some_and(fs::Permissions::readonly) {
        return Err(io::Error::new(io::ErrorKind::PermissionDenied, "the file is read-only").into());
    }
    let mut builder = Builder::new();
    builder.prefix(".pinfold-").suffix(".part");
    // A new file gets what any new file gets, not the narrower rights of a temporary one.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder)?;
    fill(file.as_file_mut())?;
    if let Some(old) = old {
        file.as_file().set_permissions(old)?;
    }
    file.as_file().sync_all()?;
    if overwrite {
        file.persist(&target).map_err(io::Error::from)?;
    } else {
        file.persist_noclobber(&target).map_err(io::Error::from)?;
    }
    // The name itself is on the disk only when the folder is; where folders
    // cannot be opened as files, the system sees to it.
    #[cfg(unix)]
    File::open(folder)?.sync_all()?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("tug.toml");
        write_whole(&path, b"one", false).unwrap();
        let again = write_whole(&path, b"two", false).unwrap_err();
        assert_eq!(again.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&path).unwrap(), b"one");
        write_whole(&path, b"two", true).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn permissions_and_links_are_kept_and_a_read_only_file_is_left_alone() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (folder.path().join("tug.toml"), folder.path().join("link.toml"));
        fs::write(&path, "one").unwrap();
        symlink(&path, &link).unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        write_whole(&link, b"two", true).unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
        assert_eq!(fs::read(&path).unwrap(), b"two");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o440)).unwrap();
        let refused = write_whole(&path, b"three", true).unwrap_err();
        assert_eq!(refused.kind(), io::ErrorKind::PermissionDenied);
        assert_eq!(fs::read(&path).unwrap(), b"two");
    }
}
