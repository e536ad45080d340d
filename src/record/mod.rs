//! Owns what is written down: the journal of a ride and its settings. Only `files` touches the
//! disk. It knows nothing of screens or arguments.

mod chain;
pub mod files;
mod journal;
mod kept;
mod names;
mod order;
mod question;
mod settings;

pub use chain::fingerprint;
pub use journal::{
    Change, Damage, Entry, Head, Journal, Record, Start, begins_a_journal, read_journal, write_change,
    write_head, write_record,
};
pub use kept::{NotSettings, Recorded, read_settings};
pub use names::{bike_stem, journal_stem, settings_stem};
pub use question::Question;
pub use settings::{NotOurs, Sheet, write_settings};
