//! Owns what is said where a ride goes on after a pause so long that its laps can no longer be compared.

use crate::physics::Number;
use crate::plan::Trail;
use crate::session::Session;

use super::clock::{Moment, seconds};

const MINUTES_OF_A_DAY: i64 = 24 * 60;

/// Why laps can no longer be compared with those before: so long ago the last answer was given. `None` if
/// they can, or if there are none.
pub(super) fn told(session: &Session, last: Option<&str>, now: &Moment) -> Option<String> {
    let last =
        last.filter(|_| !session.laps().is_empty() && session.ask().is_some() && !session.is_afresh())?;
    let now = now.to_string();
    let minutes = (seconds(&now)? - seconds(last)?) / 60;
    let good_for = session.plan().parts().trail.as_ref().map(|trail| trail.good_for);
    let good_for = good_for.unwrap_or(Number::from_integer(Trail::GOOD_FOR));
    let date = |time: &str| time.get(..10).map(str::to_owned);
    let is_long = Number::from_integer(minutes.into()) > good_for;
    let is_another_day = minutes > 0 && date(&now) != date(last);
    (is_long || is_another_day).then(|| {
        format!(
            "Your last answer was {} ago. Ground, tyres and rider change, so laps from before can't be compared with new ones.",
            ago(minutes)
        )
    })
}

/// What can be done about it.
pub(super) const OFFER: &str = "Type y for a new baseline: conditions, tyres, a warm-up, and the best so far is ridden again. Press Enter to carry on without it.";

/// A pause as a person tells it: `45 min`, `2 h 40 min`, `18 h`, `3 days`.
fn ago(minutes: i64) -> String {
    let (hours, rest) = (minutes / 60, minutes % 60);
    match hours {
        ..1 => format!("{minutes} min"),
        1..6 if rest > 0 => format!("{hours} h {rest} min"),
        1..48 => format!("{hours} h"),
        _ => format!("{} days", minutes / MINUTES_OF_A_DAY),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pause_is_told_in_few_figures() {
        let told = [1, 59, 60, 160, 359, 361, 1_080, 2_879, 2_880, 10_000].map(ago);
        assert_eq!(
            told,
            ["1 min", "59 min", "1 h", "2 h 40 min", "5 h 59 min", "6 h", "18 h", "47 h", "2 days", "6 days"]
        );
    }
}
