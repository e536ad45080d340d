//! Owns which moments of a walk have the same future: the key by which they are merged. It is made from what the
//! steps to come need (`needs`) and the plain facts of a ride; it knows no rule of the ride.

use crate::plan::{AdjusterId, Goal};
use crate::search::SecondLook;
use crate::session::{Doing, PairStage, Session, State, Stated};

use super::fact::{About, Fact, Standing};
use super::needs::{Later, Need, Needs, Reach};

/// All that the rest of a ride depends on, as far as its steps can tell. Moments that are alike in it
/// take as many laps, minutes and sequences from there on, also with other counts.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Future {
    step: usize,
    far: Far,
    laps_left: Option<u32>,
    /// A tune's setting is fitted before what is said or asked next.
    settle_due: bool,
    /// What the steps can tell of each adjuster, one adjuster after the other.
    facts: Box<[Fact]>,
}

/// How far a step is, as far as that makes a difference beside where everything is.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Far {
    /// An adjuster at this place is asked about, with what was told of how each was found.
    Asked(Asked, usize, Box<[Option<Stated>]>),
    Steps,
    Fit,
    /// What a measurement or a tune asks first follows from where everything is.
    MeasureBegun,
    TuneBegun,
    /// So does which places are compared.
    Pairs {
        stage: PairStage,
        pair: u32,
        void: u32,
        of: Box<[AdjusterId]>,
        /// On which of its two settings the bike is after the last pair; `None` where that makes no difference.
        ends_on_first: Option<bool>,
    },
    Over,
    /// In the middle of something that a walk goes through by itself, where all of it matters.
    Amid(Box<State>),
}

/// What is asked about an adjuster before the steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Asked {
    Before,
    Count,
    InNow,
}

impl Far {
    fn of(session: &Session, later: &Later) -> Self {
        let asked = |about, place| {
            let found = session.plan().bike().ids().map(|id| session.before(id).cloned());
            Far::Asked(about, place, found.collect())
        };
        match session.doing() {
            Doing::Before(place) => asked(Asked::Before, place),
            Doing::Count(place) => asked(Asked::Count, place),
            Doing::InNow(place) => asked(Asked::InNow, place),
            Doing::Steps => Far::Steps,
            Doing::Fit => Far::Fit,
            Doing::MeasureBegun => Far::MeasureBegun,
            Doing::TuneBegun => Far::TuneBegun,
            Doing::Pairs { stage, pair, void, places } => Far::Pairs {
                stage,
                pair,
                void,
                of: places.iter().map(|place| place.0).collect(),
                ends_on_first: later.fits(session.step() + 1).then(|| session.order().last() == Some(&true)),
            },
            Doing::Over => Far::Over,
            Doing::Amid => Far::Amid(Box::new(session.state().clone())),
        }
    }
}

impl Future {
    /// Of a moment of a ride of the plan of `later`. The facts are put together in `room`, whatever was in it.
    pub fn of(session: &Session, later: &Later, room: &mut Vec<Fact>) -> Self {
        let needs = later.from(session.step());
        room.clear();
        if let Some(needs) = needs {
            for (of, _) in &needs.looks {
                let tuned = session.stood_when_tuned(*of).is_some();
                room.push(Fact::new(About::Tuned, Standing::alike_if(tuned)));
            }
            for id in session.plan().bike().ids() {
                Whereabouts::now(session, id).tell(needs, room);
            }
        }
        Future {
            step: session.step(),
            far: Far::of(session, later),
            laps_left: session.laps_left(),
            settle_due: session.is_settle_due() && needs.is_some_and(|needs| needs.says),
            facts: room.as_slice().into(),
        }
    }

    /// How many facts tell it from others.
    pub fn facts(&self) -> usize {
        let of_lots = matches!(self.far, Far::Pairs { ends_on_first: Some(_), .. });
        self.facts.len() + usize::from(of_lots)
    }
}

/// Writes what the steps after the running tune can tell of where it leaves its adjuster: at a position, fitted
/// and last ridden at another. All that was in `facts` is replaced.
pub(super) fn tuned_as(
    session: &Session,
    later: &Later,
    adjuster: AdjusterId,
    (at, last): (u32, u32),
    facts: &mut Vec<Fact>,
) {
    let left = Whereabouts { session, id: adjuster, at, fitted: Some(last), last_lap: Some(last) };
    left.tell_after(later, facts);
}

/// Writes what the steps after the running measurement can tell of a position at which it leaves its spring. All
/// that was in `facts` is replaced.
pub(super) fn measured_as(
    session: &Session,
    later: &Later,
    spring: AdjusterId,
    at: u32,
    facts: &mut Vec<Fact>,
) {
    let last_lap = session.last_lap_at(spring);
    Whereabouts { session, id: spring, at, fitted: Some(at), last_lap }.tell_after(later, facts);
}

/// Where one adjuster is.
#[derive(Clone, Copy)]
struct Whereabouts<'a> {
    session: &'a Session,
    id: AdjusterId,
    /// Where it is to be.
    at: u32,
    fitted: Option<u32>,
    last_lap: Option<u32>,
}

