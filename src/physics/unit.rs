//! Owns the units and what one of them is in another of its kind, exactly.
//! It knows nothing of how units are spelt in a file.

use num_rational::Ratio;

use super::{Number, decimal, mixed};

/// What a unit measures. Units of one kind can be converted into one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    Clicks,
    Turns,
    Spacers,
    Pressure,
    SpringRate,
    Length,
    Share,
    Mass,
    Temperature,
    Altitude,
    Time,
    Laps,
    Pairs,
}

/// A unit of measurement or of counting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    Clicks,
    Turns,
    Spacers,
    Psi,
    Bar,
    Kilopascal,
    PoundPerInch,
    NewtonPerMillimetre,
    Millimetre,
    Percent,
    Kilogram,
    Pound,
    Celsius,
    Fahrenheit,
    Metre,
    Foot,
    Second,
    Minute,
    Hour,
    Laps,
    Pairs,
}

impl Unit {
    /// Every unit there is.
    pub const ALL: [Unit; 21] = [
        Unit::Clicks,
        Unit::Turns,
        Unit::Spacers,
        Unit::Psi,
        Unit::Bar,
        Unit::Kilopascal,
        Unit::PoundPerInch,
        Unit::NewtonPerMillimetre,
        Unit::Millimetre,
        Unit::Percent,
        Unit::Kilogram,
        Unit::Pound,
        Unit::Celsius,
        Unit::Fahrenheit,
        Unit::Metre,
        Unit::Foot,
        Unit::Second,
        Unit::Minute,
        Unit::Hour,
        Unit::Laps,
        Unit::Pairs,
    ];

    /// What it measures.
    #[must_use]
    pub fn kind(self) -> Kind {
        match self {
            Unit::Clicks => Kind::Clicks,
            Unit::Turns => Kind::Turns,
            Unit::Spacers => Kind::Spacers,
            Unit::Psi | Unit::Bar | Unit::Kilopascal => Kind::Pressure,
            Unit::PoundPerInch | Unit::NewtonPerMillimetre => Kind::SpringRate,
            Unit::Millimetre => Kind::Length,
            Unit::Percent => Kind::Share,
            Unit::Kilogram | Unit::Pound => Kind::Mass,
            Unit::Celsius | Unit::Fahrenheit => Kind::Temperature,
            Unit::Metre | Unit::Foot => Kind::Altitude,
            Unit::Second | Unit::Minute | Unit::Hour => Kind::Time,
            Unit::Laps => Kind::Laps,
            Unit::Pairs => Kind::Pairs,
        }
    }

    /// A number as it is customary beside this unit: turns with fractions, all else with a point.
    #[must_use]
    pub fn figure(self, number: Number) -> String {
        if self == Unit::Turns { mixed(number) } else { decimal(number) }
    }

    /// How many kilograms, minutes or else of the kind's first unit one of this is; `None` for the
    /// kinds that are not converted by a factor here.
    fn factor(self) -> Option<Number> {
        match self {
            // exact by definition (the international avoirdupois pound of 1959)
            Unit::Pound => Some(Ratio::new(45_359_237, 100_000_000)),
            Unit::Kilogram | Unit::Minute => Some(Ratio::from_integer(1)),
            Unit::Second => Some(Ratio::new(1, 60)),
            Unit::Hour => Some(Ratio::from_integer(60)),
            _ => None,
        }
    }
}

/// A number of a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Quantity {
    pub number: Number,
    pub unit: Unit,
}

impl Quantity {
    /// The same amount in another unit of the same kind, exactly; `None` where the kinds differ or
    /// the kind is not converted by a factor (masses and times are).
    #[must_use]
    pub fn in_unit(self, unit: Unit) -> Option<Number> {
        if self.unit == unit {
            return Some(self.number);
        }
        if self.unit.kind() != unit.kind() {
            return None;
        }
        Some(self.number * self.unit.factor()? / unit.factor()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pound_is_its_definition() {
        // Source: international yard and pound agreement of 1959, exact: 1 lb = 0.45359237 kg.
        let pound = Quantity { number: Ratio::from_integer(1), unit: Unit::Pound };
        assert_eq!(pound.in_unit(Unit::Kilogram), Some(Ratio::new(45_359_237, 100_000_000)));
        assert_eq!(pound.in_unit(Unit::Minute), None);
        let hours = Quantity { number: Ratio::new(3, 2), unit: Unit::Hour };
        assert_eq!(hours.in_unit(Unit::Minute), Some(Ratio::from_integer(90)));
    }
}
