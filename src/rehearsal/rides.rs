//! Owns many rehearsed rides of one plan: each ridden through the very session of a ride, side by side,
//! with the same outcome on any number of threads. It knows nothing of how that is told.

use std::sync::Arc;

#[cfg(feature = "cli")]
use rayon::prelude::*;

use super::Rider;
use super::course::Course;
use super::kind::Kind;
use crate::physics::float;
use crate::plan::{AdjusterId, Dial, Plan};
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
    pub started_off: f64,
    /// The laps of it, and how many verdicts were that it felt the same.
    pub laps: u32,
    pub verdicts: u32,
    pub same: u32,
}

/// Why a ride has no end.
enum Unridden {
    /// The rehearsal was ended.
    Ended,
    /// A simulated answer did not fit, which a sound plan does not bring about.
    Misfit,
}

fn ride(
    plan: &Arc<Plan>,
    kind: Kind,
    wanted: &Wanted,
    number: u64,
    course: &Course,
) -> Result<Ridden, Unridden> {
    let mut rider = Rider::new(kind, wanted.seed, number).coupled(wanted.coupling);
    let mut session = Session::begin(Arc::clone(plan), wanted.seed.wrapping_add(number));
    let mut answers = 0;
    while let Some(ask) = session.ask() {
        if course.is_ended() {
            return Err(Unridden::Ended);
        }
        session = session.answer(&rider.answer(&session, &ask)).map_err(|_| Unridden::Misfit)?;
        answers += 1;
        if answers > MOST_ANSWERS {
            return Err(Unridden::Misfit);
        }
    }
    let tuned = plan.tuned().into_iter().map(|id| {
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
            started_off: off(start),
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
    let cut = session
        .so_far()
        .adjusters
        .iter()
        .any(|settled| matches!(settled.how, How::Unchanged | How::StoppedEarly));
    Ok(Ridden { laps, minutes: session.minutes().and_then(float), cut, tuned })
}

/// Does something for each turn, on all threads. Turns are handed out one by one and in order, so that little more
/// than what is just being ridden is lost where they end.
#[cfg(feature = "cli")]
fn each<T: Send, R: Send>(
    turns: impl Iterator<Item = T> + Send,
    ride: impl Fn(T) -> R + Send + Sync,
) -> Vec<R> {
    turns.par_bridge().map(ride).collect()
}

/// Does something for each turn, where there are no threads.
#[cfg(not(feature = "cli"))]
fn each<T, R>(turns: impl Iterator<Item = T>, ride: impl Fn(T) -> R) -> Vec<R> {
    turns.map(ride).collect()
}

/// All rides with each of some kinds of riders, in order; those that did not come to their end are left out.
/// Where the course is ended before, each kind has the rides that all kinds have: what fewer rides would have
/// come to.
#[must_use]
pub fn rides(plan: &Arc<Plan>, kinds: &[Kind], wanted: &Wanted, course: &Course) -> Vec<Vec<Ridden>> {
    let turns = (0..wanted.rides).flat_map(|number| kinds.iter().map(move |kind| (number, *kind)));
    course.wants(wanted.rides * kinds.len() as u64);
    let turns = turns.enumerate().take_while(|_| !course.is_ended());
    let mut ridden: Vec<(usize, Result<Ridden, Unridden>)> = each(turns, |(index, (number, kind))| {
        let ridden = ride(plan, kind, wanted, number, course);
        course.has_ridden();
        (index, ridden)
    });
    ridden.sort_unstable_by_key(|(index, _)| *index);
    let whole = |(place, (index, ridden)): (usize, &(usize, Result<Ridden, Unridden>))| {
        place == *index && !matches!(ridden, Err(Unridden::Ended))
    };
    let whole = ridden.iter().enumerate().take_while(|turn| whole(*turn)).count();
    ridden.truncate(whole - whole % kinds.len().max(1));
    let mut of_kinds = vec![Vec::new(); kinds.len()];
    for (index, ridden) in ridden {
        of_kinds[index % kinds.len()].extend(ridden.ok());
    }
    of_kinds
}
