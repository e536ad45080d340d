//! Owns how a ride goes on from its journal: with the plan as its files have it now, where every answer still fits, or
//! with the plan that the journal keeps. It knows nothing of where the journal is.

use std::sync::Arc;

use crate::plan::Plan;
use crate::record::{Book, Change, Damage, Journal, read_journal};
use crate::session::Mismatch;
use crate::set::Set;

use super::begin_from::{BeginFrom, NotBegun};
use super::kept::{Difference, answers_of, first_difference, is_ride_of, last_set, plan_of};
use super::ride::Ride;

/// Whether a journal follows the plan as the files have it now.
#[derive(Debug, Clone, PartialEq)]
pub enum Follows {
    /// The files are as they were.
    Same,
    /// The files have changed, and every answer still fits.
    Changed,
    /// The files have changed, and an answer no longer fits.
    Differs(Box<Difference>),
}

/// Why a ride does not go on.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotResumed {
    #[error("no journal that can be gone on with")]
    Damage(Damage),
    #[error("this journal belongs to another plan, bike or rider")]
    OtherRide,
    #[error(transparent)]
    NotBegun(#[from] NotBegun),
    /// The plan has changed, and an answer no longer fits.
    #[error("the plan has changed, and an answer no longer fits")]
    Differs(Box<Difference>),
    #[error("the plan that this journal keeps can no longer be read")]
    NoPlanKept,
    /// The journal does not follow its own plan.
    #[error("the journal does not follow this plan")]
    Unfit(Mismatch),
}

/// A journal that is held against a set.
#[derive(Debug, Clone)]
pub struct Resuming<'a> {
    journal: &'a Journal,
    begin: BeginFrom,
    /// What the journal is to keep of the set as it is now.
    change: Change,
    /// The plan as the set has it now, as the ride begins it.
    now: Arc<Plan>,
    follows: Follows,
}

impl BeginFrom {
    /// What a ride that goes on begins from, where this is named now. What is not said again stays as it was;
    /// settings that are named again are those of its beginning, whatever their file says by now: the ride may have
    /// written it. Those are told apart by the second of both: the named settings have changed since.
    #[must_use]
    pub fn going_on(&self, journal: &Journal) -> (BeginFrom, bool) {
        let kept = BeginFrom::kept_in(last_set(journal));
        if self.is_plain() || (self.name() == kept.name() && self.recount == kept.recount) {
            let changed = self.settings.is_some() && self.settings != kept.settings;
            return (kept, changed);
        }
        (self.clone(), false)
    }
}

impl<'a> Resuming<'a> {
    /// Holds a journal against a set that is ridden so.
    ///
    /// # Errors
    /// Where it is of another plan, bike or rider, or the plan cannot begin so.
    pub fn of(set: &Set, journal: &'a Journal, begin: BeginFrom) -> Result<Self, NotResumed> {
        let as_written = set.plan().ok_or(NotBegun::NoPlan)?;
        if !is_ride_of(&journal.head, as_written) {
            return Err(NotResumed::OtherRide);
        }
        let now = Arc::new(begin.apply(as_written)?.plan);
        let change = begin.change(set);
        let follows = match first_difference(&now, journal) {
            Some(difference) => Follows::Differs(Box::new(difference)),
            None if last_set(journal).fingerprint == change.fingerprint => Follows::Same,
            None => Follows::Changed,
        };
        Ok(Resuming { journal, begin, change, now, follows })
    }

    /// Whether the journal follows the plan as it is now.
    #[must_use]
    pub fn follows(&self) -> &Follows {
        &self.follows
    }

    /// What the journal is to keep of the set, where the files have changed.
    #[must_use]
    pub fn change(&self) -> &Change {
        &self.change
    }

    /// The ride before its first question, with the plan as it is now; its journal has what is kept of it.
    #[must_use]
    pub fn ride(self, kept: Vec<u8>) -> Ride {
        ride(self.journal, self.now, kept, self.begin)
    }

