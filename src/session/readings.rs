//! Owns how a sag that a person states is taken, in mm: one reading, or two of one setting; and what is no sag.
//! It knows nothing of how it was typed, nor of what follows from it.

use num_traits::Zero;

use crate::physics::{Number, Quantity, Unit, to_billionths};
use crate::plan::Measure;

use super::Stated;
use super::mismatch::{Mismatch, NoSag};

/// A sag in mm, to the nearest billionth: one reading, or the mean of two of the same setting.
pub(super) fn sag(measure: &Measure, first: &Stated, second: Option<&Stated>) -> Result<Number, Mismatch> {
    let mut sag = one_sag(measure, first)?;
    if let Some(second) = second {
        sag = (sag + one_sag(measure, second)?) / Number::from_integer(2);
    }
    Ok(to_billionths(sag).unwrap_or(sag))
}

fn one_sag(measure: &Measure, told: &Stated) -> Result<Number, Mismatch> {
    let wrong = |why| Mismatch::NoSag { told: Box::new(told.clone()), why };
    let Stated::Value(number, unit) = told else { return Err(wrong(NoSag::NoNumber)) };
    let unit = unit.ok_or_else(|| wrong(NoSag::NoUnit))?;
    let quantity = Quantity { number: *number, unit };
    let sag = match (quantity.in_unit(Unit::Millimetre), unit, measure.travel) {
        (Some(sag), ..) => sag,
        (None, Unit::Percent, Some(travel)) => travel * *number / Number::from_integer(100),
        (None, Unit::Percent, None) => return Err(wrong(NoSag::TravelUnknown)),
        _ => return Err(wrong(NoSag::OtherUnit)),
    };
    if sag < Number::zero() || measure.travel.is_some_and(|travel| sag > travel) {
        return Err(wrong(NoSag::Outside(measure.travel)));
    }
    Ok(sag)
}

/// How far two readings are apart, in mm, where that is more than a tenth of the travel.
pub(super) fn far_apart(measure: &Measure, first: &Stated, second: &Stated) -> Option<Number> {
    let (first, second) = (one_sag(measure, first).ok()?, one_sag(measure, second).ok()?);
    let apart = if first < second { second - first } else { first - second };
    measure.travel.filter(|travel| apart * Number::from_integer(10) > *travel).map(|_| apart)
}
