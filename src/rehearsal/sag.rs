//! Owns how a simulated rider reads sag, from both sides of the spring's friction. A model, without a
//! measured spring behind it.

use num_traits::Zero;

use super::rider::Rider;
use crate::physics::{Kind, Number, Quantity, STANDARD_ATMOSPHERE, Unit, float, nearest};
use crate::plan::Reading;
use crate::session::{Answer, Fit, Session, Told};

/// The sag of a spring at a setting. The spring's right setting is hidden, from three to eight tenths of
/// its range; about it the absolute pressure goes with sag to the power -0.7, a coil's rate with sag to
/// the power -1.
pub(super) fn read(rider: &mut Rider, session: &Session, fit: &Fit) -> Answer {
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
    let right = match rider.best(fit.adjuster) {
        Some(right) => right,
        None => {
            let right = libm::floor(rider.lot.between(0.3, 0.8) * f64::from(scale.top()));
            rider.prefer(session, fit.adjuster, right);
            right
        }
    };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a position of the range")]
    let forces = force(right as u32).zip(force(fit.to)).zip(float(measure.aim())).zip(float(measure.read_to));
    let Some((((wanted, now), aim), error)) = forces else { return Answer::Keep };
    let sag = aim * wanted / now;
    let friction = rider.lot.between(0.2, 1.2);
    let most = measure.travel.and_then(float).unwrap_or(f64::MAX);
    let read = |sag: f64| {
        let read = nearest((libm::round(sag / error) * error).clamp(0.0, most)).unwrap_or_else(Number::zero);
        Told::Value(read, Some(Unit::Millimetre))
    };
    Answer::Sag(read(sag + friction), read(sag - friction))
}
