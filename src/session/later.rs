//! Owns what the steps of a plan, from each of them on, need to know of where the bike is: worked out
//! backwards, step by step. It knows nothing of a running ride.

use std::sync::Arc;

use crate::plan::{AdjusterId, Confirm, Goal, Plan, Setup, Step, Tune, Uncounted};
use crate::search::{Method, SecondLook};

/// What the steps from one on need of one adjuster. All that is not needed may differ between two
/// moments that have the same future.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "each is needed or not, whatever the others are")]
pub(super) struct Need {
    /// They turn it from where it is, so it matters how close it is to the ends of its range.
    pub at: bool,
    /// How many positions they may turn it at most; what is farther off than that makes no difference.
    pub far: u32,
    /// The places with which it is compared, or where it is put.
    pub places: Vec<Goal>,
    /// It is moved before it is fitted, so it matters where it is fitted and where it was on the last
    /// lap, and not only whether that is where it is to be.
    pub set: bool,
    /// How far one change of it goes.
    pub step: bool,
    /// Whether it has few positions or many, for the reach of a second look.
    pub few: bool,
    /// Where it was found.
    pub before: bool,
}

impl Need {
    /// Whether it makes a difference where the adjuster is.
    fn matters(&self) -> bool {
        self.at || !self.places.is_empty()
    }
}

/// What second looks at one adjuster need of where another one was and is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Apart {
    /// How far it is now from where it was.
    pub now: bool,
    /// How many positions it may still be turned at most before the last of those looks.
    pub far: u32,
    /// The places where it is put before that: how far they are from where it was.
    pub places: Vec<Goal>,
}

/// What the steps from one on need.
#[derive(Debug, Clone)]
pub(super) struct Needs {
    /// The bike is fitted once more; otherwise nothing takes any laps or minutes from here on.
    pub fits: bool,
    /// The last lap is compared with where everything is.
    pub last_lap: bool,
    /// Something is said or asked before which a tune's setting is fitted.
    pub says: bool,
    /// Of each adjuster.
    pub of: Vec<Arc<Need>>,
    /// For each adjuster that is looked at again, by its place: of every adjuster.
    pub looks: Vec<(usize, Arc<Vec<Apart>>)>,
}

/// What the later steps of a plan need, from each step on.
#[derive(Debug)]
pub struct Later(Vec<Needs>);

impl Later {
    /// Of a plan.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let adjusters = plan.bike().len();
        let mut needs = Needs {
            fits: false,
            last_lap: false,
            says: false,
            of: vec![Arc::default(); adjusters],
            looks: Vec::new(),
        };
        let mut from = vec![needs.clone()];
        for step in plan.steps().iter().rev() {
            needs.before(plan, step);
            from.push(needs.clone());
        }
        from.reverse();
        Later(from)
    }

    pub(super) fn from(&self, step: usize) -> Option<&Needs> {
        self.0.get(step).or(self.0.last())
    }

    /// Whether laps are ridden or sag is read from a step on.
    #[must_use]
    pub fn fits(&self, step: usize) -> bool {
        self.from(step).is_some_and(|needs| needs.fits)
    }

    /// Whether it makes a difference from a step on where an adjuster was found.
    #[must_use]
    pub fn tells_before(&self, id: AdjusterId, step: usize) -> bool {
        self.from(step).is_some_and(|needs| needs.fits && needs.of[id.index()].before)
    }

    /// Whether it makes a difference from a step on where an adjuster is.
    #[must_use]
    pub fn tells(&self, id: AdjusterId, step: usize) -> bool {
        self.from(step).is_some_and(|needs| needs.fits && needs.of[id.index()].matters())
    }
}

