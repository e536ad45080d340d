//! Owns the words for a gauge that nobody has touched. It knows nothing of how its reading is reckoned.

use crate::physics::{Number, Unit, decimal};
use crate::vocabulary::unit_word;

use super::wrap::wrapped;

/// What an untouched gauge will read, in one line: psi to a tenth, bar to a hundredth, kPa whole.
#[must_use]
pub fn untouched(reading: Number, unit: Unit) -> String {
    let parts = Number::from_integer(match unit {
        Unit::Psi => 10,
        Unit::Bar => 100,
        _ => 1,
    });
    let rounded = (reading * parts).round() / parts;
    let word = unit_word(unit);
    if reading < Number::from_integer(0) {
        return format!("The gauge will read 0 {word}: the air pressure outside is higher than inside.");
    }
    format!("If you leave the air alone, the gauge will read {} {word}.", decimal(rounded))
}

/// What is said beside such a reading; common practice, no source.
#[must_use]
pub fn untouched_cautions(width: usize) -> Vec<String> {
    const CAUTIONS: [&str; 4] = [
        "Worked out for sealed air that keeps its volume, in average weather. The weather shifts it \
            slightly.",
        "This is not a pressure to set. For that, measure sag again.",
        "Don't let air out just because the gauge reads a little higher at altitude.",
        "Stay within the limit printed on the part: clickwise doesn't know it.",
    ];
    CAUTIONS.iter().flat_map(|caution| wrapped(&format!("- {caution}"), width, "", "  ")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::nearest;

    #[test]
    fn readings_are_rounded_as_gauges_are_read() {
        let said = |reading, unit| untouched(nearest(reading).unwrap(), unit);
        assert_eq!(said(75.154_565, Unit::Psi), "If you leave the air alone, the gauge will read 75.2 psi.");
        assert_eq!(said(5.0, Unit::Bar), "If you leave the air alone, the gauge will read 5 bar.");
        assert_eq!(said(5.126, Unit::Bar), "If you leave the air alone, the gauge will read 5.13 bar.");
        assert_eq!(said(551.4, Unit::Kilopascal), "If you leave the air alone, the gauge will read 551 kPa.");
        assert!(said(-0.01, Unit::Psi).contains("will read 0 psi:"));
    }
}
