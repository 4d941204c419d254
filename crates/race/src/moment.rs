//! Moments: RFC 3339 with a zone, kept as they were written, compared as instants.

use std::cmp::Ordering;
use std::fmt;
use std::time::{SystemTime, UNIX_EPOCH};

use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;

/// A moment as somebody wrote it. Equal and ordered by the instant alone, to the
/// microsecond: two zones may name one moment.
#[derive(Clone, Debug)]
pub struct Moment {
    text: String,
    micros: i64,
}

/// A text that is no moment.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("'{found}' is no moment: {why}")]
pub struct NotAMoment {
    /// The text, cut short.
    pub found: String,
    /// Why not.
    pub why: String,
}

impl Moment {
    /// Reads RFC 3339, section 5.6: date, time and zone; a leap second may be 60.
    ///
    /// # Errors
    /// What is no such text, and why.
    pub fn parse(text: &str) -> Result<Self, NotAMoment> {
        let text = text.trim();
        let bad = |why: String| NotAMoment { found: text.chars().take(40).collect(), why };
        if text.len() > 60 {
            return Err(bad("it is too long".to_owned()));
        }
        let found = OffsetDateTime::parse(text, &Rfc3339).map_err(|e| bad(e.to_string()))?;
        Ok(Moment { text: text.to_owned(), micros: micros(found) })
    }

    /// The moment that the system's clock shows, in UTC.
    pub fn now() -> Self {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_micros());
        Self::from_micros(i64::try_from(since).unwrap_or(i64::MAX))
    }

    /// The moment so many microseconds after 1970-01-01T00:00:00Z, within the years
    /// 0 to 9999 that RFC 3339 can write; what is outside becomes its nearer end.
    pub fn from_micros(micros: i64) -> Self {
        let (first, last) = (-62_167_219_200_000_000, 253_402_300_799_999_999);
        let micros = micros.clamp(first, last);
        let at = OffsetDateTime::from_unix_timestamp_nanos(i128::from(micros) * 1000);
        let text = at.ok().and_then(|at| at.format(&Rfc3339).ok());
        Moment { text: text.expect("years 0 to 9999 are written by RFC 3339"), micros }
    }

    /// As it was written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Microseconds since 1970-01-01T00:00:00Z.
    pub fn micros(&self) -> i64 {
        self.micros
    }

    /// The same instant in UTC.
    #[must_use]
    pub fn utc(&self) -> Self {
        Self::from_micros(self.micros)
    }
}

fn micros(at: OffsetDateTime) -> i64 {
    i64::try_from(at.unix_timestamp_nanos().div_euclid(1000)).expect("four-digit years fit")
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl PartialEq for Moment {
    fn eq(&self, other: &Self) -> bool {
        self.micros == other.micros
    }
}

impl Eq for Moment {}

impl PartialOrd for Moment {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Moment {
    fn cmp(&self, other: &Self) -> Ordering {
        self.micros.cmp(&other.micros)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Moment {
        Moment::parse(text).unwrap_or_else(|e| panic!("{e}"))
    }

    #[test]
    fn the_examples_of_rfc_3339_are_read_as_it_says() {
        // RFC 3339 (Klyne and Newman, 2002), section 5.8.
        assert_eq!(at("1985-04-12T23:20:50.52Z").micros(), 482_196_050_520_000);
        assert_eq!(at("1996-12-19T16:39:57-08:00"), at("1996-12-20T00:39:57Z"));
        assert_eq!(at("1990-12-31T23:59:60Z"), at("1990-12-31T15:59:60-08:00"));
        assert!(at("1990-12-31T23:59:60Z") > at("1990-12-31T23:59:59.99Z"));
        assert!(at("1990-12-31T23:59:60Z") < at("1991-01-01T00:00:00Z"));
        assert_eq!(at("1937-01-01T12:00:27.87+00:20"), at("1937-01-01T11:40:27.87Z"));
        assert_eq!(at("1937-01-01T12:00:27.87+00:20").text(), "1937-01-01T12:00:27.87+00:20");
    }

    #[test]
    fn instants_are_compared_not_texts() {
        assert!(at("2026-11-25T18:00:00+01:00") < at("2026-11-25T17:30:00Z"));
        assert_eq!(at("2026-11-25T18:00:00+01:00").utc().text(), "2026-11-25T17:00:00Z");
    }

    #[test]
    fn what_has_no_zone_or_is_no_day_is_refused() {
        for bad in [
            "",
            "2026-11-25",
            "2026-11-25T17:00:00",
            "2026-02-30T00:00:00Z",
            "2026-11-25T24:00:00Z",
            "2026-11-25T17:00:60Z",
            "2026-11-25T17:00Z",
            "2026-11-25T17:00:00+0100",
            "20261125T170000Z",
            "+12026-11-25T17:00:00Z",
            "2026-11-25T17:00:00Z; DROP TABLE entry",
            "tomorrow",
        ] {
            assert!(Moment::parse(bad).is_err(), "{bad}");
        }
        assert!(Moment::parse(&format!("2026-11-25T17:00:00.{}Z", "1".repeat(100))).is_err());
        assert_eq!(Moment::from_micros(i64::MAX).text(), "9999-12-31T23:59:59.999999Z");
    }
}
