//! Owns what is asked once and kept with the settings: conditions, and how the bike was found.

use crate::physics::{Number, Quantity, Unit};
use crate::plan::Condition;

use crate::session::state::Phase;
use crate::session::{Answer, Ask, Mismatch, Noted, Session, Stated};

pub(in crate::session) fn hear(
    session: &mut Session,
    condition: &Condition,
    answer: &Answer,
) -> Result<(), Mismatch> {
    note_down(session, condition, answer)?;
    session.state.step += 1;
    Ok(())
}

/// Keeps a condition; an earlier one of its name is replaced.
pub(in crate::session) fn note_down(
    session: &mut Session,
    condition: &Condition,
    answer: &Answer,
) -> Result<(), Mismatch> {
    let units = condition.units();
    let noted = match answer {
        Answer::Unknown => Noted::Unknown,
        Answer::Text(text) if units.is_empty() => Noted::Text(text.clone()),
        Answer::Told(Stated::Value(number, Some(unit))) if units.contains(unit) => {
            Noted::Quantity(Quantity { number: *number, unit: *unit })
        }
        Answer::Told(Stated::Value(number, None)) if let [unit] = units[..] => {
            Noted::Quantity(Quantity { number: *number, unit })
        }
        Answer::Done
        | Answer::Felt(_)
        | Answer::Void
        | Answer::Rode(..)
        | Answer::Two(..)
        | Answer::SagAt(..)
        | Answer::Finish
        | Answer::RideAnyway
        | Answer::Trial
        | Answer::Skip
        | Answer::Which(_)
        | Answer::Way(_)
        | Answer::Told(_)
        | Answer::Text(_)
        | Answer::Baseline => return Err(session.unfit(&Ask::Record(condition.clone()), answer)),
    };
    if matches!(noted, Noted::Quantity(quantity) if !is_sensible(quantity)) {
        let (condition, answer) = (Box::new(condition.clone()), Box::new(answer.clone()));
        return Err(Mismatch::NoCondition { condition, answer });
    }
    session.history.note(condition.name(), noted);
    Ok(())
}

/// Asks at once, unless a setting is to be fitted first.
pub(super) fn enter(session: &mut Session) -> bool {
    session.must_settle_first();
    true
}

pub(in crate::session) fn ask(condition: &Condition) -> Ask {
    Ask::Record(condition.clone())
}

/// How the bike was found is asked, once in a ride; `true` if something is fitted before.
pub(super) fn enter_settings(session: &mut Session) -> bool {
    let asks = !session.state.found_asked;
    if asks && session.must_settle_first() {
        return true;
    }
    session.state.step += 1;
    if asks {
        session.state.found_asked = true;
        session.state.phase = Phase::Before(0);
    }
    false
}

/// Whether a temperature or an altitude is one at which bikes are ridden.
fn is_sensible(quantity: Quantity) -> bool {
    let range = match quantity.unit {
        Unit::Celsius => -60..=60,
        Unit::Fahrenheit => -76..=140,
        Unit::Metre => -500..=9000,
        Unit::Foot => -1600..=29_500,
        Unit::Clicks
        | Unit::Turns
        | Unit::Spacers
        | Unit::Psi
        | Unit::Bar
        | Unit::Kilopascal
        | Unit::PoundPerInch
        | Unit::NewtonPerMillimetre
        | Unit::Millimetre
        | Unit::Percent
        | Unit::Kilogram
        | Unit::Pound
        | Unit::Second
        | Unit::Minute
        | Unit::Hour
        | Unit::Laps
        | Unit::Pairs
        | Unit::Positions => return true,
    };
    let (low, high) = (*range.start(), *range.end());
    (Number::from_integer(low)..=Number::from_integer(high)).contains(&quantity.number)
}