impl Needs {
    /// Goes back over a step: what is needed after it becomes what is needed before it. A new step, or a
    /// new thing that a step asks of the bike, has its place here.
    fn before(&mut self, plan: &Plan, step: &Step) {
        match step {
            Step::Say(_) | Step::RecordSettings | Step::Record(_) => self.says |= self.fits,
            // what comes after the last lap and the last reading takes nothing
            Step::Set { .. } if !self.fits => {}
            Step::Set { adjuster, goal: Goal::By(count, _) } => {
                self.turned(*adjuster, *count);
                self.need(*adjuster).set = true;
            }
            Step::Set {
                adjuster,
                goal:
                    goal @ (Goal::Start
                    | Goal::Before
                    | Goal::End(_)
                    | Goal::Middle
                    | Goal::At(_)
                    | Goal::Value(_)),
            } => self.put(*adjuster, *goal),
            Step::Ride { laps, warm_up: _ } => {
                self.fits = true;
                // its laps are the last ones for all that follows
                self.last_lap &= *laps == 0;
            }
            // readings follow from the spring and the preload; where they lead is walked as it comes
            Step::Measure(measure) => {
                self.fits = true;
                self.anywhere(measure.adjuster);
            }
            Step::Tune(tune) => {
                self.compares();
                self.turned(tune.adjuster, reach(plan, tune));
                self.need(tune.adjuster).step |= tune.within.is_none();
            }
            Step::Revisit { adjuster, method: _ } => {
                self.compares();
                self.turned(*adjuster, SecondLook::WIDE.reach);
                self.need(*adjuster).few = true;
                self.look_back(plan, *adjuster);
            }
            Step::Confirm(Confirm { adjusters, between, blind: _, pairs: _ }) => {
                self.fits = true;
                for (index, id) in adjusters.iter().enumerate() {
                    match between.get(index) {
                        Some((one, other)) => [*one, *other].map(|place| self.compared(*id, place)),
                        None => [self.compared(*id, Goal::Start); 2],
                    };
                }
            }
        }
    }

    fn need(&mut self, id: AdjusterId) -> &mut Need {
        Arc::make_mut(&mut self.of[id.index()])
    }

    fn compares(&mut self) {
        self.fits = true;
        self.last_lap = true;
    }

    /// An adjuster is turned by so many positions at most, from where it is.
    fn turned(&mut self, id: AdjusterId, by: u32) {
        let need = self.need(id);
        need.at = true;
        need.far = need.far.saturating_add(by);
        self.apart(id, |apart| apart.far = apart.far.saturating_add(by));
    }

    /// An adjuster is put at a place, wherever it was.
    fn put(&mut self, id: AdjusterId, place: Goal) {
        // a second look at another adjuster will ask how far from there it was
        let looks =
            self.looks.iter().map(|(_, looks)| looks[id.index()].far.saturating_add(SecondLook::MOVED));
        let looked_at = looks.max().unwrap_or(0);
        let need = self.need(id);
        need.far = need.far.max(looked_at);
        need.at = false;
        need.set = true;
        add(&mut need.places, place);
        need.before |= place == Goal::Before;
        self.apart(id, |apart| {
            apart.now = false;
            add(&mut apart.places, place);
        });
    }

    /// An adjuster is compared with a place.
    fn compared(&mut self, id: AdjusterId, place: Goal) {
        let need = self.need(id);
        add(&mut need.places, place);
        need.before |= place == Goal::Before;
    }

    /// An adjuster may end up anywhere; where that matters, all of it matters.
    fn anywhere(&mut self, id: AdjusterId) {
        let need = &self.of[id.index()];
        let looked_at = self.looks.iter().any(|(_, looks)| looks[id.index()].now);
        if need.matters() || looked_at {
            self.turned(id, u32::MAX);
        }
    }

    /// A second look at an adjuster asks how far the others have moved since it was tuned.
    fn look_back(&mut self, plan: &Plan, id: AdjusterId) {
        let known = self.looks.iter().position(|(of, _)| *of == id.index());
        let index = known.unwrap_or_else(|| {
            self.looks.push((id.index(), Arc::new(vec![Apart::default(); plan.bike().len()])));
            self.looks.len() - 1
        });
        for apart in Arc::make_mut(&mut self.looks[index].1) {
            apart.now = true;
        }
    }

    fn apart(&mut self, id: AdjusterId, change: impl Fn(&mut Apart)) {
        for (_, looks) in &mut self.looks {
            change(&mut Arc::make_mut(looks)[id.index()]);
        }
    }
}

fn add(places: &mut Vec<Goal>, place: Goal) {
    if !places.contains(&place) {
        places.push(place);
    }
}

/// How far a tune may lead from where it begins, at most. Those that weigh the whole range lead anywhere.
fn reach(plan: &Plan, tune: &Tune) -> u32 {
    match (tune.within, tune.method) {
        (Some(reach), _) => reach,
        (None, Method::Bracket) => tune.at_most.saturating_mul(widest_step(plan, tune.adjuster)),
        (None, Method::CrossOut | Method::Narrow) => u32::MAX,
    }
}

/// How far one change of an adjuster goes, at most where it is not counted yet.
fn widest_step(plan: &Plan, id: AdjusterId) -> u32 {
    match &plan.bike().get(id).setup {
        Setup::Known(dial) | Setup::Unstarted(dial) => dial.step(),
        Setup::Uncounted(uncounted) => {
            uncounted.dial(Uncounted::MOST).map_or(u32::MAX, |(dial, _)| dial.step())
        }
    }
}
