//! Owns the clock: what time it is, or what time it is said to be.

use toml_edit::{Date, Offset, Time};

use crate::record::DateTime;

/// The time now, to the second, with the offset of this place.
fn now() -> DateTime {
    moment(&jiff::ZonedDateTime::now())
}

/// A time of a place. An offset of a day or more can't be written; then it is told as of UTC.
fn moment(now: &jiff::ZonedDateTime) -> DateTime {
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
    DateTime::new(date, time, Some(Offset::Custom { minutes }))
}

/// A written time in seconds, for putting times in order; as if of UTC if it has no offset.
pub(super) fn seconds(written: &str) -> Option<i64> {
    written.parse::<DateTime>().ok()?.seconds()
}

/// Where times come from.
#[derive(Debug, Clone)]
pub(super) enum Clock {
    Running,
    StoppedAt(DateTime),
}

impl Clock {
    pub fn of(as_of: Option<&DateTime>) -> Self {
        as_of.map_or(Clock::Running, |moment| Clock::StoppedAt(moment.clone()))
    }

    pub fn now(&self) -> DateTime {
        match self {
            Clock::Running => now(),
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
            let moment = moment(&jiff::Timestamp::UNIX_EPOCH.to_zoned_datetime(offset.to_time_zone()));
            assert_eq!(moment.to_string(), written);
            assert_eq!(written.parse::<DateTime>().as_ref(), Ok(&moment));
        }
    }
}
