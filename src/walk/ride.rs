//! Owns the walk through a whole plan: forwards from question to question, moments with the same future
//! once, and then backwards, what each of them takes from there on. What is answered stands in `asked`,
//! how a tune goes in `tune`.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::plan::{AdjusterId, FewByAdjuster, Plan, Step, Uncounted};
use crate::session::{Answer, Ask, Session};

use super::Map;
use super::asked::{By, NotWalked, counted, is_within_range, leads};
use super::bound::{bound, readings};
use super::cost::{Cost, Pace};
use super::fact::Fact;
use super::future::{Future, tuned_as};
use super::moments::{Found, Moment, MomentId, Moments, Passage};
use super::needs::Later;
use super::tune::{Ending, Entered, Tunes, is_of_a_tune};

/// The most moments that one walk reaches; a plan that comes back to many adjusters again and
/// again has more, and is bounded instead.
const MOST_MOMENTS: usize = 10_000;

/// So many endings of a tune cost about as much as one moment.
const ENDINGS_OF_A_MOMENT: usize = 8;

/// So many facts about where everything is cost about as much as one moment.
const FACTS_OF_A_MOMENT: usize = 64;

/// The tunes of a ride in order, each with its answers.
pub(super) type LongestRide = Vec<(AdjusterId, Vec<Answer>)>;

/// How far a moment is: its step, and what is asked in it. No way leads back.
type Rank = (usize, u32, u32);

/// The walks of a plan without a budget.
#[derive(Debug)]
pub(super) struct Walks<'a> {
    plan: Arc<Plan>,
    pace: Pace,
    later: Later,
    tunes: &'a mut Tunes,
    moments: Moments,
    /// The moments that are not walked on from yet.
    waiting: BTreeMap<Rank, Vec<MomentId>>,
    /// The moments of the running walk, and those of all walks.
    come_to: usize,
    /// A walk had too many; those that differ little have too.
    too_many: bool,
    /// Where facts are put together.
    room: Vec<Fact>,
}

fn rank(session: &Session, ask: &Ask) -> Rank {
    let (rank, within) = match ask {
        Ask::Before(id) => (0, id.index()),
        Ask::Count(id) => (1, id.index()),
        Ask::InNow(id) => (2, id.index()),
        Ask::Fit { .. } => (3, 0),
        Ask::Swap { pair, lap, .. } => (5, (pair * 4 + 2 * (lap.number() - 1)) as usize),
        Ask::FirstOfPair { pair, .. } => (5, (pair * 4 + 1) as usize),
        Ask::Which { pair, .. } => (5, (pair * 4 + 3) as usize),
        Ask::Sag { .. }
        | Ask::Stop { .. }
        | Ask::Record(_)
        | Ask::Say(_)
        | Ask::Ride { .. }
        | Ask::Baseline(_)
        | Ask::Way(_)
        | Ask::Lap { .. }
        | Ask::Trial { .. }
        | Ask::Pairs { .. } => (4, 0),
    };
    (session.step(), rank, u32::try_from(within).unwrap_or(u32::MAX))
}

impl<'a> Walks<'a> {
    pub fn of(plan: Arc<Plan>, tunes: &'a mut Tunes) -> Self {
        Walks {
            pace: Pace::of(&plan),
            later: Later::of(&plan),
            plan,
            tunes,
            moments: Moments::default(),
            waiting: BTreeMap::new(),
            come_to: 0,
            too_many: false,
            room: Vec::new(),
        }
    }

    /// A ride before its first question, of which nothing is written down.
    fn begin(&self) -> Session {
        Session::begin(Arc::clone(&self.plan), 0).forgetting()
    }

    /// How its times are told.
    pub fn pace(&self) -> &Pace {
        &self.pace
    }

