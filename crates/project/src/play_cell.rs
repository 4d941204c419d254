//! What stands in a cell of plays: minutes, moments, names, yes and no.

use std::str::FromStr;

use toml_datetime::{Datetime, Offset};

use crate::limits;

/// Minutes as people write them: `12.5` or `12,5` minutes, `12:30` minutes and
/// seconds, `1:02:30` hours, minutes and seconds; to the thousandth. `None` for
/// anything else, and for less than a second or more than 100,000 minutes.
pub fn minutes(text: &str) -> Option<f64> {
    let number = |part: &str, whole: bool| -> Option<f64> {
        let plain = |c: char| c.is_ascii_digit() || (!whole && (c == '.' || c == ','));
        let sound = part.chars().all(plain) && part.starts_with(|c: char| c.is_ascii_digit());
        if sound { part.replacen(',', ".", 1).parse().ok() } else { None }
    };
    let parts: Vec<&str> = text.trim().split(':').collect();
    let found = match parts[..] {
        [minutes] => number(minutes, false)?,
        [minutes, seconds] => number(minutes, true)? + below_60(number(seconds, false)?)? / 60.0,
        [hours, minutes, seconds] => {
            let hours = number(hours, true)?;
            60.0 * hours + below_60(number(minutes, true)?)? + below_60(number(seconds, false)?)? / 60.0
        }
        _ => return None,
    };
    limits::MINUTES.contains(&found).then_some(thousandths(found))
}

/// Minutes to the thousandth, as they are kept.
pub(crate) fn thousandths(minutes: f64) -> f64 {
    (minutes * 1000.0).round() / 1000.0
}

fn below_60(number: f64) -> Option<f64> {
    (number < 60.0).then_some(number)
}

/// A moment by RFC 3339 with its offset, as in `2026-03-14T19:30:00Z`: whole
/// seconds since the start of 1970 and thousandths, so that two ways to write one
/// moment are equal. `None` for anything else.
pub fn moment(text: &str) -> Option<i64> {
    let told = Datetime::from_str(text.trim()).ok()?;
    let (date, time, offset) = (told.date?, told.time?, told.offset?);
    let offset = match offset {
        Offset::Z => 0,
        Offset::Custom { minutes } => i64::from(minutes),
    };
    // Days of the civil calendar, years from March on (common practice).
    let (year, month) = (i64::from(date.year), i64::from(date.month));
    let year = if month <= 2 { year - 1 } else { year };
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + i64::from(date.day) - 1;
    let days =
        365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + of_year - 719_468;
    let minutes = (days * 24 + i64::from(time.hour)) * 60 + i64::from(time.minute) - offset;
    let seconds = minutes * 60 + i64::from(time.second.unwrap_or(0));
    Some(seconds * 1000 + i64::from(time.nanosecond.unwrap_or(0) / 1_000_000))
}

/// Whether a word can name a tester, or tell where a try comes from: letters,
/// digits, `-` and `_`, not led by `-`, at most 60 characters.
pub fn tester_is_good(name: &str) -> bool {
    let marks = name.chars().all(|c| c.is_alphanumeric() || c == '-' || c == '_');
    !name.is_empty() && marks && !name.starts_with('-') && name.chars().count() <= limits::NAME
}

/// yes or no, in English or as spreadsheets write them.
pub(crate) fn yes(text: &str) -> Option<bool> {
    match text.to_lowercase().as_str() {
        "yes" | "true" => Some(true),
        "no" | "false" => Some(false),
        _ => None,
    }
}

/// The number of a try.
pub(crate) fn number(text: &str) -> Option<u32> {
    text.parse().ok().filter(|n| limits::TRY.contains(n))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_are_read_as_people_write_them() {
        for (text, found) in [
            ("12.5", 12.5),
            ("12,5", 12.5),
            ("12:30", 12.5),
            ("1:02:30", 62.5),
            ("0:06", 0.1),
            ("12:20", 12.333),
        ] {
            assert_eq!(minutes(text), Some(found), "{text}");
        }
        for bad in [
            "", "-1", "0", "0.001", "12:75", "12:", ":30", "1:2:3:4", "1.5:30", "1e3", "NaN", "1.2.3",
            "200000", "½",
        ] {
            assert_eq!(minutes(bad), None, "{bad}");
        }
    }

    #[test]
    fn moments_are_compared_as_instants() {
        // The examples of RFC 3339, section 5.8 (from memory).
        assert_eq!(moment("1996-12-19T16:39:57-08:00"), moment("1996-12-20T00:39:57Z"));
        assert_eq!(moment("1985-04-12T23:20:50.52Z"), Some(482_196_050_520));
        assert_eq!(moment("1937-01-01T12:00:27.87+00:20"), moment("1937-01-01T11:40:27.87Z"));
        assert_eq!(moment("1970-01-01T00:00:00Z"), Some(0));
        assert_eq!(moment("2000-03-01 00:00:00Z"), Some(951_868_800_000));
        for bad in ["2026-03-14", "19:30:00", "2026-03-14T19:30:00", "2026-02-30T00:00:00Z", "yesterday", ""]
        {
            assert_eq!(moment(bad), None, "{bad}");
        }
    }
}
