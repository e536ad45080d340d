//! Owns what a ride looks like to somebody who only asks where things stand, and which moments have the
//! same future. It changes nothing that is ridden; what later steps need stands in `later`.

use std::mem::{Discriminant, discriminant};
use std::sync::Arc;

use crate::plan::AdjusterId;
use crate::search::SecondLook;

use super::later::Needs;
use super::state::{PairStage, PairsState, Phase, TuneState};
use super::{How, Later, Session, Told};

/// All that the rest of a ride depends on, as far as its steps can tell. Moments that are alike in it
/// take as many laps, minutes and sequences from there on, also with other counts.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Future {
    phase: Far,
    step: usize,
    laps_left: Option<u32>,
    settle_due: bool,
    /// Only while it is asked for.
    found: Option<Box<[Option<Told>]>>,
    /// What the needs of the step say, one after the other.
    told: Box<[Fact]>,
}

/// How far a step is, as far as that makes a difference beside where everything is. A walk keeps very many of
/// them, so it is smaller than a phase.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Far {
    /// Whichever phase it is, with the place of the adjuster that is asked about.
    Plain(Discriminant<Phase>, usize),
    /// A tune has just begun: its window and whether it begins with a reference lap follow from where everything is.
    Tune,
    /// So does which places are compared.
    Pairs {
        stage: PairStage,
        pair: u32,
        void: u32,
        of: Box<[AdjusterId]>,
    },
    Other(Box<Phase>),
}

impl Far {
    fn of(phase: &Phase) -> Self {
        match phase {
            Phase::Found(index) | Phase::Count(index) | Phase::InNow(index) => {
                Far::Plain(discriminant(phase), *index)
            }
            Phase::Steps | Phase::Fit | Phase::Over => Far::Plain(discriminant(phase), 0),
            Phase::Tune(TuneState { stage: _, laps: 0, void: 0, since: None, window: _ }) => Far::Tune,
            Phase::Compare(PairsState { stage, pair, void, places }) => {
                let of = places.iter().map(|place| place.0).collect();
                Far::Pairs { stage: *stage, pair: *pair, void: *void, of }
            }
            Phase::Measure(_) | Phase::Stop(_) | Phase::Tune(_) => Far::Other(Box::new(phase.clone())),
        }
    }
}

impl Future {
    /// How many facts tell it from others.
    #[must_use]
    pub fn facts(&self) -> usize {
        self.told.len()
    }
}

/// Where one adjuster is.
#[derive(Debug, Clone, Copy)]
struct Stands {
    /// Where it is to be.
    at: u32,
    fitted: Option<u32>,
    /// On the last lap.
    last: Option<u32>,
}

/// A position, how far apart two are, or yes and no. A walk keeps millions of them.
pub type Fact = i32;

/// What is told of something that is too far off to make a difference.
const FAR: Fact = Fact::MAX;

/// What is told of something that is not there: no last lap, no tune to look back at.
const NONE: Fact = Fact::MAX - 1;

/// How far a position is from a place, with its sign, as far as that makes a difference.
fn near(position: u32, place: u32, far: u32) -> Fact {
    let apart = i64::from(position) - i64::from(place);
    if apart.abs() <= i64::from(far) { Fact::try_from(apart).unwrap_or(FAR) } else { FAR }
}

/// A position, of which no adjuster has nearly as many as a fact has room for.
fn fact(position: u32) -> Fact {
    Fact::try_from(position).unwrap_or(FAR)
}

impl Session {
    /// The step of the plan that is next or running, from 0; their number at the end.
    #[must_use]
    pub fn step(&self) -> usize {
        self.state.step
    }

    /// The position at which an adjuster is to stand.
    #[must_use]
    pub fn stands_at(&self, id: AdjusterId) -> u32 {
        self.state.at[id.index()]
    }

    /// What the rest of the ride depends on.
    #[must_use]
    pub fn future(&self, later: &Later) -> Future {
        let state = &self.state;
        let mut told = Vec::with_capacity(16 * state.at.len() + 1);
        if let Some(needs) = later.from(state.step).filter(|needs| needs.fits) {
            // the lot decides on which of its two settings the bike is after the last pair
            if matches!(state.phase, Phase::Compare(_)) && later.fits(state.step + 1) {
                told.push(Fact::from(self.order().last() == Some(&true)));
            }
            for id in self.ids() {
                let index = id.index();
                let stands = Stands {
                    at: state.at[index],
                    fitted: state.fitted[index],
                    last: state.last_lap.as_ref().map(|last| last[index]),
                };
                self.tell(needs, id, stands, &mut told);
            }
        }
        let asked = matches!(state.phase, Phase::Found(_) | Phase::Count(_) | Phase::InNow(_));
        Future {
            phase: Far::of(&state.phase),
            step: state.step,
            laps_left: state.laps_left,
            settle_due: state.settle_due
                && later.from(state.step).is_some_and(|needs| needs.fits && needs.says),
            found: asked.then(|| state.seldom.found.as_slice().into()),
            told: told.into(),
        }
    }