    /// What the plan takes with these counts, and the tunes of a longest
    /// ride. `None` where the counts do not fit it.
    pub fn walk(&mut self, counts: &FewByAdjuster<u32>) -> Option<(Found, LongestRide)> {
        let sessions = match counted(self.begin(), counts, &self.later) {
            Ok(sessions) => sessions,
            Err(NotWalked::Unfit) => return None,
            Err(NotWalked::TooMany) => {
                self.too_many = true;
                Vec::new()
            }
        };
        if self.too_many {
            return Some((self.bounded(), Vec::new()));
        }
        self.come_to = 0;
        let firsts: Vec<_> = sessions.into_iter().map(|session| self.come(session)).collect();
        let mut walked = Vec::new();
        while let Some((_, moments)) = self.waiting.pop_first() {
            for moment in moments {
                if self.too_many || self.come_to > MOST_MOMENTS || self.tunes.is_spent() {
                    self.too_many = true;
                    return Some((self.bounded(), Vec::new()));
                }
                self.walk_on(moment);
                walked.push(moment);
            }
        }
        for moment in walked.into_iter().rev() {
            let found = self.look_back(moment);
            self.moments[moment].found = Some(found);
        }
        let most = firsts.iter().copied().max_by_key(|first| self.found(*first).cost.laps)?;
        let found = firsts.iter().map(|first| self.found(*first)).reduce(|one, other| one.and(&other))?;
        Some((found, self.longest(most)))
    }

    /// The counts of an adjuster that the plan can tell apart, whatever the other ones are.
    pub fn told_apart(&self, id: AdjusterId, counts: &[u32]) -> Vec<u32> {
        let begin = self.begin();
        let future = |others: u32, count: u32| {
            let counts = FewByAdjuster::of(self.plan.bike(), |of| if of == id { count } else { others });
            let sessions = counted(begin.clone(), &counts, &self.later);
            sessions.map(|sessions| {
                let mut room = Vec::new();
                let futures = sessions.iter().map(|session| Future::of(session, &self.later, &mut room));
                futures.collect::<Vec<_>>()
            })
        };
        let mut apart: Map<_, u32> = Map::default();
        for &count in counts {
            apart.entry([future(Uncounted::MOST, count), future(1, count)]).or_insert(count);
        }
        apart.into_values().collect()
    }

    /// Comes to a moment; `None` where it is the end.
    fn come(&mut self, session: Session) -> Option<MomentId> {
        self.come_to += 1;
        self.tunes.spend(1);
        let ask = session.ask()?;
        let future = Future::of(&session, &self.later, &mut self.room);
        // of a bike with many adjusters it takes longer to tell, and is kept
        self.tunes.spend(future.facts() / FACTS_OF_A_MOMENT);
        let rank = rank(&session, &ask);
        let (id, is_new) = self.moments.come(future, || Moment {
            within_range: is_within_range(&session, &ask),
            session: Some(Box::new(session)),
            by: By::Rider,
            passages: Vec::new(),
            ends: true,
            exact: true,
            found: None,
        });
        if is_new {
            self.waiting.entry(rank).or_default().push(id);
        }
        Some(id)
    }

    /// Goes on from a moment in every way.
    fn walk_on(&mut self, id: MomentId) {
        let Some(session) = self.moments[id].session.take() else { return };
        let Some(ask) = session.ask() else { return };
        if is_of_a_tune(&ask) {
            self.tune(id, &session, &ask);
            return;
        }
        let Some((by, ways)) = leads(&session, &ask, &self.later) else {
            self.moments[id].ends = false;
            return;
        };
        self.moments[id].by = by;
        for next in ways {
            let mut cost = self.pace.between(session.taken(), next.taken());
            if let Ask::Sag { fit, .. } = &ask {
                cost.time = cost.time.plus(readings(&self.plan, &self.pace, fit.adjuster));
            }
            let to = self.come(next);
            self.moments[id].passages.push(Passage { cost, to, tune: None });
        }
        self.moments[id].passages.shrink_to_fit();
    }

