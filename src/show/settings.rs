//! Owns the settings of a bike in words, a line an adjuster.

use crate::plan::Plan;
use crate::session::{How, Outcome};
use crate::vocabulary::{said_minutes, several};

use super::page::Page;
use super::springs;

/// How a setting came to be, behind it; nothing of one that the plan put there.
fn came_to_be(how: How) -> &'static str {
    match how {
        How::Set => "",
        How::Measured => ", measured",
        How::FeltBest => ", best by your answers",
        How::Unchanged => ", not tuned",
        How::StoppedEarly => ", stopped early",
    }
}

/// What came out, in lines of at most `width` characters.
#[must_use]
pub fn settings(plan: &Plan, outcome: &Outcome, width: usize) -> Vec<String> {
    let mut page = Page::new(width);
    let minutes = outcome.minutes.map_or(String::new(), |minutes| {
        format!(", about {} by the plan's lap times", said_minutes(minutes.round()))
    });
    let laps = several(outcome.laps as usize, "lap");
    page.head(&format!("{}: {laps}{minutes}", plan.bike().name()));
    for settled in &outcome.adjusters {
        let name = plan.bike().get(settled.adjuster).name();
        let Some(dial) = &settled.dial else {
            page.item(&format!("{name}: not set yet"));
            continue;
        };
        let how = came_to_be(settled.how);
        let change = dial.change(dial.start(), settled.at);
        let change = change.map_or(String::new(), |change| format!(", {change} than the start"));
        let sag = settled
            .sag
            .map_or(String::new(), |(sag, travel)| format!(", sag {}", springs::said(sag, travel)));
        let anyway = if settled.ridden_anyway { ", ridden anyway" } else { "" };
        let pairs = settled
            .confirmed
            .map_or(String::new(), |(better, pairs)| format!(", chosen in {better} of {pairs} pairs"));
        page.item(&format!(
            "{name}: {}{how}{sag}{anyway}{change}{pairs}",
            dial.scale().said_in_full(settled.at)
        ));
    }
    page.lines
}
