//! Owns what is said where the worst case of a plan is more than it allows.

use std::sync::Arc;

use crate::physics::{Number, decimal};
use crate::plan::{AdjusterId, Plan};
use crate::problem::{Code, Problem, Span};
use crate::session::Answer;
use crate::vocabulary::several;

use super::{Proof, share};

/// With fewer laps than this, the first among them, no tune can go both ways.
const FEWEST: u32 = 3;

/// Where a plan says what it may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Allowed {
    /// The place of its laps.
    pub laps: Option<Span>,
    /// The place of its hours or minutes.
    pub minutes: Option<Span>,
}

/// Minutes as a person tells them: `3 h 34 min`, `45 min`; part of a minute counts as a whole one.
#[must_use]
pub fn said_minutes(minutes: Number) -> String {
    let whole = minutes.ceil().to_integer();
    match (whole / 60, whole % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// What is to be said of a plan whose worst case is more than it allows, and what would make it fit.
#[must_use]
pub fn over_budget(plan: &Arc<Plan>, proof: &Proof, allowed: Allowed) -> Vec<Problem> {
    let (laps, minutes) = (proof.is_beyond_laps(plan), proof.is_beyond_time(plan));
    if !laps && !minutes {
        return Vec::new();
    }
    let help = match share(plan) {
        Some(laps) if laps >= FEWEST => format!(
            "with  at most {}  on every tune each adjuster gets its turn",
            several(laps as usize, "lap")
        ),
        _ => "tune fewer adjusters, or allow more".to_owned(),
    };
    let mut helps = match longest(plan, proof) {
        Some(longest) => vec![help.clone(), format!("{help}\nthe longest ride: {longest}")],
        None => vec![help.clone()],
    };
    let mut worst = |span: Span, takes: &str, more: &str, most: &str| {
        let message = format!("in the worst case this plan takes {takes}, {more} than {most}");
        // the answers are told once
        Problem::new(Code::OverBudget, span, message).help(helps.pop().unwrap_or_else(|| help.clone()))
    };
    let mut problems = Vec::new();
    if let (true, Some(span), Some(most)) = (laps, allowed.laps, plan.parts().laps) {
        let takes = several(proof.worst_laps as usize, "lap");
        problems.push(worst(span, &takes, "more", &most.to_string()));
    }
    if let (true, Some(span), Some(most), Some(takes)) =
        (minutes, allowed.minutes, plan.parts().minutes, proof.worst_minutes)
    {
        let most = if most.is_integer() { said_minutes(most) } else { format!("{} min", decimal(most)) };
        problems.push(worst(span, &said_minutes(takes), "longer", &most));
    }
    problems
}

/// The answers of a longest ride: `fork rebound: faster, better twice, worse`.
fn longest(plan: &Plan, proof: &Proof) -> Option<String> {
    let tune = |(id, answers): &(AdjusterId, Vec<Answer>)| {
        let mut runs: Vec<(String, usize)> = Vec::new();
        for word in answers.iter().filter(|answer| answer.informs()).map(Answer::to_string) {
            match runs.last_mut().filter(|run| run.0 == word) {
                Some(run) => run.1 += 1,
                None => runs.push((word, 1)),
            }
        }
        let runs = runs.into_iter().map(|(word, count)| match count {
            1 => word,
            2 => format!("{word} twice"),
            count => format!("{word} {count} times"),
        });
        format!("{}: {}", plan.bike().get(*id).name(), runs.collect::<Vec<_>>().join(", "))
    };
    let tunes: Vec<String> = proof.longest.iter().map(tune).collect();
    (!tunes.is_empty()).then(|| tunes.join("; "))
}
