//! Archive, package and digests, each by the tool that the trade uses for it.

use std::fs;
use std::path::Path;

use anyhow::{Context, Result, bail, ensure};

use super::{Dist, program_said};
use crate::debian;
use crate::run::{program, shown};

/// `NAME.tar.zst`: everything below one folder.
pub(super) fn archive(dist: &Dist<'_>) -> Result<()> {
    debian::install(dist.root, &["zstd"])?;
    let name = dist.name();
    let mut run = program("tar", ["--sort=name", "--owner=0", "--group=0", "--numeric-owner"], &dist.into);
    run.args([format!("--mtime=@{}", dist.moment)]);
    run.args(["--use-compress-program=zstd -19 -T0", "-cf", &format!("{name}.tar.zst"), &name]);
    ensure!(shown(run)?.ok, "tar could not make {name}.tar.zst");
    Ok(())
}

/// `NAME.deb`: the same files below `/usr`, with what the program needs of the system.
pub(super) fn debian(dist: &Dist<'_>) -> Result<()> {
    debian::install(dist.root, &["dpkg-dev"])?;
    let work = dist.into.join("package");
    let control = work.join("DEBIAN");
    fs::create_dir_all(&control)?;
    let copied = program("cp", ["-a", &dist.tree().display().to_string(), "usr"], &work);
    ensure!(shown(copied)?.ok, "the files could not be copied");
    let doc = work.join("usr/share/doc/pinfold");
    fs::write(doc.join("copyright"), copyright(dist)?)?;
    let architecture = program_said(dist.root, "dpkg", &["--print-architecture"])?;
    let kib = size(&work.join("usr"))?.div_ceil(1024);
    let text = format!(
        "Package: pinfold\nVersion: {}\nArchitecture: {}\nMaintainer: The Pinfold founders <pinfold@localhost>\n\
         Installed-Size: {kib}\nDepends: {}\nRecommends: xdg-utils\nSection: graphics\nPriority: optional\n\
         Description: workshop of a maker of folding puzzles\n \
         Designs, prints and publishes puzzles whose pieces are square blocks tied at\n \
         their corners by hinges: poses, outlines with one filling, parts that print\n \
         without support, booklets, packs and races.\n",
        dist.version,
        architecture.trim(),
        needs(dist, &work)?,
    );
    fs::write(control.join("control"), text)?;
    let file = format!("pinfold_{}_{}.deb", dist.version, architecture.trim());
    let mut run = program("dpkg-deb", ["--root-owner-group", "--build", "package", &file], &dist.into);
    run.env("SOURCE_DATE_EPOCH", dist.moment.to_string());
    ensure!(shown(run)?.ok, "dpkg-deb could not make {file}");
    fs::remove_dir_all(work)?;
    Ok(())
}

/// The libraries that the program needs, as Debian's own tool reads them from it.
fn needs(dist: &Dist<'_>, work: &Path) -> Result<String> {
    // The tool wants to stand in a tree of sources.
    let sources = dist.into.join("sources");
    fs::create_dir_all(sources.join("debian"))?;
    fs::write(sources.join("debian/control"), "Source: pinfold\n\nPackage: pinfold\nArchitecture: any\n")?;
    let bin = work.join("usr/bin/pinfold").display().to_string();
    let said = program_said(&sources, "dpkg-shlibdeps", &["-O", &bin])?;
    fs::remove_dir_all(sources)?;
    let line = said.lines().find_map(|line| line.strip_prefix("shlibs:Depends="));
    Ok(line.context("dpkg-shlibdeps names what the program needs")?.to_owned())
}

/// The machine-readable copyright file (DEP-5) that points to the notices.
fn copyright(dist: &Dist<'_>) -> Result<String> {
    let mit = fs::read_to_string(dist.root.join("LICENSE-MIT"))?;
    let folded: Vec<String> =
        mit.lines().map(|l| if l.trim().is_empty() { " .".into() } else { format!(" {l}") }).collect();
    Ok(format!(
        "Format: https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/\n\
         Comment: the licences of all libraries stand in NOTICES.txt beside this file.\n\n\
         Files: *\nCopyright: The Pinfold founders\nLicense: Expat or Apache-2.0\n\nLicense: Expat\n{}\n\n\
         License: Apache-2.0\n see LICENSE-APACHE beside this file\n",
        folded.join("\n")
    ))
}

fn size(folder: &Path) -> Result<u64> {
    let mut all = 0;
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        all += if entry.file_type()?.is_dir() { size(&entry.path())? } else { entry.metadata()?.len() };
    }
    Ok(all)
}

/// `SHA256SUMS`, for `sha256sum --check`.
pub(super) fn digests(dist: &Dist<'_>) -> Result<()> {
    let mut names: Vec<String> = fs::read_dir(&dist.into)?
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.is_file())
        .filter_map(|p| Some(p.file_name()?.to_string_lossy().into_owned()))
        .collect();
    names.sort();
    if names.is_empty() {
        bail!("nothing was made");
    }
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let sums = program_said(&dist.into, "sha256sum", &names)?;
    Ok(fs::write(dist.into.join("SHA256SUMS"), sums)?)
}
