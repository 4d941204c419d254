//! How long a pack of thirty outlines takes, everything made.
//!
//!     cargo bench -p publish
//!
//! The demo project's thirty outlines as one pack: answers, all parts as 3MF and
//! STL by themselves and on beds, pages on two sizes of paper, pictures, archive,
//! verified. Bar: under 10 s on two cores. The processor's own time is printed
//! beside the clock's, since other loads on the machine hardly touch it; nothing
//! here fails. Grades are not reckoned: that is `cargo bench -p grade`.

use std::path::Path;
use std::time::{Duration, Instant};

use desk::rules;
use project::{PackParts, PackRecord, Project};
use publish::{Answered, Order, compose, outlines, verify};

/// Processor time of this process so far, where the system tells (100 ticks a second).
fn processor() -> Option<Duration> {
    let text = std::fs::read_to_string("/proc/self/stat").ok()?;
    let mut fields = text.rsplit_once(')')?.1.split_whitespace().skip(11);
    let ticks: u64 = fields.next()?.parse::<u64>().ok()? + fields.next()?.parse::<u64>().ok()?;
    Some(Duration::from_millis(ticks * 10))
}

/// Does something and says how long it took.
fn timed<T>(what: &str, act: impl FnOnce() -> T) -> T {
    let (clock, before) = (Instant::now(), processor());
    let made = act();
    let spent = before.and_then(|b| Some(processor()? - b));
    let spent = spent.map_or(String::new(), |s| format!(", processor {:.2} s", s.as_secs_f64()));
    println!("{what}: {:.2} s{spent}", clock.elapsed().as_secs_f64());
    made
}

fn main() {
    // `cargo test` runs benches, too, and wants nothing of them.
    if std::env::args().any(|arg| arg == "--test") {
        return;
    }
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../quayside");
    let project = Project::read(&root).unwrap_or_else(|report| panic!("{report}"));
    let mut all: Vec<_> = project.outlines.iter().collect();
    all.sort_by_key(|o| o.number);
    let pack = PackRecord {
        name: "thirty".into(),
        outlines: all.iter().map(|o| o.name.clone()).collect(),
        fixed: Vec::new(),
        within: None,
        audience: None,
        title: None,
        version: "1.0".into(),
        licence: None,
        parts: PackParts::All,
    };
    let classes = rules::classes(&project).expect("the demo project has classes");
    let numbered = outlines(&project, &pack).expect("the demo project has numbers");
    println!("a pack of {} outlines, {} threads", numbered.len(), rayon::current_num_threads());
    timed("everything", || {
        let answered = timed("  answers", || Answered::of(&project, &classes, &numbered, &|| false));
        let order = Order {
            project: &project,
            pack: &pack,
            classes: &classes,
            answered: &answered,
            steps: &vec![None; numbered.len()],
            fonts: &[],
            salt: [7; 32],
            readme: None,
            licence: None,
        };
        let Ok(composed) = timed("  parts, pages, pictures, archive", || compose(&order)) else {
            panic!("the demo project makes a pack");
        };
        println!("  {} files, {:.1} MB", composed.files.len(), composed.archive.len() as f64 / 1e6);
        let found = timed("  verified once more", || verify(&composed.archive, &composed.sealed.codes));
        assert!(found.expect("it is a pack").faults.is_empty());
    });
}
