//! Owns the ride as a pure fold over answers: what is asked, what an answer changes, what comes out.
//! It knows nothing of files, terminals, clocks or chance.

mod answer;
mod ask;
mod fold;
mod history;
mod log;
mod opening;
mod outcome;
mod tuning;
mod typed;

pub use answer::{Answer, Felt, Mismatch, Told};
pub use ask::{Ask, Fit, Turn};
pub use fold::{Session, State};
pub use history::{Lap, News};
pub use log::{Said, What, can_undo, replay, standing};
pub use outcome::{How, Noted, Outcome, Settled};
pub use typed::{NotRead, read_answers};
