//! Owns what is said where a ride goes on after a pause so long that its laps can no longer be compared.

const MINUTES_OF_A_DAY: i64 = 24 * 60;

/// Why laps can no longer be compared with those before: so many minutes ago the last answer was given.
pub(super) fn told(minutes: i64) -> String {
    format!(
        "Your last answer was {} ago. New laps may not compare with the old ones: the ground, your \
            tyres and your legs have changed.",
        ago(minutes)
    )
}

/// What can be done about it.
pub(super) const OFFER: &str = "Type y for a new baseline: note the conditions, check the tyres, warm up \
    and ride the best setting so far again. Press Enter to carry on anyway.";

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
