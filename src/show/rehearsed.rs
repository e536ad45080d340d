//! Owns how a rehearsal is told: what a plan takes, how near the best it ends, whom it does not serve;
//! for people and for machines.

use serde_json::{Map, Value, json};

use crate::physics::nearest;
use crate::plan::{AdjusterId, Plan};
use crate::rehearsal::{Advice, FEW_RIDES, Kind, OfKind, Rehearsal, Spread, Wanted};
use crate::vocabulary::{grouped, said_minutes, several};

use super::Look;
use super::page::Page;

/// A space at which no line is broken.
const UNBROKEN: &str = "\u{a0}";

/// A share as so many of a hundred.
fn hundredths(share: f64) -> String {
    format!("{:.0}", share * 100.0)
}

/// What many rides came to, in lines of at most the look's width: first what each kind of rider needs and
/// gets, then the adjusters one by one.
#[must_use]
pub fn rehearsed(plan: &Plan, wanted: &Wanted, rehearsal: &Rehearsal, look: Look) -> Vec<String> {
    let mut page = Page::new(look.width);
    let Some(steady) = rehearsal.kinds.first() else { return page.lines };
    if rehearsal.ended {
        page.lines.extend(super::wrapped(&ended(wanted, steady.rides), look.width, "", ""));
    }
    if steady.adjusters.is_empty() {
        let told = "This plan has no `tune` step, so every rider ends with the same settings.";
        page.lines.extend(super::wrapped(told, look.width, "", ""));
        page.lines.extend(super::wrapped(&length(steady).replace(UNBROKEN, " "), look.width, "", ""));
        return page.lines;
    }
    let told = format!(
        "Rehearsal of {}: {} with each of five kinds of simulated rider. They are a model; no real riders \
            were measured.",
        plan.title(),
        several(steady.rides, "session")
    );
    page.lines.extend(super::wrapped(&told, look.width, "", ""));
    if steady.rides < FEW_RIDES {
        let more = if rehearsal.ended { "let it run longer" } else { "leave out --rides" };
        let few = format!("That is too few to say much or give advice: {more} to run more.");
        page.lines.extend(super::wrapped(&few, look.width, "", ""));
    }
    let mut out_of_laps = false;
    for of_kind in &rehearsal.kinds {
        page.head(&format!("A rider who {}", of_kind.kind.words()));
        page.item(&length(of_kind));
        page.item(&nearness(of_kind));
        for (_, advice) in rehearsal.advice.iter().filter(|(kind, _)| *kind == of_kind.kind) {
            page.item(&advised(plan, advice, out_of_laps));
            out_of_laps |= matches!(advice, Advice::CutShort(_));
        }
    }
    if steady.adjusters.len() > 1 {
        page.head(&format!("By adjuster, for a rider who {}", steady.kind.words()));
        for of_it in &steady.adjusters {
            let name = plan.bike().get(of_it.adjuster).name();
            let within = hundredths(of_it.within_one);
            page.item(&format!(
                "{name}: {within} in 100 end within one click of the best, after {} laps on average",
                about(of_it.laps.mean)
            ));
        }
    }
    page.head(&format!("How many laps it takes, for a rider who {}", steady.kind.words()));
    page.lines.extend(histogram(&steady.all_laps, look));
    page.lines.into_iter().map(|line| line.replace(UNBROKEN, " ")).collect()
}

/// That it was stopped, and what is missing.
fn ended(wanted: &Wanted, rides: usize) -> String {
    let all = usize::try_from(wanted.rides).unwrap_or(usize::MAX);
    if rides < all {
        let (rides, all) = (grouped(rides * Kind::ALL.len()), several(all * Kind::ALL.len(), "ride"));
        return format!("Stopped early: this is the result of {rides} of {all}, without advice.");
    }
    "Stopped early: all rides are in the result, without advice.".to_owned()
}

/// How far it is with so many rides of so many, after so many seconds: `400 of 2,000 rides, 2 min left`; how long is
/// left only where there is room for it.
#[must_use]
pub fn rides_so_far((ridden, of): (u64, u64), seconds: f64, width: usize) -> String {
    let count = |rides: u64| usize::try_from(rides).unwrap_or(usize::MAX);
    let told = format!("{} of {}", grouped(count(ridden)), several(count(of), "ride"));
    #[allow(clippy::cast_precision_loss, reason = "numbers of rides")]
    let left = seconds / 60.0 * (of.saturating_sub(ridden) as f64 / ridden.max(1) as f64);
    let left = nearest(left.ceil()).filter(|_| ridden > 0);
    let timed = left.map(|left| format!("{told}, {} left", said_minutes(left)));
    timed.filter(|timed| timed.len() <= width).unwrap_or(told)
}

