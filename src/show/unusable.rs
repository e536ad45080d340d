//! Owns how it is said why a journal or a settings file cannot be used. It knows nothing of how that was found out.

use crate::record::{Damage, NotOurs, NotSettings, SETTINGS_FORMAT};

const UNMERGED: &str =
    "it has an unfinished git merge in it: keep one side of each mark, and take the marks out";

/// Why a journal cannot be gone on with, as it goes on in a sentence.
#[must_use]
pub fn damage(damage: &Damage) -> String {
    match damage {
        Damage::NoHead => "the beginning of this journal is only half saved".to_owned(),
        Damage::NoJournal => "this is not a journal".to_owned(),
        Damage::Head { records: _ } => "the beginning of this journal is damaged".to_owned(),
        Damage::Later(format) => {
            format!("a newer version wrote this journal (format {format}). Update clickwise to use it")
        }
        Damage::Unreadable { line } => format!(
            "line {line}: this version of clickwise can't read this line. Update clickwise to use this \
                journal"
        ),
        Damage::Merge { line } => {
            format!("line {line} is a mark of an unfinished merge: two branches changed this journal")
        }
    }
}

/// Why a ride cannot begin from a file, as it goes on in a sentence about it.
#[must_use]
pub fn not_settings(reason: &NotSettings) -> String {
    match reason {
        NotSettings::Merge => UNMERGED.to_owned(),
        NotSettings::NotToml(why) => format!("it is not valid TOML: {why}"),
        NotSettings::NoFormat => {
            format!("it is not a settings file: the line `format = {SETTINGS_FORMAT}` is missing")
        }
        NotSettings::Later(format) => {
            format!("a newer version wrote it (format {format}). Update clickwise to read it")
        }
        NotSettings::Unreadable(name) => format!("`{name}` is not a setting clickwise can read"),
        NotSettings::Nothing => "it has no settings for this bike".to_owned(),
    }
}

/// Why settings cannot be written into a file, as it goes on in a sentence about it.
#[must_use]
pub fn not_ours(reason: &NotOurs) -> String {
    match reason {
        NotOurs::NotToml => "it is not valid TOML".to_owned(),
        NotOurs::Merge => UNMERGED.to_owned(),
        NotOurs::Later(format) => {
            format!("a newer version wrote it (format {format}). Update clickwise to add to it")
        }
        NotOurs::OtherRide => "it has settings for another bike or rider".to_owned(),
        NotOurs::Occupied(name) => format!("`{name}` is not written the way a settings file needs"),
    }
}
