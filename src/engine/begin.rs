//! Owns the beginning of a ride: its plan, and the head of its journal.

use std::sync::Arc;

use crate::plan::{Plan, Setup};
use crate::record::{Book, DateTime, Head, Start};
use crate::set::Set;

use super::begin_from::{BeginFrom, NotBegun};
use super::ride::Ride;

impl Ride {
    /// A ride of a set from its first question, with the head of its journal.
    ///
    /// # Errors
    /// Where the set has no plan, or its plan cannot begin so.
    ///
    /// ```
    /// use clickwise::engine::{BeginFrom, InMemory, DateTime, Ride, Set};
    ///
    /// let set = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// let files = InMemory::of([("set.tune", set)]);
    /// let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// let began: DateTime = "2026-05-16T14:05:00+02:00".parse().unwrap();
    /// let ride = Ride::begin(&set, &BeginFrom::default(), &began, 7).unwrap();
    /// assert!(ride.ask().is_some() && ride.journal().starts_with(b"format = 1\nplan = "));
    /// ```
    pub fn begin(set: &Set, from: &BeginFrom, started: &DateTime, seed: u64) -> Result<Ride, NotBegun> {
        let as_written = set.plan().ok_or(NotBegun::NoPlan)?;
        if as_written.parts().needs_settings && from.settings.is_none() {
            return Err(NotBegun::NeedsSettings);
        }
        let begun = from.apply(as_written)?;
        let plan = Arc::new(begun.plan);
        let head = Head {
            plan: plan.title().to_owned(),
            bike: plan.bike().name().to_owned(),
            rider: plan.rider_name().map(str::to_owned),
            started: started.to_string(),
            seed,
            starts: starts(&plan),
            set: from.change(set),
        };
        Ok(Ride::new(plan, seed, Some(Book::begin(&head)), from.clone(), begun.from))
    }
}

/// Where each adjuster starts, as a journal's head says it.
fn starts(plan: &Plan) -> Vec<Start> {
    let bike = plan.bike();
    let starts = bike.ids().map(|id| {
        let adjuster = bike.get(id);
        let start = match &adjuster.setup {
            Setup::Known(dial) => dial.scale().said_in_full(dial.start()),
            Setup::Unstarted(_) => "asked in the ride".to_owned(),
            Setup::Uncounted(_) => "not counted yet".to_owned(),
        };
        Start { adjuster: adjuster.name(), start }
    });
    starts.collect()
}