/// A mean as a person tells it: with a decimal only where it is small.
fn about(mean: f64) -> String {
    if mean < 9.95 { format!("{mean:.1}") } else { format!("{mean:.0}") }
}

/// Laps, and minutes where they are known: `33 laps, 3 h 16 min`.
fn laps_and_time(laps: &str, minutes: Option<f64>) -> String {
    let time = minutes.and_then(|minutes| nearest(libm::round(minutes))).map(said_minutes);
    let word = if laps == "1" { "lap" } else { "laps" };
    time.map_or_else(
        || format!("{laps} {word}"),
        |time| format!("{laps} {word}, {}", time.replace(' ', UNBROKEN)),
    )
}

/// How long the rides with a kind of rider are.
fn length(of_kind: &OfKind) -> String {
    let (laps, minutes) = (&of_kind.laps, &of_kind.minutes);
    let mean = minutes.map(|minutes| minutes.mean);
    let whole = |laps: f64| format!("{laps:.0}");
    if of_kind.all_laps.iter().min() == of_kind.all_laps.iter().max() {
        return format!("Always {}.", laps_and_time(&whole(laps.most), mean));
    }
    let nine = if laps.p90 < laps.most {
        let nine = laps_and_time(&whole(laps.p90), minutes.map(|minutes| minutes.p90));
        format!("9 times in 10 no more than {nine}; ")
    } else {
        String::new()
    };
    let most = laps_and_time(&whole(laps.most), minutes.map(|minutes| minutes.most));
    format!("About {}; {nine}never more than {most}.", laps_and_time(&about(laps.mean), mean))
}

/// How near the best a kind of rider begins and ends.
fn nearness(of_kind: &OfKind) -> String {
    let [started, one, two] = [of_kind.started_within_one, of_kind.within_one, of_kind.within_two]
        .map(|share| libm::round(share * 100.0));
    let only = if one < started { "only " } else { "" };
    format!(
        "Out of 100 searches, {started} start within one click of the best. After tuning, {only}{one} are \
            that close, and {two} within two clicks."
    )
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

/// What a kind of rider cannot do with the plan, and what would help; in short where the help was told.
fn advised(plan: &Plan, advice: &Advice, told: bool) -> String {
    let name = |id: &AdjusterId| plan.bike().get(*id).name();
    match advice {
        Advice::Wider { adjusters, laps_saved } => {
            let mut steps: Vec<(String, Vec<String>)> = Vec::new();
            for (id, wider) in adjusters {
                let step = format!("step {}", plan.bike().get(*id).setup.amount(*wider));
                match steps.iter_mut().find(|(same, _)| *same == step) {
                    Some((_, names)) => names.push(name(id)),
                    None => steps.push((step, vec![name(id)])),
                }
            }
            let steps = steps.into_iter().map(|(step, names)| format!("`{step}` to {}", names.join(", ")));
            format!(
                "Most laps feel the same to this rider. In the bike's file, add {}: that gets just as close \
                    with {} fewer laps.",
                steps.collect::<Vec<_>>().join(", and "),
                about(*laps_saved)
            )
        }
        Advice::NoGain(adjusters) => {
            let names: Vec<String> = adjusters.iter().map(name).collect();
            format!("These end no closer to the best than they started: {}.", names.join(", "))
        }
        Advice::CutShort(share) => {
            let help = if told { "" } else { "; allow more laps or tune fewer adjusters" };
            format!("{} times in 100, at least one adjuster runs out of laps{help}.", hundredths(*share))
        }
        Advice::CrossOutWeak => {
            "Use `method narrow` on each `tune` line for this rider: they notice one direction more than \
                the other, and cross-out can't allow for that."
                .to_owned()
        }
    }
}

fn spread(spread: &Spread) -> Value {
    #[allow(clippy::cast_possible_truncation, reason = "a whole number of laps or minutes")]
    let whole = |number: f64| if number.fract() == 0.0 { json!(number as i64) } else { json!(number) };
    json!({ "mean": spread.mean, "p90": whole(spread.p90), "most": whole(spread.most) })
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
                    "started_within_one": of_it.started_within_one,
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
                "started_within_one": of_kind.started_within_one,
                "out_of_laps": of_kind.cut,
                "adjusters": adjusters,
            }),
        );
    }
    let advice: Vec<Value> = rehearsal
        .advice
        .iter()
        .map(|(kind, advice)| json!({ "rider": kind.name(), "text": advised(plan, advice, false) }))
        .collect();
    let report = json!({
        "simulated": true,
        "seed": wanted.seed,
        "coupling": wanted.coupling,
        "stopped": rehearsal.ended,
        "riders": riders,
        "advice": advice,
    });
    serde_json::to_string_pretty(&report).unwrap_or_default() + "\n"
}
