//! Every ride of a plan, answer by answer, against which its proof is held. It knows nothing of how a proof merges
//! moments.

use std::sync::Arc;

use indexmap::IndexMap;
use rustc_hash::FxBuildHasher;

use clickwise::chance::Lot;
use clickwise::check::check;
use clickwise::physics::{Number, Unit};
use clickwise::plan::{AdjusterId, Measure, Plan, Reading, Step};
use clickwise::problem::Sources;
use clickwise::search::Verdict;
use clickwise::session::{Answer, Ask, Felt, OfPair, Session, State, Stated};
use clickwise::walk::Proof;

/// A plan in the language; `None` where it cannot be ridden.
pub fn plan_of(text: &str) -> Option<Arc<Plan>> {
    let mut sources = Sources::default();
    sources.add("set.tune", text);
    check(&sources).plan.map(Arc::new)
}

/// What rides come to from a moment on, or all of them together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ridden {
    pub laps: u32,
    pub minutes: Option<Number>,
    pub sequences: u128,
    pub within_range: bool,
}

impl Ridden {
    const NONE: Ridden = Ridden { laps: 0, minutes: None, sequences: 0, within_range: true };

    /// Both, each at its worst, with so many sequences.
    fn and(self, other: Ridden, sequences: u128) -> Ridden {
        Ridden {
            laps: self.laps.max(other.laps),
            minutes: self.minutes.max(other.minutes),
            sequences,
            within_range: self.within_range && other.within_range,
        }
    }
}

/// All of a moment: its state, and the range and start of each adjuster, which may be told in the ride.
type DateTime = (State, Vec<Option<(u32, u32)>>);

/// The rides of one plan with one order of its pairs.
struct Rides {
    /// How many moments may still be ridden on from.
    left: u32,
    /// Moments that were come to, where they are remembered.
    known: Option<IndexMap<DateTime, Ridden, FxBuildHasher>>,
}

impl Rides {
    /// Rides on in every way; `None` where that takes too long. The readings of a spring are bounded.
    fn ride(&mut self, session: &Session) -> Option<Ridden> {
        let moment = self.known.is_some().then(|| moment(session));
        if let Some((known, moment)) = self.known.as_ref().zip(moment.as_ref())
            && let Some(ridden) = known.get(moment)
        {
            return Some(*ridden);
        }
        self.left = self.left.checked_sub(1)?;
        let ridden = self.ride_on(session)?;
        if let Some((known, moment)) = self.known.as_mut().zip(moment) {
            known.insert(moment, ridden);
        }
        Some(ridden)
    }

    fn ride_on(&mut self, session: &Session) -> Option<Ridden> {
        let Some(ask) = session.ask() else {
            let minutes = session.minutes().map(|_| Number::from_integer(0));
            return Some(Ridden { laps: 0, minutes, sequences: 1, within_range: true });
        };
        let (answers, chance) = answers(session, &ask);
        let mut ridden = Ridden { within_range: is_within_range(session, &ask), ..Ridden::NONE };
        for answer in answers {
            let next = session.answer(&answer).unwrap();
            let mut minutes = next.minutes().zip(session.minutes()).map(|(after, before)| after - before);
            if let Ask::Sag { fit, .. } = &ask {
                let most = Number::from_integer(Measure::MOST_READINGS as i128);
                minutes = minutes.map(|_| session.plan().change_of(fit.adjuster) * most);
            }
            let rest = self.ride(&next)?;
            let rest = Ridden {
                laps: rest.laps + next.taken().since(session.taken()).laps,
                minutes: rest.minutes.zip(minutes).map(|(rest, these)| rest + these),
                ..rest
            };
            let sequences =
                if chance { ridden.sequences.max(rest.sequences) } else { ridden.sequences + rest.sequences };
            ridden = ridden.and(rest, sequences);
        }
        Some(ridden)
    }
}

fn moment(session: &Session) -> DateTime {
    let dial = |id| session.dial(id).map(|dial| (dial.scale().top(), dial.start()));
    (session.state().clone(), session.plan().bike().ids().map(dial).collect())
}

/// A position as it can be told.
fn told(session: &Session, id: AdjusterId, position: u32) -> Stated {
    match session.scale(id).unwrap().reading(position) {
        Reading::Value(number, _) => Stated::Value(number, None),
        Reading::Name(name) => Stated::Name(name.to_owned()),
    }
}

