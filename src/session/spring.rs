//! Owns the judgement of sag readings: whether the spring is right, which pressure or coil comes next
//! and why, when nothing more can be found. It knows nothing of questions or answers.

use crate::physics::{
    Kind, Number, Quantity, SagReading, Unit, coil_sag, float, nearest, next_gauge_pressure, step_down,
    step_up,
};
use crate::plan::{Dial, Measure, Reading as ScaleReading};
use crate::search::Direction;

use super::How;
use super::state::{Reading, Short, Why};

/// What the newest reading comes to beside the earlier ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weighed {
    Fits,
    /// It contradicts an earlier one and is set aside until it is read again.
    Doubted,
    /// It stands by itself, so the earlier ones that it contradicts are set aside.
    Outweighs,
}

/// What comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    Read {
        at: u32,
        why: Why,
    },
    Settle {
        at: u32,
        how: How,
        short: Option<Short>,
    },
    /// The spring is not right, so the ride stops here.
    Stop {
        at: u32,
        short: Short,
    },
}

/// The mean of the readings at a position that count, in mm; `None` where there is none.
pub(super) fn sag_at(readings: &[Reading], at: u32) -> Option<Number> {
    let sags: Vec<Number> = readings
        .iter()
        .filter(|reading| reading.counts && reading.at == at)
        .map(|reading| reading.sag)
        .collect();
    let count = i128::try_from(sags.len()).ok().filter(|count| *count > 0)?;
    Some(sags.iter().sum::<Number>() / Number::from_integer(count))
}

/// The positions with readings that count, from the lowest, each once.
pub(super) fn tried(readings: &[Reading]) -> Vec<u32> {
    let mut tried: Vec<u32> =
        readings.iter().filter(|reading| reading.counts).map(|reading| reading.at).collect();
    tried.sort_unstable();
    tried.dedup();
    tried
}

/// Marks what cannot be: more spring with more sag. The first time the newest reading is set aside
/// and asked for again; where it stands by itself, what it contradicts is set aside.
pub(super) fn weigh(readings: &mut [Reading]) -> Weighed {
    let Some((last, earlier)) = readings.split_last_mut() else { return Weighed::Fits };
    let against = |reading: &&mut Reading| {
        reading.counts
            && ((reading.at < last.at && reading.sag < last.sag)
                || (reading.at > last.at && reading.sag > last.sag))
    };
    if !earlier.iter_mut().any(|reading| against(&reading)) {
        return Weighed::Fits;
    }
    let doubted = earlier.last().is_some_and(|reading| reading.at == last.at && !reading.counts);
    if !doubted {
        last.counts = false;
        return Weighed::Doubted;
    }
    earlier.iter_mut().filter(against).for_each(|reading| reading.counts = false);
    if let Some(before) = earlier.last_mut() {
        before.counts = true;
    }
    Weighed::Outweighs
}

/// How a spring is not right.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Off {
    TooSoft,
    TooFirm,
}

impl Off {
    /// The gauge pressure in kPa one limited step the other way.
    fn step(self, gauge: f64) -> f64 {
        match self {
            Off::TooSoft => step_up(gauge),
            Off::TooFirm => step_down(gauge),
        }
    }
}

/// A spring with what was read on it.
pub(super) struct Spring<'a> {
    pub step: &'a Measure,
    pub dial: &'a Dial,
    /// The preload in mm, the same for all readings; 0 where the bike file has none.
    pub preload: Number,
}

