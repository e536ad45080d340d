//! Owns one simulated rider: a hidden best setting for each adjuster, a just noticeable difference,
//! and noise. A model, without human data behind it.

use std::collections::BTreeMap;

use num_traits::Zero;

use crate::chance::Lot;
use crate::physics::{Kind, Number, Quantity, STANDARD_ATMOSPHERE, Unit, float, nearest};
use crate::plan::{AdjusterId, Condition, Dial, Reading, Scale, Setup};
use crate::search::Verdict;
use crate::session::{Answer, Ask, Felt, Fit, Session, Told};

/// The positions that a simulated rider counts on an adjuster that is not counted yet.
const COUNTED: i128 = 12;

/// A rider who answers by feel.
#[derive(Debug, Clone)]
pub struct Rider {
    lot: Lot,
    /// How sharply quality falls off: 1 or 2.
    power: f64,
    /// Positions to a just noticeable difference.
    notice: f64,
    /// The deviation of what is felt.
    noise: f64,
    best: BTreeMap<AdjusterId, f64>,
}

impl Rider {
    /// A rider drawn from the standard population: power 1 or 2, 1 to 3 positions to notice a
    /// difference, noise 0.35 to 1 of that.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        let mut lot = Lot::new(seed);
        let power = if lot.share() < 0.5 { 1.0 } else { 2.0 };
        let (notice, noise) = (lot.between(1.0, 3.0), lot.between(0.35, 1.0));
        Rider { lot, power, notice, noise, best: BTreeMap::new() }
    }

    /// The hidden best settings that have come up so far, in positions.
    #[must_use]
    pub fn best(&self) -> &BTreeMap<AdjusterId, f64> {
        &self.best
    }

    /// This rider's answer to a question of a session.
    #[must_use]
    pub fn answer(&mut self, session: &Session, ask: &Ask) -> Answer {
        match ask {
            Ask::Found(id) => self.found(session, *id),
            Ask::Count(id) => count(session, *id),
            Ask::InNow(id) => in_now(session, *id),
            Ask::Sag { fit, .. } => self.sag(session, fit),
            Ask::Record(condition) => self.weather(condition),
            Ask::Lap { fit, against, .. } => {
                let best = self.best_of(session, fit.adjuster);
                let (notice, power) = (self.notice, self.power);
                let quality = |position: u32| -libm::pow((f64::from(position) - best).abs() / notice, power);
                let felt = quality(fit.to) - quality(*against) + self.noise * self.lot.normal();
                Answer::Felt(Felt::Verdict(verdict(felt)))
            }
            Ask::Way(_) => Answer::Way(None),
            Ask::Which { .. } => Answer::Which(crate::session::OfPair::First),
            _ => Answer::Done,
        }
    }

    /// How an adjuster was found: anywhere, where its positions are known.
    fn found(&mut self, session: &Session, id: AdjusterId) -> Answer {
        let Some(scale) = session.scale(id) else { return Answer::Unknown };
        let at = libm::floor(self.lot.between(0.0, f64::from(scale.top()) + 1.0));
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a position of the range")]
        told(scale, at as u32)
    }

    fn weather(&mut self, condition: &Condition) -> Answer {
        match condition {
            Condition::Temperature => {
                let degrees = libm::floor(self.lot.between(6.0, 24.0));
                #[allow(clippy::cast_possible_truncation, reason = "between 6 and 24")]
                let degrees = Number::from_integer(degrees as i128);
                Answer::Told(Told::Value(degrees, Some(Unit::Celsius)))
            }
            _ => Answer::Unknown,
        }
    }

    /// The sag of a spring at a setting, read from both sides of its friction. The spring's right
    /// setting is hidden; about it the absolute pressure goes with sag to the power -0.7, a coil's rate
    /// with sag to the power -1.
    fn sag(&mut self, session: &Session, fit: &Fit) -> Answer {
        let Some((measure, scale)) = session.measuring().zip(session.scale(fit.adjuster)) else {
            return Answer::Keep;
        };
        let force = |position: u32| match scale.reading(position) {
            Reading::Value(number, unit) => match unit.kind() {
                Kind::Pressure => Quantity { number, unit }
                    .float_in(Unit::Kilopascal)
                    .map(|gauge| libm::pow(gauge + STANDARD_ATMOSPHERE, 1.0 / 0.7)),
                _ => float(number),
            },
            Reading::Name(_) => None,
        };
        let right = if let Some(&right) = self.best.get(&fit.adjuster) {
            right
        } else {
            let right = libm::floor(self.lot.between(0.3, 0.8) * f64::from(scale.top()));
            self.best.insert(fit.adjuster, right);
            right
        };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a position of the range")]
        let forces =
            force(right as u32).zip(force(fit.to)).zip(float(measure.aim())).zip(float(measure.read_to));
        let Some((((wanted, now), aim), error)) = forces else { return Answer::Keep };
        let sag = aim * wanted / now;
        let friction = self.lot.between(0.2, 1.2);
        let most = measure.travel.and_then(float).unwrap_or(f64::MAX);
        let read = |sag: f64| {
            let read =
                nearest((libm::round(sag / error) * error).clamp(0.0, most)).unwrap_or_else(Number::zero);
            Told::Value(read, Some(Unit::Millimetre))
        };
        Answer::Sag(read(sag + friction), read(sag - friction))
    }

    /// The hidden best of an adjuster, drawn when it first comes up: mostly about the start, with
    /// long tails, sometimes anywhere.
    fn best_of(&mut self, session: &Session, id: AdjusterId) -> f64 {
        if let Some(&best) = self.best.get(&id) {
            return best;
        }
        let (top, start) = session.dial(id).map_or((0, 0), |dial: &Dial| (dial.scale().top(), dial.start()));
        let top = f64::from(top);
        let best = if self.lot.share() < 0.7 {
            (f64::from(start) + (0.12 * top + 0.4) * self.lot.student_three()).clamp(0.0, top)
        } else {
            self.lot.between(0.0, top)
        };
        self.best.insert(id, best);
        best
    }
}

fn verdict(felt: f64) -> Verdict {
    if felt > 1.0 {
        Verdict::Better
    } else if felt < -1.0 {
        Verdict::Worse
    } else {
        Verdict::Same
    }
}

/// What is in a spring or tyre: the middle of its range.
fn in_now(session: &Session, id: AdjusterId) -> Answer {
    session.scale(id).map_or(Answer::Unknown, |scale| told(scale, scale.top() / 2))
}

/// A position as it is told.
fn told(scale: &Scale, at: u32) -> Answer {
    Answer::Told(match scale.reading(at) {
        Reading::Value(number, unit) => Told::Value(number, Some(unit)),
        Reading::Name(name) => Told::Name(name.to_owned()),
    })
}

fn count(session: &Session, id: AdjusterId) -> Answer {
    let (by, unit) = match &session.adjuster(id).setup {
        Setup::Uncounted(uncounted) => (uncounted.by(), uncounted.unit()),
        Setup::Known(_) | Setup::Unstarted(_) => (Number::zero(), Unit::Clicks),
    };
    Answer::Told(Told::Value(by * Number::from_integer(COUNTED), Some(unit)))
}
