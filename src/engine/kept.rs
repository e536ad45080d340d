//! Owns how a journal is held against a plan: what it keeps, whose it is, whether its ride is over, the first answer
//! that no longer fits. It opens and writes nothing.

use std::sync::Arc;

use crate::check::check;
use crate::plan::Plan;
use crate::problem::Sources;
use crate::record::{Change, Damaged, Entry, Head, Journal, Record};
use crate::session::{Said, Session, What, replay, standing};

use super::begin_from::BeginFrom;

/// What a journal has of answers, with their times.
pub type Recorded = Vec<(Said, String)>;

/// An answer that no longer fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// What was asked and answered.
    pub recorded: Record,
    /// The ride as it would be there now.
    pub now: Session,
}

/// Whether a journal is of the plan, bike and rider of a plan.
#[must_use]
pub fn is_ride_of(head: &Head, plan: &Plan) -> bool {
    head.plan == plan.title() && head.bike == plan.bike().name() && head.rider.as_deref() == plan.rider_name()
}

/// The answers of a journal with their times, in order.
#[must_use]
pub fn answers_of(journal: &Journal) -> Recorded {
    answers_in(&journal.entries)
}

fn answers_in(entries: &[Entry]) -> Recorded {
    let answers = entries.iter().filter_map(|entry| match entry {
        Entry::Answer(record) => Some((record.said.clone(), record.time.clone())),
        Entry::Change(_) => None,
    });
    answers.collect()
}

/// The set that a journal follows: the last one that it was changed to, or the first.
#[must_use]
pub fn last_set(journal: &Journal) -> &Change {
    let changes = journal.entries.iter().rev().find_map(|entry| match entry {
        Entry::Change(change) => Some(change),
        Entry::Answer(_) => None,
    });
    changes.unwrap_or(&journal.head.set)
}

/// The plan of a set that a journal keeps, where it still can be read.
#[must_use]
pub fn plan_of(change: &Change) -> Option<Plan> {
    let mut sources = Sources::default();
    for (name, text) in &change.files {
        sources.add(name.clone(), text.clone());
    }
    let plan = check(&sources).plan?;
    BeginFrom::kept_in(change).apply(&plan).ok().map(|begun| begun.plan)
}

/// Whether a journal's ride came to its end, by the plan that it keeps.
#[must_use]
pub fn is_finished(journal: &Journal) -> bool {
    let Some(plan) = plan_of(last_set(journal)) else { return false };
    let log: Vec<What> = answers_of(journal).into_iter().map(|(said, _)| said.what).collect();
    replay(&Arc::new(plan), journal.head.seed, &log).is_ok_and(|session| session.ask().is_none())
}

/// Whether a damaged journal's ride came to its end, if its damaged records say what they said; `None` if
/// that cannot be told.
#[must_use]
pub fn was_finished(journal: &Journal, damaged: &Damaged) -> Option<bool> {
    let mut log = answers_of(journal);
    log.extend(answers_in(damaged.said.as_ref()?));
    let log: Vec<What> = log.into_iter().map(|(said, _)| said.what).collect();
    let session = replay(&Arc::new(plan_of(last_set(journal))?), journal.head.seed, &log).ok()?;
    Some(session.ask().is_none())
}

/// The first answer of a journal whose question a plan would not ask.
#[must_use]
pub fn first_difference(plan: &Arc<Plan>, journal: &Journal) -> Option<Difference> {
    let records: Vec<_> = journal
        .entries
        .iter()
        .filter_map(|entry| match entry {
            Entry::Answer(record) => Some(record),
            Entry::Change(_) => None,
        })
        .collect();
    let log: Vec<What> = records.iter().map(|record| record.said.what.clone()).collect();
    let mut session = Session::begin(Arc::clone(plan), journal.head.seed);
    for index in standing(&log) {
        let recorded = &records[index].question;
        let now = session.ask();
        let next = match &log[index] {
            What::Answer(answer) => session.answer(answer),
            _ => continue,
        };
        match (now, next) {
            (Some(now), Ok(next)) if recorded.is(&session, &now) => session = next,
            _ => return Some(Difference { recorded: records[index].clone(), now: session }),
        }
    }
    None
}
