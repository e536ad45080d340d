//! Simulated air springs with two chambers and friction, each measured through the real session.
//!
//! The model and every range in it are ours; no text has them, and no spring was weighed for them.
//! A chamber is pressed together slowly, at one temperature, so its absolute pressure goes with one
//! over its volume. Both chambers are filled through one valve and stand at the fill pressure at full
//! extension. Friction lets a spring rest anywhere between the two ends of its band. Let down slowly it
//! stops at the end from which it comes; bounced a little before, somewhere in that half of the band;
//! settled without care, anywhere in it.
//!
//! Drawn for each spring, evenly:
//!
//! | | fork | shock |
//! | --- | --- | --- |
//! | how far it moves | 120 to 180 mm | 50 to 75 mm |
//! | piston, across | 30 to 36 mm | 42 to 50 mm |
//! | negative area by positive | 0.86 to 0.92 | 0.75 to 0.92 |
//! | pressed together at full travel, times | 2.2 to 3.2 | 2.2 to 3.5 |
//! | length of the negative chamber | 12 to 40 mm | 6 to 20 mm |
//! | friction, half its band | 15 to 45 N | 20 to 60 N |
//! | rider 50 to 110 kg, bike 10 kg: its share | 0.38 to 0.46, by 0.91 for the angle | 0.54 to 0.62, by 2.3 to 3 for the lever |
//! | sag aimed at | 17 to 23 % | 26 to 32 % |
//! | window, whole per cents from three times what the ruler tells | to 10 | to 10 |
//! | ruler | 1 mm | 0.5 mm |
//! | start, of the right pressure | 0.75 to 1.25 | 0.75 to 1.25 |
//!
//! A spring whose right pressure is not well inside the range of its file is drawn again. None of these
//! ranges was changed after the first results. `CLICKWISE_SPRINGS=20000` draws more of each kind than a
//! test's 4,000, and `--nocapture` shows what is found.

use std::collections::BTreeMap;
use std::sync::Arc;

use clickwise::physics::{STANDARD_ATMOSPHERE, Unit, float, nearest};
use clickwise::plan::{Plan, Reading};
use clickwise::session::{Answer, Ask, Fit, How, Session, Stated};
use rand_chacha::ChaCha8Rng;
use rand_core::{Rng, SeedableRng};

/// A psi in kPa.
const PSI: f64 = 6.894_757;
const GRAVITY: f64 = 9.806_65;
/// Measurements within which the sag should be right.
const MOST: usize = 3;

pub struct Lot(pub ChaCha8Rng);

impl Lot {
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = f64::from(self.0.next_u32()) / (f64::from(u32::MAX) + 1.0);
        low + (high - low) * share
    }

    /// A multiple of `by`, both ends among them.
    pub fn stepped(&mut self, low: f64, high: f64, by: f64) -> f64 {
        low + by * libm::floor(self.between(0.0, (high - low) / by + 1.0))
    }
}

/// Two chambers under a load. Lengths in mm, areas in mm2, forces in N along the spring.
pub struct Spring {
    pub fork: bool,
    pub travel: f64,
    positive: f64,
    negative: f64,
    positive_volume: f64,
    negative_volume: f64,
    load: f64,
    friction: f64,
}

impl Spring {
    pub fn drawn(lot: &mut Lot, fork: bool) -> Self {
        let travel = if fork { lot.stepped(120.0, 180.0, 10.0) } else { lot.stepped(50.0, 75.0, 5.0) };
        let across = if fork { lot.between(30.0, 36.0) } else { lot.between(42.0, 50.0) };
        let positive = std::f64::consts::PI / 4.0 * across * across;
        let negative = positive * lot.between(if fork { 0.86 } else { 0.75 }, 0.92);
        let pressed = lot.between(2.2, if fork { 3.2 } else { 3.5 });
        let length = if fork { lot.between(12.0, 40.0) } else { lot.between(6.0, 20.0) };
        let mass = lot.between(50.0, 110.0) + 10.0;
        let share = if fork {
            lot.between(0.38, 0.46) * 0.91
        } else {
            lot.between(0.54, 0.62) * lot.between(2.3, 3.0)
        };
        Spring {
            fork,
            travel,
            positive,
            negative,
            positive_volume: positive * travel * pressed / (pressed - 1.0),
            negative_volume: negative * length,
            load: mass * GRAVITY * share,
            friction: if fork { lot.between(15.0, 45.0) } else { lot.between(20.0, 60.0) },
        }
    }

