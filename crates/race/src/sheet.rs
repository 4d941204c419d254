//! Standings as CSV (RFC 4180), safe to open in a spreadsheet.

use crate::standings::Standings;

/// What a spreadsheet takes for a formula at the start of a cell (common practice:
/// OWASP, "CSV Injection").
const FORMULA: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

/// A row for each entrant, best first. A text that a spreadsheet would take for a
/// formula has an apostrophe before it.
pub fn standings_csv(standings: &Standings) -> String {
    let mut sheet = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let mut head: Vec<String> = standings.goals.iter().map(|g| format!("place_{}", g.goal)).collect();
    let counts = [
        "entrant",
        "name",
        "solved",
        "last",
        "accepted",
        "rejected",
        "waiting",
        "late",
        "repeated",
        "taken_back",
        "withdrawn",
    ];
    head.extend(counts.map(str::to_owned));
    let mut put = |row: &[String]| sheet.write_record(row).expect("memory takes every row");
    put(&head);
    // Places by entrant's number, which count up from 1.
    let places: Vec<Vec<Option<usize>>> = standings
        .goals
        .iter()
        .map(|goal| {
            let mut by_entrant = vec![None; standings.entrants.len() + 1];
            for row in &goal.places {
                if let Some(place) = usize::try_from(row.entrant).ok().and_then(|n| by_entrant.get_mut(n)) {
                    *place = Some(row.place);
                }
            }
            by_entrant
        })
        .collect();
    for e in &standings.entrants {
        let number = usize::try_from(e.entrant).unwrap_or(0);
        let mut row: Vec<String> = places
            .iter()
            .map(|goal| goal.get(number).copied().flatten().map_or_else(String::new, |p| p.to_string()))
            .collect();
        row.extend([e.entrant.to_string(), guarded(&e.name), e.solved.to_string()]);
        row.push(e.last.clone().unwrap_or_default());
        let counts = [e.accepted, e.rejected, e.waiting, e.late, e.repeated, e.taken_back];
        row.extend(counts.map(|n| n.to_string()));
        row.push(e.withdrawn.clone().unwrap_or_default());
        put(&row);
    }
    let bytes = sheet.into_inner().expect("memory takes every row");
    String::from_utf8(bytes).expect("only text was written")
}

fn guarded(text: &str) -> String {
    // Wide forms of the signs count as the signs in some spreadsheets.
    let first = text.chars().next().map(|c| match c {
        '＝' => '=',
        '＋' => '+',
        '－' => '-',
        '＠' => '@',
        c => c,
    });
    if first.is_some_and(|c| FORMULA.contains(&c)) { format!("'{text}") } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_is_a_formula() {
        for bad in ["=1+1", "+1", "-1", "@A1", "＝1+1", "\tx"] {
            assert!(guarded(bad).starts_with('\''), "{bad}");
        }
        assert_eq!(guarded("Ines = best"), "Ines = best");
    }
}
