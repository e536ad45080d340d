//! Owns the proof of a plan in words.

use crate::vocabulary::{grouped, said_minutes, several};
use crate::walk::{Count, Proof};

/// What is known of every ride of a plan, in sentences.
#[must_use]
pub fn proof(proof: &Proof) -> Vec<String> {
    let ends = if proof.ends {
        "However you answer, the plan finishes"
    } else {
        "The plan may not finish for every set of answers"
    };
    let range = if proof.within_range {
        "no setting goes outside its range"
    } else {
        "a setting may leave its range"
    };
    let laps = several(proof.worst_laps as usize, "lap");
    let minutes =
        proof.worst_minutes.map_or(String::new(), |minutes| format!(", about {}", said_minutes(minutes)));
    let table = by_count(&proof.by_count);
    let counts = if table.len() == 1 { ", whatever you count" } else { "" };
    let (worst, ways) = if proof.exact {
        ("At most ", format!(" ({}, all checked)", ways(proof.sequences)))
    } else {
        ("No more than ", String::new())
    };
    let mut lines = vec![format!("{ends}, and {range}."), format!("{worst}{laps}{minutes}{counts}{ways}.")];
    if !proof.exact {
        lines.push("There are too many ways to answer to check each one.".to_owned());
    }
    if table.len() > 1 {
        lines
            .push(format!("The longest session depends on how many clicks you count. {}.", table.join("; ")));
    }
    lines
}

/// How many ways there are to answer, as people read it: `1 way to answer`, `about 68 million ways to answer`.
fn ways(count: Count) -> String {
    const MILLION: u64 = 1_000_000;
    const BILLION: u64 = 1_000_000_000;
    let about = |count: u64, of: u64| grouped(usize::try_from((count + of / 2) / of).unwrap_or(usize::MAX));
    match count.exact() {
        Some(1) => "1 way to answer".to_owned(),
        Some(count @ ..MILLION) => format!("{} ways to answer", about(count, 1)),
        Some(count @ ..BILLION) => format!("about {} million ways to answer", about(count, MILLION)),
        Some(count) => format!("about {} billion ways to answer", about(count, BILLION)),
        None => "more than a million billion ways to answer".to_owned(),
    }
}

/// The most laps with so many clicks: `2 to 60 clicks: 12 laps`.
fn of_count(count: &str, laps: u32) -> String {
    let clicks = if count == "1" { "click" } else { "clicks" };
    format!("{count} {clicks}: {}", several(laps as usize, "lap"))
}

/// The most laps by count, a run of counts with the same laps as one: `1 click: 9 laps`,
/// `2 to 60 clicks: 12 laps`. Where there are
/// many runs, a few counts stand for all.
fn by_count(counts: &[(u32, u32)]) -> Vec<String> {
    const MOST_RUNS: usize = 8;
    const FEW: [u32; 8] = [1, 5, 10, 15, 20, 30, 40, 60];
    let runs = counts.chunk_by(|one, next| one.1 == next.1 && one.0 + 1 == next.0);
    let runs: Vec<_> = runs.filter_map(|run| Some((run.first()?, run.last()?))).collect();
    if runs.len() > MOST_RUNS {
        let few = counts.iter().filter(|count| FEW.contains(&count.0));
        return few.map(|(count, laps)| of_count(&count.to_string(), *laps)).collect();
    }
    let told = |(first, last): (&(u32, u32), &(u32, u32))| {
        if first.0 == last.0 {
            of_count(&first.0.to_string(), first.1)
        } else {
            of_count(&format!("{} to {}", first.0, last.0), first.1)
        }
    };
    runs.into_iter().map(told).collect()
}