    /// Goes on from every ending of a tune that makes a difference.
    fn tune(&mut self, here: MomentId, session: &Session, ask: &Ask) {
        let (id, again) = match self.plan.steps().get(session.step()) {
            Some(Step::Tune(tune)) => (tune.adjuster, false),
            Some(Step::Revisit { adjuster, .. }) => (*adjuster, true),
            _ => return,
        };
        let Some(dial) = session.dial(id) else { return };
        let start = session.stands_at(id);
        let walked = self.tunes.walk(&Entered {
            plan: &self.plan,
            pace: &self.pace,
            session,
            dial,
            start,
            as_last_lap: !matches!(ask, Ask::Baseline(_)),
            again,
        });
        // each ending is looked at, which is less than a moment
        self.tunes.spend(walked.endings.len() / ENDINGS_OF_A_MOMENT);
        let moment = &mut self.moments[here];
        moment.ends &= walked.ends;
        moment.within_range &= walked.within_range;
        moment.exact &= walked.exact;
        let position = |shift: i64| u32::try_from(i64::from(start) + shift).unwrap_or(0);
        let mut distinct: Map<Box<[Fact]>, Ending> = Map::default();
        let mut told = Vec::new();
        for ending in &walked.endings {
            tuned_as(session, &self.later, id, (position(ending.at), position(ending.last)), &mut told);
            let Some(kept) = distinct.get_mut(told.as_slice()) else {
                distinct.insert(told.as_slice().into(), ending.clone());
                continue;
            };
            if ending.cost.laps > kept.cost.laps {
                kept.last_answer = ending.last_answer;
            }
            kept.cost = kept.cost.or(ending.cost);
        }
        for ending in distinct.into_values() {
            let next = session.settling(position(ending.at), position(ending.last));
            let Some(next) = next.filter(|next| next.step() > session.step()) else {
                self.moments[here].ends = false;
                continue;
            };
            let to = self.come(next);
            let tune = ending.last_answer.map(|last| (id, Arc::clone(&walked), last));
            self.moments[here].passages.push(Passage { cost: ending.cost, to, tune });
        }
    }

    /// What a moment takes, from what those after it take.
    fn look_back(&self, id: MomentId) -> Found {
        let moment = &self.moments[id];
        let mut found = Found {
            cost: Cost::NO_WAY,
            ends: moment.ends && !moment.passages.is_empty(),
            within_range: moment.within_range,
            exact: moment.exact,
            longest: None,
        };
        for (number, passage) in moment.passages.iter().enumerate() {
            let rest = self.found(passage.to);
            let cost = passage.cost.then(rest.cost);
            if found.longest.is_none() || cost.laps > found.cost.laps {
                found.longest = Some(number);
            }
            found.cost = match moment.by {
                By::Rider => found.cost.or(cost),
                By::Chance => found.cost.worse(cost),
            };
            found.ends &= rest.ends;
            found.within_range &= rest.within_range;
            found.exact &= rest.exact;
        }
        found
    }

    /// What is known of a moment or the end. A moment of which nothing is known yet leads to itself.
    fn found(&self, moment: Option<MomentId>) -> Found {
        let nothing =
            Found { cost: Cost::NOTHING, ends: true, within_range: true, exact: true, longest: None };
        match moment.map(|moment| &self.moments[moment].found) {
            None => nothing,
            Some(Some(found)) => found.clone(),
            Some(None) => Found { ends: false, ..nothing },
        }
    }

    /// The tunes of a longest ride from a moment on.
    fn longest(&self, first: Option<MomentId>) -> LongestRide {
        let way = |moment: Option<MomentId>| {
            let moment = &self.moments[moment?];
            moment.passages.get(moment.found.as_ref()?.longest?)
        };
        let ways = std::iter::successors(way(first), |before| way(before.to));
        let told = ways.filter_map(|way| way.tune.as_ref());
        told.map(|(id, walked, last)| (*id, walked.answers(*last))).collect()
    }

    pub fn bounded(&self) -> Found {
        let cost = bound(&self.plan, &self.pace);
        let mut found = self.found(None);
        found.within_range = self.moments.iter().all(|moment| moment.within_range);
        Found { cost, exact: false, ..found }
    }
}
