//! Owns whether a ride goes on after a pause so long that its laps can no longer be compared.

use crate::physics::Number;
use crate::plan::Trail;
use crate::record::DateTime;

use super::ride::Ride;

impl Ride {
    /// How many minutes ago the last answer was given, if that is so long ago, or on another day, that laps can no
    /// longer be compared with those before; `None` if they can, or if there are none.
    #[must_use]
    pub fn long_pause(&self, now: &DateTime) -> Option<i64> {
        let session = self.session();
        let rides_on = !session.laps().is_empty() && session.ask().is_some() && !session.is_afresh();
        let last: DateTime = self.last_time().filter(|_| rides_on)?.parse().ok()?;
        let minutes = (now.seconds()? - last.seconds()?) / 60;
        let good_for = session.plan().parts().trail.as_ref().map(|trail| trail.good_for);
        let good_for = good_for.unwrap_or(Number::from_integer(Trail::GOOD_FOR));
        let is_long = Number::from_integer(minutes.into()) > good_for;
        let is_another_day = minutes > 0 && now.date() != last.date();
        (is_long || is_another_day).then_some(minutes)
    }
}
