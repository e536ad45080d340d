//! Owns the plain facts of a moment, for somebody who only asks where everything is and what the ride is about. It
//! changes nothing, and knows nothing of what anybody concludes from them.

use crate::physics::Number;
use crate::plan::{AdjusterId, ByAdjuster, Goal, Measure, Step, Tune};
use crate::search::{Reason, Window};

use super::spring::sag_at;
use super::state::{MeasureState, PairStage, Phase, Stage, TuneState, Why};
use super::steps::{self, confirm, measure, tune};
use super::{Compared, Fit, OfPair, Session};

/// What a ride is about just now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing<'a> {
    /// How the adjuster at this place was found is asked.
    Before(usize),
    /// The adjuster at this place is counted.
    Count(usize),
    /// What is in the spring or tyre at this place is asked.
    InNow(usize),
    /// A step that is one question, or several laps without a verdict.
    Steps,
    /// What is not where it should be is fitted.
    Fit,
    /// A measurement has just begun.
    MeasureBegun,
    /// A tune or a second look has just begun: no lap of it was ridden.
    TuneBegun,
    /// Pairs are ridden: which one, from 0, how many laps did not count, and each adjuster that is compared, with
    /// its two places.
    Pairs { stage: PairStage, pair: u32, void: u32, places: &'a [(AdjusterId, u32, u32)] },
    /// The steps are done.
    Over,
    /// In the middle of something else.
    Amid,
}

