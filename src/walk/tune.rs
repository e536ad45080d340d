//! Owns all the ways in which one tune, or second look, can go: the very session, ridden with every verdict on a plan
//! that ends with it; or a bound, for a method that is not walked. It knows nothing of what comes before or after.

use std::hash::{Hash, Hasher};
use std::sync::Arc;

use tinyvec::{ArrayVec, array_vec};

use crate::plan::{AdjusterId, Bike, Dial, Loop, MOST_LAPS_OF_A_TUNE, Parts, Plan, Setup, Step, Tune};
use crate::search::{Direction, Method, Verdict, Window};
use crate::session::{Answer, Ask, Felt, Session};

use crate::vocabulary::Way;

use super::asked::is_within_range;
use super::cost::{Cost, Pace};
use super::{Count, Map};

/// All that a tune depends on.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
struct TuneShape {
    /// The room below and above where it begins, as far as it can lead.
    below: u32,
    above: u32,
    step: u32,
    rising: Way,
    slow: bool,
    within: Option<u32>,
    first_way: Option<Direction>,
    at_most: u32,
    method: Method,
    as_last_lap: bool,
    again: bool,
}

/// To decide where a narrowing search begins costs about as much as so many moments for each place of its range.
const MOMENTS_OF_A_PLACE: usize = 3;

/// Where a tune can end, and how it can come there.
#[derive(Debug, Clone)]
pub(super) struct Ending {
    /// How far from where it began it settles, in positions.
    pub at: i64,
    /// How far from there its last lap was.
    pub last: i64,
    pub cost: Cost,
    /// The last answer of a longest sequence that ends here; none where the tune is bounded and not walked.
    pub last_answer: Option<usize>,
}

/// What is answered in a tune. A walk keeps very many of them, so it is smaller than an answer.
#[derive(Debug, Clone, Copy, Default)]
enum TuneAnswer {
    #[default]
    Done,
    Felt(Verdict),
    First(Way),
}

impl From<TuneAnswer> for Answer {
    fn from(given: TuneAnswer) -> Self {
        match given {
            TuneAnswer::Done => Answer::Done,
            TuneAnswer::Felt(verdict) => Answer::Felt(Felt::Verdict(verdict)),
            TuneAnswer::First(way) => Answer::Way(Some(way)),
        }
    }
}

/// All tunes walked so far, by their shape, and what may still be walked.
#[derive(Debug, Default)]
pub(super) struct Tunes {
    known: Map<TuneShape, Arc<Walked>>,
    /// How many moments all walks together may still come to.
    left: usize,
}

/// All endings of a tune, and whether it kept its promises.
#[derive(Debug, Clone)]
pub(super) struct Walked {
    pub endings: Vec<Ending>,
    pub ends: bool,
    pub within_range: bool,
    /// Every sequence was walked.
    pub exact: bool,
    /// How many moments were walked for it, or what costs as much.
    moments: usize,
    said: AnswerTree,
}

/// A tune within its plan.
pub(super) struct Entered<'a> {
    pub plan: &'a Plan,
    pub pace: &'a Pace,
    /// The ride where it begins.
    pub session: &'a Session,
    pub dial: &'a Dial,
    /// Where it begins.
    pub start: u32,
    /// The last lap was at exactly this setting, so there is no reference lap.
    pub as_last_lap: bool,
    /// It is a second look.
    pub again: bool,
}

impl Tunes {
    /// From here on walks may come to so many moments.
    pub(super) fn allow(&mut self, moments: usize) {
        self.left = moments;
    }

    /// Walks came to so many moments.
    pub(super) fn spend(&mut self, moments: usize) {
        self.left = self.left.saturating_sub(moments);
    }

    pub(super) fn is_spent(&self) -> bool {
        self.left == 0
    }

    /// All ways in which a tune can go.
    pub(super) fn walk(&mut self, entered: &Entered<'_>) -> Arc<Walked> {
        let Some(terms) = entered.session.tune_terms() else { return Arc::new(Walked::lost()) };
        let far = match (terms.within, terms.method) {
            (Some(reach), _) => reach,
            (None, Method::Bracket) => terms.at_most.saturating_mul(entered.dial.step()),
            (None, Method::CrossOut | Method::Narrow) => u32::MAX,
        };
        let shape = TuneShape {
            below: entered.start.min(far),
            above: entered.dial.scale().top().saturating_sub(entered.start).min(far),
            step: entered.dial.step(),
            rising: entered.dial.way(Direction::Up),
            slow: entered.plan.bike().get(terms.adjuster).is_slow(),
            within: terms.within,
            first_way: terms.first_way,
            at_most: terms.at_most,
            method: terms.method,
            as_last_lap: entered.as_last_lap,
            again: entered.again,
        };
        if let Some(known) = self.known.get(&shape) {
            return Arc::clone(known);
        }
        let walked = match terms.method {
            // a second look follows from a first one, so it is ridden on in the same ride
            Method::Bracket if entered.again => match entered.session.until_here() {
                Some(session) => walk(session, terms.adjuster, entered),
                None => Walked::lost(),
            },
            Method::Bracket => match alone(entered, &terms) {
                Some((session, id)) => walk(session, id, entered),
                None => Walked::lost(),
            },
            Method::CrossOut | Method::Narrow => bounded(entered, &terms),
        };
        self.spend(walked.moments);
        let walked = Arc::new(walked);
        self.known.insert(shape, Arc::clone(&walked));
        walked
    }
}

