//! Owns the walk through a whole plan: step by step, from every setting that can stand there.
//! What is asked outside the tunes has one answer; how a tune goes stands in `tune`.

use std::collections::BTreeMap;
use std::sync::Arc;

use indexmap::IndexMap;
use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{AdjusterId, Measure, Plan, Reading, Setup, Step};
use crate::search::Method;
use crate::session::{self, Answer, Ask, Later, OfPair, Session, State};

use super::Count;
use super::tune::{Cost, Ending, Entered, Tunes, is_of_a_tune, is_within_range};

/// The most moments that are walked; a plan that comes back to many adjusters again and again has
/// more, and is bounded instead.
const MOST_MOMENTS: usize = 10_000;

/// The most of all walks of a plan together, one for each count that a rider may make.
const MOST_MOMENTS_OF_ALL: usize = 400_000;

/// The answers of one tune, and those of the tunes before it.
#[derive(Debug)]
pub(super) struct Told {
    pub adjuster: AdjusterId,
    pub answers: Vec<Answer>,
    pub before: Option<Arc<Told>>,
}

/// What a walk found.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub cost: Cost,
    pub ends: bool,
    pub within_range: bool,
    /// Every sequence was walked; otherwise laps, minutes and sequences are upper bounds.
    pub exact: bool,
    /// The last tune of a ride with the most laps; none where rides are bounded.
    pub longest: Option<Arc<Told>>,
}

/// How far a moment is: its step, and what is asked first in it. Later moments never come before.
type Place = (usize, u32);

/// A moment of a ride.
struct Moment {
    session: Session,
    cost: Cost,
    /// How many answers led here; the most of them.
    answers: usize,
    /// The last tune of a longest way here.
    told: Option<Arc<Told>>,
}

struct Walk<'a> {
    plan: &'a Arc<Plan>,
    tunes: &'a mut Tunes,
    /// What later steps have to do with each adjuster.
    later: Later,
    /// How many positions each adjuster has that is counted in the ride.
    counts: &'a [u32],
    waiting: BTreeMap<Place, IndexMap<State, Moment>>,
    found: Found,
    /// How many moments there were.
    moments: usize,
}

/// Walks a plan without a budget; `None` where the counts do not fit it.
pub(super) fn walk(plan: &Arc<Plan>, tunes: &mut Tunes, counts: &[u32]) -> Option<Found> {
    let nothing = Cost { sequences: Count::NONE, ..Cost::nothing() };
    let found = Found { cost: nothing, ends: true, within_range: true, exact: true, longest: None };
    let later = Later::of(plan);
    let mut walk = Walk { plan, tunes, later, counts, waiting: BTreeMap::new(), found, moments: 0 };
    let session = Session::begin(Arc::clone(plan), 0);
    walk.put(Moment { session, cost: Cost::nothing(), answers: 0, told: None });
    let paired = plan.steps().iter().map(|step| match step {
        Step::Confirm(confirm) => confirm.pairs as usize * 4,
        _ => 0,
    });
    let most_answers = plan.bike().len() * 4 + plan.steps().len() * 4 + 16 + paired.sum::<usize>();
    while let Some((_, moments)) = walk.waiting.pop_first() {
        for moment in moments.into_values() {
            let all = walk.tunes.moments;
            if walk.moments > MOST_MOMENTS || all > MOST_MOMENTS_OF_ALL || walk.tunes.too_many {
                walk.bound();
                return Some(walk.found);
            }
            if moment.answers > most_answers {
                walk.found.ends = false;
                continue;
            }
            walk.go_on(&moment)?;
        }
    }
    Some(walk.found)
}

fn place(session: &Session, ask: &Ask) -> Place {
    let rank = match ask {
        Ask::Found(_) => 0,
        Ask::Count(_) => 1,
        Ask::InNow(_) => 2,
        Ask::Fit { .. } => 3,
        Ask::Swap { pair, second, .. } => pair * 4 + 2 * u32::from(*second),
        Ask::FirstOfPair { pair, .. } => pair * 4 + 1,
        Ask::Which { pair, .. } => pair * 4 + 3,
        _ => 4,
    };
    (session.step(), rank)
}

