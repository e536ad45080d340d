//! Owns what the steps of a plan, from each of them on, need to know of where the bike is and was. What one step
//! needs is in `of_steps`; here it is put together, backwards. It knows nothing of a running ride.

mod of_steps;

use std::sync::Arc;

use crate::plan::{AdjusterId, Bike, ByAdjuster, Goal, Plan, Setup};
use crate::search::SecondLook;

/// How far an adjuster may be turned from where it is. What is farther off makes no difference.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Reach {
    /// So many positions at most.
    Within(u32),
    /// To wherever it can be.
    Anywhere,
}

impl Reach {
    /// It stays where it is.
    pub const NONE: Reach = Reach::Within(0);

    /// One reach after the other.
    pub fn and(self, other: Reach) -> Reach {
        match (self, other) {
            (Reach::Within(one), Reach::Within(other)) => {
                one.checked_add(other).map_or(Reach::Anywhere, Reach::Within)
            }
            (Reach::Anywhere, _) | (_, Reach::Anywhere) => Reach::Anywhere,
        }
    }
}

/// What the steps from one on need of one adjuster. All that is not needed may differ between two
/// moments that have the same future.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "each is needed or not, whatever the others are")]
pub(super) struct Need {
    /// They turn it from where it is, so it matters how close it is to the ends of its range.
    pub ends: bool,
    /// How far they may turn it.
    pub reach: Reach,
    /// The places with which it is compared, or where it is put.
    pub places: Vec<Goal>,
    /// It is turned from a place where it is put, so it matters how close that is to the ends.
    pub from_places: bool,
    /// Its range or its start is told in the ride only, so its places are not the same in all rides.
    pub places_vary: bool,
    /// It is moved before it is fitted, so it matters where it is fitted and where it was on the last
    /// lap, and not only whether that is where it is to be.
    pub moves_unfitted: bool,
    /// How far one change of it goes.
    pub step: bool,
    /// Whether it has few positions or many, for the reach of a second look.
    pub few: bool,
    /// Where it was found.
    pub found: bool,
}

impl Default for Need {
    fn default() -> Self {
        Need {
            ends: false,
            reach: Reach::NONE,
            places: Vec::new(),
            from_places: false,
            places_vary: false,
            moves_unfitted: false,
            step: false,
            few: false,
            found: false,
        }
    }
}

impl Need {
    /// Whether it makes a difference where the adjuster is.
    fn matters(&self) -> bool {
        self.ends || !self.places.is_empty()
    }
}

/// What second looks at one adjuster need of where another one was and is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Apart {
    /// How far it is now from where it was.
    pub now: bool,
    /// How far it may still be turned before the last of those looks.
    pub reach: Reach,
    /// The places where it is put before that: how far they are from where it was.
    pub places: Vec<Goal>,
}

impl Default for Apart {
    fn default() -> Self {
        Apart { now: false, reach: Reach::NONE, places: Vec::new() }
    }
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
    pub of: ByAdjuster<Arc<Need>>,
    /// For each adjuster that is looked at again: of every adjuster.
    pub looks: Vec<(AdjusterId, Arc<ByAdjuster<Apart>>)>,
}

/// What the later steps of a plan need, from each step on.
#[derive(Debug)]
pub(super) struct Later(Vec<Needs>);

impl Later {
    /// Of a plan.
    pub fn of(plan: &Plan) -> Self {
        let mut needs = Needs::of_the_end(plan);
        let mut from = vec![needs.clone()];
        for step in plan.steps().iter().rev() {
            of_steps::needs(plan, step, &mut needs);
            from.push(needs.clone());
        }
        from.reverse();
        Later(from)
    }

    /// What is needed from a step on, where anything is.
    pub fn from(&self, step: usize) -> Option<&Needs> {
        self.0.get(step).or(self.0.last()).filter(|needs| needs.fits)
    }

    /// Whether laps are ridden or sag is read from a step on.
    pub fn fits(&self, step: usize) -> bool {
        self.from(step).is_some()
    }