    /// The same with the plan that the journal keeps, in which every answer fits; `None` where that can no longer be
    /// read.
    #[must_use]
    pub fn as_it_was(&self) -> Option<Self> {
        let now = Arc::new(plan_of(last_set(self.journal))?);
        Some(Resuming { now, follows: Follows::Same, ..self.clone() })
    }
}

fn ride(journal: &Journal, plan: Arc<Plan>, kept: Vec<u8>, begin: BeginFrom) -> Ride {
    Ride::new(plan, journal.head.seed, Some(Book::go_on(kept, &journal.seal)), begin, None)
}

impl Ride {
    /// Goes on with a ride by its journal, with the plan as a set has it now. Where the files have changed and every
    /// answer still fits, the journal says so from here on.
    ///
    /// # Errors
    /// Where the journal is damaged from its beginning, of another ride, or of a plan that has changed too much.
    ///
    /// ```
    /// use clickwise::engine::{BeginFrom, DateTime, InMemory, NotResumed, Ride, Set};
    ///
    /// # let text = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// # let files = InMemory::of([("set.tune", text)]);
    /// # let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// # let now: DateTime = "2026-05-16T14:05:00+02:00".parse().unwrap();
    /// let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, 0).unwrap();
    /// ride.say("faster, better", &now).unwrap();
    /// let later = Ride::resume(&set, ride.journal()).unwrap();
    /// assert_eq!(later.ask(), ride.ask());
    /// assert!(matches!(Ride::resume(&set, b"no journal"), Err(NotResumed::Damage(_))));
    /// ```
    pub fn resume(set: &Set, journal: &[u8]) -> Result<Ride, NotResumed> {
        let read = read_journal(journal).map_err(NotResumed::Damage)?;
        let (begin, _) = BeginFrom::default().going_on(&read);
        let resuming = Resuming::of(set, &read, begin)?;
        if let Follows::Differs(difference) = resuming.follows {
            return Err(NotResumed::Differs(difference));
        }
        let change = (resuming.follows == Follows::Changed).then(|| resuming.change.clone());
        let mut ride = resuming.ride(read.kept(journal).to_owned());
        if let Some(change) = change {
            let Ok(()) = ride.change(&change, |_, _| Ok::<(), std::convert::Infallible>(()));
        }
        ride.go_on(answers_of(&read)).map_err(NotResumed::Unfit)?;
        Ok(ride)
    }

    /// Goes on with a ride by its journal alone, with the plan that it keeps.
    ///
    /// # Errors
    /// Where the journal is damaged from its beginning, or its plan can no longer be read.
    ///
    /// ```
    /// use clickwise::engine::{BeginFrom, InMemory, DateTime, Ride, Set};
    ///
    /// let set = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// let files = InMemory::of([("set.tune", set)]);
    /// let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// let now: DateTime = "2026-05-16T14:05:00+02:00".parse().unwrap();
    /// let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, 7).unwrap();
    /// ride.say("faster, better", &now).unwrap();
    /// let later = Ride::resume_alone(ride.journal()).unwrap();
    /// assert_eq!((later.ask(), later.journal()), (ride.ask(), ride.journal()));
    /// ```
    pub fn resume_alone(journal: &[u8]) -> Result<Ride, NotResumed> {
        let read = read_journal(journal).map_err(NotResumed::Damage)?;
        let mut ride = Ride::of_kept(&read, read.kept(journal).to_owned())?;
        ride.go_on(answers_of(&read)).map_err(NotResumed::Unfit)?;
        Ok(ride)
    }

    /// The ride of a journal before its first question, with the plan that it keeps; its journal has what is kept of
    /// it.
    ///
    /// # Errors
    /// [`NotResumed::NoPlanKept`] if the plan can no longer be read.
    pub fn of_kept(journal: &Journal, kept: Vec<u8>) -> Result<Ride, NotResumed> {
        let set = last_set(journal);
        let plan = plan_of(set).ok_or(NotResumed::NoPlanKept)?;
        Ok(ride(journal, Arc::new(plan), kept, BeginFrom::kept_in(set)))
    }
}