    /// What an absolute fill pressure of one N/mm2 gives at a place, before the air outside.
    fn per_pressure(&self, at: f64) -> f64 {
        let positive = self.positive_volume / (self.positive_volume - self.positive * at) * self.positive;
        let negative = self.negative_volume / (self.negative_volume + self.negative * at) * self.negative;
        positive - negative
    }

    /// What the air outside pushes.
    fn outside(&self) -> f64 {
        STANDARD_ATMOSPHERE / 1000.0 * (self.positive - self.negative)
    }

    /// Where it rests at a gauge pressure in psi, `side` of half its friction band deeper.
    pub fn rests(&self, psi: f64, side: f64) -> f64 {
        let pressure = (psi * PSI + STANDARD_ATMOSPHERE) / 1000.0;
        let carried = self.load + side * self.friction;
        let (mut low, mut high) = (0.0, self.travel);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if pressure * self.per_pressure(middle) - self.outside() < carried {
                low = middle;
            } else {
                high = middle;
            }
        }
        f64::midpoint(low, high)
    }

    /// The gauge pressure in psi at which it rests there without friction.
    pub fn right(&self, sag: f64) -> f64 {
        ((self.load + self.outside()) / self.per_pressure(sag) * 1000.0 - STANDARD_ATMOSPHERE) / PSI
    }

    pub fn ruler(&self) -> f64 {
        if self.fork { 1.0 } else { 0.5 }
    }

    /// What is read on the ruler.
    pub fn read(&self, psi: f64, side: f64) -> f64 {
        libm::round(self.rests(psi, side) / self.ruler()) * self.ruler()
    }
}

/// A spring with what is to be done with it.
pub struct Task {
    pub spring: Spring,
    /// The window in whole per cents of the travel.
    pub low: f64,
    pub high: f64,
    pub start: f64,
    /// The range of its file, in psi.
    pub range: (f64, f64),
}

/// The range of a file, in psi.
pub fn range(fork: bool) -> (f64, f64) {
    if fork { (30.0, 200.0) } else { (50.0, 350.0) }
}

impl Task {
    pub fn drawn(lot: &mut Lot, fork: bool) -> Self {
        loop {
            let spring = Spring::drawn(lot, fork);
            let least = libm::ceil(3.0 * spring.ruler() * 100.0 / spring.travel);
            let (width, middle) = (
                lot.stepped(least, 10.0, 1.0),
                if fork { lot.between(17.0, 23.0) } else { lot.between(26.0, 32.0) },
            );
            let low = libm::round(middle - width / 2.0);
            let right = spring.right(spring.travel * (low + width / 2.0) / 100.0);
            let (least, most) = range(fork);
            if (least / 0.7..most * 0.7).contains(&right) {
                let start = libm::round(right * lot.between(0.75, 1.25));
                return Task { spring, low, high: low + width, start, range: (least, most) };
            }
        }
    }

    /// Whether a sag lies in the window.
    fn right(&self, sag: f64) -> bool {
        let share = sag / self.spring.travel * 100.0;
        (self.low..=self.high).contains(&share)
    }

    fn narrow(&self) -> bool {
        (self.high - self.low) * self.spring.travel / 100.0 < 6.0 * self.spring.ruler()
    }

    pub fn text(&self) -> String {
        let (least, most) = self.range;
        let (part, entry) = if self.spring.fork { ("fork", "travel") } else { ("shock", "stroke") };
        format!(
            "bike \"Chambers\"\npart {part}\n  {entry} {} mm\n  air {least} to {most} psi, step 1 psi, sag {} to {} %\nsteps\n  measure every spring\n",
            self.spring.travel, self.low, self.high
        )
    }
}

/// How a spring is read.
#[derive(Clone, Copy, PartialEq)]
pub enum Way {
    /// Twice, let down slowly from each side.
    Slowly,
    /// Twice, from each side, bounced a little.
    Roughly,
    /// Once, settled without care.
    Once,
}

/// The sags that are read at a pressure.
pub fn readings(task: &Task, way: Way, psi: f64, lot: &mut Lot) -> Vec<f64> {
    let sides = match way {
        Way::Slowly => vec![1.0, -1.0],
        Way::Roughly => vec![lot.between(0.0, 1.0), lot.between(-1.0, 0.0)],
        Way::Once => vec![lot.between(-1.0, 1.0)],
    };
    sides.into_iter().map(|side| task.spring.read(psi, side)).collect()
}

/// What came of a spring.
struct Came {
    /// After how many measurements its sag was read to be right, where it was.
    after: Option<usize>,
    /// Its sag without friction lies in the window where it was left.
    truly: bool,
    /// The window is narrower than six times what the ruler tells.
    narrow: bool,
}

pub fn told(number: f64, unit: Unit) -> Stated {
    Stated::Value(nearest(number).unwrap(), Some(unit))
}

