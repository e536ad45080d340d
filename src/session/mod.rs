//! Owns the ride as a pure fold over answers: what is asked, what an answer changes, what comes out.
//! It knows nothing of files, terminals, clocks or chance.

mod answer;
mod ask;
mod comparing;
mod ends;
mod fold;
mod history;
mod laps;
mod log;
mod measuring;
mod opening;
mod outcome;
mod shape;
mod spring;
mod state;
mod tuning;
mod typed;
mod wanted;

pub use answer::{Answer, Felt, Mismatch, OfPair, Told};
pub use ask::{Ask, Fit, Round};
pub use comparing::Compared;
pub use ends::NearEnd;
pub use fold::Session;
pub use history::{Lap, News, WhyNot};
pub use log::{Said, What, replay, standing};
pub use outcome::{How, Noted, Outcome, Settled};
pub use shape::Later;
pub use spring::Short;
pub use state::{State, Why};
pub use typed::{NotRead, Typed, read_answers};
