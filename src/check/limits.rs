//! Owns how much of each thing there can be on a mountain bike and how much is usual, unit by unit. It
//! knows nothing of how a file says it.
//!
//! Every figure is common practice without a source: wide enough for a child's bike, a fat tyre, a
//! downhill fork and a heavy rider. None is a limit of a part: that is printed on the part, and whoever
//! is inside these is not therefore safe.

use num_rational::Ratio;

use crate::physics::{Kind, Number, Quantity, Unit};
use crate::vocabulary::{Knob, Part};

/// The figures of one unit, in thousandths: below the first and above the last it cannot be, below the
/// second and above the third it is unusual; and how it could be written. The same limit is a round
/// figure in each unit, so those of two units differ by a few percent.
pub(super) type Figures = (Unit, [i32; 4], &'static str);

/// How much of one thing there can be.
#[derive(Debug)]
pub(super) struct Limits {
    /// What it is: `a tyre's pressure`.
    pub what: &'static str,
    /// What to do where it is doubtful, as an order. The part's own limit comes first.
    pub look: &'static str,
    /// Why too much is doubtful, with `{}` for the most that is usual.
    pub above: &'static str,
    /// Why too little is, with `{}` for the least that is usual.
    pub below: &'static str,
    /// Those of a unit that is not listed are those of the first, converted.
    pub figures: &'static [Figures],
}

/// How a number lies outside.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Outside {
    /// It cannot be; otherwise it is unusual.
    pub never: bool,
    pub above: bool,
    /// The most or least that is usual.
    pub usual: Quantity,
}

impl Limits {
    /// How a quantity lies outside; `None` where it is usual, or has a unit that these limits do not
    /// speak of.
    pub fn outside(&self, quantity: Quantity) -> Option<Outside> {
        let (unit, figures, _) = self.row(quantity.unit)?;
        let number = quantity.in_unit(*unit)?;
        let [least, low, high, most] = figures.map(thousandths);
        let outside = |never, above, usual| {
            Some(Outside { never, above, usual: Quantity { number: usual, unit: *unit } })
        };
        match number {
            number if number < least => outside(true, false, low),
            number if number > most => outside(true, true, high),
            number if number < low => outside(false, false, low),
            number if number > high => outside(false, true, high),
            _ => None,
        }
    }

    /// The figures of a unit, or of the first unit of its kind.
    pub fn row(&self, unit: Unit) -> Option<&'static Figures> {
        let same_kind = |row: &&Figures| row.0.kind() == unit.kind();
        self.figures.iter().find(|row| row.0 == unit).or_else(|| self.figures.iter().find(same_kind))
    }
}

fn thousandths(figure: i32) -> Number {
    Ratio::new(i128::from(figure), 1000)
}

const READ_PART: &str = "read the limit printed on the part";
const READ_SPRING: &str = "read the rate printed on the spring";
const COUNT: &str = "close it gently and count out to fully open";

static TYRE: Limits = Limits {
    what: "a tyre's pressure",
    look: "read the limits printed on the tyre and the rim",
    above: "a mountain-bike tyre is rarely above {}",
    below: "only a fat tyre is ridden below {}",
    figures: &[
        (Unit::Bar, [200, 700, 3_000, 6_000], "1.4 to 2.2 bar"),
        (Unit::Psi, [3_000, 10_000, 44_000, 87_000], "20 to 32 psi"),
        (Unit::Kilopascal, [20_000, 70_000, 300_000, 600_000], "140 to 220 kPa"),
    ],
};

static FORK_AIR: Limits = Limits {
    what: "a fork's air pressure",
    look: READ_PART,
    above: "a fork is rarely above {}",
    below: "an air spring is rarely below {}",
    figures: &[
        (Unit::Psi, [10_000, 20_000, 250_000, 400_000], "44 to 120 psi"),
        (Unit::Bar, [700, 1_400, 17_000, 28_000], "3 to 8 bar"),
        (Unit::Kilopascal, [70_000, 140_000, 1_700_000, 2_800_000], "300 to 800 kPa"),
    ],
};

