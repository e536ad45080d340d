//! Owns the proof of a plan in words.

use crate::vocabulary::several;
use crate::walk::{Proof, said_minutes};

/// What is known of every ride of a plan, in sentences.
#[must_use]
pub fn proof(proof: &Proof) -> Vec<String> {
    let ends = if proof.ends { "Every ride ends" } else { "Not every ride was seen to end" };
    let range =
        if proof.within_range { "no setting ever leaves its range" } else { "a setting may leave its range" };
    let laps = several(proof.worst_laps as usize, "lap");
    let minutes =
        proof.worst_minutes.map_or(String::new(), |minutes| format!(", about {}", said_minutes(minutes)));
    let counts = if proof.by_count.is_empty() { "" } else { " for any count" };
    let (worst, most) = if proof.exact { ("Worst case: ", "") } else { ("No more than ", "no more than ") };
    let one = proof.sequences.exact() == Some(1);
    let sequences = if one { "one sequence".to_owned() } else { format!("{} sequences", proof.sequences) };
    vec![
        format!("{ends}, and {range}."),
        format!("{worst}{laps}{minutes}{counts}; {most}{sequences} of answers."),
    ]
}
