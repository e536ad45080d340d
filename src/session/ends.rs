//! Owns whether a proposed lap comes near an end of an adjuster's range for the first time in its tune.
//! It is worked out from the laps that were ridden; nothing is kept for it.

use super::state::Phase;
use super::{Ask, Round, Session};

/// With fewer positions than this above the first, every setting is near an end, and only the ends are told.
const FEWEST: u32 = 5;

/// A proposed setting at an end of the range, or one position from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NearEnd {
    /// The position of the end.
    pub end: u32,
    /// How many positions from it: none or one.
    pub away: u32,
}

impl Session {
    /// How near an end of its range the setting of a proposed lap is; `None` where it is not near, where
    /// a lap of the running tune was as near to that end already, or where positions have names.
    #[must_use]
    pub fn near_end(&self, ask: &Ask) -> Option<NearEnd> {
        let (Ask::Lap { fit, round: Round::First | Round::Trial, .. }, Phase::Tune(tune)) =
            (ask, &self.state.phase)
        else {
            return None;
        };
        let scale = self.dial(fit.adjuster)?.scale();
        scale.unit()?;
        let top = scale.top();
        let reach = u32::from(top >= FEWEST && !scale.is_list());
        let end = [0, top].into_iter().find(|end| end.abs_diff(fit.to) <= reach).filter(|_| top >= 2)?;
        let laps = self.history.laps();
        let of_tune = laps.len().saturating_sub(tune.ridden() as usize);
        let ridden = laps.iter().skip(of_tune).filter_map(|lap| lap.tuned).map(|(_, at)| at);
        let mut earlier = ridden.chain(self.history.running().iter().map(|lap| lap.1));
        let told = earlier.any(|at| end.abs_diff(at) <= reach);
        (!told).then_some(NearEnd { end, away: end.abs_diff(fit.to) })
    }
}