impl Walked {
    /// All answers of a tune up to one, the first one first.
    pub(super) fn answers(&self, last: usize) -> Vec<Answer> {
        self.said.until(last).into_iter().map(Answer::from).collect()
    }

    /// Nothing is known of it.
    fn lost() -> Self {
        Walked { ends: false, exact: false, ..Walked::begun() }
    }

    /// Nothing is walked yet.
    fn begun() -> Self {
        Walked {
            endings: Vec::new(),
            ends: true,
            within_range: true,
            exact: true,
            moments: 0,
            said: AnswerTree::default(),
        }
    }
}

/// What a search with two questions a lap takes at most: every position may be where it ends, and every
/// lap that its method allows may be ridden.
fn bounded(entered: &Entered<'_>, terms: &Tune) -> Walked {
    let laps = entered.session.laps_to_go().unwrap_or(terms.at_most);
    let each = entered.pace.lap().plus(entered.pace.change_of(entered.plan, terms.adjuster));
    let two = Count::ONE.plus(Count::ONE);
    let three = two.plus(Count::ONE);
    let asked = if entered.plan.parts().compare_twice { three.times(three) } else { three };
    let sequences = (0..laps).fold(three, |product, _| product.times(asked));
    let cost = Cost { laps, time: each.times(laps), sequences };
    let window = entered.session.tune_window().unwrap_or(Window { low: entered.start, high: entered.start });
    let endings = (window.low..=window.high).flat_map(|at| {
        let beside = if at == window.high { at.saturating_sub(1) } else { at + 1 };
        let from_start = |position: u32| i64::from(position) - i64::from(entered.start);
        [at, beside].map(|last| Ending {
            at: from_start(at),
            last: from_start(last),
            cost,
            last_answer: None,
        })
    });
    let within_range = window.high <= entered.dial.scale().top();
    let moments =
        if terms.method == Method::Narrow { window.width() as usize * MOMENTS_OF_A_PLACE } else { 0 };
    Walked { endings: endings.collect(), within_range, exact: false, moments, ..Walked::begun() }
}

/// A ride at the beginning of this tune, on a bike with this adjuster only.
fn alone(entered: &Entered<'_>, terms: &Tune) -> Option<(Session, AdjusterId)> {
    let parts = entered.plan.parts();
    let mut adjuster = parts.bike.get(terms.adjuster).clone();
    adjuster.setup = Setup::Known(entered.dial.clone().starting_at(entered.start));
    let mut bike = Bike::new(String::new(), Vec::new());
    let id = bike.add(adjuster);
    let mut steps = Vec::new();
    if entered.as_last_lap {
        steps.push(Step::Ride { laps: 1, warm_up: false });
    }
    steps.push(Step::Tune(Tune { adjuster: id, feel: None, ..terms.clone() }));
    let draft = Parts {
        title: None,
        author: None,
        rider: None,
        bike,
        loop_: parts.loop_.as_ref().map(|loop_| Loop { name: String::new(), ..loop_.clone() }),
        laps: None,
        minutes: None,
        change: parts.change,
        effort: parts.effort,
        compare_twice: parts.compare_twice,
        needs_settings: false,
        steps,
    };
    let mut session = Session::begin(Arc::new(Plan::new(draft)?), 0).forgetting();
    while let Some(ask) = session.ask().filter(|ask| !is_of_a_tune(ask)) {
        session = session.answer(&Answer::Done).ok()?;
        if matches!(ask, Ask::Fit { .. }) && session.ask().is_none() {
            break;
        }
    }
    Some((session, id))
}

/// Whether it is asked in a tune.
pub(super) fn is_of_a_tune(ask: &Ask) -> bool {
    matches!(ask, Ask::Baseline(_) | Ask::Way(_) | Ask::Lap { .. } | Ask::Trial { .. })
}

