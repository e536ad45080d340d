//! Owns what a measured sag says about the spring: the next air pressure, the coil that would fit.
//! It knows nothing of ranges, steps and positions: whoever asks rounds and clamps. Floats go through
//! `libm` only, so that every machine proposes the same.

use super::STANDARD_ATMOSPHERE;
use super::number::positive;

/// The absolute pressure of a proposal is at most this many times that of the last reading, and at
/// least the last divided by it.
pub const LARGEST_RATIO: f64 = 1.35;

/// What the slope of an air spring is taken to be before anything is measured, and how far it may
/// well be off. Chosen for the model, without a source, as is the error of a pressure below.
const USUAL_SLOPE: f64 = 0.7;
const SLOPE_DEVIATION: f64 = 0.15;
const LEAST_SLOPE: f64 = 0.15;
const LARGEST_SLOPE: f64 = 1.5;
/// The share by which a pressure is misread.
const PRESSURE_ERROR: f64 = 0.006;

/// Sag measured at one pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SagReading {
    /// What the gauge showed in kPa, finite and above a vacuum.
    pub gauge: f64,
    /// The sag in mm, finite and above 0.
    pub sag: f64,
}

impl SagReading {
    /// The absolute pressure in kPa.
    fn absolute(self) -> f64 {
        self.gauge + STANDARD_ATMOSPHERE
    }

    fn usable(self) -> bool {
        self.absolute().is_finite() && self.absolute() > 0.0 && positive(self.sag)
    }
}

/// The line through readings on which a spring that is filled through one valve lies near its aim:
/// ln P = b - slope ln s, with the absolute pressure P and the sag s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Secant {
    /// By how many per cent the pressure goes down for one per cent of sag, from 0.15 to 1.5.
    pub slope: f64,
    mean_log_sag: f64,
    mean_log_pressure: f64,
}

impl Secant {
    /// The absolute pressure in kPa that gives this sag in mm.
    #[must_use]
    pub fn absolute_for(self, sag: f64) -> f64 {
        libm::exp(self.mean_log_pressure - self.slope * (libm::log(sag) - self.mean_log_sag))
    }
}

/// The line through these readings, each weighted by how well it can be read, with a ridge that keeps
/// the slope near the usual one until readings lie far enough apart. `measured_to` is the reading error
/// of sag in mm. `None` where there is no reading, where one is unusable, or where `measured_to` is not
/// above 0. The model is our own.
#[must_use]
pub fn secant(readings: &[SagReading], measured_to: f64) -> Option<Secant> {
    if readings.is_empty() || !positive(measured_to) || !readings.iter().all(|reading| reading.usable()) {
        return None;
    }
    let points: Vec<Point> = readings.iter().map(|reading| Point::of(*reading, measured_to)).collect();
    let total: f64 = points.iter().map(|point| point.weight).sum();
    let mean_x = points.iter().map(|point| point.weight * point.x).sum::<f64>() / total;
    let mean_y = points.iter().map(|point| point.weight * point.y).sum::<f64>() / total;
    let ridge = 1.0 / (SLOPE_DEVIATION * SLOPE_DEVIATION);
    let (mut above, mut below) = (USUAL_SLOPE * ridge, ridge);
    for point in points {
        above += point.weight * (point.x - mean_x) * (point.y - mean_y);
        below += point.weight * (point.x - mean_x) * (point.x - mean_x);
    }
    let slope = (above / below).clamp(LEAST_SLOPE, LARGEST_SLOPE);
    Some(Secant { slope, mean_log_sag: -mean_x, mean_log_pressure: mean_y })
}

/// One reading on logarithmic scales: x = -ln s, y = ln P, and its weight.
struct Point {
    x: f64,
    y: f64,
    weight: f64,
}

impl Point {
    fn of(reading: SagReading, measured_to: f64) -> Self {
        // a reading to e is off by e / sqrt(3) in the mean; the slope turns that into pressure
        let error = USUAL_SLOPE * measured_to / (libm::sqrt(3.0) * reading.sag);
        let weight = 1.0 / (error * error + PRESSURE_ERROR * PRESSURE_ERROR);
        Point { x: -libm::log(reading.sag), y: libm::log(reading.absolute()), weight }
    }
}

/// The gauge pressure in kPa that should give the sag `aim`, from all readings in their order, the
/// last one as the spring is now; limited to [`LARGEST_RATIO`] from the last reading's absolute pressure.
/// `aim` and `measured_to`, the reading error, in mm. `None` where [`secant`] gives none or the aim is not
/// above 0. Readings of which more air gives more sag, and sags at an end of the travel, are the asker's
/// to sort out before.
#[must_use]
pub fn next_gauge_pressure(readings: &[SagReading], aim: f64, measured_to: f64) -> Option<f64> {
    let last = readings.last()?.absolute();
    if !positive(aim) {
        return None;
    }
    let absolute = secant(readings, measured_to)?.absolute_for(aim);
    Some(absolute.clamp(last / LARGEST_RATIO, last * LARGEST_RATIO) - STANDARD_ATMOSPHERE)
}

/// The gauge pressure in kPa one limited step above this one: [`LARGEST_RATIO`] of the absolute pressure, for a sag
/// that says no more than the direction. It can be above the range of the adjuster, which is the asker's.
#[must_use]
pub fn step_up(gauge: f64) -> f64 {
    (gauge + STANDARD_ATMOSPHERE) * LARGEST_RATIO - STANDARD_ATMOSPHERE
}

