//! Owns all the ways in which one tune can go: the very session, ridden with every verdict, on a
//! plan of this tune alone. It knows nothing of what comes before or after.

use std::hash::{Hash, Hasher};
use std::sync::Arc;

use indexmap::IndexMap;
use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{Bike, Dial, Draft, MOST_LAPS_OF_A_TUNE, Plan, Setup, Step, Trail, Tune};
use crate::search::{Direction, Verdict};
use crate::session::{Answer, Ask, Felt, Session};

use crate::vocabulary::Way;

use super::Count;

/// All that a tune depends on.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
struct Shape {
    top: u32,
    start: u32,
    step: u32,
    rising: Way,
    slow: bool,
    within: Option<u32>,
    begin: Option<Direction>,
    at_most: u32,
    as_last_lap: bool,
}

/// Where a tune can end, and how it can come there.
#[derive(Debug, Clone)]
pub(super) struct Ending {
    /// The position at which it settles.
    pub at: u32,
    /// The position of its last lap.
    pub last: u32,
    pub cost: Cost,
    /// A longest sequence of answers that ends here.
    pub answers: Vec<Answer>,
}

/// What a way to somewhere takes: the most laps, the most minutes, how many ways there are.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cost {
    pub laps: u32,
    /// Nought where the trail does not say how long a lap is.
    pub minutes: Number,
    pub sequences: Count,
}

impl Cost {
    /// Nothing was ridden yet.
    pub(super) fn nothing() -> Self {
        Cost { laps: 0, minutes: Number::zero(), sequences: Count::ONE }
    }

    /// Another way to the same place.
    pub(super) fn or(self, other: Cost) -> Self {
        Cost {
            laps: self.laps.max(other.laps),
            minutes: self.minutes.max(other.minutes),
            sequences: self.sequences.plus(other.sequences),
        }
    }

    /// The worse of two in each respect.
    pub(super) fn worse(self, other: Cost) -> Self {
        Cost { sequences: self.sequences.max(other.sequences), ..self.or(other) }
    }

    /// This way, and then that one.
    pub(super) fn then(self, other: Cost) -> Self {
        Cost {
            laps: self.laps + other.laps,
            minutes: self.minutes + other.minutes,
            sequences: self.sequences.times(other.sequences),
        }
    }

    /// What one answer took.
    pub(super) fn between(before: &Session, after: &Session) -> Self {
        let ridden = after.laps().len().saturating_sub(before.laps().len());
        Cost {
            laps: u32::try_from(ridden).unwrap_or(u32::MAX),
            minutes: after.minutes_since(before).unwrap_or_else(Number::zero),
            sequences: Count::ONE,
        }
    }
}

/// All tunes walked so far, by their shape.
#[derive(Debug, Default)]
pub(super) struct Tunes {
    known: IndexMap<Shape, Arc<Walked>>,
    /// A plan had too many moments to be walked; those that differ little have too.
    pub too_many: bool,
}

/// All endings of a tune, and whether it kept its promises.
#[derive(Debug, Clone)]
pub(super) struct Walked {
    pub endings: Vec<Ending>,
    pub ends: bool,
    pub within_range: bool,
}

/// A tune within its plan.
pub(super) struct Entered<'a> {
    pub plan: &'a Plan,
    pub tune: &'a Tune,
    pub dial: &'a Dial,
    /// Where it begins.
    pub start: u32,
    /// The last lap was at exactly this setting, so there is no reference lap.
    pub as_last_lap: bool,
}

impl Tunes {
    /// All ways in which a tune can go.
    pub(super) fn walk(&mut self, entered: &Entered<'_>) -> Arc<Walked> {
        let shape = Shape {
            top: entered.dial.scale().top(),
            start: entered.start,
            step: entered.dial.step(),
            rising: entered.dial.way(Direction::Up),
            slow: entered.plan.bike().get(entered.tune.adjuster).is_slow(),
            within: entered.tune.within,
            begin: entered.tune.begin,
            at_most: entered.tune.at_most,
            as_last_lap: entered.as_last_lap,
        };
        let walked = self.known.entry(shape).or_insert_with(|| Arc::new(walk(alone(entered))));
        Arc::clone(walked)
    }
}

/// A ride at the beginning of this tune, on a bike with this adjuster only.
fn alone(entered: &Entered<'_>) -> Option<Session> {
    let parts = entered.plan.parts();
    let mut adjuster = parts.bike.get(entered.tune.adjuster).clone();
    adjuster.setup = Setup::Known(entered.dial.clone().starting_at(entered.start));
    let mut bike = Bike::new(String::new(), Vec::new());
    let id = bike.add(adjuster);
    let mut steps = Vec::new();
    if entered.as_last_lap {
        steps.push(Step::Ride { laps: 1, warm_up: false });
    }
    steps.push(Step::Tune(Tune { adjuster: id, feel: None, ..entered.tune.clone() }));
    let draft = Draft {
        title: None,
        author: None,
        rider: None,
        bike,
        trail: parts.trail.as_ref().map(|trail| Trail { name: String::new(), lap: trail.lap }),
        laps: None,
        minutes: None,
        change: parts.change,
        effort: parts.effort,
        second_question: parts.second_question,
        needs_settings: false,
        steps,
    };
    let mut session = Session::begin(Arc::new(Plan::new(draft)?), 0);
    while let Some(ask) = session.ask().filter(|ask| !is_of_a_tune(ask)) {
        session = session.answer(&Answer::Done).ok()?;
        if matches!(ask, Ask::Fit { .. }) && session.ask().is_none() {
            break;
        }
    }
    Some(session)
}

