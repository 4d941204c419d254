//! A pack composed: every file with its bytes, the manifest, the archive.

use desk::Failure;
use desk::parts::{self, Parts, Wants};
use grade::Step;
use lattice::Class;
use project::{OutlineRecord, PackParts, PackRecord, Project};
use solid::{Made, Request};

use crate::answers::Answered;
use crate::archive::{FileInPack, archive};
use crate::licence;
use crate::manifest::{FORM, Manifest, NumberedOutline};
use crate::numbers::numbers;
use crate::readme::{self, Told};
use crate::seal::{Sealed, seal};
use crate::template;
use crate::verify::{Verified, verify};

/// A pack to be composed.
pub struct Order<'a> {
    /// The project.
    pub project: &'a Project,
    /// The pack.
    pub pack: &'a PackRecord,
    /// What the pieces may become by the set's rules.
    pub classes: &'a [Class],
    /// The pack's outlines with their answers, in the pack's order.
    pub answered: &'a [Answered<'a>],
    /// The grades of outlines whose files have none, where they were reckoned, in
    /// the pack's order.
    pub steps: &'a [Option<Step>],
    /// Further fonts.
    pub fonts: &'a [Vec<u8>],
    /// The salt of its seal.
    pub salt: [u8; 32],
    /// The maker's own README, `templates/README.md`.
    pub readme: Option<&'a project::OwnText>,
    /// The maker's own licence, `templates/LICENCE.txt`.
    pub licence: Option<&'a project::OwnText>,
}

/// A pack, composed.
pub struct Composed {
    /// What it says of itself.
    pub manifest: Manifest,
    /// Its files, by name.
    pub files: Vec<FileInPack>,
    /// The archive of them.
    pub archive: Vec<u8>,
    /// SHA-256 of the archive, for the maker's page.
    pub sha256: String,
    /// What is kept until the answers are published.
    pub sealed: Sealed,
    /// The answers as pages: these stay with the maker, too.
    pub answers: Vec<FileInPack>,
    /// The parts, measured.
    pub made: Made,
}

/// Why there is no pack.
#[derive(Debug)]
pub enum Refused {
    /// The input is wrong.
    Input(Failure),
    /// Outlines that cannot be filled by the set's rules.
    Unfilled(Vec<String>),
    /// Parts that failed a check, a sentence each.
    Parts(Vec<String>),
}

impl From<Failure> for Refused {
    fn from(failure: Failure) -> Self {
        Refused::Input(failure)
    }
}

/// The outlines of a pack with their numbers, in the pack's order.
///
/// # Errors
/// Numbers that are missing or clash, at their places.
pub fn outlines<'p>(
    project: &'p Project,
    pack: &PackRecord,
) -> Result<Vec<(u32, &'p OutlineRecord)>, Failure> {
    let numbers = numbers(project).map_err(|faults| {
        let refusals = faults.iter().map(crate::numbers::NumberFault::refusal).collect();
        Failure::Mistakes(project.refused(refusals).expect("a fault is a reason"))
    })?;
    let one = |name: &String| {
        let record = project.outline(name).expect("a pack's outlines exist");
        (numbers[name.as_str()], record)
    };
    Ok(pack.outlines.iter().map(one).collect())
}