impl Spring<'_> {
    /// Which side of the window the mean at a position lies: above where it sags too far.
    pub(super) fn off(&self, readings: &[Reading], at: u32) -> Option<std::cmp::Ordering> {
        let sag = sag_at(readings, at)?;
        Some(if sag > self.step.high {
            std::cmp::Ordering::Greater
        } else if sag < self.step.low {
            std::cmp::Ordering::Less
        } else {
            std::cmp::Ordering::Equal
        })
    }

    /// What comes after these readings, the newest of which was weighed; `at` is where the spring stands.
    pub fn next(&self, readings: &[Reading], at: u32) -> Next {
        let Some(last) = readings.last() else { return Next::Read { at, why: Why::First } };
        let left = readings.len() < Measure::MOST_READINGS;
        if !last.counts && left {
            return Next::Read { at, why: Why::Contradiction };
        }
        if self.is_unmoved(readings) {
            return self.fall_short(readings, at, Short::Unmoved);
        }
        match self.off(readings, at) {
            Some(std::cmp::Ordering::Equal) => Next::Settle { at, how: How::Measured, short: None },
            Some(std::cmp::Ordering::Greater) if left => self.change(readings, at, Off::TooSoft),
            Some(std::cmp::Ordering::Less) if left => self.change(readings, at, Off::TooFirm),
            _ => self.fall_short(readings, at, Short::Readings),
        }
    }

    /// The next setting where the spring at `at` is off. It never goes the wrong
    /// way, never leaves the range, and stays between what is known to be too soft and too firm.
    fn change(&self, readings: &[Reading], at: u32, spring: Off) -> Next {
        let top = self.dial.scale().top();
        let off = |position: &u32| self.off(readings, *position);
        let tried = || readings.iter().filter(|reading| reading.counts).map(|reading| reading.at);
        let soft = tried().filter(|position| off(position) == Some(std::cmp::Ordering::Greater)).max();
        let firm = tried().filter(|position| off(position) == Some(std::cmp::Ordering::Less)).min();
        let (low, high) = (soft.map_or(0, |soft| soft.saturating_add(1)), firm.map_or(top + 1, |firm| firm));
        let short = match (spring, at) {
            (Off::TooSoft, at) if at >= top => Some(Short::FirmEnd),
            (Off::TooFirm, 0) => Some(Short::SoftEnd),
            _ if low >= high => Some(Short::NothingBetween),
            _ => None,
        };
        // what lies beyond a setting known to be too soft or too firm is known as well
        let wished = self.wished(readings, at, spring).unwrap_or(at);
        let wished = wished.max(soft.unwrap_or(0)).min(firm.unwrap_or(top));
        let reads = tried().filter(|position| *position == wished).count();
        if short != Some(Short::FirmEnd) && short != Some(Short::SoftEnd) && reads == 1 {
            return Next::Read { at: wished, why: Why::Again };
        }
        // a coil obeys its law, so where the model wishes for none but those read twice, none is better
        let coil = self.dial.scale().unit().is_some_and(|unit| unit.kind() == Kind::SpringRate);
        let none_better = (coil && reads > 1).then_some(Short::NothingBetween);
        if let Some(short) = short.or(none_better) {
            return self.fall_short(readings, at, short);
        }
        let why = match spring {
            Off::TooSoft => Why::TooSoft,
            Off::TooFirm => Why::TooFirm,
        };
        Next::Read { at: wished.clamp(low, high - 1), why }
    }

    /// The position that the model wishes for, not yet held against what is known.
    fn wished(&self, readings: &[Reading], at: u32, spring: Off) -> Option<u32> {
        let sag = sag_at(readings, at)?;
        let censored = sag < self.step.measured_to || self.step.travel.is_some_and(|travel| sag >= travel);
        match (self.dial.scale().unit()?.kind(), spring) {
            (Kind::Pressure, _) if censored => self.pressure_in(spring.step(self.gauge(at)?)),
            (Kind::Pressure, _) => self.pressure(readings, at, spring),
            (Kind::SpringRate, Off::TooSoft) if censored => Some(at + 1),
            (Kind::SpringRate, Off::TooFirm) if censored => Some(at.saturating_sub(1)),
            (Kind::SpringRate, _) => self.coil(at, sag),
            _ => None,
        }
    }

    fn pressure(&self, readings: &[Reading], at: u32, spring: Off) -> Option<u32> {
        let usable = |sag: &Number| {
            *sag >= self.step.measured_to && self.step.travel.is_none_or(|travel| *sag < travel)
        };
        // one point for each setting: two sags of one pressure say nothing of what pressure does
        let mut tried = tried(readings);
        // the spring as it is now stands last
        tried.sort_by_key(|position| *position == at);
        let points: Vec<SagReading> = tried
            .into_iter()
            .filter_map(|position| Some((position, sag_at(readings, position).filter(usable)?)))
            .filter_map(|(position, sag)| Some(SagReading { gauge: self.gauge(position)?, sag: float(sag)? }))
            .collect();
        let gauge = match next_gauge_pressure(&points, float(self.step.aim())?, float(self.step.measured_to)?)
        {
            Some(gauge) => gauge,
            None => spring.step(self.gauge(at)?),
        };
        self.pressure_in(gauge)
    }

    /// The position nearest to a gauge pressure in kPa.
    fn pressure_in(&self, gauge: f64) -> Option<u32> {
        let unit = self.dial.scale().unit()?;
        let wanted = Quantity { number: nearest(gauge)?, unit: Unit::Kilopascal }.in_unit(unit)?;
        Some(self.dial.scale().nearest(wanted, Direction::Down))
    }

    /// The gauge pressure of a position in kPa.
    pub(super) fn gauge(&self, at: u32) -> Option<f64> {
        match self.dial.scale().reading(at) {
            ScaleReading::Value(number, unit) => Quantity { number, unit }.float_in(Unit::Kilopascal),
            ScaleReading::Name(_) => None,
        }
    }

    /// The coil whose sag should come nearest to the aim; of equals the softer.
    fn coil(&self, at: u32, sag: Number) -> Option<u32> {
        let rate = |position: u32| self.rate(position);
        let (now, sag, aim, preload) =
            (rate(at)?, float(sag)?, float(self.step.aim())?, float(self.preload)?);
        let mut best: Option<(f64, u32)> = None;
        for position in 0..=self.dial.scale().top() {
            let predicted = coil_sag(now, sag, preload, rate(position)?, preload)?;
            let miss = libm::fabs(predicted - aim);
            if best.is_none_or(|(least, _)| miss < least) {
                best = Some((miss, position));
            }
        }
        best.map(|(_, position)| position)
    }

    /// The rate of a coil's position, in the unit of its scale.
    pub(super) fn rate(&self, at: u32) -> Option<f64> {
        match self.dial.scale().reading(at) {
            ScaleReading::Value(number, _) => float(number),
            ScaleReading::Name(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Plan, Setup, Step};

    fn plan(line: &str) -> Plan {
        let mut sources = crate::problem::Sources::default();
        let part = format!("bike \"B\"\npart fork\n travel 160 mm\n {line}");
        sources.add("set.tune", format!("{part}\nsteps\n measure every spring\n"));
        crate::check::check(&sources).plan.unwrap()
    }

    /// What comes after sags in mm, each at a number of the spring's own.
    fn after(line: &str, sags: &[(i128, i128)]) -> Next {
        let plan = plan(line);
        let (Step::Measure(step), Setup::Known(dial)) =
            (&plan.steps()[0], &plan.bike().get(plan.bike().ids().next().unwrap()).setup)
        else {
            panic!("{line}")
        };
        let whole = Number::from_integer;
        let mut readings = Vec::new();
        for &(number, sag) in sags {
            let at = dial.scale().position(whole(number)).unwrap();
            readings.push(Reading { at, sag: whole(sag), counts: true, twice: false });
            weigh(&mut readings);
        }
        let at = readings.last().unwrap().at;
        Spring { step, dial, preload: whole(0) }.next(&readings, at)
    }

    fn read(at: u32, why: Why) -> Next {
        Next::Read { at, why }
    }

    #[test]
    fn nothing_is_read_again_beyond_what_is_known_to_be_wrong() {
        // the line wishes for 70 psi, though 71 is too soft already
        assert_eq!(after(AIR, &[(70, 34), (71, 34), (72, 20)]), read(61, Why::Again));
        // the last reading alone wishes for the first coil, though the second is too soft already
        assert_eq!(after(COILS, &[(450, 36), (500, 36), (550, 29)]), read(1, Why::Again));
    }

    #[test]
    fn no_coil_is_fitted_that_must_be_worse() {
        // 32 mm is aimed at; 500 lb/in would give 29.7
        let coils = "coil 450 or 500 lb/in, start 450 lb/in, sag 19.5 to 20.5 %";
        assert_eq!(after(coils, &[(450, 33)]), read(0, Why::Again));
        let none = Next::Settle { at: 0, how: How::StoppedEarly, short: Some(Short::NothingBetween) };
        assert_eq!(after(coils, &[(450, 33), (450, 33)]), none);
    }

    /// 32 mm is aimed at, 30.4 to 33.6 are right; two coils that are off by as much either way, less than a tenth of
    /// that beyond what is right, leave it at the firmer.
    #[test]
    fn of_two_that_are_as_near_the_firmer_is_ridden() {
        let coils = "coil 450 or 500 lb/in, start 450 lb/in, sag 19 to 21 %";
        let left = |at| Next::Settle { at, how: How::StoppedEarly, short: Some(Short::NothingBetween) };
        assert_eq!(after(coils, &[(450, 36), (500, 28), (450, 36), (500, 28)]), left(1));
        assert_eq!(after(coils, &[(500, 28), (450, 36), (500, 28), (450, 36)]), left(1));
    }

    /// Two pressures next to each other with the target between their sags: ridden where one of them comes within
    /// a third of it, and a stop where neither does.
    #[test]
    fn air_with_its_target_between_two_settings_is_ridden_only_near_it() {
        let air = "air 70 to 71 psi, start 70 psi, sag 19 to 21 %";
        let twice = |soft: i128, firm: i128| after(air, &[(70, soft), (71, firm), (70, soft), (71, firm)]);
        assert!(matches!(twice(38, 29), Next::Settle { at: 1, .. }), "{:?}", twice(38, 29));
        assert!(matches!(twice(60, 10), Next::Stop { .. }), "{:?}", twice(60, 10));
    }

    const COILS: &str = "coil 450 or 500 or 550 lb/in, start 450 lb/in, sag 19 to 21 %";
    const AIR: &str = "air 10 to 200 psi, start 70 psi, sag 19 to 21 %";

    #[test]
    fn two_sags_of_one_pressure_say_nothing_of_what_pressure_does() {
        assert_eq!(after(AIR, &[(70, 40)]), read(74, Why::TooSoft));
        assert_eq!(after(AIR, &[(70, 40), (70, 40)]), read(74, Why::TooSoft));
        assert_eq!(after(AIR, &[(70, 35), (70, 45)]), read(74, Why::TooSoft));
    }
}