/// Whether it is asked in a tune.
pub(super) fn is_of_a_tune(ask: &Ask) -> bool {
    matches!(ask, Ask::Reference(_) | Ask::Way(_) | Ask::Lap { .. })
}

/// The answers that are walked. Either way is one of the two ways.
fn answers(session: &Session, ask: &Ask) -> Vec<Answer> {
    match ask {
        Ask::Way(id) => {
            let rising = session.adjuster(*id).rising();
            [rising, rising.opposite()].map(|way| Answer::Way(Some(way))).to_vec()
        }
        Ask::Lap { .. } => [Verdict::Better, Verdict::Worse, Verdict::Same]
            .map(|verdict| Answer::Felt(Felt::Verdict(verdict)))
            .to_vec(),
        _ => vec![Answer::Done],
    }
}

/// Whether every setting that is asked for is one that the bike has.
pub(super) fn is_within_range(session: &Session, ask: &Ask) -> bool {
    let within = |fit: &crate::session::Fit| {
        session.dial(fit.adjuster).is_some_and(|dial| fit.to <= dial.scale().top())
    };
    match ask {
        Ask::Fit { fits, .. } => fits.iter().all(within),
        Ask::Reference(fit) | Ask::Lap { fit, .. } | Ask::Sag { fit, .. } => within(fit),
        _ => true,
    }
}

/// A moment of a tune. Moments with the same future are the same.
struct Moment(Session);

impl PartialEq for Moment {
    fn eq(&self, other: &Self) -> bool {
        self.0.state() == other.0.state()
    }
}

impl Eq for Moment {}

impl Hash for Moment {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        self.0.state().hash(hasher);
    }
}

/// What it takes to come to a moment, with a longest sequence of answers that leads there.
struct Coming {
    cost: Cost,
    answers: Option<Arc<Said>>,
}

/// An answer and those before it, which many ways have in common.
struct Said {
    answer: Answer,
    before: Option<Arc<Said>>,
}

/// All answers of a way, the first one first.
fn all(last: Option<&Arc<Said>>) -> Vec<Answer> {
    let said = std::iter::successors(last, |said| said.before.as_ref());
    let mut answers: Vec<Answer> = said.map(|said| said.answer.clone()).collect();
    answers.reverse();
    answers
}

/// Answer by answer; what is the same moment is walked on once.
fn walk(begin: Option<Session>) -> Walked {
    const MOST_ANSWERS: u32 = MOST_LAPS_OF_A_TUNE + 2;
    let mut walked = Walked { endings: Vec::new(), ends: begin.is_some(), within_range: true };
    let mut endings: IndexMap<(u32, u32), Ending> = IndexMap::new();
    let mut moments: IndexMap<Moment, Coming> = IndexMap::new();
    if let Some(session) = begin {
        moments.insert(Moment(session), Coming { cost: Cost::nothing(), answers: None });
    }
    for _ in 0..=MOST_ANSWERS {
        let mut later: IndexMap<Moment, Coming> = IndexMap::new();
        for (Moment(before), way) in &moments {
            let ask = before.ask();
            walked.within_range &= ask.as_ref().is_none_or(|ask| is_within_range(before, ask));
            let Some(ask) = ask.filter(is_of_a_tune) else {
                end(&mut endings, before, way);
                continue;
            };
            for answer in answers(before, &ask) {
                let Ok(session) = before.answer(&answer) else {
                    walked.ends = false;
                    continue;
                };
                let cost = way.cost.then(Cost::between(before, &session));
                let said = || Some(Arc::new(Said { answer, before: way.answers.clone() }));
                match later.entry(Moment(session)) {
                    indexmap::map::Entry::Occupied(mut same) => {
                        let same = same.get_mut();
                        if cost.laps > same.cost.laps {
                            same.answers = said();
                        }
                        same.cost = same.cost.or(cost);
                    }
                    indexmap::map::Entry::Vacant(new) => {
                        new.insert(Coming { cost, answers: said() });
                    }
                }
            }
        }
        moments = later;
    }
    walked.ends &= moments.is_empty();
    walked.endings = endings.into_values().collect();
    walked
}

fn end(endings: &mut IndexMap<(u32, u32), Ending>, session: &Session, way: &Coming) {
    let Some(id) = session.plan().bike().ids().next() else { return };
    let at = session.stands_at(id);
    let last = session.fitted_at(id).unwrap_or(at);
    let ending = endings.entry((at, last)).or_insert_with(|| Ending {
        at,
        last,
        cost: Cost { sequences: Count::NONE, ..Cost::nothing() },
        answers: all(way.answers.as_ref()),
    });
    if way.cost.laps > ending.cost.laps {
        ending.answers = all(way.answers.as_ref());
    }
    ending.cost = ending.cost.or(way.cost);
}
