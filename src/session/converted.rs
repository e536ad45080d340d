//! Owns what the numbers of a typed line are at a question: a place on an adjuster in its own unit, a condition in one
//! of its units, two numbers for a count. It knows nothing of the line around them.

use crate::physics::{Number, Quantity, Unit};
use crate::plan::{AdjusterId, Reading, Scale};
use crate::search::Direction;

use super::figures::{Group, Join, Value, rounded};
use super::typed::{Extent, Full, NotRead};
use super::{Answer, Session, Stated};

/// The one number of a group as a place on an adjuster, in the adjuster's own unit.
pub(super) fn place(session: &Session, id: AdjusterId, group: &Group<'_>) -> Result<(Stated, Full), NotRead> {
    let unit = session.adjuster(id).setup.unit();
    let value = only(group, unit)?;
    let Some(unit) = unit else { return Ok(as_typed(value)) };
    let Some((times, typed)) = value.unit else {
        return Ok((Stated::Value(value.number, Some(unit)), Full::UnitLeftOut));
    };
    let quantity = Quantity { number: value.number * times, unit: typed };
    if typed == unit && times == Number::from_integer(1) {
        return Ok((Stated::Value(value.number, Some(unit)), Full::AsTyped));
    }
    let Some(number) = quantity.in_unit(unit) else { return Ok(as_typed(value)) };
    let number = rounded(number, 1_000_000);
    let converted = Stated::Value(number, Some(unit));
    let Some(scale) = session.scale(id) else { return Ok((converted, Full::Otherwise)) };
    match nearby(scale, number) {
        Nearby::It => Ok((converted, Full::Otherwise)),
        Nearby::Near(at) => Ok((Stated::Value(at, Some(unit)), Full::Nearest(number))),
        Nearby::Between(two) => {
            let ways = two.map(|number| Stated::Value(number, Some(unit)).to_string()).to_vec();
            Err(NotRead::Between { text: group.raw.to_owned(), ways })
        }
    }
}

/// What a converted number is on a scale.
enum Nearby {
    /// A position of it, or so far outside that it is told as it is.
    It,
    /// Near enough to this one to be meant for it.
    Near(Number),
    /// Between these two.
    Between([Number; 2]),
}

fn nearby(scale: &Scale, number: Number) -> Nearby {
    let reading = |position: u32| match scale.reading(position) {
        Reading::Value(number, _) => number,
        Reading::Name(_) => number,
    };
    let nearest = scale.nearest(number, Direction::Down);
    let at = reading(nearest);
    if at == number {
        return Nearby::It;
    }
    let apart = |one: Number, other: Number| if one < other { other - one } else { one - other };
    let sides = [nearest.saturating_sub(1), (nearest + 1).min(scale.top())].map(reading);
    let beside = sides.into_iter().find(|side| (*side < at) == (number < at) && *side != at);
    // a gauge is read to its nearest mark; a coil that is listed is this one or is not
    let parts = if scale.is_list() { 4 } else { 2 };
    let gap = beside
        .or(sides.into_iter().find(|side| *side != at))
        .map_or(Number::from_integer(0), |side| apart(side, at));
    if apart(number, at) * Number::from_integer(parts) <= gap {
        return Nearby::Near(at);
    }
    beside.map_or(Nearby::It, |beside| Nearby::Between([at, beside]))
}

/// How an adjuster was found and its count, where both are told and the first is not known; with the note behind them.
pub(super) fn before_and_count(
    session: &Session,
    id: AdjusterId,
    groups: &[Group<'_>],
    extent: Extent,
) -> Result<Option<(Answer, Option<String>)>, NotRead> {
    if session.before(id).is_some() || !is_two(groups, extent) {
        return Ok(None);
    }
    let mut values = groups.iter().flat_map(|group| &group.values);
    let last = match groups {
        [both, ..] if both.values.len() == 2 => both,
        [_, second, ..] => second,
        [_] | [] => return Ok(None),
    };
    let Some((found, count)) = values.next().zip(values.next()) else { return Ok(None) };
    let told = |value: &Value<'_>| -> Result<Stated, NotRead> {
        let alone = Group { values: vec![value.clone()], joins: Vec::new(), ..last.clone() };
        Ok(place(session, id, &alone)?.0)
    };
    Ok(Some((Answer::Two(told(found)?, told(count)?), last.note.clone())))
}

/// Whether a line begins with two whole numbers, in one of the ways in which two are typed. In a list of
/// answers a comma separates two of them.
fn is_two(groups: &[Group<'_>], extent: Extent) -> bool {
    let whole = |group: &Group<'_>| group.values.iter().all(|value| value.comma.is_none());
    let joined = |join: &Join| matches!(join, Join::Space | Join::And | Join::Slash);
    let both = |group: &Group<'_>| group.values.len() == 2 && group.joins.iter().all(joined);
    match groups {
        [one] => whole(one) && both(one),
        [one, ..] if extent == Extent::List => whole(one) && both(one),
        [one, other] => {
            let single = [one, other].iter().all(|group| group.values.len() == 1 && whole(group));
            single && one.note.is_none()
        }
        _ => false,
    }
}

fn as_typed(value: &Value<'_>) -> (Stated, Full) {
    (Stated::Value(value.number, value.unit.map(|(_, unit)| unit)), Full::AsTyped)
}

/// The one number of a group; each of several is there to be typed.
fn only<'a, 'b>(group: &'b Group<'a>, unit: Option<Unit>) -> Result<&'b Value<'a>, NotRead> {
    let text = group.raw.to_owned();
    let said = |number: Number, typed: &Value<'_>| {
        Stated::Value(number, typed.unit.map(|(_, unit)| unit).or(unit)).to_string()
    };
    match &group.values[..] {
        [only] => {
            let Some((whole, part)) = only.comma else { return Ok(only) };
            let figure =
                |digits: &str| crate::physics::parse_decimal(digits).map(|number| said(number, only));
            let mut ways = Vec::new();
            let whole_or_part = matches!(unit, Some(Unit::Clicks | Unit::Turns));
            if !whole_or_part {
                ways.push(said(only.number, only));
            }
            if part.len() == 3 {
                ways.extend(figure(&format!("{whole}{part}")));
            } else if whole_or_part {
                ways.extend(figure(whole).into_iter().chain(figure(part)));
            }
            Err(NotRead::Unclear { text, ways })
        }
        several => {
            let ways = several.iter().map(|value| said(value.number, value)).collect();
            Err(NotRead::OneNumber { text, ways })
        }
    }
}

/// A condition's number, in a unit in which it may be answered.
pub(super) fn condition_in(group: &Group<'_>, units: &[Unit]) -> Result<(Stated, Full), NotRead> {
    let value = only(group, units.first().copied().filter(|_| units.len() == 1))?;
    let Some((times, typed)) = value.unit else {
        if let [unit] = units {
            return Ok((Stated::Value(value.number, Some(*unit)), Full::UnitLeftOut));
        }
        let ways = units.iter().map(|unit| Stated::Value(value.number, Some(*unit)).to_string()).collect();
        return Err(NotRead::Unclear { text: group.raw.to_owned(), ways });
    };
    if times == Number::from_integer(1) && units.contains(&typed) {
        return Ok((Stated::Value(value.number, Some(typed)), Full::AsTyped));
    }
    let quantity = Quantity { number: value.number * times, unit: typed };
    let converted = units.iter().find_map(|unit| Some((quantity.in_unit(*unit)?, *unit)));
    Ok(converted.map_or_else(
        || as_typed(value),
        |(number, unit)| (Stated::Value(rounded(number, 1_000_000), Some(unit)), Full::Otherwise),
    ))
}
