//! Owns what air that is shut in does when it is warmed, carried up a hill or pressed together.
//! It knows nothing of gauges' units, of parts, or of what a pressure ought to be. Floats go through
//! `libm` only.

use super::number::positive;

/// Absolute zero in degrees Celsius, exact by the definition of that scale.
pub const ABSOLUTE_ZERO: f64 = -273.15;

/// Where a gauge is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// The temperature of the air shut in, in degrees Celsius, above absolute zero.
    pub celsius: f64,
    /// The absolute pressure of the air around in kPa, 0 or more.
    pub ambient: f64,
}

/// The absolute pressure of air in a chamber that keeps its size, after it was warmed or cooled from one
/// temperature to another in degrees Celsius. Any one unit of pressure, above 0. `None` for a pressure
/// or temperature that cannot be. The law of the ideal gas; real air of 20 bar at 20 C keeps within
/// 0.6 % of it from -10 to 40 C, and within 1 % from any of these to any other (computed with `CoolProp`).
#[must_use]
pub fn warmed(absolute: f64, from: f64, to: f64) -> Option<f64> {
    (positive(absolute) && is_temperature(from) && is_temperature(to))
        .then(|| absolute * (to - ABSOLUTE_ZERO) / (from - ABSOLUTE_ZERO))
}

/// What a gauge will read in kPa in other surroundings on a chamber that nobody has touched and that
/// keeps its size: g2 = (g1 + p1) T2 / T1 - p2. A gauge reads against the air around, so the result may be
/// below 0. `None` where a value cannot be: an absolute pressure of 0 or less, a temperature at or below
/// absolute zero, or no number.
#[must_use]
pub fn untouched_gauge(gauge: f64, before: Surroundings, after: Surroundings) -> Option<f64> {
    let ambients = [before.ambient, after.ambient];
    if !ambients.iter().all(|ambient| ambient.is_finite() && *ambient >= 0.0) {
        return None;
    }
    warmed(gauge + before.ambient, before.celsius, after.celsius).map(|absolute| absolute - after.ambient)
}

/// Air that is pressed together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compressed {
    /// Its absolute pressure, in the unit that was given.
    pub absolute: f64,
    /// Its temperature in degrees Celsius.
    pub celsius: f64,
}

/// Air after it was pressed into a smaller room so fast that no heat leaves it. The absolute pressure in
/// any one unit and the temperature in degrees Celsius before; `ratio` is the room before over the room
/// after, above 0; `exponent` the ratio of the specific heats, 1 or more (1.40 for air). `None` for values
/// outside of these.
#[must_use]
pub fn compressed(absolute: f64, celsius: f64, ratio: f64, exponent: f64) -> Option<Compressed> {
    let usable = positive(absolute)
        && is_temperature(celsius)
        && positive(ratio)
        && exponent.is_finite()
        && exponent >= 1.0;
    usable.then(|| Compressed {
        absolute: absolute * libm::pow(ratio, exponent),
        celsius: (celsius - ABSOLUTE_ZERO) * libm::pow(ratio, exponent - 1.0) + ABSOLUTE_ZERO,
    })
}

fn is_temperature(celsius: f64) -> bool {
    celsius.is_finite() && celsius > ABSOLUTE_ZERO
}

#[cfg(test)]
mod tests {
    use super::super::{STANDARD_ATMOSPHERE, pascals_at};
    use super::*;

    /// A psi in kPa, by the exact definitions.
    const PSI: f64 = 6.894_757_293_168_361;

    fn at_sea(celsius: f64) -> Surroundings {
        Surroundings { celsius, ambient: STANDARD_ATMOSPHERE }
    }

    fn within(value: f64, expected: f64, tolerance: f64) -> bool {
        (value - expected).abs() <= tolerance
    }

    #[test]
    fn a_sealed_gas_warmed() {
        // Source: OpenStax University Physics vol. 2, Example 2.1, read: 7.00e5 Pa absolute from 18.0 to
        // 35.0 C gives 7.41e5 Pa. Tolerance 0.5 %.
        let found = warmed(7.00e5, 18.0, 35.0).unwrap();
        assert!(within(found, 7.41e5, 0.005 * 7.41e5), "{found}");
        // The same figure taken for a gauge's reading is another, and the tolerance tells them apart.
        let as_gauge = untouched_gauge(700.0, at_sea(18.0), at_sea(35.0)).unwrap() * 1000.0;
        assert!(within(as_gauge, 7.47e5, 500.0), "{as_gauge}");
        assert!(!within(as_gauge, 7.41e5, 0.005 * 7.41e5), "{as_gauge}");
    }

    #[test]
    fn a_gauge_in_the_cold() {
        // Source: OpenStax College Physics, ch. 13, Problem 22, read: 2.50e5 Pa gauge from 35.0 to -40.0 C
        // gives 1.64e5 Pa gauge. Tolerance 500 Pa.
        let found = untouched_gauge(250.0, at_sea(35.0), at_sea(-40.0)).unwrap();
        assert!(within(found, 164.0, 0.5), "{found}");
    }

    #[test]
    fn a_gas_pressed_together_fast() {
        // Source: OpenStax University Physics vol. 2, Example 3.7, read: 1.00e5 Pa, 20 C, 240 to 40 cm3,
        // 1.40 gives 1.23e6 Pa and 600 K (its 328 C for that is a slip). Tolerance 0.5 %.
        let found = compressed(1.00e5, 20.0, 240.0 / 40.0, 1.40).unwrap();
        assert!(within(found.absolute, 1.23e6, 0.005 * 1.23e6), "{found:?}");
        assert!(within(found.celsius - ABSOLUTE_ZERO, 600.0, 0.005 * 600.0), "{found:?}");
    }

    #[test]
    fn colder_and_higher() {
        // Source: the formula worked through apart from this code; no text has it. 80 psi: from 20 to 5 C
        // 75.15 psi; from 0 to 2000 m at the same temperature 83.17 psi.
        let colder = untouched_gauge(80.0 * PSI, at_sea(20.0), at_sea(5.0)).unwrap() / PSI;
        assert!(within(colder, 75.15, 0.005), "{colder}");
        let high = Surroundings { celsius: 20.0, ambient: pascals_at(2000.0).unwrap() / 1000.0 };
        let higher = untouched_gauge(80.0 * PSI, at_sea(20.0), high).unwrap() / PSI;
        assert!(within(higher, 83.17, 0.005), "{higher}");
    }

    #[test]
    fn what_cannot_be_gives_nothing() {
        assert_eq!(warmed(0.0, 20.0, 20.0), None);
        assert_eq!(warmed(100.0, ABSOLUTE_ZERO, 20.0), None);
        assert_eq!(untouched_gauge(-102.0, at_sea(20.0), at_sea(20.0)), None);
        assert_eq!(untouched_gauge(f64::NAN, at_sea(20.0), at_sea(20.0)), None);
        let below_nothing = Surroundings { celsius: 20.0, ambient: -1.0 };
        assert_eq!(untouched_gauge(100.0, at_sea(20.0), below_nothing), None);
        assert_eq!(compressed(100.0, 20.0, 0.0, 1.4), None);
        assert_eq!(compressed(100.0, 20.0, 6.0, 0.9), None);
    }
}
