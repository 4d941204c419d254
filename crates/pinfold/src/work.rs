//! Long work: a bar on the terminal, a bound on its time, and an interrupt that
//! ends it with what it has.
//!
//! The first interrupt (or request to end) asks the work to stop, so that the
//! answer so far is still told; the second one ends the program at once. Files
//! are only ever replaced whole, so neither leaves half of one.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

pub(crate) use desk::early::Early;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

static INTERRUPTED: AtomicBool = AtomicBool::new(false);

/// How programs end that an interrupt ends: 128 and the signal's number
/// (common practice of shells, no source).
const ENDED: i32 = 130;
/// Work that is done sooner shows no bar.
const PATIENCE: Duration = Duration::from_secs(1);

/// How often a sign of life moves.
const TICK: Duration = Duration::from_millis(120);

/// A piece of work being done. Ends its bar when dropped.
pub(crate) struct Work {
    started: Instant,
    until: Option<Instant>,
    bar: ProgressBar,
    shown: AtomicBool,
    /// Whether it was told to stop.
    ended: AtomicBool,
}

impl Work {
    /// Starts the clock; interrupts are caught from here on. `what` stands
    /// before the bar, which shows only if standard error is a terminal.
    pub(crate) fn start(what: &str, time: Option<Duration>) -> Self {
        // Where the system refuses this, an interrupt ends the program as ever.
        let _ = ctrlc::set_handler(|| {
            if INTERRUPTED.swap(true, Ordering::Relaxed) {
                std::process::exit(ENDED);
            }
        });
        let started = Instant::now();
        let bar =
            ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden()).with_prefix(what.to_owned());
        bar.set_style(style("{prefix} {elapsed} {spinner}  Ctrl-C ends it with what it has"));
        let until = time.and_then(|time| started.checked_add(time));
        Work { started, until, bar, shown: AtomicBool::new(false), ended: AtomicBool::new(false) }
    }

    /// Whether to stop: for a search to ask now and then.
    pub(crate) fn must_stop(&self) -> bool {
        if !self.shown.load(Ordering::Relaxed)
            && self.started.elapsed() > PATIENCE
            && !self.shown.swap(true, Ordering::Relaxed)
        {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            self.bar.enable_steady_tick(TICK);
        }
        let over = self.until.is_some_and(|until| Instant::now() >= until);
        let stop = over || INTERRUPTED.load(Ordering::Relaxed);
        if stop {
            self.ended.store(true, Ordering::Relaxed);
        }
        stop
    }

    /// How far the work is.
    pub(crate) fn progress(&self, done: usize, all: usize) {
        if self.bar.length() != Some(all as u64) {
            self.bar.set_style(style("{prefix} {elapsed} [{wide_bar}] {percent:>3} %  Ctrl-C ends it"));
            self.bar.set_length(all as u64);
        }
        self.bar.set_position(done as u64);
    }

    /// Why the work was told to stop, if it was.
    pub(crate) fn ended(&self) -> Option<Early> {
        let why = if INTERRUPTED.load(Ordering::Relaxed) { Early::Interrupted } else { Early::Time };
        self.ended.load(Ordering::Relaxed).then_some(why)
    }

    /// Seconds since the start, to the millisecond.
    pub(crate) fn seconds(&self) -> f64 {
        self.started.elapsed().as_millis() as f64 / 1000.0
    }
}

/// Does a piece of work that cannot say how far it is; a sign of life shows on
/// the terminal if it takes long. An interrupt ends the program as ever.
pub(crate) fn waiting<T>(what: &str, work: impl FnOnce() -> T) -> T {
    let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden()).with_prefix(what.to_owned());
    bar.set_style(style("{prefix} {elapsed} {spinner}"));
    let (done, wait) = mpsc::channel::<()>();
    let result = thread::scope(|scope| {
        let bar = &bar;
        scope.spawn(move || {
            if wait.recv_timeout(PATIENCE) == Err(mpsc::RecvTimeoutError::Timeout) {
                bar.set_draw_target(ProgressDrawTarget::stderr());
                bar.enable_steady_tick(TICK);
            }
        });
        let result = work();
        drop(done);
        result
    });
    bar.finish_and_clear();
    result
}

impl Drop for Work {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

fn style(template: &str) -> ProgressStyle {
    ProgressStyle::with_template(template).expect("the template is well formed").progress_chars("=> ")
}

/// The threads to use: those asked for, else one for each core.
pub(crate) fn threads(asked: Option<u16>) -> usize {
    let cores = || std::thread::available_parallelism().map_or(1, usize::from);
    asked.map_or_else(cores, usize::from)
}

/// Reads a number of seconds from the call.
pub(crate) fn seconds(text: &str) -> Result<Duration, String> {
    let bad = || "give seconds, more than 0, such as 60 or 0.5".to_owned();
    let seconds: f64 = text.parse().map_err(|_| bad())?;
    Duration::try_from_secs_f64(seconds).ok().filter(|time| !time.is_zero()).ok_or_else(bad)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seconds_are_more_than_none_and_not_for_ever() {
        assert_eq!(seconds("0.5"), Ok(Duration::from_millis(500)));
        for bad in ["0", "-1", "NaN", "inf", "1e300", "soon", ""] {
            assert!(seconds(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn work_stops_when_its_time_is_over() {
        let work = Work::start("", Some(Duration::from_millis(1)));
        while !work.must_stop() {
            std::thread::sleep(Duration::from_millis(1));
        }
        assert_eq!(work.ended(), Some(Early::Time));
        assert!(!Work::start("", Some(Duration::from_secs(1 << 40))).must_stop());
    }
}
