//! The ladder of difficulty: an outline a rung, the quickest at the top.

use crate::colour::{BAND, INK};
use crate::error::PaperError;
use crate::lettering::{self, Weight};
use crate::plate::{MARGIN, TITLE_ROOM, counted};
use crate::sheet::{Paint, Picture, Sheet, Words};

use super::axis::Axis;
use super::key::{self, Key, Mark};
use super::{sound, title};

/// A try as it was seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Minutes at the board.
    pub minutes: f64,
    /// Whether it was finished; if not, it was given up then.
    pub finished: bool,
}

/// An outline on the ladder. Times are minutes.
#[derive(Clone, Copy, Debug)]
pub struct Rung<'a> {
    /// Its title.
    pub name: &'a str,
    /// Low, median and high of what a middling tester takes.
    pub typical: (f64, f64, f64),
    /// Low and high of what a new tester will take.
    pub fresh: (f64, f64),
    /// Its tries.
    pub seen: &'a [Seen],
}

const WIDTH: f64 = 180.0;
const ROW: f64 = 8.0;
const NAMES: f64 = 36.0;
const SIZE: f64 = 3.1;

/// A ladder of outlines, in the order of their medians.
///
/// # Errors
/// No outlines; a time that is not a number above 0.
pub fn ladder(heading: &str, rungs: &[Rung<'_>], notes: &[String]) -> Result<Picture, PaperError> {
    if rungs.is_empty() {
        return Err(PaperError::Nothing);
    }
    let times = || {
        rungs.iter().flat_map(|r| {
            let (low, median, high) = r.typical;
            [low, median, high, r.fresh.0, r.fresh.1].into_iter().chain(r.seen.iter().map(|s| s.minutes))
        })
    };
    sound(times())?;
    let mut order: Vec<&Rung<'_>> = rungs.iter().collect();
    order.sort_by(|a, b| a.typical.1.total_cmp(&b.typical.1));
    let room = WIDTH - 2.0 * MARGIN;
    let mut entries =
        vec![(Mark::Bar, "a middling tester, 90 % (dot: median)"), (Mark::Whisker, "a new tester, 90 %")];
    let any = |finished: bool| rungs.iter().any(|r| r.seen.iter().any(|s| s.finished == finished));
    if any(true) {
        entries.push((Mark::Done, "a try, finished"));
    }
    if any(false) {
        entries.push((Mark::GivenUp { up: false }, "a try, given up"));
    }
    let key = Key::new(&entries, notes, room);
    let top = MARGIN + TITLE_ROOM + key.height() + 2.0;
    let foot = top + ROW * order.len() as f64;
    let names: Vec<&str> = order.iter().map(|r| r.name).collect();
    let told = format!("{} from quick to slow: {}.", counted(order.len(), "outline"), names.join(", "));
    let mut sheet = Sheet::new(WIDTH, foot + 6.0 + MARGIN, heading, &told);
    title(&mut sheet, heading, WIDTH);
    key.draw(&mut sheet, (MARGIN, MARGIN + TITLE_ROOM));
    let axis = Axis::of(times(), MARGIN + NAMES, WIDTH - MARGIN);
    for i in (0..order.len()).step_by(2) {
        sheet.rect("", (MARGIN, top + ROW * i as f64), (room, ROW), 0.0, Paint::fill(BAND));
    }
    axis.across(&mut sheet, top, foot);
    for (i, rung) in order.iter().enumerate() {
        let y = top + ROW * (i as f64 + 0.5);
        sheet.open("outline");
        let name = lettering::fit(Weight::Bold, SIZE, rung.name, NAMES - 3.0);
        let at = (MARGIN + 1.5, y + lettering::capital(SIZE) / 2.0);
        sheet.words("", at, Words::new(Weight::Bold, SIZE, &name).in_colour(INK));
        key::whisker(&mut sheet, (axis.at(rung.fresh.0), axis.at(rung.fresh.1)), y);
        let (low, median, high) = rung.typical;
        key::bar(&mut sheet, (axis.at(low), axis.at(median), axis.at(high)), y);
        // What was seen stands above the bar, so that neither hides the other.
        for seen in rung.seen {
            let at = (axis.at(seen.minutes), y - 2.4);
            if seen.finished {
                let mut line = crate::line::Line::default();
                line.segment((at.0, at.1 - 0.9), (at.0, at.1 + 0.9));
                sheet.path("", &line, Paint::stroke(INK, 0.35));
            } else {
                key::given_up(&mut sheet, at, false);
            }
        }
        sheet.close();
    }
    Ok(sheet.finish())
}
