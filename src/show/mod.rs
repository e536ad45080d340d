//! Owns how things look on a screen: problems, questions, cautions, the settings in words. It gives
//! lines; it prints nothing and knows nothing of the terminal but its width.

mod air;
mod before;
mod ends;
mod explained;
mod heard;
mod in_short;
mod look;
mod mismatch;
mod not_read;
mod notices;
mod page;
mod pairs;
#[cfg(feature = "cli")]
mod problems;
mod prompt;
mod proof;
mod questions;
mod recorded;
mod rehearsed;
mod report;
mod restarted;
mod ruler;
mod settings;
mod springs;
mod stops;
mod unusable;
mod wanted;
mod words;
mod wrap;

pub use air::{untouched, untouched_cautions};
pub use before::all_read_as;
pub use explained::explained;
pub use heard::{odd, read_as, refused};
pub use in_short::in_short;
pub use look::Look;
pub use mismatch::mismatch;
pub use not_read::{not_read, trouble};
pub use notices::{cautions, cautions_in_short, help, news, parting, standing};
pub use pairs::{SHEET_TITLE, for_the_second_person, sheet};
#[cfg(feature = "cli")]
pub use problems::problems;
pub use proof::proof;
pub use questions::question;
pub use recorded::{asked, differs, recorded};
pub use rehearsed::{json_rehearsal, rehearsed, rides_so_far};
pub use report::{OfSet, json_report, sarif_report};
pub use restarted::{begun, not_begun};
pub use settings::settings;
pub use unusable::{damage, not_ours, not_settings};
pub use wanted::what_to_do;
pub use words::words;
pub use wrap::{clean, wrapped};