/// Where the session wants the spring, in psi.
pub fn wanted(session: &Session, fit: &Fit) -> f64 {
    match session.scale(fit.adjuster).unwrap().reading(fit.to) {
        Reading::Value(number, Unit::Psi) => float(number).unwrap(),
        other => panic!("{other:?}"),
    }
}

/// The real session, from the start to its end.
fn by_session(task: &Task, plan: &Arc<Plan>, way: Way, lot: &mut Lot) -> Came {
    let mut session = Session::begin(Arc::clone(plan), 0);
    let mut measurements = 0;
    while let Some(ask) = session.ask() {
        let answer = match &ask {
            Ask::InNow(_) => Answer::Told(told(task.start, Unit::Psi)),
            Ask::Sag { fit, .. } => {
                measurements += 1;
                let mut sags = readings(task, way, wanted(&session, fit), lot).into_iter();
                let mut next = || sags.next().map(|sag| told(sag, Unit::Millimetre));
                match (next(), next()) {
                    (Some(first), Some(second)) => Answer::Two(first, second),
                    (Some(first), None) => Answer::Told(first),
                    (None, _) => panic!(),
                }
            }
            Ask::Fit { .. } => Answer::Done,
            other => panic!("{other:?}"),
        };
        session = session.answer(&answer).unwrap();
    }
    let settled = session.so_far().adjusters.remove(0);
    let fit = Fit { adjuster: settled.adjuster, from: None, to: settled.at };
    let truly = task.right(task.spring.rests(wanted(&session, &fit), 0.0));
    Came { after: (settled.how == How::Measured).then_some(measurements), truly, narrow: task.narrow() }
}

/// Without a model: 5 psi in a fork and 10 in a shock toward the window, read twice and slowly.
fn by_fixed_steps(task: &Task, lot: &mut Lot) -> Came {
    let step = if task.spring.fork { 5.0 } else { 10.0 };
    let (mut psi, mut after) = (task.start, None);
    for measurement in 1..=MOST {
        let sags = readings(task, Way::Slowly, psi, lot);
        let sag = sags.iter().sum::<f64>() / 2.0;
        if task.right(sag) {
            after = Some(measurement);
            break;
        }
        if measurement < MOST {
            psi += if sag / task.spring.travel * 100.0 > task.high { step } else { -step };
        }
    }
    Came { after, truly: task.right(task.spring.rests(psi, 0.0)), narrow: task.narrow() }
}

/// Shares of many springs.
#[derive(Debug)]
struct Shares {
    /// Read to be right within three measurements.
    three: f64,
    /// The same where the window is narrow.
    three_narrow: f64,
    /// Read to be right at all.
    ever: f64,
    /// Right without friction, of those read to be right.
    truly: f64,
}

fn shares(came: &[Came]) -> Shares {
    #[allow(clippy::cast_precision_loss, reason = "a few thousand springs")]
    let share = |part: usize, of: usize| part as f64 / of as f64;
    let in_three = |came: &&Came| came.after.is_some_and(|after| after <= MOST);
    let narrow: Vec<&Came> = came.iter().filter(|came| came.narrow).collect();
    let ever: Vec<&Came> = came.iter().filter(|came| came.after.is_some()).collect();
    Shares {
        three: share(came.iter().filter(in_three).count(), came.len()),
        three_narrow: share(narrow.iter().copied().filter(in_three).count(), narrow.len()),
        ever: share(ever.len(), came.len()),
        truly: share(ever.iter().filter(|came| came.truly).count(), ever.len()),
    }
}

/// The same springs measured in four ways: slowly, roughly, once, by fixed steps.
#[allow(clippy::print_stdout, reason = "shown where a test is asked to show it")]
fn measured(fork: bool) -> [Shares; 4] {
    let springs = std::env::var("CLICKWISE_SPRINGS").map_or(4000, |count| count.parse().unwrap());
    let mut lot = Lot(ChaCha8Rng::seed_from_u64(if fork { 1 } else { 2 }));
    let mut plans: BTreeMap<String, Arc<Plan>> = BTreeMap::new();
    let mut came: [Vec<Came>; 4] = [const { Vec::new() }; 4];
    for _ in 0..springs {
        let task = Task::drawn(&mut lot, fork);
        let plan = plans.entry(task.text()).or_insert_with_key(|text| {
            let mut sources = clickwise::problem::Sources::default();
            sources.add("set.tune", text.as_str());
            let checked = clickwise::check::check(&sources);
            assert!(checked.problems.is_empty(), "{:?}\n{text}", checked.problems);
            Arc::new(checked.plan.unwrap())
        });
        for (came, way) in came.iter_mut().zip([Way::Slowly, Way::Roughly, Way::Once]) {
            came.push(by_session(&task, plan, way, &mut lot));
        }
        came[3].push(by_fixed_steps(&task, &mut lot));
    }
    let found = came.map(|came| shares(&came));
    println!("fork {fork}: {found:#?}");
    found
}