/// The gauge pressure in kPa one limited step below this one, as [`step_up`] goes above it. It can be below 0.
#[must_use]
pub fn step_down(gauge: f64) -> f64 {
    (gauge + STANDARD_ATMOSPHERE) / LARGEST_RATIO - STANDARD_ATMOSPHERE
}

/// The rate of the coil that gives the sag `aim` with the preload `preload_then`, from the coil in
/// place, its sag and its preload. Rates in any one unit, lengths in mm at the spring. `None` unless
/// rate, sag and aim are above 0 and both preloads are 0 or more. Hooke's law: the load stays the same.
#[must_use]
pub fn coil_rate_for(rate: f64, sag: f64, preload: f64, aim: f64, preload_then: f64) -> Option<f64> {
    (positive(aim) && not_negative(preload_then))
        .then_some(())
        .and_then(|()| load(rate, sag, preload))
        .map(|load| load / (aim + preload_then))
}

/// The sag in mm that a coil of the rate `rate_then` gives with the preload `preload_then`, from the
/// coil in place; 0 where the preload alone carries the load. Units and `None` as in [`coil_rate_for`].
#[must_use]
pub fn coil_sag(
    rate_now: f64,
    sag_now: f64,
    preload_now: f64,
    rate_then: f64,
    preload_then: f64,
) -> Option<f64> {
    (positive(rate_then) && not_negative(preload_then))
        .then_some(())
        .and_then(|()| load(rate_now, sag_now, preload_now))
        .map(|load| (load / rate_then - preload_then).max(0.0))
}

/// What a coil carries, as rate times mm.
fn load(rate: f64, sag: f64, preload: f64) -> Option<f64> {
    (positive(rate) && positive(sag) && not_negative(preload)).then_some(rate * (sag + preload))
}

fn not_negative(value: f64) -> bool {
    value.is_finite() && value >= 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A psi in kPa, by the exact definitions.
    const PSI: f64 = 6.894_757_293_168_361;

    fn psi(readings: &[(f64, f64)]) -> Vec<SagReading> {
        readings.iter().map(|(gauge, sag)| SagReading { gauge: gauge * PSI, sag: *sag }).collect()
    }

    fn near(value: f64, expected: f64, tolerance: f64) {
        assert!((value - expected).abs() <= tolerance, "{value} is not {expected} within {tolerance}");
    }

    // Source: the model's formula worked through apart from this code, in psi; our own, no text has it.
    #[test]
    fn the_worked_pressures() {
        let next = |readings: &[(f64, f64)]| next_gauge_pressure(&psi(readings), 32.0, 1.0).unwrap() / PSI;
        near(next(&[(70.0, 40.0)]), 84.32, 0.005);
        near(next(&[(60.0, 50.0), (86.0, 34.0)]), 90.66, 0.005);
        let line = secant(&psi(&[(60.0, 50.0), (86.0, 34.0)]), 1.0).unwrap();
        near(line.slope, 0.7687, 0.00005);
        near((line.absolute_for(32.0) - STANDARD_ATMOSPHERE) / PSI, 90.66, 0.005);
    }

    #[test]
    fn a_proposal_goes_no_further_than_the_limit() {
        let from = 70.0 * PSI;
        for (sag, limited) in [(140.0, step_up(from)), (2.0, step_down(from))] {
            let next = next_gauge_pressure(&psi(&[(70.0, sag)]), 32.0, 1.0).unwrap();
            near(next, limited, 1e-9);
        }
        near(step_up(0.0), 0.35 * STANDARD_ATMOSPHERE, 1e-9);
    }

    #[test]
    fn the_slope_stays_within_its_bounds() {
        let slope = |second| secant(&psi(&[(60.0, 50.0), second]), 0.01).unwrap().slope;
        near(slope((300.0, 40.0)), LARGEST_SLOPE, 1e-12);
        near(slope((60.1, 10.0)), LEAST_SLOPE, 1e-12);
    }

    #[test]
    fn what_cannot_be_reckoned_with_gives_nothing() {
        let one = [SagReading { gauge: 500.0, sag: 40.0 }];
        assert_eq!(next_gauge_pressure(&[], 32.0, 1.0), None);
        for (aim, measured_to) in [(0.0, 1.0), (f64::NAN, 1.0), (32.0, 0.0), (32.0, f64::INFINITY)] {
            assert_eq!(next_gauge_pressure(&one, aim, measured_to), None, "{aim} {measured_to}");
        }
        for (gauge, sag) in [(500.0, 0.0), (500.0, f64::NAN), (-102.0, 40.0), (f64::INFINITY, 40.0)] {
            let bad = [one[0], SagReading { gauge, sag }];
            assert_eq!(next_gauge_pressure(&bad, 32.0, 1.0), None, "{gauge} {sag}");
        }
    }

    // Source: Hooke's law worked through by hand: 450 x 22 / 18.1, and 450 x 22 / 550 - 1 of 57.
    #[test]
    fn the_worked_coil() {
        near(coil_rate_for(450.0, 21.0, 1.0, 17.1, 1.0).unwrap(), 547.0, 0.05);
        near(coil_sag(450.0, 21.0, 1.0, 550.0, 1.0).unwrap() / 57.0, 0.2982, 0.00005);
        assert_eq!(coil_sag(450.0, 2.0, 0.0, 900.0, 5.0), Some(0.0));
        assert_eq!(coil_rate_for(450.0, 0.0, 1.0, 17.1, 1.0), None);
        assert_eq!(coil_rate_for(450.0, 21.0, 1.0, 0.0, 1.0), None);
        assert_eq!(coil_sag(450.0, 21.0, 1.0, 550.0, -1.0), None);
    }
}
