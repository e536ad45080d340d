//! Owns what a ride looks like to somebody who only asks where things stand, and which moments have the
//! same future. It changes nothing that is ridden.

use std::sync::Arc;

use crate::plan::{AdjusterId, Plan, Step};

use super::state::{PairsState, Phase, Stage, State, TuneState};
use super::{How, Session};

/// How far a second look goes at most, in positions.
const REACH: u32 = 3;

/// What the later steps of a plan have to do with each adjuster, by its place.
#[derive(Debug)]
pub struct Later {
    /// The last step to which its position matters as it is.
    exactly: Vec<Option<usize>>,
    /// The last step that asks whether it stands at its start.
    at_start: Vec<Option<usize>>,
    /// The steps that look at it again.
    again: Vec<Vec<usize>>,
    /// The last step that may move it.
    moved: Vec<Vec<usize>>,
}

impl Later {
    /// Of a plan.
    #[must_use]
    pub fn of(plan: &Plan) -> Self {
        let adjusters = plan.bike().len();
        let mut later = Later {
            exactly: vec![None; adjusters],
            at_start: vec![None; adjusters],
            again: vec![Vec::new(); adjusters],
            moved: vec![Vec::new(); adjusters],
        };
        for (index, step) in plan.steps().iter().enumerate() {
            let mut exactly = |id: AdjusterId| {
                later.exactly[id.index()] = Some(index);
                later.moved[id.index()].push(index);
            };
            match step {
                Step::Set { adjuster, .. } => exactly(*adjuster),
                Step::Tune(tune) => exactly(tune.adjuster),
                Step::Measure(measure) => {
                    exactly(measure.adjuster);
                    measure.preload.into_iter().for_each(exactly);
                }
                Step::Revisit { adjuster, .. } => {
                    later.again[adjuster.index()].push(index);
                    later.moved[adjuster.index()].push(index);
                }
                Step::Confirm(confirm) if confirm.between.is_empty() => {
                    confirm.adjusters.iter().for_each(|id| later.at_start[id.index()] = Some(index));
                }
                _ => {}
            }
        }
        later
    }

    /// Whether the position of an adjuster still matters from a step on.
    #[must_use]
    pub fn matters(&self, id: AdjusterId, step: usize) -> bool {
        let id = id.index();
        let from_here = |last: Option<usize>| last.is_some_and(|last| last >= step);
        from_here(self.exactly[id]) || from_here(self.at_start[id]) || self.looks(id, step) > 0
    }

    /// Whether it makes a difference from a step on where an adjuster ends up: for itself, or for a
    /// second look at another one.
    #[must_use]
    pub fn tells(&self, id: AdjusterId, step: usize) -> bool {
        let others = (0..self.again.len()).filter(|other| *other != id.index());
        self.matters(id, step) || others.into_iter().any(|other| self.looks(other, step) > 0)
    }

    /// How often it is looked at again from a step on.
    fn looks(&self, id: usize, step: usize) -> u32 {
        u32::try_from(self.again[id].iter().filter(|again| **again >= step).count()).unwrap_or(0)
    }

    /// Whether another adjuster may still move before this one is looked at for the last time.
    fn may_move(&self, id: usize, other: usize, step: usize) -> bool {
        let last = self.again[id].last().copied().unwrap_or(0);
        self.moved[other].iter().any(|moved| (step..last).contains(moved))
    }
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

    /// The state of a ride between its tunes, without what no later step can tell: moments that are
    /// alike in it have as many laps, minutes and sequences before them.
    #[must_use]
    pub fn state_for(&self, later: &Later) -> State {
        let mut state = self.state.clone();
        let step = self.state.step;
        for &id in self.ids.iter() {
            let index = id.index();
            let at = self.state.at[index];
            if self.state.stood[index].is_some() {
                let seen = (later.looks(index, step) > 0).then(|| self.displaced(later, index));
                Arc::make_mut(&mut state.stood)[index] = seen;
            }
            if later.exactly[index].is_some_and(|last| last >= step) {
                continue;
            }
            state.at[index] = if later.matters(id, step) { self.about(later, id) } else { 0 };
            if let Some(last) = &mut state.last_lap {
                last[index] = u32::from(last[index] != at);
            }
            state.fitted[index] = state.fitted[index].map(|fitted| u32::from(fitted != at));
            if state.found[index].is_some() {
                Arc::make_mut(&mut state.found)[index] = None;
            }
        }
        state.phase = match state.phase {
            // which places are compared changes nothing that follows
            Phase::Compare(pairs) => {
                let places = pairs.places.iter().map(|place| (place.0, 0, 0)).collect();
                Phase::Compare(PairsState { places, ..pairs })
            }
            // a tune that has just begun follows from where its adjuster stands
            Phase::Tune(tune) => {
                let stage = if tune.stage == Stage::Reference { Stage::Reference } else { Stage::Way };
                let window = crate::search::Window { low: 0, high: 0 };
                Phase::Tune(TuneState { stage, window, ..tune })
            }
            other => other,
        };
        state
    }

    /// How the other adjusters stand to where they stood when one was tuned, as far as a second look
    /// at it will tell.
    fn displaced(&self, later: &Later, id: usize) -> Vec<u32> {
        let Some(stood) = &self.state.stood[id] else { return Vec::new() };
        let others = stood.iter().zip(&self.state.at).enumerate();
        let seen = others.map(|(other, (stood, at))| match other == id {
            true => 0,
            false if later.may_move(id, other, self.state.step) => at.wrapping_sub(*stood),
            false => u32::from(at.abs_diff(*stood) >= 2),
        });
        seen.collect()
    }

    /// Where an adjuster stands, as far as second looks and pairs will tell: how close to the ends of
    /// its range and to its start.
    fn about(&self, later: &Later, id: AdjusterId) -> u32 {
        let (index, step) = (id.index(), self.state.step);
        let (at, top) = (self.state.at[index], self.state.tops[index].unwrap_or(0));
        let far = REACH * later.looks(index, step);
        let (below, above) = (at.min(far), top.saturating_sub(at).min(far));
        let compared = later.at_start[index].is_some_and(|last| last >= step);
        let start = self.dial(id).map_or(0, crate::plan::Dial::start);
        // farther from the start than it may still move it cannot come back to it
        let from_start = match (compared, at.abs_diff(start) <= far) {
            (true, true) => 1 + at + far - start,
            _ => 0,
        };
        let size = 2 * far + 4;
        (below * size + above) * size + from_start
    }

    /// The same ride without the laps that lie behind it, on which nothing that is asked later depends.
    #[must_use]
    pub fn forgetting(mut self) -> Session {
        self.history.laps = Vec::new();
        self.history.running = Vec::new();
        self
    }

    /// The ride as if its running tune, which has not judged a lap yet, had settled at a position with
    /// its last lap at another: for a proof where a tune is bounded and not walked.
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
        Some(next.advance())
    }
}
