//! Standings as one HTML page: no script, nothing from elsewhere, readable by eye
//! and by ear, on paper and in the dark.

use std::fmt::Write;

use crate::moment::Moment;
use crate::standings::{GoalRows, Standings, is_over};

const STYLE: &str = "
:root { color-scheme: light dark; --ink: #1b1b1b; --soft: #555; --line: #bbb; --ground: #fff; --first: #e8f1f8 }
@media (prefers-color-scheme: dark) {
  :root { --ink: #eee; --soft: #b5b5b5; --line: #555; --ground: #161616; --first: #1d3040 }
}
body { font: 1rem/1.5 system-ui, sans-serif; color: var(--ink); background: var(--ground);
  max-width: 60rem; margin: 0 auto; padding: 1rem }
h1 { margin: 0 0 .25rem } h2 { margin: 2rem 0 .25rem } p { max-width: 45rem }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .1rem 1rem; margin: 1rem 0 }
dt { color: var(--soft) } dd { margin: 0; overflow-wrap: anywhere }
code { font-family: ui-monospace, monospace; overflow-wrap: anywhere }
.scroll { overflow-x: auto }
table { border-collapse: collapse; width: 100% }
caption { text-align: left; color: var(--soft); padding: .25rem 0 }
th, td { text-align: left; padding: .3rem .6rem; border-bottom: 1px solid var(--line); vertical-align: top }
thead th { color: var(--soft); font-weight: 600 }
.n { text-align: right; font-variant-numeric: tabular-nums }
tr.first { background: var(--first) } tr.first th { font-weight: 700 }
.note { border-left: .25rem solid var(--line); padding-left: .75rem }
@media print { body { max-width: none; padding: 0; color: #000; background: #fff } tr { break-inside: avoid } }
";

/// The page of standings as they are at a moment. `title` is the set's.
pub fn standings_page(standings: &Standings, title: &str, now: &Moment) -> String {
    let s = standings;
    let mut page = String::new();
    let race = escaped(&s.race);
    let _ = write!(
        page,
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n\
         <title>Standings: {race}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n\
         <h1>Standings of the race {race}</h1>\n<p>{}</p>\n",
        escaped(title)
    );
    let state = match (s.phase, is_over(s, now), s.waiting) {
        ("open", false, _) => "The race is on: places may change.".to_owned(),
        (_, _, 0) if s.phase != "open" => "Final.".to_owned(),
        (_, _, 0) => "The deadline is over; the race is not closed yet.".to_owned(),
        (_, _, n) => format!("Provisional. Entries to be checked: {n}."),
    };
    let _ = writeln!(page, "<p class=\"note\" role=\"status\">{state}</p>\n<dl>");
    let mut facts = vec![
        ("Pack", escaped(&s.pack)),
        ("As of", time(now.utc().text())),
        ("Opened", time(&s.opened)),
        ("Deadline", time(&s.until)),
        ("Entries", s.entries.to_string()),
        ("Seal (SHA-256)", format!("<code>{}</code>", s.commitment)),
        ("Log", format!("{} lines, the last with SHA-256 <code>{}</code>", s.log_lines, s.log_head)),
    ];
    if let Some(larger) = &s.larger {
        facts.insert(1, ("Larger pack", escaped(larger)));
    }
    for (what, fact) in facts {
        let _ = writeln!(page, "<dt>{what}</dt><dd>{fact}</dd>");
    }
    page += "</dl>\n";
    for goal in &s.goals {
        put_goal(&mut page, goal);
    }
    put_entrants(&mut page, s);
    page += "</main>\n</body>\n</html>\n";
    page
}

fn put_goal(page: &mut String, goal: &GoalRows) {
    let _ = writeln!(page, "<section>\n<h2>{}</h2>", escaped(&goal.told));
    if let Some(prize) = &goal.prize {
        let _ = writeln!(page, "<p>Prize: {}</p>", escaped(prize));
    }
    if goal.places.is_empty() {
        *page += "<p>Nobody yet.</p>\n</section>\n";
        return;
    }
    head(page, "Places, from the first", &["Place", "Name", "Outlines", "Reached", "Entry"], &[0, 2, 4]);
    for row in &goal.places {
        let (class, shared) =
            (if row.place == 1 { " class=\"first\"" } else { "" }, if row.shared { " (shared)" } else { "" });
        let _ = writeln!(
            page,
            "<tr{class}><td class=\"n\">{}{shared}</td><th scope=\"row\"><bdi>{}</bdi></th>\
             <td class=\"n\">{}</td><td>{}</td><td class=\"n\">{}</td></tr>",
            row.place,
            escaped(&row.name),
            row.solved,
            time(&row.at),
            row.entry
        );
    }
    *page += "</tbody>\n</table></div>\n</section>\n";
}

fn put_entrants(page: &mut String, s: &Standings) {
    *page += "<section>\n<h2>Everybody</h2>\n";
    if s.entrants.is_empty() {
        *page += "<p>Nobody has registered yet.</p>\n</section>\n";
        return;
    }
    let columns = [
        "No.",
        "Name",
        "Solved",
        "Accepted",
        "Rejected",
        "Waiting",
        "Late",
        "Repeated",
        "Taken back",
        "Note",
    ];
    let caption =
        "Solved: outlines that count. Late and repeated entries are accepted and do not count again.";
    head(page, caption, &columns, &[0, 2, 3, 4, 5, 6, 7, 8]);
    for e in &s.entrants {
        let note = e.withdrawn.as_ref().map_or(String::new(), |at| format!("withdrew at {}", time(at)));
        let _ = write!(
            page,
            "<tr><td class=\"n\">{}</td><th scope=\"row\"><bdi>{}</bdi></th>",
            e.entrant,
            escaped(&e.name)
        );
        for n in [e.solved, e.accepted, e.rejected, e.waiting, e.late, e.repeated, e.taken_back] {
            let _ = write!(page, "<td class=\"n\">{n}</td>");
        }
        let _ = writeln!(page, "<td>{note}</td></tr>");
    }
    *page += "</tbody>\n</table></div>\n</section>\n";
}

/// The start of a table; `numbers` are the columns set to the right.
fn head(page: &mut String, caption: &str, columns: &[&str], numbers: &[usize]) {
    let _ = write!(
        page,
        "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"{caption}\"><table>\n\
         <caption>{caption}</caption>\n<thead><tr>"
    );
    for (i, column) in columns.iter().enumerate() {
        let class = if numbers.contains(&i) { " class=\"n\"" } else { "" };
        let _ = write!(page, "<th scope=\"col\"{class}>{column}</th>");
    }
    *page += "</tr></thead>\n<tbody>\n";
}

fn time(text: &str) -> String {
    format!("<time datetime=\"{0}\">{0}</time>", escaped(text))
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\'' => out += "&#39;",
            c => out.push(c),
        }
    }
    out
}
