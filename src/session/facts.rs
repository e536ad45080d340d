//! Owns the plain facts of a moment, for somebody who only asks where everything is and what the ride is about. It
//! changes nothing, and knows nothing of what anybody concludes from them.

use crate::plan::{AdjusterId, Goal};

use super::Session;
use super::state::{MeasureState, PairStage, Phase, TuneState, Why};

/// What a ride is about just now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing<'a> {
    /// How the adjuster at this place was found is asked.
    Found(usize),
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
            Phase::Found(index) => Doing::Found(*index),
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
        self.state.at[id.index()]
    }

    /// The position of an adjuster on the last lap, where that lap can be compared with.
    #[must_use]
    pub fn last_lap_at(&self, id: AdjusterId) -> Option<u32> {
        self.state.last_lap.as_ref().map(|last| last[id.index()])
    }

    /// Where everything was when the adjuster at a place was tuned, by place; `None` where it was not, or is never
    /// looked at again.
    #[must_use]
    pub fn stood_when_tuned(&self, index: usize) -> Option<&[u32]> {
        self.state.seldom.stood.get(index)?.as_ref().map(|stood| stood.as_slice())
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
}
