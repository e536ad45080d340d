//! Owns how a rehearsal is told: what a plan takes, how near the best it ends, whom it does not serve;
//! for people and for machines.

use serde_json::{Map, Value, json};

use crate::plan::Plan;
use crate::rehearsal::{Advice, Kind, OfKind, Rehearsal, Spread, Wanted};
use crate::vocabulary::several;

use super::Look;
use super::page::Page;

/// A share as so many of a hundred.
fn hundredths(share: f64) -> String {
    format!("{:.0}", share * 100.0)
}

/// What many rides came to, in lines of at most the look's width.
#[must_use]
pub fn rehearsed(plan: &Plan, rehearsal: &Rehearsal, look: Look) -> Vec<String> {
    let mut page = Page::new(look.width);
    let rides = rehearsal.kinds.first().map_or(0, |of_kind| of_kind.rides);
    page.lines.extend(super::wrapped(
        &format!(
            "{}: {} with each of five kinds of riders. They are simulated; no human data is behind them.",
            plan.title(),
            several(rides, "ride")
        ),
        look.width,
        "",
        "",
    ));
    for of_kind in &rehearsal.kinds {
        kind(plan, of_kind, look, &mut page);
        for (_, advice) in rehearsal.advice.iter().filter(|(kind, _)| *kind == of_kind.kind) {
            page.item(&format!("Such a rider {}", advised(plan, advice)));
        }
    }
    page.lines
}

fn kind(plan: &Plan, of_kind: &OfKind, look: Look, page: &mut Page) {
    page.head(&format!("A rider who {}", of_kind.kind.words()));
    let spread = |spread: &Spread, unit: &str| {
        format!("{:.1} {unit}, 9 in 10 at most {:.0}, most {:.0}", spread.mean, spread.p90, spread.most)
    };
    page.item(&spread(&of_kind.laps, "laps"));
    if let Some(minutes) = &of_kind.minutes {
        page.item(&spread(minutes, "minutes"));
    }
    if of_kind.adjusters.is_empty() {
        return;
    }
    page.item(&format!(
        "Of 100 settings {} end within one click of the best, {} within two; {} had begun within one.",
        hundredths(of_kind.within_one),
        hundredths(of_kind.within_two),
        hundredths(of_kind.began_within_one)
    ));
    if of_kind.kind != Kind::Standard {
        return;
    }
    for of_it in &of_kind.adjusters {
        page.item(&format!(
            "{}: {} within one, {} within two, {:.1} laps",
            plan.bike().get(of_it.adjuster).name(),
            hundredths(of_it.within_one),
            hundredths(of_it.within_two),
            of_it.laps.mean
        ));
    }
    page.text("Rides by their laps:");
    page.lines.extend(histogram(&of_kind.all_laps, look));
}

/// How many rides take so many laps, a line for each number of laps, or for a few where there are many.
fn histogram(laps: &[u32], look: Look) -> Vec<String> {
    const MOST_LINES: u32 = 10;
    let (Some(&least), Some(&most)) = (laps.iter().min(), laps.iter().max()) else { return Vec::new() };
    let each = (most - least + 1).div_ceil(MOST_LINES);
    let mut counts = vec![0_usize; ((most - least) / each + 1) as usize];
    for lap in laps {
        counts[((lap - least) / each) as usize] += 1;
    }
    let highest = counts.iter().copied().max().unwrap_or(1).max(1);
    let room = look.width.saturating_sub(16).clamp(8, 50);
    let bar = if look.unicode { '█' } else { '#' };
    let line = |(index, count): (usize, &usize)| {
        let first = least + u32::try_from(index).unwrap_or(0) * each;
        let last = (first + each - 1).min(most);
        let laps = if first == last { format!("{first}") } else { format!("{first}-{last}") };
        let length = (count * room).div_ceil(highest);
        format!("  {laps:>7} {}", bar.to_string().repeat(length)).trim_end().to_owned()
    };
    counts.iter().enumerate().map(line).collect()
}

/// What a kind of rider cannot do with the plan, and what would help: a sentence without its beginning.
fn advised(plan: &Plan, advice: &Advice) -> String {
    let name = |id| plan.bike().get(id).name();
    match advice {
        Advice::Wider { adjusters, laps_saved } => {
            let each = adjusters.iter().map(|(id, wider)| {
                format!("step {} for {}", plan.bike().get(*id).setup.amount(*wider), name(*id))
            });
            format!(
                "mostly feels no difference at one step. Write  {}: that ends as near in {laps_saved:.1} laps fewer.",
                each.collect::<Vec<_>>().join(", ")
            )
        }
        Advice::NoGain(adjusters) => {
            let names: Vec<String> = adjusters.iter().map(|id| name(*id)).collect();
            format!("ends no nearer to the best than the start with {}.", names.join(", "))
        }
        Advice::CutShort(share) => format!(
            "has some search cut short by an `at most` in {} of 100 rides: allow more laps, or tune fewer.",
            hundredths(*share)
        ),
        Advice::CrossOutWeak => {
            "feels one side more than the other, which crossing out cannot see: narrow serves better."
                .to_owned()
        }
    }
}

fn spread(spread: &Spread) -> Value {
    json!({ "mean": spread.mean, "p90": spread.p90, "most": spread.most })
}

/// The same for machines: one JSON document.
#[must_use]
pub fn json_rehearsal(plan: &Plan, wanted: &Wanted, rehearsal: &Rehearsal) -> String {
    let mut riders = Map::new();
    for of_kind in &rehearsal.kinds {
        let mut adjusters = Map::new();
        for of_it in &of_kind.adjusters {
            adjusters.insert(
                plan.bike().get(of_it.adjuster).name(),
                json!({
                    "laps": spread(&of_it.laps),
                    "within_one": of_it.within_one,
                    "within_two": of_it.within_two,
                    "began_within_one": of_it.began_within_one,
                    "same": of_it.same,
                }),
            );
        }
        riders.insert(
            of_kind.kind.name().to_owned(),
            json!({
                "rides": of_kind.rides,
                "laps": spread(&of_kind.laps),
                "minutes": of_kind.minutes.as_ref().map(spread),
                "within_one": of_kind.within_one,
                "within_two": of_kind.within_two,
                "began_within_one": of_kind.began_within_one,
                "cut_short": of_kind.cut,
                "adjusters": adjusters,
            }),
        );
    }
    let advice: Vec<Value> = rehearsal
        .advice
        .iter()
        .map(|(kind, advice)| json!({ "rider": kind.name(), "text": format!("such a rider {}", advised(plan, advice)) }))
        .collect();
    let report = json!({
        "simulated": true,
        "seed": wanted.seed,
        "coupling": wanted.coupling,
        "riders": riders,
        "advice": advice,
    });
    serde_json::to_string_pretty(&report).unwrap_or_default() + "\n"
}
