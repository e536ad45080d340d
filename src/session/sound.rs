//! Owns what becomes of a spring whose sag does not come right: where it is left, whether it can be ridden
//! there, whether its sag follows its setting at all. It sees the readings and what the step says of the spring, nothing else.

use num_traits::Zero;

use crate::physics::{Kind, Number, STANDARD_ATMOSPHERE, coil_rate_for, float};
use crate::plan::Measure;

use super::How;
use super::spring::{Next, Spring, sag_at, tried};
use super::state::{Reading, Short};

/// When two sags at two settings say that a spring does not follow its setting. All are differences of logarithms.
/// No source: drawn so that none of 1,500,000 pairs of readings of simulated sound springs says it, at 0.35 to
/// 2.5 times their right pressure (the model is that of `tests/chambers.rs`).
struct Telling {
    /// From so much firmer on ...
    firmer: f64,
    /// ... the sag is less by at least this share of it.
    share: f64,
    /// So much firmer, a second reading that sags no less either says it alone.
    against: f64,
}

/// Where each sag was read from both sides, so that little friction is left in it.
const READ_TWICE: Telling = Telling { firmer: 0.2, share: 0.6, against: 0.15 };
const READ_ONCE: Telling = Telling { firmer: 0.4, share: 0.5, against: 0.32 };

/// A sag of fewer marks of the ruler than this says too little about how a spring answers.
const FEW_MARKS: i128 = 4;

/// What the sag says where a spring stops the ride.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sign {
    /// All of the travel.
    Bottomed,
    TooMuch,
    TooLittle,
}

impl Sign {
    /// What a sag in mm says that is not right.
    #[must_use]
    pub fn of(measure: &Measure, sag: Number) -> Self {
        if measure.travel.is_some_and(|travel| sag >= travel) {
            Sign::Bottomed
        } else if sag > measure.high {
            Sign::TooMuch
        } else {
            Sign::TooLittle
        }
    }
}

/// Two readings, that of the softer setting first.
fn in_order<'a>(one: &'a Reading, two: &'a Reading) -> (&'a Reading, &'a Reading) {
    if one.at < two.at { (one, two) } else { (two, one) }
}

