//! Owns whether a ride goes on after a pause so long that its laps can no longer be compared.

use crate::physics::Number;
use crate::plan::Loop;
use crate::record::DateTime;

use super::ride::Ride;

impl Ride {
    /// How many minutes ago the last answer was given, if that is so long ago, or on another day, that laps can no
    /// longer be compared with those before; `None` if they can, or if there are none.
    ///
    /// ```
    /// use clickwise::engine::{BeginFrom, DateTime, InMemory, Ride, Set};
    ///
    /// # let text = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// # let files = InMemory::of([("set.tune", text)]);
    /// # let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// # let now: DateTime = "2026-05-16T14:05:00+02:00".parse().unwrap();
    /// let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, 0).unwrap();
    /// ride.say("faster, better", &now).unwrap();
    /// let tomorrow = "2026-05-17T10:00:00+02:00".parse().unwrap();
    /// assert_eq!((ride.long_pause(&now), ride.long_pause(&tomorrow)), (None, Some(19 * 60 + 55)));
    /// ```
    #[must_use]
    pub fn long_pause(&self, now: &DateTime) -> Option<i64> {
        let session = self.session();
        let rides_on = !session.laps().is_empty() && session.ask().is_some() && !session.is_afresh();
        let last: DateTime = self.last_time().filter(|_| rides_on)?.parse().ok()?;
        let minutes = (now.seconds()? - last.seconds()?) / 60;
        let good_for = session.plan().parts().loop_.as_ref().map(|loop_| loop_.good_for);
        let good_for = good_for.unwrap_or(Number::from_integer(Loop::GOOD_FOR));
        let is_long = Number::from_integer(minutes.into()) > good_for;
        let is_another_day = minutes > 0 && now.date() != last.date();
        (is_long || is_another_day).then_some(minutes)
    }
}
