//! Owns what earlier settings still say of an adjuster that a ride left where it was: how it came to be
//! there, the laps and pairs behind it, and of which ride they are. It knows nothing of the disk.

use toml_edit::{DocumentMut, Item, TableLike, Value};

use crate::plan::{Adjuster, Dial, position_of};
use crate::session::How;

use super::keys::{FORMAT, SESSION, TOP_ONCE, knob_key, part_key, rename};
use super::read_settings::kept;
use super::spellings;

/// The key that says how a setting came to be.
const HOW: &str = "how";

/// What is carried on from earlier settings, as long as the adjuster is where it was.
pub(super) const CARRIED: [&str; 5] = [HOW, "sag", "laps", "confirmed", SESSION];

/// The settings of an earlier ride.
#[derive(Debug, Clone)]
pub struct Earlier {
    document: DocumentMut,
    /// The journal's name without its ending.
    session: Option<String>,
}

impl Earlier {
    /// The settings in a text; `None` where it has none of this format.
    #[must_use]
    pub fn of(text: &str) -> Option<Self> {
        let mut document: DocumentMut = text.strip_prefix('\u{FEFF}').unwrap_or(text).parse().ok()?;
        rename(&mut document, &TOP_ONCE);
        if document.get("format").and_then(Item::as_integer) != Some(i64::from(FORMAT)) {
            return None;
        }
        let session = document.get("journal").and_then(Item::as_str).map(session_of);
        Some(Earlier { document, session })
    }

    /// When its last answer was given, as it is written.
    #[must_use]
    pub fn saved(&self) -> Option<String> {
        self.document.get("saved").and_then(Item::as_datetime).map(ToString::to_string)
    }

    /// The name of the ride it is of: its journal's, without folder and ending.
    #[must_use]
    pub fn session(&self) -> Option<&str> {
        self.session.as_deref()
    }

    /// Whether it is of a ride that came to its end. Files that do not say so are taken for finished:
    /// nothing in them is to be lost.
    #[must_use]
    pub fn is_finished(&self) -> bool {
        self.document.get("finished").and_then(Item::as_bool).unwrap_or(true)
    }

    fn table(&self, adjuster: &Adjuster) -> Option<&dyn TableLike> {
        let part = self.document.get(&part_key(adjuster.part))?.as_table_like()?;
        let key = knob_key(&adjuster.knob).to_lowercase();
        part.iter().find(|(known, _)| known.to_lowercase() == key)?.1.as_table_like()
    }

    /// Whether an adjuster was at this position then.
    pub(super) fn was_at(&self, adjuster: &Adjuster, dial: &Dial, at: u32) -> bool {
        let kept = self.table(adjuster).and_then(kept);
        kept.is_some_and(|kept| position_of(dial.scale(), &kept) == Ok(at))
    }

    /// What is carried on for an adjuster at a position: the keys of [`CARRIED`] with their values, none
    /// where it was elsewhere, or where nobody rode or measured for it.
    pub(super) fn carried(&self, adjuster: &Adjuster, dial: &Dial, at: u32) -> Vec<(&'static str, Value)> {
        let same = self.was_at(adjuster, dial, at);
        let Some(table) = self.table(adjuster).filter(|table| same && is_worth_it(*table)) else {
            return Vec::new();
        };
        let value = |key: &'static str| {
            let value = plain(table.get(key)?.as_value()?);
            // it may be spelt as it was once
            let how = value.as_str().filter(|_| key == HOW).and_then(spellings::how_of);
            Some((key, how.map_or(value, |how| Value::from(spellings::how(how)))))
        };
        let mut carried: Vec<_> = CARRIED.into_iter().filter_map(value).collect();
        if carried.iter().all(|(key, _)| *key != SESSION) {
            carried.extend(self.session.clone().map(|session| (SESSION, Value::from(session))));
        }
        carried
    }
}

/// Whether a setting is worth carrying on: somebody rode or measured for it.
fn is_worth_it(table: &dyn TableLike) -> bool {
    let how = table.get(HOW).and_then(Item::as_str).and_then(spellings::how_of);
    table.contains_key("confirmed")
        || how.is_some_and(|how| match how {
            How::Measured | How::FeltBest | How::StoppedEarly => true,
            How::Set | How::Unchanged => false,
        })
}

/// A value without the comments and spaces around it.
fn plain(value: &Value) -> Value {
    let mut plain = value.clone();
    plain.decor_mut().clear();
    plain
}

/// The name of a ride by its journal: the file's name without folder and ending.
#[must_use]
pub fn session_of(journal: &str) -> String {
    let name = journal.rsplit(['/', '\\']).next().unwrap_or(journal);
    let stem = name.strip_suffix(".ride.toml").or_else(|| name.strip_suffix(".toml"));
    stem.unwrap_or(name).to_owned()
}