/// Shocks are pumped to 350 psi, some with a large chamber further.
static SHOCK_AIR: Limits = Limits {
    what: "a shock's air pressure",
    look: READ_PART,
    above: "a shock is rarely above {}",
    below: "an air spring is rarely below {}",
    figures: &[
        (Unit::Psi, [10_000, 20_000, 350_000, 500_000], "80 to 250 psi"),
        (Unit::Bar, [700, 1_400, 24_000, 35_000], "6 to 17 bar"),
        (Unit::Kilopascal, [70_000, 140_000, 2_400_000, 3_500_000], "600 to 1700 kPa"),
    ],
};

/// Of an adjuster of the owner's own: another chamber, an insert in a tyre.
static OWN_PRESSURE: Limits = Limits {
    what: "a pressure on a bike",
    look: READ_PART,
    above: "a chamber is rarely above {}",
    below: "no chamber is below {}",
    figures: &[
        (Unit::Psi, [0, 0, 350_000, 500_000], "50 to 150 psi"),
        (Unit::Bar, [0, 0, 24_000, 35_000], "4 to 10 bar"),
        (Unit::Kilopascal, [0, 0, 2_400_000, 3_500_000], "400 to 1000 kPa"),
    ],
};

static FORK_COIL: Limits = Limits {
    what: "the rate of a fork's coil",
    look: READ_SPRING,
    above: "a fork's coil is rarely above {}",
    below: "a fork's coil is rarely below {}",
    figures: &[
        (Unit::PoundPerInch, [5_000, 11_000, 100_000, 600_000], "45 or 50 or 55 lb/in"),
        (Unit::NewtonPerMillimetre, [900, 2_000, 17_500, 105_000], "8 or 9 or 10 N/mm"),
    ],
};

static SHOCK_COIL: Limits = Limits {
    what: "the rate of a shock's coil",
    look: READ_SPRING,
    above: "a shock's coil is rarely above {}",
    below: "a shock's coil is rarely below {}",
    figures: &[
        (Unit::PoundPerInch, [75_000, 150_000, 800_000, 1_200_000], "400 or 450 or 500 lb/in"),
        (Unit::NewtonPerMillimetre, [13_000, 26_000, 140_000, 210_000], "70 or 80 or 90 N/mm"),
    ],
};

static PRELOAD: Limits = Limits {
    what: "a spring's preload",
    look: "read in the manual how much is allowed",
    above: "a spring rarely has more than {}",
    below: "no spring has less than {}",
    figures: &[
        (Unit::Millimetre, [0, 0, 10_000, 30_000], "0 to 4 mm"),
        (Unit::Turns, [0, 0, 6_000, 20_000], "0 to 2 turns"),
        (Unit::Clicks, [0, 0, 40_000, 100_000], "0 to 12 clicks"),
    ],
};

static SPACERS: Limits = Limits {
    what: "the spacers of one spring",
    look: "read in the manual how many fit",
    above: "a spring rarely takes more than {}",
    below: "no spring takes fewer than {}",
    figures: &[(Unit::Spacers, [0, 0, 8_000, 15_000], "0 to 4 spacers")],
};

static KNOB: Limits = Limits {
    what: "the range of a knob",
    look: COUNT,
    above: "a knob rarely has more than {}",
    below: "no knob has fewer than {}",
    figures: &[
        (Unit::Clicks, [0, 0, 40_000, 100_000], "0 to 18 clicks"),
        (Unit::Turns, [0, 0, 6_000, 20_000], "0 to 3 turns"),
    ],
};

/// Downhill forks have 200 mm and some more; a fork for a wheel of 16 inches has some 40.
pub(super) static TRAVEL: Limits = Limits {
    what: "a fork's travel",
    look: "read the travel in the fork's manual",
    above: "a fork rarely has more than {}",
    below: "a fork rarely has less than {}",
    figures: &[(Unit::Millimetre, [20_000, 40_000, 230_000, 320_000], "150 mm")],
};

