//! Owns what a ride looks like to somebody who only asks where things stand. It changes nothing.

use std::sync::Arc;

use crate::plan::AdjusterId;

use super::Session;
use super::state::State;

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

    /// The state of a ride in which the positions of some adjusters matter no more: of those it
    /// keeps only whether they stand as on the last lap, and as fitted.
    #[must_use]
    pub fn state_of(&self, matters: impl Fn(AdjusterId) -> bool) -> State {
        let mut state = self.state.clone();
        for &id in self.ids.iter().filter(|id| !matters(**id)) {
            let index = id.index();
            let at = state.at[index];
            state.at[index] = 0;
            if let Some(last) = &mut state.last_lap {
                last[index] = u32::from(last[index] != at);
            }
            state.fitted[index] = state.fitted[index].map(|fitted| u32::from(fitted != at));
            if state.found[index].is_some() {
                Arc::make_mut(&mut state.found)[index] = None;
            }
        }
        state
    }
}
