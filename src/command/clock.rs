//! Owns the clock: what time it is, or what time it is said to be.

use std::str::FromStr;

use toml_edit::{Date, Datetime, Offset, Time};

/// A date and time as it is written into files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Moment(Datetime);

impl Moment {
    /// The time now, to the second, with the offset of this place.
    pub fn now() -> Self {
        Moment::of(&jiff::ZonedDateTime::now())
    }

    /// A time of a place. An offset of a day or more can't be written; then it is told as of UTC.
    fn of(now: &jiff::ZonedDateTime) -> Self {
        const DAY: i32 = 24 * 60 * 60;
        let now = match now.offset().seconds() {
            seconds if seconds.abs() < DAY => now.clone(),
            _ => now.with_time_zone(jiff::tz::TimeZone::UTC),
        };
        let part = |number: i8| u8::try_from(number).unwrap_or_default();
        let (day, clock) = (now.date(), now.time());
        let date = Date {
            year: u16::try_from(day.year()).unwrap_or_default(),
            month: part(day.month()),
            day: part(day.day()),
        };
        let time = Time {
            hour: part(clock.hour()),
            minute: part(clock.minute()),
            second: Some(part(clock.second())),
            nanosecond: None,
        };
        let minutes = i16::try_from(now.offset().seconds() / 60).unwrap_or_default();
        Moment(Datetime { date: Some(date), time: Some(time), offset: Some(Offset::Custom { minutes }) })
    }

    /// The time of day alone.
    pub fn time(&self) -> String {
        self.0.time.map_or(String::new(), |time| time.to_string())
    }

    /// The date alone, as it is written.
    pub fn date(&self) -> String {
        self.0.date.map_or(String::new(), |date| date.to_string())
    }

    /// Whether this lies before a time that was written; `false` where either has no offset.
    pub fn is_before(&self, written: &str) -> bool {
        is_before(&self.to_string(), written)
    }
}

/// Whether one time that was written lies before another; `false` where either has no offset.
pub(super) fn is_before(one: &str, other: &str) -> bool {
    let instant = |text: &str| text.parse::<jiff::Timestamp>().ok();
    instant(one).zip(instant(other)).is_some_and(|(one, other)| one < other)
}

/// A written time in seconds, for putting times in order; as if of UTC if it has no offset.
pub(super) fn seconds(written: &str) -> Option<i64> {
    let instant = written.parse::<jiff::Timestamp>().ok();
    let local = || jiff::tz::TimeZone::UTC.to_timestamp(written.parse().ok()?).ok();
    instant.or_else(local).map(jiff::Timestamp::as_second)
}

impl FromStr for Moment {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let wrong = || "write a date and a time, such as 2026-05-16T14:05:00+02:00".to_owned();
        let moment: Datetime = text.parse().map_err(|_| wrong())?;
        if moment.date.is_some() && moment.time.is_some() { Ok(Moment(moment)) } else { Err(wrong()) }
    }
}

impl std::fmt::Display for Moment {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

/// Where times come from.
#[derive(Debug, Clone)]
pub(super) enum Clock {
    Running,
    StoppedAt(Moment),
}

impl Clock {
    pub fn of(as_of: Option<&Moment>) -> Self {
        as_of.map_or(Clock::Running, |moment| Clock::StoppedAt(moment.clone()))
    }

    pub fn now(&self) -> Moment {
        match self {
            Clock::Running => Moment::now(),
            Clock::StoppedAt(moment) => moment.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No reader of TOML takes an offset of a day or more.
    #[test]
    fn a_time_can_always_be_read_back() {
        for (offset, written) in [
            (0, "1970-01-01T00:00:00+00:00"),
            (7200, "1970-01-01T02:00:00+02:00"),
            (-86_340, "1969-12-31T00:01:00-23:59"),
            (89_999, "1970-01-01T00:00:00+00:00"),
            (-89_999, "1970-01-01T00:00:00+00:00"),
        ] {
            let offset = jiff::tz::Offset::from_seconds(offset).unwrap();
            let moment = Moment::of(&jiff::Timestamp::UNIX_EPOCH.to_zoned_datetime(offset.to_time_zone()));
            assert_eq!(moment.to_string(), written);
            assert_eq!(written.parse::<Moment>().as_ref(), Ok(&moment));
        }
    }
}
