//! Owns one simulated rider who answers the questions of a session: by what is felt of a hidden best
//! setting of each adjuster. A model, without human data behind it.

use num_traits::Zero;

use super::kind::{Kind, Taste, Temper};
use super::sag;
use crate::chance::Lot;
use crate::physics::{Number, Unit};
use crate::plan::{AdjusterId, Condition, Reading, Scale, Setup};
use crate::search::{Method, Verdict};
use crate::session::{Answer, Ask, Felt, Fit, OfPair, Round, Session, Stated};

/// The positions that a simulated rider counts on an adjuster that is not counted yet.
const COUNTED: i128 = 12;

/// A rider who answers by feel.
#[derive(Debug, Clone)]
pub struct Rider {
    kind: Kind,
    lot: Lot,
    temper: Temper,
    /// By the place of the adjuster, drawn when it first comes up.
    tastes: Vec<Option<Taste>>,
    /// How adjusters lean on each other: 0 not at all, below 1.
    coupling: f64,
    /// The noise of each lap, from the first.
    lap_noise: Vec<f64>,
}

impl Rider {
    /// A rider of a kind; the same number of a seed is the same rider.
    #[must_use]
    pub fn new(kind: Kind, seed: u64, number: u64) -> Self {
        let mut lot = Lot::stream(seed, number);
        let temper = Temper::draw(kind, &mut lot);
        Rider { kind, lot, temper, tastes: Vec::new(), coupling: 0.0, lap_noise: Vec::new() }
    }

    /// The same rider for whom adjusters lean on each other by as much as this, from 0 to below 1; two
    /// and two, in the order in which the plan tunes them. Which way is drawn.
    #[must_use]
    pub fn coupled(mut self, coupling: f64) -> Self {
        if coupling != 0.0 {
            self.coupling = if self.lot.share() < 0.5 { coupling } else { -coupling };
        }
        self
    }

    /// The hidden best setting of an adjuster, in positions, where it has come up.
    #[must_use]
    pub fn best(&self, id: AdjusterId) -> Option<f64> {
        self.tastes.get(id.index()).copied().flatten().map(|taste| taste.best)
    }

    /// This rider's answer to a question of a session.
    #[must_use]
    pub fn answer(&mut self, session: &Session, ask: &Ask) -> Answer {
        match ask {
            Ask::Before(id) => self.before(session, *id),
            Ask::Count(id) => count(session, *id),
            Ask::InNow(id) => in_now(session, *id),
            Ask::Sag { fit, .. } => self.sag(session, fit),
            Ask::Stop { .. } => Answer::RideAnyway,
            Ask::Record(condition) => self.weather(condition),
            Ask::Lap { fit, against, round } => {
                Answer::Felt(Felt::Verdict(self.verdict(session, *fit, *against, *round)))
            }
            Ask::Way(id) => self.way(session, *id),
            Ask::Which { pair, .. } => self.which(session, *pair),
            Ask::Trial { .. }
            | Ask::Pairs { .. }
            | Ask::Swap { .. }
            | Ask::FirstOfPair { .. }
            | Ask::Say(_)
            | Ask::Fit { .. }
            | Ask::Ride { .. }
            | Ask::Baseline(_) => Answer::Done,
        }
    }

    /// A way that is drawn: nobody knows yet. Where it would be taken for a hint there is none.
    fn way(&mut self, session: &Session, id: AdjusterId) -> Answer {
        if session.tune_terms().is_some_and(|terms| terms.method == Method::Narrow) {
            return Answer::Way(None);
        }
        let rising = session.adjuster(id).rising();
        Answer::Way(Some(if self.lot.share() < 0.5 { rising } else { rising.opposite() }))
    }

    fn verdict(&mut self, session: &Session, fit: Fit, against: u32, round: Round) -> Verdict {
        // the best is drawn first, so that it does not depend on the answers
        self.taste(session, fit.adjuster);
        let at_random = self.kind == Kind::Random || self.lot.share() < self.temper.lapse;
        if self.kind == Kind::Same {
            return Verdict::Same;
        }
        if at_random {
            return [Verdict::Better, Verdict::Worse, Verdict::Same][self.lot.below(3) as usize];
        }
        let ridden = session.laps().len();
        let lap = if round == Round::Second { ridden } else { ridden + 1 };
        let earlier = session.lap_at(against).map_or(lap, |lap| lap as usize);
        let felt = self.felt(session, (fit.adjuster, fit.to, lap), (against, earlier));
        if felt > 1.0 {
            Verdict::Better
        } else if felt < -1.0 {
            Verdict::Worse
        } else {
            Verdict::Same
        }
    }

