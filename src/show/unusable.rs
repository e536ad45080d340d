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
        Damage::Later(format) => format!(
            "this journal has format {format}, which is newer than this program: update the program to use it"
        ),
        Damage::Unreadable { line } => format!(
            "line {line} says something this program does not know: update the program to use this journal"
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
        NotSettings::NotToml(why) => format!("it is not readable as TOML: {why}"),
        NotSettings::NoFormat => {
            format!("it is no settings file: it has no `format = {SETTINGS_FORMAT}`")
        }
        NotSettings::Later(format) => format!(
            "it is of a later format, {format}; this program knows format {SETTINGS_FORMAT}, a newer one may know more"
        ),
        NotSettings::Unreadable(name) => format!("`{name}` cannot be read as a setting"),
        NotSettings::Nothing => "it has no setting of this bike".to_owned(),
    }
}

/// Why settings cannot be written into a file, as it goes on in a sentence about it.
#[must_use]
pub fn not_ours(reason: &NotOurs) -> String {
    match reason {
        NotOurs::NotToml => "it is not readable as TOML".to_owned(),
        NotOurs::Merge => UNMERGED.to_owned(),
        NotOurs::Later(format) => format!("it is of a later format, {format}: a newer clickwise wrote it"),
        NotOurs::OtherRide => "it holds the settings of another bike or rider".to_owned(),
        NotOurs::Occupied(name) => format!("`{name}` in it is no table"),
    }
}
