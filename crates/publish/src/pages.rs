//! The pages of a pack: what a project, its answers and its made parts are to
//! the typesetter. No sentence and no measure of a page stands here.

use desk::layouts::style;
use desk::ways::Ways;
use desk::{Failure, parts};
use fill::{Certainty, Filling};
use grade::Step;
use lattice::{DropIn, Placed};
use paper::Style;
use project::{OutlineRecord, Project};
use solid::Made;
use typeset::{
    Answered, Answers, Booklet, Cards, Date, Document, Grade, Imprint, MakeBed, MakePart, MakersSheet,
    PartKind, Plan, PlatePlan, Problem, Reach, Rules, Settings, Shown, Table, TypesetError, Typesetter, Way,
};

/// Layouts of one outline that are shown in full.
const MOST_SHOWN: usize = 4;

/// One outline as it is printed.
#[derive(Clone, Copy, Debug)]
pub struct Printed<'a> {
    /// Its number in print.
    pub number: usize,
    /// The outline.
    pub record: &'a OutlineRecord,
    /// Its grade where its file has none; none where nobody has reckoned it.
    pub step: Option<Step>,
}

/// What all pages of a pack share.
pub struct Pages<'a> {
    project: &'a Project,
    style: Style,
    imprint: Imprint,
    outlines: Vec<Printed<'a>>,
}

impl<'a> Pages<'a> {
    /// Of a pack's outlines in order. `pack` is its title in print, empty where
    /// all outlines of a project are printed; `date` is printed where given.
    pub fn new(
        project: &'a Project,
        (pack, audience, version): (&str, &str, &str),
        date: Option<Date>,
        outlines: Vec<Printed<'a>>,
    ) -> Self {
        let imprint = Imprint {
            set: project.title.clone(),
            pack: pack.to_owned(),
            audience: audience.to_owned(),
            maker: project.terms.designer.clone().unwrap_or_default(),
            version: version.to_owned(),
            licence: project.terms.licence.clone().unwrap_or_default(),
            date,
        };
        Pages { project, style: style(project), imprint, outlines }
    }

    /// The same under another licence than the set's.
    #[must_use]
    pub fn licensed(mut self, licence: &str) -> Self {
        licence.clone_into(&mut self.imprint.licence);
        self
    }

    /// Who made it and what it is, for further pages such as those of a race.
    pub fn imprint(&self) -> &Imprint {
        &self.imprint
    }

