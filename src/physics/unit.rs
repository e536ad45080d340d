//! Owns the units and what one of them is in another of its kind.
//! It knows nothing of how units are spelt in a file.

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub};

use super::{Number, decimal, float, mixed, to_billionths};

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
    /// Whatever one position of an adjuster is.
    Positions,
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
    /// Whatever one position of an adjuster is.
    Positions,
}

impl Unit {
    /// Every unit there is.
    pub const ALL: [Unit; 22] = [
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
        Unit::Positions,
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
            Unit::Positions => Kind::Positions,
        }
    }

    /// A number as it is customary beside this unit: turns with fractions, all else with a point.
    #[must_use]
    pub fn figure(self, number: Number) -> String {
        if self == Unit::Turns { mixed(number) } else { decimal(number) }
    }

    /// How many kilopascals, newtons a millimetre, kilograms, metres or minutes one of this is;
    /// `None` for the kinds that have one unit only, and for temperatures, whose noughts differ.
    fn factor(self) -> Option<Number> {
        let pound_force = pound() * standard_gravity();
        match self {
            Unit::Kilopascal | Unit::NewtonPerMillimetre | Unit::Kilogram | Unit::Metre | Unit::Minute => {
                Some(Ratio::from_integer(1))
            }
            // newtons a square millimetre are megapascals
            Unit::Psi => Some(pound_force / (inch() * inch()) * Ratio::from_integer(1000)),
            Unit::Bar => Some(Ratio::from_integer(100)),
            Unit::PoundPerInch => Some(pound_force / inch()),
            Unit::Pound => Some(pound()),
            Unit::Foot => Some(Ratio::new(3_048, 10_000)),
            Unit::Second => Some(Ratio::new(1, 60)),
            Unit::Hour => Some(Ratio::from_integer(60)),
            _ => None,
        }
    }
}

/// The pound in kilograms, exact by definition (international yard and pound agreement of 1959;
/// the same agreement makes a foot 0.3048 m).
fn pound() -> Number {
    Ratio::new(45_359_237, 100_000_000)
}

/// The inch in millimetres, exact by the same agreement.
fn inch() -> Number {
    Ratio::new(254, 10)
}

/// Standard gravity in m/s2, exact by definition (third general conference on weights and measures,
/// 1901); it makes a pound of force of a pound.
fn standard_gravity() -> Number {
    Ratio::new(980_665, 100_000)
}

/// A number of a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Quantity {
    pub number: Number,
    pub unit: Unit,
}

impl Quantity {
    /// The same amount in another unit of the same kind; `None` where the kinds differ, where the kind
    /// has but one unit, or where the number is beyond what one can hold. Exact by the definitions of
    /// the units, but pressures and spring rates are rounded to the nearest billionth: their exact
    /// fractions have so many digits that sums of a few of them could overflow.
    #[must_use]
    pub fn in_unit(self, unit: Unit) -> Option<Number> {
        if self.unit == unit {
            return Some(self.number);
        }
        if self.unit.kind() != unit.kind() {
            return None;
        }
        match (self.unit, unit) {
            (Unit::Fahrenheit, Unit::Celsius) => {
                self.number.checked_sub(&Ratio::from_integer(32))?.checked_mul(&Ratio::new(5, 9))
            }
            (Unit::Celsius, Unit::Fahrenheit) => {
                self.number.checked_mul(&Ratio::new(9, 5))?.checked_add(&Ratio::from_integer(32))
            }
            (from, to) => {
                let number = self.number.checked_mul(&from.factor()?)?.checked_div(&to.factor()?)?;
                match unit.kind() {
                    Kind::Pressure | Kind::SpringRate => to_billionths(number),
                    _ => Some(number),
                }
            }
        }
    }

    /// The same amount in another unit of the same kind, as a float for the formulas of `physics`;
    /// `None` where `in_unit` is.
    #[must_use]
    pub fn float_in(self, unit: Unit) -> Option<f64> {
        self.in_unit(unit).and_then(float)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(unit: Unit) -> Quantity {
        Quantity { number: Ratio::from_integer(1), unit }
    }

    #[test]
    fn a_pound_is_its_definition() {
        // Source: international yard and pound agreement of 1959, exact: 1 lb = 0.45359237 kg.
        let pound = one(Unit::Pound);
        assert_eq!(pound.in_unit(Unit::Kilogram), Some(Ratio::new(45_359_237, 100_000_000)));
        assert_eq!(pound.in_unit(Unit::Minute), None);
        let hours = Quantity { number: Ratio::new(3, 2), unit: Unit::Hour };
        assert_eq!(hours.in_unit(Unit::Minute), Some(Ratio::from_integer(90)));
    }

    #[test]
    fn heights_and_temperatures_are_exact() {
        // Source: the same agreement, exact: 1 ft = 0.3048 m. Fahrenheit's scale is exact by definition.
        assert_eq!(one(Unit::Foot).in_unit(Unit::Metre), Some(Ratio::new(3_048, 10_000)));
        let degrees = |number, unit| Quantity { number: Ratio::from_integer(number), unit };
        assert_eq!(degrees(-40, Unit::Celsius).in_unit(Unit::Fahrenheit), Some(Ratio::from_integer(-40)));
        assert_eq!(degrees(212, Unit::Fahrenheit).in_unit(Unit::Celsius), Some(Ratio::from_integer(100)));
        assert_eq!(degrees(0, Unit::Celsius).in_unit(Unit::Fahrenheit), Some(Ratio::from_integer(32)));
        assert_eq!(degrees(1, Unit::Celsius).in_unit(Unit::Kilopascal), None);
    }

    #[test]
    fn pressures_and_rates_are_rounded_to_a_billionth() {
        // Source: exact by definition, 0.45359237 kg x 9.80665 m/s2 / (25.4 mm)2 and / 25.4 mm.
        let kilopascals = one(Unit::Psi).in_unit(Unit::Kilopascal).unwrap();
        assert_eq!(kilopascals, Ratio::new(6_894_757_293, 1_000_000_000));
        let rate = one(Unit::PoundPerInch).in_unit(Unit::NewtonPerMillimetre).unwrap();
        assert_eq!(rate, Ratio::new(175_126_835, 1_000_000_000));
        assert_eq!(one(Unit::Bar).in_unit(Unit::Kilopascal), Some(Ratio::from_integer(100)));
    }

    #[test]
    fn pressures_and_rates_are_those_of_the_tables() {
        // Source: NIST SP 811 (2008), App. B. Standing: psi to Pa read second-hand; psi and bar computed
        // with the library pint; lbf/in to N/m computed with it too, its row from memory.
        let rows = [
            (Unit::Psi, Unit::Kilopascal, 6.894_757, 5e-7),
            (Unit::Psi, Unit::Bar, 0.068_947_57, 1e-6),
            (Unit::Bar, Unit::Psi, 14.503_77, 1e-6),
            (Unit::PoundPerInch, Unit::NewtonPerMillimetre, 0.175_126_8, 1e-6),
        ];
        for (from, to, expected, tolerance) in rows {
            let found = one(from).float_in(to).unwrap();
            assert!((found / expected - 1.0).abs() <= tolerance, "{from:?} in {to:?}: {found}");
        }
    }

    #[test]
    fn a_number_too_large_is_no_conversion_and_no_overflow() {
        let huge = Quantity { number: Ratio::from_integer(i128::MAX), unit: Unit::Psi };
        assert_eq!(huge.in_unit(Unit::Bar), None);
        let million = Quantity { number: Ratio::new(999_999_999_999, 1_000_000), unit: Unit::Psi };
        assert!(million.in_unit(Unit::Bar).is_some());
    }
}
