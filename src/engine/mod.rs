//! Owns the one face of the library: texts and answers in; problems, questions, news, journal and settings out. It is
//! pure: the time, the seed and the files are handed to it, and what comes of it is handed back. It knows nothing of
//! disks, clocks and screens; how things look is for `show`.
//!
//! A set is gathered with [`Set::gather`], a ride of it begun with [`Ride::begin`] or gone on with by
//! [`Ride::resume`]. [`Ride::read`] says what a typed line comes to, [`Ride::take`] takes an answer, [`Ride::say`] a
//! list of them. [`Ride::journal`] and [`Ride::settings`] are what the program writes.

mod begin;
mod begin_from;
mod kept;
mod line;
mod list;
mod pause;
mod resume;
mod ride;
mod settings;

pub use begin_from::{BeginFrom, BeginNote, BegunPlan, FromSettings, NotBegun};
pub use kept::{
    Difference, Recorded, answers_of, first_difference, is_finished, is_ride_of, last_set, plan_of,
    was_finished,
};
pub use line::Line;
pub use list::{NotSaid, first_open};
pub use resume::{Follows, NotResumed, Resuming};
pub use ride::{NotTaken, Ride, in_words};
pub use settings::{Coming, IntoFile, MayReplace};

pub use crate::plan::{Converted, Plan, Refused};
pub use crate::problem::{Code, Columns, Fix, Place, Problem, Severity, Source, SourceId, Sources, Span};
pub use crate::record::{Addition, Book, DateTime, Earlier, Journal, NotOurs, read_journal};
pub use crate::session::{
    Answer, Ask, Doubt, Full, Heard, Mismatch, News, NotRead, Outcome, QuestionKind, Said, Session, Truth,
    Typed, What,
};
pub use crate::set::{Files, InMemory, NotGathered, Overlay, RepairedSet, Set, Unreadable};
pub use crate::walk::Proof;
