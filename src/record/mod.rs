//! Owns what is written down: the journal of a session and its settings. It knows nothing of disks,
//! screens or arguments.

mod asked;
mod book;
mod chain;
mod date_time;
mod earlier;
mod entry;
mod forked;
mod journal;
mod keys;
mod names;
mod order;
mod pieces;
mod question;
mod read_settings;
mod reading;
mod settings;
mod spellings;

pub use book::{Addition, Book};
pub use chain::fingerprint;
pub use date_time::{DateTime, NotADateTime};
pub use earlier::{Earlier, session_of};
pub use forked::Fork;
pub use journal::{Change, Entry, Head, Record, Start, write_change, write_head, write_record};
pub use keys::FORMAT as SETTINGS_FORMAT;
pub use names::{bike_stem, is_stem_of, journal_stem, settings_beside, settings_stem};
pub use question::Question;
pub use read_settings::{NotSettings, Recorded, read_settings};
pub use reading::{Damage, Damaged, How, Journal, Rest, read_journal};
pub use settings::{NotOurs, Sheet, may_take, write_settings};
