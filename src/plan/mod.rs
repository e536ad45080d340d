//! Owns what a plan is once it is sound: bike, adjusters, scales, starts and steps, valid by
//! construction. It knows nothing of files, spans or how a ride goes.

#![deny(clippy::wildcard_enum_match_arm, clippy::indexing_slicing)]

mod bike;
mod by_adjuster;
mod dial;
mod restart;
mod said;
mod scale;
mod steps;
mod whole;

pub use bike::{Adjuster, AdjusterId, Bike, PartFacts, Setup};
pub use by_adjuster::{ByAdjuster, FewByAdjuster};
pub use dial::{Dial, Goal, StartRule, Uncounted};
pub use restart::{Converted, Kept, NotHere, Refused, Restart, Unfit, position_of};
pub use scale::{NoScale, Off, Reading, Scale};
pub use steps::{Condition, Confirm, Loop, MOST_LAPS_OF_A_TUNE, Measure, Rider, Step, Tune};
pub use whole::{Parts, Plan};