impl Spring<'_> {
    /// How far the mean at a position is outside the range of sag, in mm.
    fn outside(&self, readings: &[Reading], at: u32) -> Option<Number> {
        let sag = sag_at(readings, at)?;
        Some((sag - self.step.high).max(self.step.low - sag).max(Number::zero()))
    }

    /// Whether some reading that counts sags too far, and whether some sags too little.
    fn sides(&self, readings: &[Reading]) -> (bool, bool) {
        let any = |side| tried(readings).into_iter().any(|at| self.off(readings, at) == Some(side));
        (any(std::cmp::Ordering::Greater), any(std::cmp::Ordering::Less))
    }

    /// Where a spring is left that was not found to be right: at the setting read that comes nearest to the
    /// range of sag, of equals the firmer; where all sag too far at the firmest, where all sag too little at
    /// the softest. `None` where nothing was read.
    pub fn nearest_read(&self, readings: &[Reading]) -> Option<u32> {
        let tried = tried(readings);
        let one_side = |side| tried.iter().all(|at| self.off(readings, *at) == Some(side));
        if one_side(std::cmp::Ordering::Greater) {
            return tried.last().copied();
        }
        if one_side(std::cmp::Ordering::Less) {
            return tried.first().copied();
        }
        let miss = |at: u32| {
            let off = sag_at(readings, at)? - self.step.aim();
            Some((off.max(-off), std::cmp::Reverse(at)))
        };
        tried.iter().filter_map(|at| miss(*at)).min().map(|(_, at)| at.0)
    }

    /// Ends a measurement that did not come right: it settles where the spring can be ridden so, else it stops
    /// the ride.
    pub fn fall_short(&self, readings: &[Reading], at: u32, short: Short) -> Next {
        if short == Short::Unmoved && sag_at(readings, at).is_some() {
            // what was read earlier says nothing of how it is now
            return Next::Stop { at, short };
        }
        let at = self.nearest_read(readings).unwrap_or(at);
        if short != Short::Unmoved && self.is_near(readings, at, short) {
            Next::Settle { at, how: How::StoppedEarly, short: Some(short) }
        } else {
            Next::Stop { at, short }
        }
    }

    /// Whether a spring can be ridden where it is left: outside the range by no more than a reading may be off;
    /// by a tenth of the target where two coils have it between them. The sags of air are scattered by friction:
    /// by a third of the target where its right pressure is between two that were read, or where six readings
    /// have come no nearer.
    fn is_near(&self, readings: &[Reading], at: u32, short: Short) -> bool {
        let Some(outside) = self.outside(readings, at) else { return false };
        let coil = self.dial.scale().unit().is_some_and(|unit| unit.kind() == Kind::SpringRate);
        let between = self.sides(readings) == (true, true);
        let within = |part: i128| outside <= self.step.aim() / Number::from_integer(part);
        outside <= self.step.measured_to
            || match short {
                Short::NothingBetween if coil => within(10),
                Short::Readings if !coil => within(3),
                Short::NothingBetween => between && within(3),
                Short::Readings | Short::FirmEnd | Short::SoftEnd | Short::Unmoved | Short::Ended => {
                    between && within(10)
                }
            }
    }

    /// The absolute pressure in kPa, or the rate, of a position: what its force goes with.
    fn strength(&self, at: u32) -> Option<f64> {
        if self.dial.scale().unit()?.kind() == Kind::Pressure {
            return self.gauge(at).map(|gauge| gauge + STANDARD_ATMOSPHERE);
        }
        self.rate(at)
    }

    /// Whether the newest sag shows that the spring does not follow its setting: much firmer than another time,
    /// and hardly less sag, or twice no less.
    pub fn is_unmoved(&self, readings: &[Reading]) -> bool {
        let Some((last, earlier)) = readings.split_last() else { return false };
        let again = earlier.last().filter(|before| before.at == last.at);
        earlier.iter().any(|other| {
            let Some((one, two)) = self.strength(last.at).zip(self.strength(other.at)) else { return false };
            let firmer = libm::fabs(libm::log(one / two));
            let telling = if last.twice && other.twice { READ_TWICE } else { READ_ONCE };
            let against = |reading: &Reading| {
                let (soft, firm) = in_order(other, reading);
                soft.sag <= firm.sag
            };
            self.says_enough(other)
                && self.says_enough(last)
                && ((other.counts
                    && firmer >= telling.firmer
                    && self.fall(other, last) < firmer * telling.share)
                    || (firmer >= telling.against
                        && again.is_some_and(|before| against(before) && against(last))))
        })
    }

    /// Whether a sag says more than the way: it is not all of the travel, nor less than can be read.
    fn can_be_read(&self, reading: &Reading) -> bool {
        reading.sag >= self.step.measured_to && self.step.travel.is_none_or(|travel| reading.sag < travel)
    }

    /// Whether a sag says how a spring answers: it is some marks of the ruler, and not near the end of the
    /// travel, where a spring hardly gives.
    fn says_enough(&self, reading: &Reading) -> bool {
        let near_the_end =
            |travel: Number| reading.sag * Number::from_integer(10) > travel * Number::from_integer(9);
        reading.sag >= self.step.measured_to * Number::from_integer(FEW_MARKS)
            && !self.step.travel.is_some_and(near_the_end)
    }

    /// By how much the sag of the firmer of two settings is less, as a logarithm, at the most that the ruler
    /// allows.
    fn fall(&self, one: &Reading, two: &Reading) -> f64 {
        let (soft, firm) = in_order(one, two);
        let figures = float(soft.sag).zip(float(firm.sag)).zip(float(self.step.measured_to));
        figures.map_or(f64::INFINITY, |((soft, firm), error)| {
            libm::log((soft + error / 2.0) / (firm - error / 2.0))
        })
    }

    /// The rate that a coil's sag at a position asks for, in the unit of its scale; `None` for air, or where
    /// the sag says no more than the way.
    pub fn rate_asked_for(&self, readings: &[Reading], at: u32) -> Option<f64> {
        let sag = sag_at(readings, at)?;
        let tells = self.can_be_read(&Reading { at, sag, counts: true, twice: false });
        let coil = self.dial.scale().unit()?.kind() == Kind::SpringRate;
        let (preload, aim) = (float(self.preload)?, float(self.step.aim())?);
        coil_rate_for(self.rate(at)?, float(sag)?, preload, aim, preload).filter(|_| tells && coil)
    }
}