impl<'a> Whereabouts<'a> {
    fn now(session: &'a Session, id: AdjusterId) -> Self {
        let (at, fitted) = (session.stands_at(id), session.fitted_at(id));
        Whereabouts { session, id, at, fitted, last_lap: session.last_lap_at(id) }
    }

    /// What is needed of it after the running step.
    fn tell_after(self, later: &Later, facts: &mut Vec<Fact>) {
        facts.clear();
        if let Some(needs) = later.from(self.session.step() + 1) {
            self.tell(needs, facts);
        }
    }

    /// What is needed of it.
    fn tell(self, needs: &Needs, facts: &mut Vec<Fact>) {
        let (id, at) = (self.id, self.at);
        let Some(dial) = self.session.dial(id) else {
            return facts.push(Fact::new(About::Uncounted, Standing::Unknown));
        };
        let need = &needs.of[id];
        let top = dial.scale().top();
        let mut tell = |about, standing| facts.push(Fact::new(about, standing));
        if need.ends {
            tell(About::LowEnd, Standing::with_room(at, need.reach));
            tell(About::HighEnd, Standing::with_room(top.saturating_sub(at), need.reach));
        }
        if need.step {
            tell(About::Step, Standing::Exact(dial.step().into()));
        }
        if need.few {
            tell(About::Top, if SecondLook::is_close(top) { Standing::Near(0) } else { Standing::Free });
        }
        if need.found {
            let found = self.session.before_at(id);
            tell(About::Before, found.map_or(Standing::Unknown, |found| Standing::Exact(found.into())));
        }
        self.tell_places(need, at, About::Place, facts);
        if need.places_vary {
            self.tell_of_places(need, top, facts);
        }
        self.tell_otherwise(need, self.fitted, (About::Fitted, About::FittedPlace), facts);
        if needs.last_lap {
            self.tell_otherwise(need, self.last_lap, (About::LastLap, About::LastLapPlace), facts);
        }
        self.tell_since(needs, facts);
    }

    /// How a position is to each place.
    fn tell_places(self, need: &Need, position: u32, about: About, facts: &mut Vec<Fact>) {
        self.tell_standings(need.places.iter(), position, about, need.reach, facts);
    }

    fn tell_standings<'b>(
        self,
        places: impl Iterator<Item = &'b Goal>,
        position: u32,
        about: About,
        reach: Reach,
        facts: &mut Vec<Fact>,
    ) {
        let place_of = |goal| self.session.place_of(self.id, goal, self.at);
        let standing = |goal: &Goal| Standing::to(place_of(*goal), position, reach);
        facts.extend(places.map(|goal| Fact::new(about, standing(goal))));
    }

    /// How each place is to the ends and to the places before it.
    fn tell_of_places(self, need: &Need, top: u32, facts: &mut Vec<Fact>) {
        for (index, goal) in need.places.iter().enumerate() {
            let place = self.session.place_of(self.id, *goal, self.at);
            if need.from_places {
                let high = top.saturating_sub(place);
                facts.push(Fact::new(About::PlaceLowEnd, Standing::with_room(place, need.reach)));
                facts.push(Fact::new(About::PlaceHighEnd, Standing::with_room(high, need.reach)));
            }
            let others = need.places.iter().take(index);
            self.tell_standings(others, place, About::PlacePlace, need.reach, facts);
        }
    }

    /// Where it is or was otherwise.
    fn tell_otherwise(
        self,
        need: &Need,
        other: Option<u32>,
        (about, place): (About, About),
        facts: &mut Vec<Fact>,
    ) {
        let standing = match other {
            None => Standing::Unknown,
            Some(other) if need.moves_unfitted => Standing::to(self.at, other, need.reach),
            Some(other) => Standing::alike_if(other == self.at),
        };
        facts.push(Fact::new(about, standing));
        if let Some(other) = other.filter(|_| need.moves_unfitted) {
            self.tell_places(need, other, place, facts);
        }
    }

    /// What second looks at other adjusters can tell of it.
    fn tell_since(self, needs: &Needs, facts: &mut Vec<Fact>) {
        let (id, at) = (self.id, self.at);
        for (of, looks) in needs.looks.iter().filter(|(of, _)| *of != id) {
            let Some(stood) = self.session.stood_when_tuned(*of) else { continue };
            let (apart, stood) = (&looks[id], stood[id]);
            // what is farther off has moved, however it is turned
            let reach = apart.reach.and(Reach::Within(SecondLook::MOVED - 1));
            if apart.now {
                // where it stays where it is, it has moved or not, whatever comes
                let stays = apart.reach == Reach::NONE;
                let moved = || Standing::alike_if(!SecondLook::has_moved(stood, at));
                let standing = if stays { moved() } else { Standing::to(stood, at, reach) };
                facts.push(Fact::new(About::Since, standing));
            }
            for goal in &apart.places {
                let place = self.session.place_of(self.id, *goal, at);
                facts.push(Fact::new(About::SincePlace, Standing::to(place, stood, reach)));
            }
        }
    }
}