/// Composes a pack and verifies it.
///
/// # Errors
/// Input that is wrong, outlines without an answer, parts that failed a check.
pub fn compose(order: &Order<'_>) -> Result<Composed, Refused> {
    let Order { project, pack, .. } = *order;
    let unfilled = order.answered.iter().filter(|a| a.filling.answers.is_empty());
    let unfilled: Vec<String> = unfilled.map(|a| a.record.name.clone()).collect();
    if !unfilled.is_empty() {
        return Err(Refused::Unfilled(unfilled));
    }
    let sealed = seal(project, order.classes, (&pack.name, &pack.version), order.answered, order.salt)?;
    if let Some(own) = order.readme {
        check_readme(own)?;
    }
    let request = request(project, pack);
    let made = solid::make(&request).map_err(|errors| parts::refused(project, &errors))?;
    let failed = made.parts.iter().flat_map(|p| p.failures.iter().map(move |f| format!("{}: {f}", p.name)));
    let failed: Vec<String> = failed.collect();
    if !failed.is_empty() {
        return Err(Refused::Parts(failed));
    }
    let spdx = pack.licence.as_deref().or(project.terms.licence.as_deref());
    let folder = format!("{}-{}", pack.name, pack.version);
    let (pages, pictures) = rayon::join(
        || crate::papers::papers(order, &made, &folder),
        || crate::pictures::in_pack(project, order.answered),
    );
    let pages = pages?;
    let mut files = printed(&made);
    files.extend(pages.open);
    files.extend(pictures?);
    let notice = || licence::notice(pack.printed(), project.terms.designer.as_deref(), spdx);
    files
        .push(FileInPack::new("LICENCE.txt", order.licence.map_or_else(notice, |own| own.text().to_owned())));
    files.push(FileInPack::new("VERSION", format!("{}\n", pack.version)));
    files.push(FileInPack::new("SEAL.txt", seal_text(order, &sealed)));
    let told = Told::of(order, &made, &files, (&sealed.commitment, spdx));
    let text = match order.readme {
        Some(own) => fill_in(own, &told.fields())?,
        None => template::fill(readme::BUILT_IN, &told.fields()).expect("the built-in template is sound"),
    };
    files.push(FileInPack::new("README.md", text));
    let manifest = Manifest {
        form: FORM.into(),
        set: project.title.clone(),
        pack: pack.name.clone(),
        title: pack.printed().to_owned(),
        version: pack.version.clone(),
        licence: spdx.unwrap_or_default().to_owned(),
        within: pack.within.clone(),
        outlines: order
            .answered
            .iter()
            .map(|a| NumberedOutline {
                number: a.number,
                name: a.record.name.clone(),
                title: a.record.title.clone(),
            })
            .collect(),
        seal: sealed.commitment.clone(),
        files: Vec::new(),
    };
    let (manifest, files) = manifest.close(files);
    let archive = archive(&manifest.folder(), &files);
    let Verified { faults, sha256, .. } =
        verify(&archive, &sealed.codes).expect("a pack just composed is a pack");
    // A file or a text of the maker's own can hold an answer; nothing else can go wrong.
    if let Some(fault) = faults.first() {
        return Err(Failure::plain(
            format_args!("the pack would not be sound: {fault}"),
            "change what is named there, a template or the name of an outline",
        )
        .into());
    }
    Ok(Composed { manifest, files, archive, sha256, sealed, answers: pages.answers, made })
}

/// Looks for what is wrong in a README of the maker's own, before anything long
/// is made.
///
/// # Errors
/// Fields that there are not, at their places.
pub fn check_readme(own: &project::OwnText) -> Result<(), Failure> {
    fill_in(own, &Told::nothing().fields()).map(|_| ())
}

fn fill_in(own: &project::OwnText, fields: &[(&'static str, String)]) -> Result<String, Failure> {
    template::fill(own.text(), fields).map_err(|faults| {
        let wrong = faults.into_iter().map(|(span, f)| (span, f.to_string(), f.mend())).collect();
        Failure::Mistakes(own.report(wrong).expect("a fault is a reason"))
    })
}

/// What the solids are asked for.
fn request(project: &Project, pack: &PackRecord) -> Request {
    let all = pack.parts == PackParts::All;
    let parts = Parts {
        pieces: vec![all; project.set.pieces.len()],
        outlines: project.outlines.iter().map(|o| pack.outlines.contains(&o.name)).collect(),
        board: all,
        coupon: all,
        backing: all,
        all: false,
    };
    let mut request = parts::request(project, &parts, Wants { stl: true, pictures: false }, &[]);
    if let Some(licence) = &pack.licence {
        request.about.licence.clone_from(licence);
    }
    request
}

/// What is printed and cut, and the cautions that go with it.
fn printed(made: &Made) -> Vec<FileInPack> {
    let file = |f: &solid::NamedFile| match f.name.as_str() {
        // The pack has a manifest of its own.
        "manifest.sha256" => None,
        "cautions.txt" => Some(FileInPack::new("CAUTIONS.txt", f.bytes.clone())),
        name => Some(FileInPack::new(format!("print/{name}"), f.bytes.clone())),
    };
    made.files.iter().filter_map(file).collect()
}

fn seal_text(order: &Order<'_>, sealed: &Sealed) -> String {
    let (pack, version) = (&order.pack.name, &order.pack.version);
    let file = format!("{pack}-{version}-answers.txt");
    format!(
        "The answers of {} {version} are sealed. Their SHA-256 is\n\n  {}\n\n\
         When the maker publishes {file}, hold it against this number:\n\n  sha256sum {file}\n\n\
         prints the same number if these are the answers that were sealed, and another one if a single\n\
         letter was changed. The first line of that file is a random salt, so that nobody can find the\n\
         answers by trying. Below it stand the outlines by number, each with its layouts: cell by cell from\n\
         the top row, left to right, the number of the piece that covers it.\n",
        order.pack.printed(),
        sealed.commitment
    )
}
