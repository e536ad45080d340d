//! Owns the ride as a pure fold over answers: what is asked, what an answer changes, what comes out.
//! What is drawn by lot follows from its seed. It knows nothing of files, terminals or clocks.

#![deny(clippy::wildcard_enum_match_arm, clippy::indexing_slicing)]

mod afresh;
mod answer;
mod as_if;
mod ask;
mod compared;
mod converted;
mod doubt;
mod ends;
mod facts;
mod figures;
mod fold;
mod heard;
mod history;
mod log;
mod mismatch;
mod moment;
mod opening;
mod outcome;
mod progress;
mod readings;
mod sags;
mod several;
mod sound;
mod spring;
mod state;
mod steps;
mod truth;
mod typed;
mod wanted;

pub use answer::{Answer, Felt, OfPair, Stated};
pub use ask::{Ask, Fit, QuestionKind, Round};
pub use compared::Compared;
pub use doubt::Doubt;
pub use ends::NearEnd;
pub use facts::Doing;
pub use heard::Heard;
pub use history::{Lap, News, WhyNot};
pub use log::{Said, What, replay, standing};
pub use mismatch::{Mismatch, NoSag, OffScale, Wanted};
pub use moment::{Session, Taken};
pub use outcome::{How, Noted, Outcome, Settled};
pub use progress::Begun;
pub use several::{AllBefore, Trouble};
pub use sound::Sign;
pub use state::{PairStage, Short, State, Why};
pub use truth::Truth;
pub use typed::{Extent, Full, NotRead, Typed, read_answers};
