//! Owns simulated riders, who answer the questions of a real session. They are models: no human
//! data is behind them. They know nothing of files or screens.

mod course;
mod kind;
mod left;
mod rider;
mod rides;
mod sag;
mod tally;

pub use course::Course;
pub use kind::Kind;
pub use left::minutes_left;
pub use rider::Rider;
pub use rides::{Ridden, Tuned, Wanted, rides};
pub use tally::{Advice, FEW_RIDES, OfAdjuster, OfKind, Rehearsal, Spread, rehearse};
