//! Owns by how much the worst case of a plan is more than the plan allows, and what would make it fit. It knows
//! nothing of how that is told.

use std::sync::Arc;

use crate::physics::Number;
use crate::plan::Plan;

use super::{Proof, share};

/// With fewer laps than this, the first among them, no tune can go both ways.
const FEWEST: u32 = 3;

/// A worst case that is more than its plan allows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Excess {
    /// The laps that it takes and the most that are allowed, where those are fewer.
    pub laps: Option<(u32, u32)>,
    /// The minutes that it takes and the most that are allowed, where those are fewer.
    pub minutes: Option<(Number, Number)>,
    /// The most laps of every tune with which the plan fits, and each tune can still go both ways; `None` where
    /// there are none.
    pub share: Option<u32>,
}

/// By how much a proven plan is beyond what it allows; `None` where it is not.
#[must_use]
pub fn excess(plan: &Arc<Plan>, proof: &Proof) -> Option<Excess> {
    let laps = plan.parts().laps.filter(|_| proof.is_beyond_laps(plan));
    let minutes = proof.worst_minutes.zip(plan.parts().minutes).filter(|_| proof.is_beyond_time(plan));
    (laps.is_some() || minutes.is_some()).then(|| Excess {
        laps: laps.map(|most| (proof.worst_laps, most)),
        minutes,
        share: share(plan).filter(|laps| *laps >= FEWEST),
    })
}
