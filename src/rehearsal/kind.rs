//! Owns the kinds of simulated riders. They are models: no human data is behind them.

use crate::chance::Lot;

/// A kind of simulated rider.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Feels one to three clicks, with some noise, alike on both sides of the best.
    Steady,
    /// Also answers at random now and then, grows quicker with every lap, forgets, feels less clearly
    /// far from the best, and one side more than the other.
    Uneven,
    /// Feels only four to eight clicks.
    Coarse,
    /// Always says that it felt the same.
    Same,
    /// Answers at random.
    Random,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Kind; 5] = [Kind::Steady, Kind::Uneven, Kind::Coarse, Kind::Same, Kind::Random];

    /// Its name in a report for machines.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Kind::Steady => "steady",
            Kind::Uneven => "uneven",
            Kind::Coarse => "coarse",
            Kind::Same => "same",
            Kind::Random => "random",
        }
    }

    /// What such a rider is like, in a few words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Kind::Steady => "notices 1 to 3 clicks",
            Kind::Uneven => {
                "notices as much, but sometimes answers wrongly, forgets, and notices one direction more"
            }
            Kind::Coarse => "notices only 4 to 8 clicks",
            Kind::Same => "always says \"same\"",
            Kind::Random => "answers at random",
        }
    }
}

/// What one rider is like, whatever the adjuster.
#[derive(Debug, Clone, Copy)]
pub(super) struct Temper {
    /// Quality falls off with the square of the distance from the best, not with the distance.
    pub squared: bool,
    /// The deviation of what is felt, in noticeable differences.
    pub noise: f64,
    /// The share of answers given at random.
    pub lapse: f64,
    /// How much better each later lap seems.
    pub drift: f64,
    /// How much noise the laps between two compared ones add.
    pub forgets: f64,
    /// How much noise the distance from the best adds.
    pub web: f64,
    /// How much more one side is felt than the other.
    pub lopsided: f64,
    /// The noise is one of each lap, not of each comparison.
    pub noise_of_lap: bool,
}

impl Temper {
    pub fn draw(kind: Kind, lot: &mut Lot) -> Self {
        let squared = lot.share() >= 0.5;
        let uneven = kind == Kind::Uneven;
        let if_uneven = |amount: f64| if uneven { amount } else { 0.0 };
        Temper {
            squared,
            noise: lot.between(0.35, 1.0),
            lapse: if_uneven(0.05),
            drift: if_uneven(0.1),
            forgets: if_uneven(0.2),
            web: if_uneven(0.15),
            lopsided: if uneven { libm::sqrt(1.5) } else { 1.0 },
            noise_of_lap: uneven,
        }
    }
}

/// What one rider feels of one adjuster: where the best lies, in positions, and how many positions make
/// a just noticeable difference below and above it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Taste {
    pub best: f64,
    pub notice_below: f64,
    pub notice_above: f64,
}

impl Taste {
    /// Drawn for an adjuster of `top` places above the first that starts at `start` and whose places lie
    /// `apart` positions apart: mostly about the start, with long tails, sometimes anywhere.
    pub fn draw(kind: Kind, temper: &Temper, (top, start, apart): (f64, f64, f64), lot: &mut Lot) -> Self {
        let best = if lot.share() < 0.7 {
            (start + (0.12 * top + 0.4 * apart) * lot.student_three()).clamp(0.0, top)
        } else {
            lot.between(0.0, top)
        };
        let notice = apart * if kind == Kind::Coarse { lot.between(4.0, 8.0) } else { lot.between(1.0, 3.0) };
        let (mut below, mut above) = (notice / temper.lopsided, notice * temper.lopsided);
        if temper.lopsided > 1.0 && lot.share() < 0.5 {
            (below, above) = (above, below);
        }
        Taste { best, notice_below: below, notice_above: above }
    }

    /// How far a position lies from the best, in noticeable differences; below it negative.
    pub fn off(&self, position: f64) -> f64 {
        let above = position - self.best;
        above / if above < 0.0 { self.notice_below } else { self.notice_above }
    }

    /// How far two positions lie from the best together, in noticeable differences of both sides.
    pub fn far(&self, one: f64, other: f64) -> f64 {
        ((one - self.best).abs() + (other - self.best).abs()) / (self.notice_below + self.notice_above)
    }
}