    /// The felt difference of a lap, by its number, against an earlier one.
    fn felt(
        &mut self,
        session: &Session,
        (id, at, lap): (AdjusterId, u32, usize),
        (against, earlier): (u32, usize),
    ) -> f64 {
        let taste = self.taste(session, id);
        let (at, against) = (f64::from(at), f64::from(against));
        let other = if self.coupling == 0.0 { 0.0 } else { self.partner_off(session, id) };
        let fall = |position: f64| {
            let off = taste.off(position);
            let square = off * off + other * other + 2.0 * self.coupling * off * other;
            if self.temper.squared { square } else { libm::sqrt(square.max(0.0)) }
        };
        #[allow(clippy::cast_precision_loss, reason = "a number of laps")]
        let age = lap.saturating_sub(earlier).max(1) as f64;
        let difference = fall(against) - fall(at) + self.temper.drift * age;
        let memory = libm::sqrt(1.0 + self.temper.forgets * (age - 1.0));
        let deviation = self.temper.noise * memory * (1.0 + self.temper.web * taste.far(at, against));
        let noise = if self.temper.noise_of_lap {
            (self.noise_of(lap) - self.noise_of(earlier)) / std::f64::consts::SQRT_2
        } else {
            self.lot.normal()
        };
        difference + deviation * noise
    }

    fn noise_of(&mut self, lap: usize) -> f64 {
        while self.lap_noise.len() < lap {
            let noise = self.lot.normal();
            self.lap_noise.push(noise);
        }
        self.lap_noise[lap.saturating_sub(1)]
    }

    /// How far the adjuster that leans on another one is off its own best; nought where there is none.
    fn partner_off(&mut self, session: &Session, id: AdjusterId) -> f64 {
        let tuned = session.plan().tuned();
        let place = tuned.iter().position(|tuned| *tuned == id);
        let Some(&partner) = place.and_then(|place| tuned.get(place ^ 1)) else { return 0.0 };
        self.taste(session, partner).off(f64::from(session.stands_at(partner)))
    }

    /// Which lap of a pair was better: by the sum over all that differs.
    fn which(&mut self, session: &Session, pair: u32) -> Answer {
        let [first, second] = OfPair::BOTH.map(|lap| session.fits_of(pair.saturating_sub(1), lap));
        let mut better = self.temper.noise * self.lot.normal() + self.temper.drift;
        for (before, after) in first.iter().zip(&second) {
            let taste = self.taste(session, before.adjuster);
            let fall = |fit: &Fit| {
                let off = taste.off(f64::from(fit.to)).abs();
                if self.temper.squared { off * off } else { off }
            };
            better += fall(before) - fall(after);
        }
        if matches!(self.kind, Kind::Same | Kind::Random) || self.lot.share() < self.temper.lapse {
            better = self.lot.share() - 0.5;
        }
        Answer::Which(if better > 0.0 { OfPair::Second } else { OfPair::First })
    }

    pub(super) fn taste(&mut self, session: &Session, id: AdjusterId) -> Taste {
        let index = id.index();
        if self.tastes.len() <= index {
            self.tastes.resize(index + 1, None);
        }
        if let Some(taste) = self.tastes[index] {
            return taste;
        }
        let of = session.dial(id).map_or((0, 0, 1), |dial| (dial.scale().top(), dial.start(), dial.apart()));
        let of = (f64::from(of.0), f64::from(of.1), f64::from(of.2));
        let taste = Taste::draw(self.kind, &self.temper, of, &mut self.lot);
        self.tastes[index] = Some(taste);
        taste
    }

    fn sag(&mut self, session: &Session, fit: &Fit) -> Answer {
        let id = fit.adjuster;
        let right = match (self.best(id), session.scale(id)) {
            (Some(right), _) => right,
            (None, None) => return Answer::Finish,
            (None, Some(scale)) => {
                let best = sag::right_setting(&mut self.lot, scale);
                self.tastes[id.index()] = Some(Taste { best, ..self.taste(session, id) });
                best
            }
        };
        sag::read(&mut self.lot, right, session, fit)
    }

    /// How an adjuster was found: anywhere, where its positions are known.
    fn before(&mut self, session: &Session, id: AdjusterId) -> Answer {
        session.scale(id).map_or(Answer::Unknown, |scale| told(scale, self.lot.below(scale.top() + 1)))
    }

    fn weather(&mut self, condition: &Condition) -> Answer {
        match condition {
            Condition::Temperature => {
                let degrees = Number::from_integer(i128::from(6 + self.lot.below(18)));
                Answer::Told(Stated::Value(degrees, Some(Unit::Celsius)))
            }
            _ => Answer::Unknown,
        }
    }
}

/// What is in a spring or tyre: the middle of its range.
fn in_now(session: &Session, id: AdjusterId) -> Answer {
    session.scale(id).map_or(Answer::Unknown, |scale| told(scale, scale.top() / 2))
}

/// A position as it is told.
fn told(scale: &Scale, at: u32) -> Answer {
    Answer::Told(match scale.reading(at) {
        Reading::Value(number, unit) => Stated::Value(number, Some(unit)),
        Reading::Name(name) => Stated::Name(name.to_owned()),
    })
}

fn count(session: &Session, id: AdjusterId) -> Answer {
    let (by, unit) = match &session.adjuster(id).setup {
        Setup::Uncounted(uncounted) => (uncounted.by(), uncounted.unit()),
        Setup::Known(_) | Setup::Unstarted(_) => (Number::zero(), Unit::Clicks),
    };
    Answer::Told(Stated::Value(by * Number::from_integer(COUNTED), Some(unit)))
}
