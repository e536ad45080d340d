//! clickwise: a small language, a checker and an interpreter for tuning a mountain bike's
//! suspension by disciplined comparison.

// the grammar, derived without what guards against deep recursion, which it has not, names it
extern crate alloc;

pub mod chance;
pub mod check;
#[cfg(feature = "cli")]
pub mod command;
#[cfg(feature = "cli")]
pub mod disk;
pub mod engine;
pub mod interview;
pub mod language;
pub mod layout;
pub mod physics;
pub mod plan;
pub mod problem;
pub mod record;
pub mod rehearsal;
pub mod search;
pub mod session;
pub mod set;
pub mod show;
pub mod vocabulary;
pub mod walk;