impl Session {
    /// What the ride is about just now.
    #[must_use]
    pub fn doing(&self) -> Doing<'_> {
        if !self.state.due.is_empty() {
            return Doing::Amid;
        }
        match &self.state.phase {
            Phase::Before(index) => Doing::Before(*index),
            Phase::Count(index) => Doing::Count(*index),
            Phase::InNow(index) => Doing::InNow(*index),
            Phase::Steps => Doing::Steps,
            Phase::Fit => Doing::Fit,
            Phase::Measure(MeasureState { readings, why: Why::First }) if readings.is_empty() => {
                Doing::MeasureBegun
            }
            // its window, and whether it begins with a reference lap, follow from where everything is
            Phase::Tune(TuneState { stage: _, laps: 0, void: 0, since: None, window: _ }) => Doing::TuneBegun,
            Phase::Compare(pairs) => {
                let (stage, pair, void) = (pairs.stage, pairs.pair, pairs.void);
                Doing::Pairs { stage, pair, void, places: &pairs.places }
            }
            Phase::Over => Doing::Over,
            Phase::Measure(_) | Phase::Stop(_) | Phase::Tune(_) => Doing::Amid,
        }
    }

    /// The step of the plan that is next or running, from 0; their number at the end.
    #[must_use]
    pub fn step(&self) -> usize {
        self.state.step
    }

    /// The position at which an adjuster is to be.
    #[must_use]
    pub fn stands_at(&self, id: AdjusterId) -> u32 {
        self.state.at[id]
    }

    /// The position of an adjuster on the last lap, where that lap can be compared with.
    #[must_use]
    pub fn last_lap_at(&self, id: AdjusterId) -> Option<u32> {
        self.state.last_lap.as_ref().map(|last| last[id])
    }

    /// Where everything was when an adjuster was tuned; `None` where it was not, or is never looked at again.
    #[must_use]
    pub fn stood_when_tuned(&self, id: AdjusterId) -> Option<&ByAdjuster<u32>> {
        self.state.seldom.stood[id].as_deref()
    }

    /// The position that a goal means for an adjuster, from a position.
    #[must_use]
    pub fn place_of(&self, id: AdjusterId, goal: Goal, from: u32) -> u32 {
        self.reach(id, goal, from).0
    }

    /// How many laps the plan still allows; `None` where it allows any number.
    #[must_use]
    pub fn laps_left(&self) -> Option<u32> {
        self.state.laps_left
    }

    /// Whether a tune's setting is fitted before anything else is asked.
    #[must_use]
    pub fn is_settle_due(&self) -> bool {
        self.state.settle_due
    }

    /// Whether a new baseline is being ridden.
    #[must_use]
    pub fn is_afresh(&self) -> bool {
        !self.state.due.is_empty()
    }

    /// What to attend to in the running tune, where the plan says; in a second look what it said for the
    /// first.
    #[must_use]
    pub fn feel(&self) -> Option<&str> {
        let Phase::Tune(_) = &self.state.phase else { return None };
        let job = steps::job(self)?;
        let before = self.plan.steps().get(..=self.state.step)?.iter().rev();
        let mut tunes = before.filter_map(Step::tune);
        tunes.find(|tune| tune.adjuster == job.adjuster)?.feel.as_deref()
    }

    /// The most laps that the running tune may still take, the present one among them.
    #[must_use]
    pub fn laps_to_go(&self) -> Option<u32> {
        Some(tune::laps_to_go(self, self.tuning()?))
    }

    /// Why the running tune proposes the lap that is asked for, where it does.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        if let Stage::Lap { search, .. } = &self.tuning()?.stage { search.reason() } else { None }
    }

    /// The running tune.
    fn tuning(&self) -> Option<&TuneState> {
        if let Phase::Tune(tune) = &self.state.phase { Some(tune) } else { None }
    }

    /// Whether the running tune is a second look.
    #[must_use]
    pub fn is_second_look(&self) -> bool {
        matches!(self.state.phase, Phase::Tune(_)) && steps::job(self).is_some_and(|job| job.again.is_some())
    }

    /// What the running tune searches, by which method; a second look as a tune of its own window.
    #[must_use]
    pub fn tune_terms(&self) -> Option<Tune> {
        let Phase::Tune(tune) = &self.state.phase else { return None };
        let job = steps::job(self)?;
        let method = tune::task(self, &job, tune, None).method(job.method);
        let (adjuster, first_way, within, at_most) = (job.adjuster, job.first_way, job.within, job.at_most);
        Some(Tune { adjuster, method, first_way, within, at_most, feel: None })
    }

    /// The positions among which the running tune chooses.
    #[must_use]
    pub fn tune_window(&self) -> Option<Window> {
        self.tuning().map(|tune| tune.window)
    }

    /// How many readings the running measurement has, each with its position and its sag in mm; those
    /// that were set aside are left out.
    #[must_use]
    pub fn sag_readings(&self) -> Vec<(u32, Number)> {
        let counting = measure::read_so_far(self).unwrap_or_default().iter().filter(|reading| reading.counts);
        counting.map(|reading| (reading.at, reading.sag)).collect()
    }

    /// The sag in mm that the running measurement has for a position: the mean of its readings there,
    /// without those that were set aside.
    #[must_use]
    pub fn sag_read_at(&self, position: u32) -> Option<Number> {
        sag_at(measure::read_so_far(self)?, position)
    }

    /// The rate of coil that its sag at a position asks for, in the unit of its scale: `None` for air, or where
    /// the sag says no more than the way.
    #[must_use]
    pub fn rate_asked_for(&self, position: u32) -> Option<f64> {
        let readings = measure::read_so_far(self)?;
        measure::judge(self, self.measuring()?, |spring| spring.rate_asked_for(readings, position)).flatten()
    }

    /// How many readings the running measurement may still take, the present one among them.
    #[must_use]
    pub fn readings_to_go(&self) -> usize {
        let Phase::Measure(state) = &self.state.phase else { return 0 };
        Measure::MOST_READINGS.saturating_sub(state.readings.len())
    }

    /// Whether the rider must not know how an adjuster stands just now.
    #[must_use]
    pub fn is_hidden(&self, id: AdjusterId) -> bool {
        let Phase::Compare(state) = &self.state.phase else { return false };
        let blind = confirm::step(self).is_some_and(|confirm| confirm.blind);
        blind && state.places.iter().any(|place| place.0 == id)
    }

    /// What is compared just now, where something is.
    #[must_use]
    pub fn comparing(&self) -> Option<Compared> {
        confirm::running(self)
    }

    /// For each pair of the running comparison whether start, or the first place, is ridden first. As
    /// many pairs begin with one as with the other, in an order that the ride's seed gives.
    #[must_use]
    pub fn order(&self) -> Vec<bool> {
        confirm::order(self)
    }

    /// The settings of one lap of a pair of the running comparison; pairs are counted from 0.
    #[must_use]
    pub fn fits_of(&self, pair: u32, lap: OfPair) -> Vec<Fit> {
        confirm::fits_of(self, pair, lap)
    }
}
