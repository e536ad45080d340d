//! Owns a date and time as it is written into files, and how two of them lie. It knows nothing of clocks.

use std::fmt;
use std::str::FromStr;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use toml_edit::{Date, Datetime, Offset, Time};

/// A date and time as it is written into files: one that TOML knows, with both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DateTime {
    date: Date,
    time: Time,
    offset: Option<Offset>,
}

/// A text is no date and time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("not RFC 3339")]
pub struct NotADateTime;

impl DateTime {
    /// A moment of these parts.
    #[must_use]
    pub fn new(date: Date, time: Time, offset: Option<Offset>) -> Self {
        DateTime { date, time, offset }
    }

    /// The time of day alone.
    #[must_use]
    pub fn time(&self) -> String {
        self.time.to_string()
    }

    /// The date alone, as it is written.
    #[must_use]
    pub fn date(&self) -> String {
        self.date.to_string()
    }

    /// Whole seconds since the beginning of 1970 UTC; as if of UTC if it has no offset. `None` in the last day of the
    /// year 9999.
    #[must_use]
    pub fn seconds(&self) -> Option<i64> {
        let local = || TimeZone::UTC.to_timestamp(self.to_string().parse().ok()?).ok();
        self.instant().or_else(local).map(Timestamp::as_second)
    }

    /// Whether this lies before another; `false` if either has no offset.
    #[must_use]
    pub fn is_before(&self, other: &DateTime) -> bool {
        self.instant().zip(other.instant()).is_some_and(|(one, other)| one < other)
    }

    fn instant(&self) -> Option<Timestamp> {
        self.to_string().parse().ok()
    }
}

impl FromStr for DateTime {
    type Err = NotADateTime;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let parts: Datetime = text.parse().map_err(|_| NotADateTime)?;
        let (date, time) = parts.date.zip(parts.time).ok_or(NotADateTime)?;
        Ok(DateTime { date, time, offset: parts.offset })
    }
}

impl fmt::Display for DateTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Datetime { date: Some(self.date), time: Some(self.time), offset: self.offset }.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(text: &str) -> DateTime {
        text.parse().unwrap()
    }

    /// Sources: 1e9 seconds were over on 2001-09-09 at 01:46:40 UTC; the rest worked out by the calendar of Python's
    /// standard library.
    #[test]
    fn moments_are_counted_in_seconds() {
        for (text, seconds) in [
            ("1970-01-01T00:00:00Z", 0),
            ("2001-09-09T01:46:40Z", 1_000_000_000),
            ("2026-05-16T14:05:00+02:00", 1_778_933_100),
            ("2026-05-16T12:05:00", 1_778_933_100),
            ("2024-02-29 23:59:60-01:30", 1_709_256_599),
            ("0000-03-01T00:00:00Z", -62_162_035_200),
            ("9999-12-30T00:00:00Z", 253_402_128_000),
        ] {
            assert_eq!(moment(text).seconds(), Some(seconds), "{text}");
        }
        assert!(
            ["2026-05-16", "14:05:00", "soon", "2026-02-30T00:00:00Z"]
                .iter()
                .all(|text| text.parse::<DateTime>().is_err())
        );
    }

    #[test]
    fn one_lies_before_another_where_both_have_an_offset() {
        let is_before = |one, other| moment(one).is_before(&moment(other));
        assert!(is_before("2026-05-16T14:05:00+02:00", "2026-05-16T12:05:01Z"));
        assert!(is_before("2026-05-16T12:05:00.1Z", "2026-05-16T12:05:00.2Z"));
        assert!(!is_before("2026-05-16T14:05:00+02:00", "2026-05-16T12:05:00Z"));
        assert!(!is_before("2026-05-16T14:05:00", "2027-05-16T12:05:00Z"));
        assert!(!is_before("2026-05-16T14:05:00Z", "2027-05-16T12:05:00"));
    }
}