/// A stroke above 120 mm is the travel of the wheel or the length of the shock.
pub(super) static STROKE: Limits = Limits {
    what: "a shock's stroke",
    look: "read the shock's own stroke, the smaller figure printed on it",
    above: "a shock rarely has more than {}",
    below: "a shock rarely has less than {}",
    figures: &[(Unit::Millimetre, [15_000, 25_000, 90_000, 120_000], "55 mm")],
};

pub(super) static MEASURED_TO: Limits = Limits {
    what: "how finely you can read sag",
    look: "write the smallest step you can read on your ruler",
    above: "you can nearly always read a ruler to {} or finer",
    below: "a ruler is rarely read to less than {}",
    figures: &[(Unit::Millimetre, [10, 100, 5_000, 10_000], "0.5 mm")],
};

pub(super) static WEIGHT: Limits = Limits {
    what: "a rider's weight",
    look: "write the weight in full kit",
    above: "a rider is rarely heavier than {}",
    below: "a rider is rarely below {}",
    figures: &[
        (Unit::Kilogram, [15_000, 20_000, 150_000, 250_000], "78 kg"),
        (Unit::Pound, [33_000, 44_000, 330_000, 550_000], "172 lb"),
    ],
};

pub(super) static LAP: Limits = Limits {
    what: "one lap",
    look: "write how long one lap takes",
    above: "after more than {} the lap before is hard to remember",
    below: "a lap rarely takes less than {}",
    figures: &[
        (Unit::Minute, [200, 500, 30_000, 180_000], "4 min"),
        (Unit::Second, [12_000, 30_000, 1_800_000, 10_800_000], "240 s"),
    ],
};

pub(super) static GOOD_FOR: Limits = Limits {
    what: "how long laps stay comparable",
    look: "write how long you can pause before you ride the best setting so far again",
    above: "after more than {} the ground, the tyres and the rider have changed",
    below: "a pause is rarely shorter than {}",
    figures: &[
        (Unit::Hour, [83, 250, 8_000, 24_000], "2 h"),
        (Unit::Minute, [5_000, 15_000, 480_000, 1_440_000], "120 min"),
    ],
};

pub(super) static CHANGE: Limits = Limits {
    what: "one change",
    look: "write how long one change takes",
    above: "a change rarely takes more than {}",
    below: "a change rarely takes less than {}",
    figures: &[
        (Unit::Minute, [50, 200, 30_000, 60_000], "2 min"),
        (Unit::Second, [3_000, 12_000, 1_800_000, 3_600_000], "90 s"),
    ],
};

pub(super) static PLAN_TIME: Limits = Limits {
    what: "the length of a whole session",
    look: "write how long the session may take",
    above: "a day's riding is rarely longer than {}",
    below: "a session is rarely shorter than {}",
    figures: &[
        (Unit::Hour, [100, 250, 12_000, 100_000], "3 h"),
        (Unit::Minute, [6_000, 15_000, 720_000, 6_000_000], "180 min"),
    ],
};

/// The most is refused as a whole number already.
pub(super) static PLAN_LAPS: Limits = Limits {
    what: "the laps in a whole session",
    look: "write how many laps you want to ride",
    above: "a session rarely has more than {}",
    below: "a session has at least {}",
    figures: &[(Unit::Laps, [1_000, 1_000, 100_000, 1_000_000], "30 laps")],
};

pub(super) static LAPS_AT_ONCE: Limits = Limits {
    what: "laps you don't compare",
    look: "write how many laps you ride before the next change",
    above: "warm-ups rarely take more than {}",
    below: "a warm-up has at least {}",
    figures: &[(Unit::Laps, [1_000, 1_000, 20_000, 1_000_000], "2 laps")],
};

pub(super) static FORK_SAG: Limits = Limits {
    what: "a fork's sag",
    look: "check the figure in the manual",
    above: "a fork rarely has more than {}",
    below: "a fork rarely has less than {}",
    figures: &[(Unit::Percent, [5_000, 10_000, 35_000, 50_000], "15 to 25 %")],
};

