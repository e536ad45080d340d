//! Owns the pressure of the air around at a height. It knows nothing of what is filled with air.
//! Floats go through `libm` only.

/// The pressure of the standard atmosphere at the level of the sea in kPa, exact by definition (tenth
/// general conference on weights and measures, 1954).
pub const STANDARD_ATMOSPHERE: f64 = 101.325;

// The constants of the US Standard Atmosphere 1976 for its lowest layer; from the source, not compared
// with the page, but the tests compare what comes of them with another implementation.
/// Metres.
const EARTH_RADIUS: f64 = 6_356_766.0;
/// Kelvin at the level of the sea.
const TEMPERATURE: f64 = 288.15;
/// Kelvin lost for each metre of geopotential height.
const LAPSE: f64 = 0.0065;
/// m/s2.
const GRAVITY: f64 = 9.806_65;
/// kg/mol.
const MOLAR_MASS: f64 = 0.028_964_4;
/// J/(K mol), as the source has it; the value has since been measured better.
const GAS_CONSTANT: f64 = 8.314_32;

/// The lowest height for which a pressure is given, metres above the sea.
pub const LOWEST_HEIGHT: f64 = -500.0;
/// The largest height for which a pressure is given, metres above the sea; the layer ends soon above it.
pub const LARGEST_HEIGHT: f64 = 11_000.0;

/// The pressure in Pa at a geometric height in metres above the sea, in the US Standard Atmosphere 1976;
/// `None` outside -500 to 11,000 m. The weather moves the true pressure by some per cent.
#[must_use]
pub fn pascals_at(height: f64) -> Option<f64> {
    if !(LOWEST_HEIGHT..=LARGEST_HEIGHT).contains(&height) {
        return None;
    }
    let geopotential = EARTH_RADIUS * height / (EARTH_RADIUS + height);
    let ratio = (TEMPERATURE - LAPSE * geopotential) / TEMPERATURE;
    let exponent = GRAVITY * MOLAR_MASS / (GAS_CONSTANT * LAPSE);
    Some(STANDARD_ATMOSPHERE * 1000.0 * libm::pow(ratio, exponent))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_of_the_standard_atmosphere() {
        // Source: US Standard Atmosphere 1976, Table I, geometric heights. Standing: computed with the
        // libraries ambiance and fluids; the table from memory, not compared with the page.
        let table = [
            (0.0, 101_325.0),
            (500.0, 95_461.0),
            (1000.0, 89_876.0),
            (1500.0, 84_560.0),
            (2000.0, 79_501.0),
            (3000.0, 70_121.0),
            (4000.0, 61_660.0),
        ];
        for (height, pressure) in table {
            let found = pascals_at(height).unwrap();
            assert!((found - pressure).abs() <= 1.0, "{height} m: {found} Pa, not {pressure}");
        }
    }

    #[test]
    fn no_pressure_outside_the_layer() {
        for height in [-501.0, 11_001.0, f64::NAN, f64::INFINITY] {
            assert_eq!(pascals_at(height), None, "{height}");
        }
        assert!(pascals_at(LOWEST_HEIGHT).is_some() && pascals_at(LARGEST_HEIGHT).is_some());
    }
}
