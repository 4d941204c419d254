//! The columns of plays: their names, which must be there, what stands in them.

/// The columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Column {
    Tester,
    Outline,
    Minutes,
    Finished,
    Try,
    Started,
    Source,
}

impl Column {
    pub(crate) const ALL: [Column; 7] = [
        Column::Tester,
        Column::Outline,
        Column::Minutes,
        Column::Finished,
        Column::Try,
        Column::Started,
        Column::Source,
    ];

    pub(crate) fn name(self) -> &'static str {
        match self {
            Column::Tester => "tester",
            Column::Outline => "outline",
            Column::Minutes => "minutes",
            Column::Finished => "finished",
            Column::Try => "try",
            Column::Started => "started",
            Column::Source => "source",
        }
    }

    pub(crate) fn must_be(self) -> bool {
        (self as usize) < 4
    }

    /// What stands in it, and an example.
    pub(crate) fn expected(self) -> (&'static str, &'static str) {
        match self {
            Column::Tester => (
                "a short name of letters, digits, '-' and '_'",
                "t3: a name or number that only you can match to a person",
            ),
            Column::Outline => ("the name of an outline", "tug"),
            Column::Minutes => (
                "minutes from 0.01 to 100000",
                "12.5, or 12:30 (minutes and seconds), or 1:02:30 (hours too)",
            ),
            Column::Finished => ("yes or no", "yes, or no if it was given up"),
            Column::Try => ("a number from 1 to 9999", "1 for the first try, or nothing"),
            Column::Started => ("a moment with its offset", "2026-03-14T19:30:00Z (RFC 3339), or nothing"),
            Column::Source => ("a short word", "hand, or nothing"),
        }
    }
}

/// The first line of a file of our own.
pub(crate) fn header() -> String {
    Column::ALL.map(Column::name).join(",")
}