/// All answers, and whether the bike gives them and not the rider: then the worst of them counts.
fn answers(session: &Session, ask: &Ask) -> (Vec<Answer>, bool) {
    let everywhere = |id| 0..=session.scale(id).unwrap().top();
    match ask {
        Ask::Way(id) => {
            let rising = session.adjuster(*id).rising();
            (vec![Answer::Way(Some(rising)), Answer::Way(Some(rising.opposite()))], false)
        }
        Ask::Lap { .. } => {
            let verdicts = [Verdict::Better, Verdict::Worse, Verdict::Same];
            (verdicts.map(|verdict| Answer::Felt(Felt::Verdict(verdict))).to_vec(), false)
        }
        Ask::Which { .. } => ([OfPair::First, OfPair::Second].map(Answer::Which).to_vec(), false),
        Ask::Before(id) if goes_back(session.plan(), *id) => {
            let found = everywhere(*id).map(|position| Answer::Told(told(session, *id, position)));
            (found.chain([Answer::Unknown]).collect(), true)
        }
        Ask::Before(_) | Ask::Record(_) => (vec![Answer::Unknown], false),
        Ask::InNow(id) => {
            (everywhere(*id).map(|position| Answer::Told(told(session, *id, position))).collect(), true)
        }
        Ask::Sag { fit, .. } => {
            let right = || Stated::Value(session.measuring().unwrap().aim(), Some(Unit::Millimetre));
            let read = |position| Answer::SagAt(told(session, fit.adjuster, position), right(), None);
            (everywhere(fit.adjuster).map(read).chain([Answer::Finish]).collect(), true)
        }
        _ => (vec![Answer::Done], false),
    }
}

/// Whether a plan goes back to how an adjuster was found.
fn goes_back(plan: &Plan, id: AdjusterId) -> bool {
    plan.steps().iter().any(|step| {
        step.goes_back()
            && match step {
                Step::Set { adjuster, .. } => *adjuster == id,
                Step::Confirm(confirm) => confirm.adjusters.contains(&id),
                _ => false,
            }
    })
}

fn is_within_range(session: &Session, ask: &Ask) -> bool {
    let fits = match ask {
        Ask::Fit { fits, .. } | Ask::Swap { fits, .. } => fits.clone(),
        Ask::Baseline(fit) | Ask::Lap { fit, .. } | Ask::Sag { fit, .. } | Ask::Trial { fit, .. } => {
            vec![*fit]
        }
        _ => Vec::new(),
    };
    fits.iter().all(|fit| fit.to <= session.scale(fit.adjuster).unwrap().top())
}

/// Seeds with which the pairs of a plan end in every way: for each step of pairs on the one setting or
/// the other.
fn seeds(plan: &Plan) -> Vec<u64> {
    let pairs = plan.steps().iter().enumerate().filter_map(|(index, step)| match step {
        Step::Confirm(confirm) => Some((index as u64, confirm.pairs)),
        _ => None,
    });
    let pairs: Vec<(u64, u32)> = pairs.collect();
    let mut known: Vec<Vec<bool>> = Vec::new();
    let mut seeds = Vec::new();
    for seed in 0.. {
        let ends =
            pairs.iter().map(|(step, pairs)| *Lot::stream(seed, *step).balanced(*pairs).last().unwrap());
        let ends: Vec<bool> = ends.collect();
        if !known.contains(&ends) {
            known.push(ends);
            seeds.push(seed);
        }
        if known.len() == 1 << pairs.len() {
            return seeds;
        }
    }
    seeds
}

/// Rides a plan with each order of its pairs, on from no more moments than this; `None` where there are more.
fn with_each_order(plan: &Arc<Plan>, most: u32, remembering: bool) -> Option<Ridden> {
    let plan = Arc::new(Plan::clone(plan).without_budget());
    let mut left = most;
    let mut ridden = Ridden::NONE;
    for seed in seeds(&plan) {
        let begin = Session::begin(Arc::clone(&plan), seed);
        let begin = if remembering { begin.forgetting() } else { begin };
        let mut rides = Rides { left, known: remembering.then(IndexMap::default) };
        let rest = rides.ride(&begin)?;
        left = rides.left;
        ridden = ridden.and(rest, ridden.sequences.max(rest.sequences));
    }
    Some(ridden)
}

/// Every ride of a plan, each to its end; `None` where that takes more than so many answers.
pub fn each_to_its_end(plan: &Arc<Plan>, most: u32) -> Option<Ridden> {
    with_each_order(plan, most, false)
}

/// Every ride of a plan, from each moment once; `None` where there are more moments than this.
pub fn each_moment_once(plan: &Arc<Plan>, most: u32) -> Option<Ridden> {
    with_each_order(plan, most, true)
}

/// Whether a proof says what was ridden; where it only bounds, whether no ride has more.
pub fn is_true(proof: &Proof, ridden: Ridden) -> bool {
    let proven = Ridden {
        laps: proof.worst_laps,
        minutes: proof.worst_minutes,
        sequences: proof.sequences.exact().map_or(u128::MAX, u128::from),
        within_range: proof.within_range,
    };
    let bounds = proven.laps >= ridden.laps
        && proven.minutes >= ridden.minutes
        && proven.sequences >= ridden.sequences
        && proven.within_range == ridden.within_range;
    proof.ends && if proof.exact { proven == ridden } else { bounds }
}
