//! Owns what is written down: the journal of a ride and its settings. Only `files` touches the
//! disk. It knows nothing of screens or arguments.

mod chain;
mod earlier;
pub mod files;
mod journal;
mod kept;
mod keys;
mod names;
mod order;
mod question;
mod settings;

pub use chain::fingerprint;
pub use earlier::{Earlier, session_of};
pub use journal::{
    Change, Damage, Entry, Head, Journal, Record, Start, begins_a_journal, read_journal, write_change,
    write_head, write_record,
};
pub use kept::{NotSettings, Recorded, read_settings};
pub use names::{bike_stem, journal_stem, settings_beside, settings_stem};
pub use question::Question;
pub use settings::{NotOurs, Sheet, may_take, write_settings};
