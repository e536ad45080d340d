//! Owns the rates of coil springs: of the spring itself and as felt at the wheel. It knows nothing of
//! sag and of what rate a rider wants.

use super::number::positive;

/// A helical spring of round wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Helix {
    /// The diameter of the wire in mm.
    pub wire: f64,
    /// The mean diameter of the coils in mm: the outer one less the wire's.
    pub mean_diameter: f64,
    /// How many coils can move.
    pub active_coils: f64,
    /// The shear modulus of the wire in N/mm2.
    pub shear_modulus: f64,
}

impl Helix {
    /// Its rate in N/mm: G d^4 / (8 D^3 N). `None` unless every value is above 0 and the wire thinner than
    /// the mean diameter. Source: Shigley's Mechanical Engineering Design; see the test.
    #[must_use]
    pub fn rate(self) -> Option<f64> {
        let values = [self.wire, self.mean_diameter, self.active_coils, self.shear_modulus];
        if !values.into_iter().all(positive) || self.wire >= self.mean_diameter {
            return None;
        }
        let cube = self.mean_diameter * self.mean_diameter * self.mean_diameter;
        let square = self.wire * self.wire;
        Some(self.shear_modulus * square * square / (8.0 * cube * self.active_coils))
    }
}

/// The rate at the wheel, in the unit of the spring's rate: rate / ratio^2. `motion_ratio` is how far the
/// wheel moves for each mm of the spring, taken as the same over the whole travel. `None` unless both are
/// above 0. Source: Barton and Fieldhouse, Automotive Chassis Engineering (2018), Eq. 3.33.
#[must_use]
pub fn wheel_rate(rate: f64, motion_ratio: f64) -> Option<f64> {
    (positive(rate) && positive(motion_ratio)).then_some(rate / (motion_ratio * motion_ratio))
}

#[cfg(test)]
mod tests {
    use super::super::{Number, Quantity, Unit};
    use super::*;

    #[test]
    fn the_rate_of_a_spring() {
        // Source: Shigley's Mechanical Engineering Design, 10th edition, Problem 10-3(a): 1.314 N/mm.
        // Standing: read second-hand. Tolerance 5e-4.
        let spring = Helix { wire: 2.5, mean_diameter: 28.5, active_coils: 13.0, shear_modulus: 81.0e3 };
        let rate = spring.rate().unwrap();
        assert!((rate - 1.314).abs() <= 5e-4, "{rate}");
        assert_eq!(Helix { active_coils: 0.0, ..spring }.rate(), None);
        assert_eq!(Helix { wire: 30.0, ..spring }.rate(), None);
    }

    #[test]
    fn the_rate_at_the_wheel() {
        // Source: Barton and Fieldhouse, Automotive Chassis Engineering (2018), Eq. 3.33, its formula read;
        // 550 lbf/in at a ratio of 2.6 worked through it: 14.25 N/mm. Tolerance 1e-3
        // of the value, which is written to two decimals.
        let spring = Quantity { number: Number::from_integer(550), unit: Unit::PoundPerInch };
        let rate = wheel_rate(spring.float_in(Unit::NewtonPerMillimetre).unwrap(), 2.6).unwrap();
        assert!((rate / 14.25 - 1.0).abs() <= 1e-3, "{rate}");
        assert_eq!(wheel_rate(96.0, 0.0), None);
        assert_eq!(wheel_rate(f64::NAN, 2.6), None);
    }
}
