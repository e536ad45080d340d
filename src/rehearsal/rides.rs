//! Owns many rehearsed rides of one plan: each ridden through the very session of a ride, side by side,
//! with the same outcome on any number of threads. It knows nothing of how that is told.

use std::sync::Arc;

use rayon::prelude::*;

use super::Rider;
use super::kind::Kind;
use crate::physics::float;
use crate::plan::{AdjusterId, Dial, Plan, Step};
use crate::search::Verdict;
use crate::session::{Felt, How, Session};

/// The most answers of one ride; a ride that needs more would never end.
const MOST_ANSWERS: usize = 100_000;

/// What is rehearsed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wanted {
    /// Rides with each kind of rider.
    pub rides: u64,
    pub seed: u64,
    /// How adjusters lean on each other, from 0 to below 1.
    pub coupling: f64,
}

/// How one rehearsed ride went.
#[derive(Debug, Clone, PartialEq)]
pub struct Ridden {
    /// All laps, of every kind.
    pub laps: u32,
    /// By the plan's own times, where it says how long a lap takes.
    pub minutes: Option<f64>,
    /// Some adjuster did not have its whole turn.
    pub cut: bool,
    /// Everything that the plan tunes, in the order in which it first does.
    pub tuned: Vec<Tuned>,
}

/// How one adjuster was tuned in a rehearsed ride.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tuned {
    pub adjuster: AdjusterId,
    /// How many positions one change of it goes, and how many it has above the first.
    pub step: u32,
    pub top: u32,
    /// How far it ended from the hidden best, and how far it had begun, in clicks, steps or names.
    pub off: f64,
    pub began_off: f64,
    /// The laps of it, and how many verdicts were that it felt the same.
    pub laps: u32,
    pub verdicts: u32,
    pub same: u32,
}

/// One ride. `None` where a simulated answer did not fit, which a sound plan does not bring about.
#[must_use]
pub fn ride(plan: &Arc<Plan>, kind: Kind, wanted: &Wanted, number: u64) -> Option<Ridden> {
    let mut rider = Rider::new(kind, wanted.seed, number).coupled(wanted.coupling);
    let mut session = Session::begin(Arc::clone(plan), wanted.seed.wrapping_add(number));
    let mut answers = 0;
    while let Some(ask) = session.ask() {
        session = session.answer(&rider.answer(&session, &ask)).ok()?;
        answers += 1;
        if answers > MOST_ANSWERS {
            return None;
        }
    }
    let tuned = tuned(plan).into_iter().map(|id| {
        let of = |dial: &Dial| (dial.start(), dial.apart(), dial.step(), dial.scale().top());
        let (start, apart, step, top) = session.dial(id).map_or((0, 1, 1, 0), of);
        let best = rider.taste(&session, id).best;
        let off = |at: u32| (f64::from(at) - best).abs() / f64::from(apart);
        let of_it = session.laps().iter().filter(|lap| lap.tuned.is_some_and(|(tuned, _)| tuned == id));
        let mut tuned = Tuned {
            adjuster: id,
            step,
            top,
            off: off(session.stands_at(id)),
            began_off: off(start),
            laps: 0,
            verdicts: 0,
            same: 0,
        };
        for lap in of_it {
            tuned.laps += 1;
            tuned.verdicts += u32::from(lap.felt.is_some());
            tuned.same += u32::from(lap.felt == Some(Felt::Verdict(Verdict::Same)));
        }
        tuned
    });
    let tuned = tuned.collect();
    let laps = u32::try_from(session.laps().len()).unwrap_or(u32::MAX);
    let cut =
        session.so_far().adjusters.iter().any(|settled| matches!(settled.how, How::Kept | How::NotFinished));
    Some(Ridden { laps, minutes: session.minutes().and_then(float), cut, tuned })
}

/// The adjusters that a plan tunes, each once.
fn tuned(plan: &Plan) -> Vec<AdjusterId> {
    let mut tuned = Vec::new();
    for step in plan.steps() {
        if let Step::Tune(tune) = step
            && !tuned.contains(&tune.adjuster)
        {
            tuned.push(tune.adjuster);
        }
    }
    tuned
}

/// All rides with one kind of rider, in order; those that did not come to their end are left out.
#[must_use]
pub fn rides(plan: &Arc<Plan>, kind: Kind, wanted: &Wanted) -> Vec<Ridden> {
    (0..wanted.rides).into_par_iter().filter_map(|number| ride(plan, kind, wanted, number)).collect()
}