    fn table(&self) -> Table<'_> {
        Table { set: &self.project.set, style: &self.style }
    }

    fn problems(&self) -> Vec<Problem<'a>> {
        let problem = |p: &Printed<'a>| Problem {
            number: p.number,
            title: p.record.title.clone(),
            outline: &p.record.outline,
            grade: grade(p),
        };
        self.outlines.iter().map(problem).collect()
    }

    /// The booklet.
    ///
    /// # Errors
    /// What the typesetter refuses.
    pub fn booklet(&self, typesetter: &Typesetter) -> Result<Document, TypesetError> {
        let rules = &self.project.rules;
        let reach = match rules.reach {
            project::Reach::Swings => Reach::Swings,
            project::Reach::Planned => Reach::Planned,
            project::Reach::Any => Reach::Any,
        };
        typesetter.booklet(&Booklet {
            imprint: self.imprint.clone(),
            table: self.table(),
            rules: Rules { interlocked: rules.interlocked, reach },
            problems: self.problems(),
            welcome: Vec::new(),
            cautions: Vec::new(),
        })
    }

    /// The cards.
    ///
    /// # Errors
    /// What the typesetter refuses.
    pub fn cards(&self, typesetter: &Typesetter) -> Result<Document, TypesetError> {
        typesetter.cards(&Cards { imprint: self.imprint.clone(), problems: self.problems() })
    }

    /// The answers: `fillings` has that of each outline in order, with every layout
    /// that it counts listed; `ways` leads to each fold.
    ///
    /// # Errors
    /// What the typesetter refuses.
    ///
    /// # Panics
    /// With fewer fillings than outlines.
    pub fn answers(
        &self,
        typesetter: &Typesetter,
        fillings: &[&Filling],
        ways: &Ways<'_>,
    ) -> Result<Document, TypesetError> {
        assert!(fillings.len() >= self.outlines.len(), "each outline has a filling");
        let answered = self.outlines.iter().zip(fillings).map(|(o, filling)| self.answered(o, filling, ways));
        typesetter.answers(&Answers {
            imprint: self.imprint.clone(),
            table: self.table(),
            outlines: answered.collect(),
        })
    }

    /// What counts by the set's rules, and what does not.
    fn answered<'f>(
        &'f self,
        outline: &'f Printed<'a>,
        filling: &'f Filling,
        ways: &Ways<'_>,
    ) -> Answered<'f> {
        let counts = &filling.counts;
        let any = self.project.rules.interlocked || self.project.set.levels == 1;
        let valid = |a: &&fill::Answer| any || matches!(a.drop_in, DropIn::Order(_));
        let dropped = counts.drop_in_layouts.as_ref().filter(|&n| !any && *n != counts.layouts);
        // Where some do not count, those that do are counted among the listed ones.
        let (layouts, different, interlocked) = match dropped {
            None => (counts.layouts.to_string(), counts.different.to_string(), String::new()),
            Some(n) => {
                let different = filling.answers.iter().filter(valid).count().to_string();
                (n.to_string(), different, (&counts.layouts - n).to_string())
            }
        };
        let shown = filling.answers.iter().filter(valid).take(MOST_SHOWN);
        Answered {
            number: outline.number,
            title: outline.record.title.clone(),
            outline: &outline.record.outline,
            grade: grade(outline),
            different,
            layouts,
            interlocked,
            complete: filling.certainty == Certainty::Complete,
            shown: shown.map(|a| self.shown(a, ways)).collect(),
        }
    }

    fn shown<'f>(&self, answer: &'f fill::Answer, ways: &Ways<'_>) -> Shown<'f> {
        let way = |placed: &Placed| {
            // What lies as printed needs no strip.
            let poses = ways.poses(placed).filter(|poses| poses.len() > 1)?;
            Some(Way { piece: placed.piece, poses })
        };
        Shown { folding: &answer.folding, ways: answer.folding.placed.iter().filter_map(way).collect() }
    }

    /// The maker's sheet of parts that were made.
    ///
    /// # Errors
    /// What the typesetter refuses.
    pub fn makers_sheet(&self, typesetter: &Typesetter, made: &Made) -> Result<Document, TypesetError> {
        let printed = made.parts.iter().filter(|p| p.file.is_some());
        let beds = made.beds.iter().map(|bed| MakeBed {
            file: bed.file.clone(),
            parts: bed.parts.iter().map(|on| self.part_title(&made.parts[on.part])).collect(),
            minutes: bed.minutes,
            grams: bed.grams,
        });
        typesetter.makers_sheet(&MakersSheet {
            imprint: self.imprint.clone(),
            parts: printed.map(|p| self.part(p)).collect(),
            beds: beds.collect(),
            settings: Some(self.settings()),
            checklist: Vec::new(),
            cautions: Vec::new(),
        })
    }

    /// A plate by the title of its outline, anything else by its name.
    fn part_title(&self, part: &solid::Part) -> String {
        let record = self.project.outline(&part.name).filter(|_| part.kind == solid::Kind::Plate);
        record.map_or_else(|| part.name.clone(), |r| r.title.clone())
    }

    fn part(&self, part: &solid::Part) -> MakePart {
        let position =
            |name: &str| (0..self.style.pieces.len()).find(|&p| self.project.piece_name(p) == name);
        let board = &self.project.board;
        let colour = match part.kind {
            solid::Kind::Piece => {
                let record = position(&part.name).and_then(|p| self.project.piece(p));
                record.map(|r| r.colour.to_string()).unwrap_or_default()
            }
            solid::Kind::Plate => board.plates.to_string(),
            solid::Kind::Board => board.base.to_string(),
            solid::Kind::Coupon => String::new(),
        };
        MakePart {
            name: self.part_title(part),
            kind: match part.kind {
                solid::Kind::Piece => PartKind::Piece,
                solid::Kind::Board => PartKind::Board,
                solid::Kind::Plate => PartKind::Plate,
                solid::Kind::Coupon => PartKind::Coupon,
            },
            file: part.file.clone().unwrap_or_default(),
            copies: 1,
            colour,
            minutes: part.estimate.minutes,
            grams: part.estimate.grams,
            changes: part.colour_changes.iter().map(|c| c.height).collect(),
            small: part.small_part,
        }
    }

    fn settings(&self) -> Settings {
        let (sizes, printer) = (&self.project.sizes, &self.project.printer);
        Settings {
            material: printer.material.clone(),
            filament: printer.filament_diameter,
            nozzle: printer.nozzle,
            layer: printer.layer,
            first_layer: printer.first_layer,
            bed: printer.bed,
            pitch: sizes.pitch,
            height: sizes.height,
            gap: sizes.gap,
            clearance: sizes.clearance,
        }
    }

    /// The plates' plan at true scale.
    ///
    /// # Errors
    /// What the typesetter refuses.
    pub fn plan(&self, typesetter: &Typesetter) -> Result<Document, TypesetError> {
        let sizes = parts::sizes(&self.project.sizes, &self.project.printer);
        let plate = |p: &Printed<'_>| PlatePlan {
            number: p.number,
            title: p.record.title.clone(),
            wall: solid::plate_plan(&p.record.outline, &sizes),
            pitch: sizes.pitch,
        };
        let plates = self.outlines.iter().map(plate).collect();
        typesetter.plan(&Plan { imprint: self.imprint.clone(), plates })
    }
}

/// The grade in the outline's file as it is printed on the plate, else the one given.
fn grade(printed: &Printed<'_>) -> Option<Grade> {
    let settled = printed.record.grade.as_deref();
    let step = match settled {
        Some(word) => Step::ALL.into_iter().find(|s| s.word() == word),
        None => printed.step,
    };
    let word = settled.or(step.map(Step::word))?;
    // A word of the maker's own has no place among the steps: no pips.
    let place = step.and_then(|s| Step::ALL.iter().position(|t| *t == s));
    let steps = if place.is_some() { Step::ALL.len() as u8 } else { 0 };
    Some(Grade { step: place.map_or(0, |p| p as u8 + 1), steps, word: word.to_owned(), minutes: None })
}

/// What keeps a page from being set, as a command tells it.
pub fn refused(error: &TypesetError) -> Failure {
    let mend = match error {
        TypesetError::NoGlyph { .. } => {
            "write it with other characters, or pass a font that has them with --font FILE"
        }
        TypesetError::BadFont { .. } => "pass a TrueType or OpenType font",
        TypesetError::Unprintable { .. } => "take the character out",
        TypesetError::Nothing { .. } => "name a pack with outlines",
        _ => "change what is named there",
    };
    Failure::plain(error, mend)
}
