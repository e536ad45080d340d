//! Owns what numbers at a sag question mean: their unit, which two belong together, and where they are
//! not clear. It knows nothing of the line around them.

use crate::physics::{Number, Unit};
use crate::plan::Measure;

use super::Stated;
use super::figures::{Group, Join, Value, rounded};
use super::readings::far_apart;
use super::typed::{Extent, NotRead};

pub(super) fn is_sag(value: &Value<'_>) -> bool {
    value.unit.is_none_or(|(_, unit)| matches!(unit, Unit::Millimetre | Unit::Percent))
}

/// A sag in mm or %. Without a unit it has that of the other reading, or mm.
pub(super) fn sag_of(value: &Value<'_>, both: &[&Value<'_>]) -> Stated {
    let silent = || both.iter().find_map(|value| value.unit).map_or(Unit::Millimetre, |(_, unit)| unit);
    match value.unit {
        Some((times, unit)) if times != Number::from_integer(1) => {
            Stated::Value(rounded(value.number * times, 100), Some(unit))
        }
        Some((_, unit)) => Stated::Value(value.number, Some(unit)),
        None => Stated::Value(value.number, Some(silent())),
    }
}

/// The first two readings, as they are typed in full.
pub(super) fn pair(values: &[&Value<'_>]) -> String {
    let both: Vec<_> = values.iter().take(2).copied().collect();
    let said: Vec<_> = both.iter().map(|value| sag_of(value, &both).to_string()).collect();
    said.join(" and ")
}

/// Whether a sag can mean one thing only.
pub(super) fn clear(measure: &Measure, group: &Group<'_>) -> Result<(), NotRead> {
    let unclear = |ways| Err(NotRead::Unclear { text: group.raw.to_owned(), ways });
    let values: Vec<_> = group.values.iter().collect();
    let Some(like) = group.values.last() else { return Ok(()) };
    let mean = |number: Number| sag_of(&Value { number, ..like.clone() }, &values);
    if let Some(value) = group.values.iter().find(|value| value.comma.is_some()) {
        if values.len() > 1 {
            return Err(NotRead::Readings {
                text: group.raw.to_owned(),
                pair: pair(&values),
                extent: Extent::One,
            });
        }
        let mut ways = vec![sag_of(value, &values).to_string()];
        let part = |digits: &str| crate::physics::parse_decimal(digits).map(mean);
        if let Some((Some(one), Some(other))) = value.comma.map(|(one, other)| (part(one), part(other)))
            && far_apart(measure, &one, &other).is_none()
        {
            ways.push(format!("{one} and {other}"));
        }
        return unclear(ways);
    }
    match (&group.values[..], &group.joins[..]) {
        ([first, second], [Join::Other]) => unclear(vec![
            pair(&values),
            mean((first.number + second.number) / Number::from_integer(2)).to_string(),
        ]),
        ([whole, upper, lower], [Join::Space, Join::Slash]) if lower.number > upper.number => {
            unclear(vec![mean(rounded(whole.number + upper.number / lower.number, 100)).to_string()])
        }
        _ => Ok(()),
    }
}
