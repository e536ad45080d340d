//! Owns what is said where the worst case of a plan is more than it allows.

use std::sync::Arc;

use crate::physics::decimal;
use crate::plan::{AdjusterId, Plan};
use crate::problem::{Code, Problem, Span};
use crate::session::Answer;
use crate::vocabulary::{said_minutes, several};
use crate::walk::{Excess, Proof, excess};

/// Where a plan says what it may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Allowed {
    /// The place of its laps.
    pub laps: Option<Span>,
    /// The place of its hours or minutes.
    pub minutes: Option<Span>,
}

/// What is to be said of a plan whose worst case is more than it allows, and what would make it fit.
#[must_use]
pub fn over_budget(plan: &Arc<Plan>, proof: &Proof, allowed: Allowed) -> Vec<Problem> {
    let Some(Excess { laps, minutes, share }) = excess(plan, proof) else { return Vec::new() };
    let help = match share {
        Some(laps) => format!(
            "add `at most {}` to every `tune` line, so each adjuster gets its turn",
            several(laps as usize, "lap")
        ),
        None => "tune fewer adjusters or allow more laps".to_owned(),
    };
    let mut helps = match longest(plan, proof) {
        Some(longest) => vec![help.clone(), format!("{help}\nthe longest session: {longest}")],
        None => vec![help.clone()],
    };
    let mut worst = |span: Span, takes: &str, more: &str, most: &str| {
        let message = format!("this plan can take {takes}, {more} than the {most} it allows");
        // the answers are told once
        Problem::new(Code::OverBudget, span, message).help(helps.pop().unwrap_or_else(|| help.clone()))
    };
    let mut problems = Vec::new();
    if let (Some((takes, most)), Some(span)) = (laps, allowed.laps) {
        problems.push(worst(span, &several(takes as usize, "lap"), "more", &most.to_string()));
    }
    if let (Some((takes, most)), Some(span)) = (minutes, allowed.minutes) {
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