/// The answers that are walked. Either way is one of the two ways. Much better and much
/// worse lead where better and worse do: only narrowing makes more of them, and that is bounded and not walked.
fn answers(session: &Session, ask: &Ask) -> ArrayVec<[TuneAnswer; 3]> {
    match ask {
        Ask::Way(id) => {
            let rising = session.adjuster(*id).rising();
            array_vec!([TuneAnswer; 3] => TuneAnswer::First(rising), TuneAnswer::First(rising.opposite()))
        }
        Ask::Lap { .. } => {
            ArrayVec::from([Verdict::Better, Verdict::Worse, Verdict::Same].map(TuneAnswer::Felt))
        }
        Ask::Before(_)
        | Ask::Count(_)
        | Ask::InNow(_)
        | Ask::Sag { .. }
        | Ask::Stop { .. }
        | Ask::Record(_)
        | Ask::Say(_)
        | Ask::Fit { .. }
        | Ask::Ride { .. }
        | Ask::Baseline(_)
        | Ask::Trial { .. }
        | Ask::Pairs { .. }
        | Ask::Swap { .. }
        | Ask::FirstOfPair { .. }
        | Ask::Which { .. } => array_vec!([TuneAnswer; 3] => TuneAnswer::Done),
    }
}

/// A moment of a tune. Moments with the same future are the same.
struct WithinTune(Box<Session>);

impl PartialEq for WithinTune {
    fn eq(&self, other: &Self) -> bool {
        self.0.state() == other.0.state()
    }
}

impl Eq for WithinTune {}

impl Hash for WithinTune {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        self.0.state().hash_briefly(hasher);
    }
}

/// What it takes to come to a moment, with the last answer of a longest sequence that leads there.
struct Coming {
    cost: Cost,
    last: Option<usize>,
}

/// Answers, each with the place of the one before it: many ways have their first ones in common.
#[derive(Debug, Clone, Default)]
struct AnswerTree(Vec<(TuneAnswer, Option<usize>)>);

impl AnswerTree {
    fn after(&mut self, before: Option<usize>, answer: TuneAnswer) -> usize {
        self.0.push((answer, before));
        self.0.len() - 1
    }

    /// All answers up to one, the first one first.
    fn until(&self, last: usize) -> Vec<TuneAnswer> {
        let answers = std::iter::successors(self.0.get(last), |(_, before)| self.0.get((*before)?));
        let mut answers: Vec<TuneAnswer> = answers.map(|(answer, _)| *answer).collect();
        answers.reverse();
        answers
    }
}

/// Answer by answer; what is the same moment is walked on once.
fn walk(begin: Session, id: AdjusterId, entered: &Entered<'_>) -> Walked {
    const MOST_ANSWERS: u32 = MOST_LAPS_OF_A_TUNE + 3;
    let step = begin.step();
    let mut walked = Walked::begun();
    let mut endings: Map<(u32, u32), Coming> = Map::default();
    let mut moments: Map<WithinTune, Coming> = Map::default();
    let mut said = AnswerTree::default();
    moments.insert(WithinTune(Box::new(begin)), Coming { cost: Cost::NOTHING, last: None });
    for _ in 0..=MOST_ANSWERS {
        let mut later: Map<WithinTune, Coming> = Map::default();
        walked.moments += moments.len();
        for (WithinTune(before), way) in moments {
            let ask = before.ask();
            walked.within_range &= ask.as_ref().is_none_or(|ask| is_within_range(&before, ask));
            let Some(ask) = ask.filter(|ask| is_of_a_tune(ask) && before.step() == step) else {
                let at = before.stands_at(id);
                let last = before.fitted_at(id).unwrap_or(at);
                come(endings.entry((at, last)), way.cost, || way.last);
                continue;
            };
            let taken = before.taken();
            let mut on = |mut session: Box<Session>, answer: TuneAnswer| {
                if session.take(&ask, &answer.into()).is_err() {
                    walked.ends = false;
                    return;
                }
                let cost = way.cost.then(entered.pace.between(taken, session.taken()));
                come(later.entry(WithinTune(session)), cost, || Some(said.after(way.last, answer)));
            };
            let answers = answers(&before, &ask);
            if let Some((last, others)) = answers.split_last() {
                for &answer in others {
                    on(before.clone(), answer);
                }
                // the last one needs no copy
                on(before, *last);
            }
        }
        moments = later;
    }
    walked.ends &= moments.is_empty();
    let from_start = |position: u32| i64::from(position) - i64::from(entered.start);
    let ending = |((at, last), way): ((u32, u32), Coming)| Ending {
        at: from_start(at),
        last: from_start(last),
        cost: way.cost,
        last_answer: way.last,
    };
    walked.endings = endings.into_iter().map(ending).collect();
    walked.said = said;
    walked
}

/// Comes to something in one more way.
fn come<K: Hash + Eq>(
    to: indexmap::map::Entry<'_, K, Coming>,
    cost: Cost,
    last: impl FnOnce() -> Option<usize>,
) {
    match to {
        indexmap::map::Entry::Occupied(mut same) => {
            let same = same.get_mut();
            if cost.laps > same.cost.laps {
                same.last = last();
            }
            same.cost = same.cost.or(cost);
        }
        indexmap::map::Entry::Vacant(new) => {
            new.insert(Coming { cost, last: last() });
        }
    }
}