    /// Writes what the steps after the running tune can tell of where it leaves its adjuster: at a
    /// position, fitted and last ridden at another. All that was in `told` is replaced.
    pub fn tuned_as(&self, later: &Later, id: AdjusterId, (at, last): (u32, u32), told: &mut Vec<Fact>) {
        self.left_as(later, id, Stands { at, fitted: Some(last), last: Some(last) }, told);
    }

    /// Writes what the steps after the running measurement can tell of a position at which it leaves its
    /// spring. All that was in `told` is replaced.
    pub fn measured_as(&self, later: &Later, id: AdjusterId, at: u32, told: &mut Vec<Fact>) {
        let last = self.state.last_lap.as_ref().map(|last| last[id.index()]);
        self.left_as(later, id, Stands { at, fitted: Some(at), last }, told);
    }

    fn left_as(&self, later: &Later, id: AdjusterId, stands: Stands, told: &mut Vec<Fact>) {
        told.clear();
        if let Some(needs) = later.from(self.state.step + 1).filter(|needs| needs.fits) {
            self.tell(needs, id, stands, told);
        }
    }

    /// What later steps can tell of one adjuster.
    fn tell(&self, needs: &Needs, id: AdjusterId, stands: Stands, told: &mut Vec<Fact>) {
        let index = id.index();
        // nothing is told of what has no positions yet
        let Some(dial) = &self.dials[index] else { return told.push(FAR) };
        let need = &needs.of[index];
        let (at, top) = (stands.at, dial.scale().top());
        if need.at {
            told.push(fact(at.min(need.far)));
            told.push(fact(top.saturating_sub(at).min(need.far)));
        }
        if need.step {
            told.push(fact(dial.step()));
        }
        if need.few {
            told.push(SecondLook::is_close(top).into());
        }
        if need.before {
            told.push(self.found_at(id).map_or(NONE, fact));
        }
        let tell_from_places = |position: u32, told: &mut Vec<Fact>| {
            for place in &need.places {
                told.push(near(position, self.reach(id, *place, at).0, need.far));
            }
        };
        tell_from_places(at, told);
        let mut tell_of = |other: Option<u32>| match (other, need.set) {
            (None, _) => told.push(NONE),
            (Some(other), false) => told.push(Fact::from(other != at)),
            (Some(other), true) => {
                told.push(near(other, at, need.far));
                tell_from_places(other, told);
            }
        };
        tell_of(stands.fitted);
        if needs.last_lap {
            tell_of(stands.last);
        }
        self.tell_apart(needs, id, at, told);
    }

    /// What second looks at other adjusters can tell of one.
    fn tell_apart(&self, needs: &Needs, id: AdjusterId, at: u32, told: &mut Vec<Fact>) {
        let index = id.index();
        for (of, looks) in needs.looks.iter().filter(|(of, _)| *of != index) {
            let Some(stood) = &self.state.seldom.stood[*of] else {
                told.push(NONE);
                continue;
            };
            let (apart, stood) = (&looks[index], stood[index]);
            // what is farther off has moved, however it is turned
            let far = apart.far.saturating_add(SecondLook::MOVED - 1);
            if apart.now && apart.far == 0 {
                told.push(Fact::from(SecondLook::has_moved(stood, at)));
            } else if apart.now {
                told.push(near(at, stood, far));
            }
            for place in &apart.places {
                told.push(near(stood, self.reach(id, *place, at).0, far));
            }
        }
    }

    /// The same ride without what lies behind it, on which nothing that is asked later depends; what comes is
    /// not written down either.
    #[must_use]
    pub fn forgetting(mut self) -> Session {
        self.history.forget();
        self
    }

    /// The same ride with its lots drawn so that the running comparison ends on the other one of its two
    /// settings; `None` where no pairs run.
    #[must_use]
    pub fn drawn_otherwise(&self) -> Option<Session> {
        let last = self.order().last().copied()?;
        let others = (0..64).map(|seed| Session { seed, ..self.clone() });
        others.into_iter().find(|other| other.order().last() != Some(&last))
    }

    /// The ride as if its running measurement had ended with the spring at a position.
    #[must_use]
    pub fn measured_at(&self, at: u32) -> Option<Session> {
        let measure = self.measuring()?.clone();
        let mut next = self.clone();
        next.state.fitted[measure.adjuster.index()] = Some(at);
        next.settle_spring(&measure, &[], at, How::Measured);
        next.advance();
        Some(next)
    }

    /// The ride as if its running tune, which has not judged a lap yet, had settled at a position with
    /// its last lap at another.
    #[must_use]
    pub fn settling(&self, at: u32, last: u32) -> Option<Session> {
        let Phase::Tune(tune) = &self.state.phase else { return None };
        let job = self.job()?;
        let mut next = self.clone();
        let index = job.adjuster.index();
        next.state.at[index] = last;
        next.state.fitted[index] = Some(last);
        next.state.last_lap = Some(next.state.at.clone());
        next.settle(&job, &TuneState { laps: tune.laps.max(1), ..tune.clone() }, at, How::FeltBest);
        next.advance();
        Some(next)
    }

    /// The same ride of a plan that ends after the present step.
    #[must_use]
    pub fn until_here(&self) -> Option<Session> {
        let mut next = self.clone();
        next.plan = Arc::new(self.plan.until(self.state.step)?);
        Some(next)
    }
}
