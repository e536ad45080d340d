//! Owns the proof of a plan in words.

use crate::vocabulary::{said_minutes, several};
use crate::walk::Proof;

/// What is known of every ride of a plan, in sentences.
#[must_use]
pub fn proof(proof: &Proof) -> Vec<String> {
    let ends = if proof.ends { "Every ride ends" } else { "Not every ride was seen to end" };
    let range =
        if proof.within_range { "no setting ever leaves its range" } else { "a setting may leave its range" };
    let laps = several(proof.worst_laps as usize, "lap");
    let minutes =
        proof.worst_minutes.map_or(String::new(), |minutes| format!(", about {}", said_minutes(minutes)));
    let table = by_count(&proof.by_count);
    let counts = if table.len() == 1 { " for any count" } else { "" };
    let (worst, most) = if proof.exact { ("Worst case: ", "") } else { ("No more than ", "no more than ") };
    let one = proof.sequences.exact() == Some(1);
    let sequences = if one { "one sequence".to_owned() } else { format!("{} sequences", proof.sequences) };
    let mut lines = vec![
        format!("{ends}, and {range}."),
        format!("{worst}{laps}{minutes}{counts}; {most}{sequences} of answers."),
    ];
    if table.len() > 1 {
        lines.push(format!("Laps in the worst case, by what is counted: {}.", table.join(", ")));
    }
    lines
}

/// The most laps by count, a run of counts with the same laps as one: `1: 9`, `2 to 60: 12`. Where there are
/// many runs, a few counts stand for all.
fn by_count(counts: &[(u32, u32)]) -> Vec<String> {
    const MOST_RUNS: usize = 8;
    const FEW: [u32; 8] = [1, 5, 10, 15, 20, 30, 40, 60];
    let runs = counts.chunk_by(|one, next| one.1 == next.1 && one.0 + 1 == next.0);
    let runs: Vec<_> = runs.filter_map(|run| Some((run.first()?, run.last()?))).collect();
    if runs.len() > MOST_RUNS {
        let few = counts.iter().filter(|count| FEW.contains(&count.0));
        return few.map(|(count, laps)| format!("{count}: {laps}")).collect();
    }
    let told = |(first, last): (&(u32, u32), &(u32, u32))| {
        if first.0 == last.0 {
            format!("{}: {}", first.0, first.1)
        } else {
            format!("{} to {}: {}", first.0, last.0, first.1)
        }
    };
    runs.into_iter().map(told).collect()
}