    /// Whether it makes a difference from a step on where an adjuster was found.
    pub fn tells_found(&self, id: AdjusterId, step: usize) -> bool {
        self.from(step).is_some_and(|needs| needs.of[id].found)
    }

    /// Whether it makes a difference from a step on where an adjuster is.
    pub fn tells(&self, id: AdjusterId, step: usize) -> bool {
        self.from(step).is_some_and(|needs| needs.of[id].matters())
    }
}

/// What steps say they need; each of these goes back over one thing that a step does.
impl Needs {
    /// What is needed after the last step: nothing.
    fn of_the_end(plan: &Plan) -> Self {
        let of = ByAdjuster::of(plan.bike(), |id| {
            let places_vary = match plan.bike().get(id).setup {
                Setup::Known(_) => false,
                Setup::Unstarted(_) | Setup::Uncounted(_) => true,
            };
            Arc::new(Need { places_vary, ..Need::default() })
        });
        Needs { fits: false, last_lap: false, says: false, of, looks: Vec::new() }
    }

    fn of_adjuster(&mut self, id: AdjusterId) -> &mut Need {
        Arc::make_mut(&mut self.of[id])
    }

    /// Laps are compared with the one before.
    fn compares_laps(&mut self) {
        self.fits = true;
        self.last_lap = true;
    }

    /// An adjuster is turned so far at most, from where it is.
    fn turned(&mut self, id: AdjusterId, by: Reach) {
        let need = self.of_adjuster(id);
        need.ends = true;
        need.reach = need.reach.and(by);
        self.apart(id, |apart| apart.reach = apart.reach.and(by));
    }

    /// An adjuster is put at a place, wherever it was.
    fn put(&mut self, id: AdjusterId, place: Goal) {
        // a second look at another adjuster will ask how far from there it was
        let moved = Reach::Within(SecondLook::MOVED);
        let looks = self.looks.iter().map(|(_, looks)| looks[id].reach.and(moved));
        let looked_at = looks.max().unwrap_or(Reach::NONE);
        let need = self.of_adjuster(id);
        need.reach = need.reach.max(looked_at);
        need.from_places |= need.ends;
        need.ends = false;
        need.moves_unfitted = true;
        add(&mut need.places, place);
        need.found |= place == Goal::Before;
        self.apart(id, |apart| {
            apart.now = false;
            add(&mut apart.places, place);
        });
    }

    /// An adjuster is compared with a place.
    fn compared(&mut self, id: AdjusterId, place: Goal) {
        let need = self.of_adjuster(id);
        add(&mut need.places, place);
        need.found |= place == Goal::Before;
    }

    /// An adjuster may end up anywhere; where that matters, all of it matters.
    fn anywhere(&mut self, id: AdjusterId) {
        let looked_at = self.looks.iter().any(|(_, looks)| looks[id].now);
        if self.of[id].matters() || looked_at {
            self.turned(id, Reach::Anywhere);
            self.of_adjuster(id).moves_unfitted = true;
        }
    }

    /// A second look at an adjuster asks how far the others have moved since it was tuned.
    fn looked_back_at(&mut self, bike: &Bike, id: AdjusterId) {
        match self.looks.iter_mut().find(|(of, _)| *of == id) {
            Some((_, looks)) => Arc::make_mut(looks).iter_mut().for_each(|apart| apart.now = true),
            None => {
                let now = |_| Apart { now: true, ..Apart::default() };
                self.looks.push((id, Arc::new(ByAdjuster::of(bike, now))));
            }
        }
    }

    fn apart(&mut self, id: AdjusterId, change: impl Fn(&mut Apart)) {
        for (_, looks) in &mut self.looks {
            change(&mut Arc::make_mut(looks)[id]);
        }
    }
}

fn add(places: &mut Vec<Goal>, place: Goal) {
    if !places.contains(&place) {
        places.push(place);
    }
}
