//! Owns the reading of a settings file to begin again from: which adjuster stood where, as how it was
//! counted. It knows nothing of the disk, nor of whether the bike can stand so now.

use num_traits::Zero;
use toml_edit::{DocumentMut, Item, TableLike, Value};

use crate::physics::{Number, parse_decimal, parse_fraction};
use crate::plan::{AdjusterId, Bike, Kept};
use crate::vocabulary::{End, PARTS, unit_named};

use super::keys::{FORMAT, is_unmerged, knob_key, part_key};

/// What a settings file says, held against a bike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recorded {
    /// Whose settings they are.
    pub bike: Option<String>,
    pub rider: Option<String>,
    pub kept: Vec<(AdjusterId, Kept)>,
    /// The adjusters of the file that the bike does not have, by the names of their tables.
    pub strangers: Vec<String>,
}

/// Why a text is no settings file to begin from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotSettings {
    /// It has the marks of an unfinished merge.
    Merge,
    /// It is no TOML: what TOML's own reader says.
    NotToml(String),
    /// It names no format.
    NoFormat,
    /// It is of a later format.
    Later(i64),
    /// The table of this name has no setting that can be read.
    Unreadable(String),
    /// It has no setting of the bike.
    Nothing,
}

/// Reads a settings file for a bike.
///
/// # Errors
/// Where it is no settings file of this format, or a setting of this bike in it cannot be read.
pub fn read_settings(text: &str, bike: &Bike) -> Result<Recorded, NotSettings> {
    let document: DocumentMut =
        text.strip_prefix('\u{FEFF}').unwrap_or(text).parse().map_err(|error: toml_edit::TomlError| {
            if is_unmerged(text) {
                NotSettings::Merge
            } else {
                NotSettings::NotToml(first_line(error.message()))
            }
        })?;
    match document.get("format").and_then(Item::as_integer) {
        Some(format) if format == i64::from(FORMAT) => {}
        Some(later) if later > i64::from(FORMAT) => return Err(NotSettings::Later(later)),
        _ => return Err(NotSettings::NoFormat),
    }
    let word = |key: &str| document.get(key).and_then(Item::as_str).map(str::to_owned);
    let mut recorded =
        Recorded { bike: word("bike"), rider: word("rider"), kept: Vec::new(), strangers: Vec::new() };
    for (part, ..) in PARTS {
        let Some(table) = document.get(&part_key(*part)).and_then(Item::as_table_like) else { continue };
        for (key, item) in table.iter() {
            let Some(adjuster) = item.as_table_like().filter(|adjuster| adjuster.contains_key("value"))
            else {
                continue;
            };
            let name = format!("{}.{key}", part_key(*part));
            let same = |id: &AdjusterId| {
                let known = bike.get(*id);
                known.part == *part && knob_key(&known.knob).to_lowercase() == key.to_lowercase()
            };
            match bike.ids().find(same) {
                Some(id) => recorded.kept.push((id, kept(adjuster).ok_or(NotSettings::Unreadable(name))?)),
                None => recorded.strangers.push(name),
            }
        }
    }
    recorded.kept.sort_by_key(|(id, _)| *id);
    if recorded.kept.is_empty() { Err(NotSettings::Nothing) } else { Ok(recorded) }
}

fn first_line(text: &str) -> String {
    text.lines().next().unwrap_or("").to_owned()
}

pub(super) fn kept(table: &dyn TableLike) -> Option<Kept> {
    let value = table.get("value")?.as_value()?;
    let Some(unit) = table.get("unit") else { return Some(Kept::Name(value.as_str()?.to_owned())) };
    let unit = unit_named(unit.as_str()?)?;
    let counted = match table.get("counted-from") {
        None => None,
        Some(item) => {
            let word = item.as_str()?;
            Some([End::Open, End::Closed].into_iter().find(|end| end.word() == word)?)
        }
    };
    let range = match table.get("range").and_then(Item::as_array) {
        None => None,
        Some(array) => {
            let ends: Vec<Number> = array.iter().map(number).collect::<Option<_>>()?;
            let (low, high) = (*ends.first()?, *ends.last()?);
            Some((low, high)).filter(|_| low <= high && low >= Number::zero())
        }
    };
    Some(Kept::Value { number: number(value)?, unit, counted, range })
}

/// A number as it is written in TOML, exactly; a fraction of a turn stands in quotes.
fn number(value: &Value) -> Option<Number> {
    match value {
        Value::Integer(integer) => parse_decimal(&integer.value().to_string()),
        Value::Float(float) => parse_decimal(&float.value().to_string()),
        Value::String(text) => parse_decimal(text.value()).or_else(|| parse_fraction(text.value())),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::Unit;
    use crate::plan::{Adjuster, Dial, Scale, Setup, StartRule};
    use crate::vocabulary::{Knob, Part, Way};

    fn bike() -> Bike {
        let mut bike = Bike::new("B".to_owned(), Vec::new());
        let whole = |number| Number::from_integer(number);
        let scale = Scale::grid(Unit::Clicks, whole(0), whole(18), whole(1), Some(End::Closed)).unwrap();
        let setup = Setup::Known(Dial::new(scale, StartRule::Middle, None, Way::Faster));
        for knob in [Knob::LowRebound, Knob::Own("Bottoming resistance".to_owned())] {
            bike.add(Adjuster { part: Part::Fork, knob, setup: setup.clone() });
        }
        bike
    }

    #[test]
    fn what_is_written_is_read() {
        let text = "format = 1\nbike = \"B\"\n[fork.low-speed-rebound]\nvalue = 7\nunit = \"clicks\"\ncounted-from = \"open\"\nrange = [0, 18]\n[fork.\"bottoming resistance\"]\nvalue = \"1 1/4\"\nunit = \"turns\"\n[shock.lockout]\nvalue = \"half\"\n";
        let recorded = read_settings(text, &bike()).unwrap();
        assert_eq!(recorded.strangers, ["shock.lockout"]);
        let whole = |number| Number::from_integer(number);
        assert_eq!(
            recorded.kept[0].1,
            Kept::Value {
                number: whole(7),
                unit: Unit::Clicks,
                counted: Some(End::Open),
                range: Some((whole(0), whole(18)))
            }
        );
        assert!(matches!(&recorded.kept[1].1, Kept::Value { number, .. } if *number == Number::new(5, 4)));
    }

    #[test]
    fn what_is_no_settings_file_is_refused() {
        let read = |text: &str| read_settings(text, &bike()).unwrap_err();
        assert_eq!(read("a = 1"), NotSettings::NoFormat);
        assert_eq!(read("format = 2"), NotSettings::Later(2));
        assert_eq!(read("format = 1"), NotSettings::Nothing);
        assert!(matches!(read("format = "), NotSettings::NotToml(_)));
        let odd = "format = 1\n[fork.low-speed-rebound]\nvalue = 7\nunit = \"furlongs\"\n";
        assert_eq!(read(odd), NotSettings::Unreadable("fork.low-speed-rebound".to_owned()));
    }
}