pub(super) static SHOCK_SAG: Limits = Limits {
    what: "a shock's sag",
    look: "check the figure in the manual",
    above: "a shock rarely has more than {}",
    below: "a shock rarely has less than {}",
    figures: &[(Unit::Percent, [5_000, 15_000, 40_000, 50_000], "25 to 35 %")],
};

/// One change of a tyre's pressure.
static TYRE_STEP: Limits = Limits {
    what: "one step of a tyre's pressure",
    look: "take a smaller step",
    above: "one change is rarely more than {}",
    below: "a step can't be less than {}",
    figures: &[
        (Unit::Bar, [0, 0, 350, 6_000], "0.1 bar"),
        (Unit::Psi, [0, 0, 5_000, 87_000], "2 psi"),
        (Unit::Kilopascal, [0, 0, 35_000, 600_000], "10 kPa"),
    ],
};

/// One change of an air spring's pressure.
static AIR_STEP: Limits = Limits {
    what: "one step of an air spring",
    look: "take a smaller step",
    above: "one change is rarely more than {}",
    below: "a step can't be less than {}",
    figures: &[
        (Unit::Psi, [0, 0, 20_000, 500_000], "4 psi"),
        (Unit::Bar, [0, 0, 1_400, 35_000], "0.3 bar"),
        (Unit::Kilopascal, [0, 0, 140_000, 3_500_000], "30 kPa"),
    ],
};

/// The limits of an adjuster's positions, by part; `None` where nothing is known of them.
pub(super) fn of_knob(part: Part, knob: &Knob, kind: Kind) -> Option<&'static Limits> {
    let limits = match (knob, kind) {
        (Knob::Pressure, Kind::Pressure) => &TYRE,
        (Knob::Air, Kind::Pressure) if part == Part::Shock => &SHOCK_AIR,
        (Knob::Air, Kind::Pressure) => &FORK_AIR,
        (Knob::Own(_), Kind::Pressure) => &OWN_PRESSURE,
        (Knob::Coil, Kind::SpringRate) if part == Part::Shock => &SHOCK_COIL,
        (Knob::Coil, Kind::SpringRate) => &FORK_COIL,
        (Knob::Preload, Kind::Length | Kind::Turns | Kind::Clicks) => &PRELOAD,
        (Knob::Spacers, Kind::Spacers) => &SPACERS,
        (_, Kind::Clicks | Kind::Turns) => &KNOB,
        _ => return None,
    };
    Some(limits)
}

/// The limits of one change of an adjuster.
pub(super) fn of_step(knob: &Knob) -> Option<&'static Limits> {
    match knob {
        Knob::Pressure => Some(&TYRE_STEP),
        Knob::Air => Some(&AIR_STEP),
        Knob::Coil
        | Knob::Preload
        | Knob::Spacers
        | Knob::Rebound
        | Knob::LowRebound
        | Knob::HighRebound
        | Knob::Compression
        | Knob::LowCompression
        | Knob::HighCompression
        | Knob::Lockout
        | Knob::Own(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A limit is one limit in every unit, but for its rounding to a figure that is spoken.
    #[test]
    fn the_figures_of_every_unit_are_the_same_limits() {
        let all = [
            &TYRE,
            &FORK_AIR,
            &SHOCK_AIR,
            &OWN_PRESSURE,
            &FORK_COIL,
            &SHOCK_COIL,
            &WEIGHT,
            &LAP,
            &CHANGE,
            &PLAN_TIME,
            &GOOD_FOR,
            &TYRE_STEP,
            &AIR_STEP,
        ];
        for limits in all {
            let (first, figures, _) = limits.figures[0];
            assert!(figures.is_sorted(), "{}", limits.what);
            for (unit, others, _) in &limits.figures[1..] {
                for (figure, other) in figures.iter().zip(others) {
                    let number = thousandths(*other);
                    let here = Quantity { number, unit: *unit }.float_in(first).unwrap();
                    let apart = (here - f64::from(*figure) / 1000.0).abs();
                    assert!(apart <= 0.05 * here, "{}: {figure} and {other}", limits.what);
                }
            }
        }
    }
}