/// Whether a share is what 20,000 springs gave, within what another few thousand may differ by.
#[track_caller]
fn near(share: f64, of_many: f64, margin: f64) {
    assert!((share - of_many).abs() <= margin, "{share} is not {of_many} within {margin}");
}

// 20,000 forks: let down slowly all are right within three measurements, bounced 0.982, read once 0.887,
// by fixed steps 0.902; with narrow windows 1, 0.934, 0.702, 0.750. Of those that are read to be right
// 0.964, 0.924, 0.783 and 0.951 would be so without friction.
#[test]
fn forks_are_right_within_three_measurements() {
    let [slowly, roughly, once, fixed] = measured(true);
    assert!(slowly.three >= 0.998 && slowly.ever >= 0.999, "{slowly:?}");
    near(roughly.three, 0.982, 0.01);
    near(roughly.three_narrow, 0.934, 0.035);
    near(once.three, 0.887, 0.02);
    near(once.three_narrow, 0.702, 0.06);
    near(fixed.three, 0.902, 0.02);
    near(fixed.three_narrow, 0.750, 0.06);
    near(slowly.truly, 0.964, 0.012);
    near(roughly.truly, 0.924, 0.017);
    near(once.truly, 0.783, 0.027);
}

// 20,000 shocks, in the same order: 1, 0.999, 0.972, 0.853; with narrow windows 1, 0.996, 0.919, 0.687;
// and right without friction 0.974, 0.959, 0.901, 0.959.
#[test]
fn shocks_are_right_within_three_measurements() {
    let [slowly, roughly, once, fixed] = measured(false);
    assert!(slowly.three >= 0.998 && slowly.ever >= 0.999, "{slowly:?}");
    assert!(roughly.three >= 0.996 && roughly.ever >= 0.999, "{roughly:?}");
    near(once.three, 0.972, 0.011);
    near(once.three_narrow, 0.919, 0.035);
    near(fixed.three, 0.853, 0.023);
    near(fixed.three_narrow, 0.687, 0.06);
    near(slowly.truly, 0.974, 0.011);
    near(once.truly, 0.901, 0.02);
}

/// Two figures that are spoken of in words only: how much of a change of air goes into the other chamber when a
/// spring is cycled, and what 10 cm3 less air in a fork does to its sag and to its force at the end.
#[test]
#[allow(clippy::print_stdout, reason = "shown where a test is asked to show it")]
fn air_goes_to_the_other_chamber_and_spacers_hardly_change_the_sag() {
    let sorted = |mut figures: Vec<f64>| {
        figures.sort_by(f64::total_cmp);
        [figures[figures.len() / 20], figures[figures.len() / 2], figures[figures.len() * 19 / 20]]
    };
    for fork in [true, false] {
        let mut lot = Lot(ChaCha8Rng::seed_from_u64(3));
        let springs: Vec<Spring> = (0..4000).map(|_| Spring::drawn(&mut lot, fork)).collect();
        let share =
            |spring: &Spring| spring.negative_volume / (spring.negative_volume + spring.positive_volume);
        let shares = sorted(springs.iter().map(share).collect());
        println!("fork {fork}: shares {shares:?}");
        assert!(shares[0] > 0.04 && shares[2] < 0.17, "{shares:?}");
        if !fork {
            continue;
        }
        let (mut sags, mut ends) = (Vec::new(), Vec::new());
        for spring in springs {
            let psi = spring.right(spring.travel * 0.2);
            let end = |spring: &Spring| {
                (psi * PSI + STANDARD_ATMOSPHERE) / 1000.0 * spring.per_pressure(spring.travel)
                    - spring.outside()
            };
            let (sag, force) = (spring.rests(psi, 0.0), end(&spring));
            let filled = Spring { positive_volume: spring.positive_volume - 10_000.0, ..spring };
            sags.push(sag - filled.rests(psi, 0.0));
            ends.push(end(&filled) / force - 1.0);
        }
        let (sags, ends) = (sorted(sags), sorted(ends));
        println!("sag {sags:?} mm less, end force {ends:?} more");
        assert!(sags[0] > 0.4 && sags[2] < 1.0, "{sags:?}");
        assert!((0.08..0.13).contains(&ends[1]), "{ends:?}");
    }
}
