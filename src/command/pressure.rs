//! `clickwise pressure`: what an untouched gauge will read elsewhere. It says nothing of what to set.

use crate::disk;
use crate::physics::{
    Kind, Number, Quantity, STANDARD_ATMOSPHERE, Surroundings, Unit, decimal, nearest, parse_decimal,
    pascals_at, untouched_gauge,
};
use crate::show::{untouched, untouched_cautions};
use crate::vocabulary::{UNITS, unit_named, unit_word};

use super::Exit;
use super::args::PressureOptions;
use super::screen::{Screen, print};

/// What can be reckoned with, in the unit beside it.
const GAUGES: (i128, i128, Unit) = (0, 5000, Unit::Psi);
const TEMPERATURES: (i128, i128, Unit) = (-60, 60, Unit::Celsius);
const ALTITUDES: (i128, i128, Unit) = (-500, 9000, Unit::Metre);

/// Where a pressure is told, as it is written: `20C,0m`, or one of the two.
#[derive(Debug, Default)]
struct Conditions {
    temperature: Option<Quantity>,
    altitude: Option<Quantity>,
}

pub(super) fn run(options: &PressureOptions, screen: Screen) -> Exit {
    let result = match reading(options) {
        Ok(result) => result,
        Err(why) => {
            screen.say(&why);
            return Exit::Usage;
        }
    };
    if let Err(error) = print(&format!("{result}\n")) {
        screen.say(&format!("Can't print the result: {}", disk::in_words(&error)));
        return Exit::Disk;
    }
    screen.lines(&untouched_cautions(screen.width()));
    Exit::Done
}

/// The line of the result, or what is wrong with the command line.
fn reading(options: &PressureOptions) -> Result<String, String> {
    let gauge = amount(&options.gauge.join(" "), &[Kind::Pressure])?;
    let (at, then) = (place(&options.at, "--at")?, place(&options.then, "--then")?);
    both_or_neither(at.temperature, then.temperature, "temperature")?;
    both_or_neither(at.altitude, then.altitude, "altitude")?;
    let cannot = || {
        "clickwise can't work this out. Check the pressure, temperatures and altitudes you gave.".to_owned()
    };
    let kilopascals = gauge.float_in(Unit::Kilopascal).ok_or_else(cannot)?;
    let (before, after) = at.surroundings().zip(then.surroundings()).ok_or_else(cannot)?;
    let found = untouched_gauge(kilopascals, before, after).and_then(nearest).ok_or_else(cannot)?;
    let found = Quantity { number: found, unit: Unit::Kilopascal };
    Ok(untouched(found.in_unit(gauge.unit).ok_or_else(cannot)?, gauge.unit))
}

impl Conditions {
    /// A silent altitude is the sea's; a silent temperature is any that does not change.
    fn surroundings(&self) -> Option<Surroundings> {
        let celsius =
            self.temperature.map_or(Some(20.0), |temperature| temperature.float_in(Unit::Celsius))?;
        let ambient = match self.altitude {
            Some(altitude) => pascals_at(altitude.float_in(Unit::Metre)?)? / 1000.0,
            None => STANDARD_ATMOSPHERE,
        };
        Some(Surroundings { celsius, ambient })
    }
}

fn both_or_neither(at: Option<Quantity>, then: Option<Quantity>, what: &str) -> Result<(), String> {
    let (with, without) = match (at, then) {
        (Some(_), None) => ("--at", "--then"),
        (None, Some(_)) => ("--then", "--at"),
        _ => return Ok(()),
    };
    Err(format!("{with} gives the {what} but {without} doesn't. Give it in both or in neither."))
}

/// Reads a temperature, an altitude, or both with a comma between them.
fn place(text: &str, option: &str) -> Result<Conditions, String> {
    let mut place = Conditions::default();
    for part in text.split(',') {
        let found =
            amount(part, &[Kind::Temperature, Kind::Altitude]).map_err(|why| format!("{option}: {why}"))?;
        let (slot, what) = match found.unit.kind() {
            Kind::Temperature => (&mut place.temperature, "temperatures"),
            _ => (&mut place.altitude, "altitudes"),
        };
        if slot.replace(found).is_some() {
            return Err(format!("{option}: {text} has two {what}; give one."));
        }
    }
    Ok(place)
}

/// Reads a number and a unit of one of these kinds, with a space between them or none.
fn amount(text: &str, kinds: &[Kind]) -> Result<Quantity, String> {
    let text = text.trim();
    let units = units(kinds);
    let begin = text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).unwrap_or(text.len());
    let (digits, word) = (&text[..begin], text[begin..].trim_start());
    if text.is_empty() {
        return Err(format!("Something is missing next to a comma: give a number and {units}."));
    }
    let Some(number) = parse_decimal(digits).filter(|_| !word.starts_with(',')) else {
        return Err(format!("`{text}` is not a number with a unit: give a number, then {units}."));
    };
    if word.is_empty() {
        return Err(format!("`{text}` has no unit: add {units}."));
    }
    let Some(unit) = unit_named(word).filter(|unit| kinds.contains(&unit.kind())) else {
        let spaced = word.contains(char::is_whitespace);
        let quotes = if spaced { " If it has spaces, put it in quotes." } else { "" };
        return Err(format!("`{word}` doesn't work here: use {units}.{quotes}"));
    };
    let quantity = Quantity { number, unit };
    within_range(quantity).map_or(Ok(quantity), Err)
}

/// Says what is wrong with an amount that is beyond what can be reckoned with.
fn within_range(quantity: Quantity) -> Option<String> {
    let (low, high, unit) = match quantity.unit.kind() {
        Kind::Pressure => GAUGES,
        Kind::Temperature => TEMPERATURES,
        _ => ALTITUDES,
    };
    let bound = |bound| {
        let bound = Quantity { number: Number::from_integer(bound), unit };
        bound.in_unit(quantity.unit).map(|number| number.trunc())
    };
    let (low, high) = bound(low).zip(bound(high))?;
    let word = unit_word(quantity.unit);
    let given = decimal(quantity.number);
    (quantity.number < low || quantity.number > high).then(|| {
        format!("{given} {word} is out of range: give {} to {} {word}.", decimal(low), decimal(high))
    })
}

/// The units of these kinds in words: `psi, bar or kPa`.
fn units(kinds: &[Kind]) -> String {
    let rows = UNITS.iter().filter(|row| kinds.contains(&row.unit.kind()));
    let words: Vec<&str> = rows.map(|row| row.word).collect();
    match words.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => words.concat(),
    }
}