impl Walk<'_> {
    fn put(&mut self, moment: Moment) {
        self.moments += 1;
        self.tunes.moments += 1;
        let Some(ask) = moment.session.ask() else {
            if self.found.longest.is_none() || moment.cost.laps > self.found.cost.laps {
                self.found.longest = moment.told;
            }
            self.found.cost = self.found.cost.or(moment.cost);
            return;
        };
        self.found.within_range &= is_within_range(&moment.session, &ask);
        let state = moment.session.state_for(&self.later);
        let moment = Moment { session: moment.session.forgetting(), ..moment };
        match self.waiting.entry(place(&moment.session, &ask)).or_default().entry(state) {
            indexmap::map::Entry::Occupied(mut same) => {
                let same = same.get_mut();
                if moment.cost.laps > same.cost.laps {
                    same.told = moment.told;
                }
                same.cost = same.cost.or(moment.cost);
                same.answers = same.answers.max(moment.answers);
            }
            indexmap::map::Entry::Vacant(new) => {
                new.insert(moment);
            }
        }
    }

    fn go_on(&mut self, moment: &Moment) -> Option<()> {
        let Some(ask) = moment.session.ask() else { return Some(()) };
        if is_of_a_tune(&ask) {
            self.tune(moment, &ask);
            return Some(());
        }
        let answers = match &ask {
            Ask::Which { .. } => [OfPair::First, OfPair::Second].map(Answer::Which).to_vec(),
            _ => vec![self.answer(&moment.session, &ask)],
        };
        for answer in answers {
            let session = moment.session.answer(&answer).ok()?;
            let mut cost = moment.cost.then(Cost::between(&moment.session, &session));
            if let (Ask::Sag { fit, .. }, Some(_)) = (&ask, session.minutes()) {
                cost.minutes += self.readings(fit.adjuster);
            }
            self.put(Moment { session, cost, answers: moment.answers + 1, told: moment.told.clone() });
        }
        Some(())
    }

    /// The minutes of all readings of a spring.
    fn readings(&self, id: AdjusterId) -> Number {
        let most = u32::try_from(Measure::MOST_READINGS).unwrap_or(0);
        self.plan.change_of(id) * Number::from_integer(most.into())
    }

    /// The one answer to a question outside a tune.
    fn answer(&self, session: &Session, ask: &Ask) -> Answer {
        match ask {
            Ask::Found(_) | Ask::Record(_) => Answer::Unknown,
            Ask::Count(id) => {
                let by = match &session.adjuster(*id).setup {
                    Setup::Uncounted(uncounted) => uncounted.by(),
                    _ => Number::zero(),
                };
                let count = self.counts.get(id.index()).copied().unwrap_or(1);
                Answer::Told(session::Told::Value(by * Number::from_integer(count.into()), None))
            }
            Ask::InNow(id) => {
                let scale = session.scale(*id);
                match scale.map(|scale| scale.reading(scale.top() / 2)) {
                    Some(Reading::Value(number, _)) => Answer::Told(session::Told::Value(number, None)),
                    Some(Reading::Name(name)) => Answer::Told(session::Told::Name(name.to_owned())),
                    None => Answer::Unknown,
                }
            }
            // its readings are bounded, not walked
            Ask::Sag { .. } => Answer::Keep,
            Ask::Stop { .. } => Answer::RideAnyway,
            _ => Answer::Done,
        }
    }

    /// Goes on from every ending of a tune that makes a difference.
    fn tune(&mut self, moment: &Moment, ask: &Ask) {
        let step = moment.session.step();
        let Some((id, again)) = self.plan.steps().get(step).and_then(|step| match step {
            Step::Tune(tune) => Some((tune.adjuster, false)),
            Step::Revisit { adjuster, .. } => Some((*adjuster, true)),
            _ => None,
        }) else {
            return;
        };
        let Some(dial) = moment.session.dial(id) else { return };
        let walked = self.tunes.walk(&Entered {
            plan: self.plan,
            session: &moment.session,
            dial,
            start: moment.session.stands_at(id),
            as_last_lap: !matches!(ask, Ask::Reference(_)),
            again,
        });
        self.found.ends &= walked.ends;
        self.found.within_range &= walked.within_range;
        self.found.exact &= walked.exact;
        let matters = self.later.tells(id, step + 1);
        let mut distinct: IndexMap<(Option<u32>, Option<u32>, bool), Ending> = IndexMap::new();
        for ending in &walked.endings {
            let seen = |position| matters.then_some(position);
            let key = (seen(ending.at), seen(ending.last), ending.at == ending.last);
            let kept = distinct.entry(key).or_insert_with(|| Ending {
                cost: Cost { sequences: Count::NONE, ..Cost::nothing() },
                ..ending.clone()
            });
            if ending.cost.laps > kept.cost.laps {
                kept.answers.clone_from(&ending.answers);
            }
            kept.cost = kept.cost.or(ending.cost);
        }
        for ending in distinct.into_values() {
            let session = moment.session.settling(ending.at, ending.last);
            let Some(session) = session.filter(|session| session.step() > step) else {
                self.found.ends = false;
                continue;
            };
            let cost = moment.cost.then(ending.cost);
            let told = ending
                .answers
                .map(|answers| Arc::new(Told { adjuster: id, answers, before: moment.told.clone() }));
            let told = told.or_else(|| moment.told.clone());
            self.put(Moment { session, cost, answers: moment.answers + 1, told });
        }
    }

    /// What the plan takes at most, with every tune at its worst wherever it begins.
    fn bound(&mut self) {
        self.found.exact = false;
        self.found.longest = None;
        self.tunes.too_many = true;
        let mut total = Cost::nothing();
        let fitting = |plan: &Plan| plan.bike().ids().map(|id| plan.change_of(id)).max();
        let change = fitting(self.plan).unwrap_or_else(Number::zero);
        let lap = self.plan.parts().trail.as_ref().and_then(|trail| trail.lap).unwrap_or_else(Number::zero);
        for step in self.plan.steps() {
            let cost = match step {
                Step::Ride { laps, .. } => {
                    let minutes = lap * Number::from_integer((*laps).into()) + change;
                    Cost { laps: *laps, minutes, ..Cost::nothing() }
                }
                Step::Measure(measure) => {
                    Cost { minutes: self.readings(measure.adjuster) + change, ..Cost::nothing() }
                }
                Step::Tune(tune) => {
                    let size = |dial: &crate::plan::Dial| if tune.within.is_some() { 1 } else { dial.step() };
                    let width = |top: u32| tune.within.map_or(top, |reach| reach.saturating_mul(2).min(top));
                    let mut worst = self.worst(tune.adjuster, tune.at_most, tune.method, (size, width), lap);
                    worst.minutes += change;
                    worst
                }
                Step::Revisit { adjuster, method } => {
                    let mut worst =
                        self.worst(*adjuster, 6, *method, (|_: &_| 2, |top: u32| top.min(6)), lap);
                    worst.minutes += change;
                    worst
                }
                Step::Confirm(confirm) => {
                    let each = confirm.adjusters.iter().map(|id| self.plan.change_of(*id)).max();
                    let each = lap + each.unwrap_or_else(Number::zero);
                    let laps = confirm.pairs * 2;
                    let minutes = each * Number::from_integer(laps.into()) + change;
                    let two = Count::ONE.plus(Count::ONE);
                    let sequences = (0..confirm.pairs).fold(Count::ONE, |product, _| product.times(two));
                    Cost { laps, minutes, sequences }
                }
                _ => Cost::nothing(),
            };
            total = total.then(cost);
        }
        self.found.cost = total;
    }

    /// A bound of what a tune takes from anywhere: a reference lap, every step to both ends, one of
    /// them cut short on either side, each lap with three verdicts, or nine where it is asked about
    /// twice, and two ways first.
    fn worst(
        &self,
        id: AdjusterId,
        at_most: u32,
        method: Method,
        (size, width): (impl Fn(&crate::plan::Dial) -> u32, impl Fn(u32) -> u32),
        lap: Number,
    ) -> Cost {
        let steps = match &self.plan.bike().get(id).setup {
            Setup::Known(dial) | Setup::Unstarted(dial) => width(dial.scale().top()).div_ceil(size(dial)),
            Setup::Uncounted(_) => at_most,
        };
        let laps = match method {
            Method::Bracket => at_most.min(steps.saturating_add(2)),
            _ => at_most,
        };
        let two = Count::ONE.plus(Count::ONE);
        let three = two.plus(Count::ONE);
        let each = if method == Method::Bracket { three } else { three.times(three) };
        Cost {
            laps,
            minutes: Number::from_integer(laps.into()) * (lap + self.plan.change_of(id)),
            sequences: (0..laps).fold(two, |product, _| product.times(each)),
        }
    }
}
