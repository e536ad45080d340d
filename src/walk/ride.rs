//! Owns the walk through a whole plan: step by step, from every setting that can stand there.
//! What is asked outside the tunes has one answer; how a tune goes stands in `tune`.

use std::collections::BTreeMap;
use std::sync::Arc;

use indexmap::IndexMap;
use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{AdjusterId, Measure, Plan, Reading, Setup, Step, Tune};
use crate::session::{self, Answer, Ask, Session, State};

use super::Count;
use super::tune::{Cost, Ending, Entered, Tunes, is_of_a_tune, is_within_range};

/// The most moments that are walked; a plan that comes back to many adjusters again and again has
/// more, and is bounded instead.
const MOST_MOMENTS: usize = 1500;

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
type Place = (usize, u8);

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
    /// The last step that touches each adjuster.
    touched: Vec<Option<usize>>,
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
    let touched = touched(plan);
    let mut walk = Walk { plan, tunes, touched, counts, waiting: BTreeMap::new(), found, moments: 0 };
    let session = Session::begin(Arc::clone(plan), 0);
    walk.put(Moment { session, cost: Cost::nothing(), answers: 0, told: None });
    let most_answers = plan.bike().len() * 4 + plan.steps().len() * 4 + 16;
    while let Some((_, moments)) = walk.waiting.pop_first() {
        for moment in moments.into_values() {
            if walk.moments > MOST_MOMENTS || walk.tunes.too_many {
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

fn touched(plan: &Plan) -> Vec<Option<usize>> {
    let mut touched = vec![None; plan.bike().len()];
    for (index, step) in plan.steps().iter().enumerate() {
        match step {
            Step::Set { adjuster, .. } => touched[adjuster.index()] = Some(index),
            Step::Tune(tune) => touched[tune.adjuster.index()] = Some(index),
            Step::Measure(measure) => {
                touched[measure.adjuster.index()] = Some(index);
                if let Some(preload) = measure.preload {
                    touched[preload.index()] = Some(index);
                }
            }
            _ => {}
        }
    }
    touched
}

fn place(session: &Session, ask: &Ask) -> Place {
    let rank = match ask {
        Ask::Found(_) => 0,
        Ask::Count(_) => 1,
        Ask::InNow(_) => 2,
        Ask::Fit { .. } => 3,
        _ => 4,
    };
    (session.step(), rank)
}

impl Walk<'_> {
    /// Whether the position of an adjuster still matters at a step.
    fn matters(&self, id: AdjusterId, step: usize) -> bool {
        self.touched[id.index()].is_some_and(|last| last >= step)
    }

    fn put(&mut self, moment: Moment) {
        self.moments += 1;
        let Some(ask) = moment.session.ask() else {
            if self.found.longest.is_none() || moment.cost.laps > self.found.cost.laps {
                self.found.longest = moment.told;
            }
            self.found.cost = self.found.cost.or(moment.cost);
            return;
        };
        self.found.within_range &= is_within_range(&moment.session, &ask);
        let step = moment.session.step();
        let state = moment.session.state_of(|id| self.matters(id, step));
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
        let session = moment.session.answer(&self.answer(&moment.session, &ask)).ok()?;
        let mut cost = moment.cost.then(Cost::between(&moment.session, &session));
        if let (Ask::Sag { fit, .. }, Some(_)) = (&ask, session.minutes()) {
            cost.minutes += self.readings(fit.adjuster);
        }
        self.put(Moment { session, cost, answers: moment.answers + 1, told: moment.told.clone() });
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
            _ => Answer::Done,
        }
    }

    /// Goes on from every ending of a tune that makes a difference.
    fn tune(&mut self, moment: &Moment, ask: &Ask) {
        let step = moment.session.step();
        let Some(Step::Tune(tune)) = self.plan.steps().get(step) else { return };
        let id = tune.adjuster;
        let Some(dial) = moment.session.dial(id) else { return };
        let walked = self.tunes.walk(&Entered {
            plan: self.plan,
            tune,
            dial,
            start: moment.session.stands_at(id),
            as_last_lap: !matches!(ask, Ask::Reference(_)),
        });
        self.found.ends &= walked.ends;
        self.found.within_range &= walked.within_range;
        let matters = self.matters(id, step + 1);
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
            let mut session = moment.session.clone();
            for answer in &ending.answers {
                match session.answer(answer) {
                    Ok(next) => session = next,
                    Err(_) => self.found.ends = false,
                }
            }
            self.found.ends &= session.step() > step;
            let cost = moment.cost.then(ending.cost);
            let told = Told { adjuster: id, answers: ending.answers, before: moment.told.clone() };
            let told = Some(Arc::new(told));
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
                    let mut worst = self.worst(tune, lap);
                    worst.minutes += change;
                    worst
                }
                _ => Cost::nothing(),
            };
            total = total.then(cost);
        }
        self.found.cost = total;
    }

    /// A bound of what a tune takes from anywhere: a reference lap, every step to both ends, one of
    /// them cut short on either side, each lap with three verdicts, and two ways first.
    fn worst(&self, tune: &Tune, lap: Number) -> Cost {
        let steps = match &self.plan.bike().get(tune.adjuster).setup {
            Setup::Known(dial) | Setup::Unstarted(dial) => {
                let top = dial.scale().top();
                let width = tune.within.map_or(top, |reach| reach.saturating_mul(2).min(top));
                width.div_ceil(if tune.within.is_some() { 1 } else { dial.step() })
            }
            Setup::Uncounted(_) => tune.at_most,
        };
        let laps = tune.at_most.min(steps.saturating_add(2));
        let two = Count::ONE.plus(Count::ONE);
        let three = two.plus(Count::ONE);
        Cost {
            laps,
            minutes: Number::from_integer(laps.into()) * (lap + self.plan.change_of(tune.adjuster)),
            sequences: (0..laps).fold(two, |product, _| product.times(three)),
        }
    }
}
