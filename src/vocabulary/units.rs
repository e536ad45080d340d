//! Owns how units are spelt. What one is worth in another stands in `physics`.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use num_traits::{Signed, Zero};

use crate::physics::{Number, Unit};

use super::lower;

/// One unit of the vocabulary.
#[derive(Debug)]
pub struct UnitRow {
    pub unit: Unit,
    pub word: &'static str,
    pub also: &'static [&'static str],
    /// The word beside a single one, where it differs.
    pub single: Option<&'static str>,
    pub meaning: &'static str,
}

macro_rules! units {
    ($($unit:ident $word:literal $also:expr, $single:expr, $meaning:literal;)*) => {
        /// Every unit, with its spellings.
        pub const UNITS: &[UnitRow] = &[
            $(UnitRow {
                unit: Unit::$unit, word: $word, also: $also, single: $single, meaning: $meaning,
            },)*
        ];
    };
}

units! {
    Clicks "clicks" &["click"], Some("click"), "clicks of an adjuster";
    Turns "turns" &["turn"], Some("turn"), "turns of an adjuster, and parts: `2 1/2 turns`";
    Spacers "spacers" &["spacer"], Some("spacer"), "volume spacers";
    Psi "psi" &[], None, "pounds per square inch, gauge pressure";
    Bar "bar" &[], None, "bar, gauge pressure";
    Kilopascal "kPa" &[], None, "kilopascal, gauge pressure";
    PoundPerInch "lb/in" &["lbs/in", "lbf/in"], None, "spring rate in pounds per inch";
    NewtonPerMillimetre "N/mm" &[], None, "spring rate in newtons per millimetre";
    Millimetre "mm" &[], None, "millimetres";
    Percent "%" &["percent"], None, "percentage of the travel or stroke";
    Kilogram "kg" &["kgs"], None, "kilograms";
    Pound "lb" &["lbs"], None, "pounds";
    Celsius "C" &["°C", "celsius"], None, "degrees Celsius";
    Fahrenheit "F" &["°F", "fahrenheit"], None, "degrees Fahrenheit";
    Metre "m" &[], None, "metres above sea level";
    Foot "ft" &["feet"], None, "feet above sea level";
    Second "s" &["sec", "seconds", "second"], None, "seconds";
    Minute "min" &["mins", "minutes", "minute"], None, "minutes";
    Hour "h" &["hours", "hour"], None, "hours";
    Laps "laps" &["lap"], Some("lap"), "laps of the loop";
    Pairs "pairs" &["pair"], Some("pair"), "pairs of laps";
    Positions "positions" &["position"], Some("position"), "one position of any adjuster: a click, a \
        quarter turn or a named position";
}

/// The unit that a word stands for, in any case.
#[must_use]
pub fn unit_named(word: &str) -> Option<Unit> {
    static SPELLINGS: LazyLock<BTreeMap<String, Unit>> = LazyLock::new(|| {
        let mut spellings = BTreeMap::new();
        for row in UNITS {
            for spelling in std::iter::once(&row.word).chain(row.also) {
                spellings.entry(spelling.to_lowercase()).or_insert(row.unit);
            }
        }
        spellings
    });
    SPELLINGS.get(lower(word).as_ref()).copied()
}

/// The word of a unit, for several of it.
#[must_use]
pub fn unit_word(unit: Unit) -> &'static str {
    UNITS.iter().find(|row| row.unit == unit).map_or("", |row| row.word)
}

/// The word of a unit, for one of it.
#[must_use]
pub fn single_unit_word(unit: Unit) -> &'static str {
    UNITS.iter().find(|row| row.unit == unit).map_or("", |row| row.single.unwrap_or(row.word))
}

/// The word of a unit behind a number: for one where it is one, or a share of one.
#[must_use]
pub fn unit_word_behind(number: Number, unit: Unit) -> &'static str {
    let number = number.abs();
    let is_single = !number.is_zero() && number <= Number::from_integer(1);
    if is_single { single_unit_word(unit) } else { unit_word(unit) }
}

/// Units that people write and the language does not have, with what one of each is: a number, as a
/// numerator and a denominator, of a unit that it has. Exact by definition.
pub const FOREIGN_UNITS: &[(&[&str], i128, i128, Unit)] = &[
    (&["cm"], 10, 1, Unit::Millimetre),
    (&["inch", "inches", "in", "\""], 254, 10, Unit::Millimetre),
    (&["st", "stone"], 14, 1, Unit::Pound),
    (&["g", "grams"], 1, 1000, Unit::Kilogram),
    (&["mbar", "millibar"], 1, 1000, Unit::Bar),
    (&["mpa"], 1000, 1, Unit::Kilopascal),
    (&["km"], 1000, 1, Unit::Metre),
    (&["n/m"], 1, 1000, Unit::NewtonPerMillimetre),
];

/// The unit of the language that a foreign one is a number of, with that number.
#[must_use]
pub fn foreign_unit(word: &str) -> Option<(Number, Unit)> {
    let word = word.to_lowercase();
    let row = FOREIGN_UNITS.iter().find(|row| row.0.contains(&word.as_str()))?;
    Some((Number::new(row.1, row.2), row.3))
}
