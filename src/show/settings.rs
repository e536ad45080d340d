//! Owns the settings of a bike in words, a line an adjuster.

use crate::physics::decimal;
use crate::plan::Plan;
use crate::session::Outcome;

use super::wrap::wrapped;

/// What came out, in lines of at most `width` characters.
#[must_use]
pub fn settings(plan: &Plan, outcome: &Outcome, width: usize) -> Vec<String> {
    let minutes = outcome.minutes.map_or(String::new(), |minutes| {
        format!(", about {} min by the plan's times", decimal(minutes.round()))
    });
    let laps = format!("{} lap{} ridden{minutes}", outcome.laps, if outcome.laps == 1 { "" } else { "s" });
    let mut lines = vec![String::new()];
    lines.extend(wrapped(&format!("{}, {laps}", plan.bike().name()), width, "", ""));
    for settled in &outcome.adjusters {
        let name = plan.bike().get(settled.adjuster).name();
        let line = match &settled.dial {
            Some(dial) => {
                let change = dial.change(dial.start(), settled.at);
                let change = change
                    .map_or("as at the start".to_owned(), |change| format!("{change} than at the start"));
                format!(
                    "{name}: {}, {change} ({})",
                    dial.scale().said_in_full(settled.at),
                    settled.how.words()
                )
            }
            None => format!("{name}: not counted"),
        };
        lines.extend(wrapped(&line, width, "  ", "  "));
    }
    lines
}
