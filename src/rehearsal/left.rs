//! Owns how long the rest of a ride is likely to take: simulated riders ride on from where it is. It knows
//! nothing of how that is told.

use super::{Kind, Rider};
use crate::physics::{Number, float};
use crate::session::Session;

/// So many riders ride on.
const RIDERS: u64 = 12;

/// A ride on that needs more answers is not counted.
const MOST_ANSWERS: usize = 1_000;

/// The minutes that a ride takes from here to its end, by the plan's own times, as the mean of a few
/// simulated riders of the first kind; `None` where the loop does not say how long a lap is. A model: no
/// human data is behind it.
#[must_use]
pub fn minutes_left(session: &Session) -> Option<f64> {
    let now = session.minutes()?;
    let left: Vec<f64> = (0..RIDERS).filter_map(|number| float(ridden_on(session, number)? - now)).collect();
    #[allow(clippy::cast_precision_loss, reason = "a few rides")]
    let count = left.len() as f64;
    (!left.is_empty()).then(|| left.iter().sum::<f64>() / count)
}

/// The minutes of a whole ride that one rider rides on from here.
fn ridden_on(session: &Session, number: u64) -> Option<Number> {
    let mut rider = Rider::new(Kind::Steady, 0, number);
    let mut session = session.clone();
    for _ in 0..MOST_ANSWERS {
        let Some(ask) = session.ask() else { return session.minutes() };
        session = session.answer(&rider.answer(&session, &ask)).ok()?;
    }
    None
}
