//! Owns the ride as a pure fold over answers: what is asked, what an answer changes, what comes out.
//! It knows nothing of files, terminals, clocks or chance.

mod afresh;
mod answer;
mod as_if;
mod ask;
mod comparing;
mod doubt;
mod ends;
mod facts;
mod figures;
mod fold;
mod heard;
mod history;
mod laps;
mod log;
mod measuring;
mod opening;
mod outcome;
mod progress;
mod sags;
mod several;
mod sound;
mod spring;
mod state;
mod truth;
mod tuning;
mod typed;
mod wanted;

pub use answer::{Answer, Felt, Mismatch, OfPair, Told};
pub use ask::{Ask, Fit, Round};
pub use comparing::Compared;
pub use doubt::Doubt;
pub use ends::NearEnd;
pub use facts::Doing;
pub use fold::{Session, Taken};
pub use heard::{Full, Heard};
pub use history::{Lap, News, WhyNot};
pub use log::{Said, What, replay, standing};
pub use outcome::{How, Noted, Outcome, Settled};
pub use progress::Begun;
pub use several::AllFound;
pub use sound::Sign;
pub use spring::Short;
pub use state::{PairStage, State, Why};
pub use truth::Truth;
pub use typed::{NotRead, Typed, read_answers};
