//! Owns how a simulated rider reads sag, from both sides of the spring's friction. A model, without a
//! measured spring behind it.

use num_traits::Zero;

use crate::chance::Lot;
use crate::physics::{Kind, Number, Quantity, STANDARD_ATMOSPHERE, Unit, float, nearest};
use crate::plan::{Reading, Scale};
use crate::session::{Answer, Fit, Session, Stated};

/// A spring's right setting, which is hidden: a position from three to eight tenths of its range.
pub(super) fn right_setting(lot: &mut Lot, scale: &Scale) -> f64 {
    libm::floor(lot.between(0.3, 0.8) * f64::from(scale.top()))
}

/// The sag of a spring at a setting whose right setting is this position. About it the absolute pressure goes with sag to the power -0.7, a coil's rate with sag to
/// the power -1.
pub(super) fn read(lot: &mut Lot, right: f64, session: &Session, fit: &Fit) -> Answer {
    let Some((measure, scale)) = session.measuring().zip(session.scale(fit.adjuster)) else {
        return Answer::Finish;
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
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a position of the range")]
    let forces =
        force(right as u32).zip(force(fit.to)).zip(float(measure.aim())).zip(float(measure.measured_to));
    let Some((((wanted, now), aim), error)) = forces else { return Answer::Finish };
    let sag = aim * wanted / now;
    let friction = lot.between(0.2, 1.2);
    let most = measure.travel.and_then(float).unwrap_or(f64::MAX);
    let read = |sag: f64| {
        let read = nearest((libm::round(sag / error) * error).clamp(0.0, most)).unwrap_or_else(Number::zero);
        Stated::Value(read, Some(Unit::Millimetre))
    };
    Answer::Two(read(sag + friction), read(sag - friction))
}
