//! Owns how a spring is measured: where the bike must be, which readings fit, what is told.
//! Which setting comes next is the judgement of `spring`.

use std::sync::Arc;

use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{AdjusterId, Dial, Measure, Reading as ScaleReading};
use crate::vocabulary::Family;

use crate::session::history::Sagged;
use crate::session::readings::sag;
use crate::session::spring::{Next, Spring, Weighed, sag_at, weigh};
use crate::session::state::{MeasureState, Phase, Reading, Short, StopState, Why};
use crate::session::{Answer, Ask, Fit, How, Mismatch, News, Session, Sign, Stated};

/// Begins a measurement; `true`, as something is asked now.
pub(super) fn enter(session: &mut Session) -> bool {
    if session.must_fit_first() {
        return true;
    }
    session.state.phase = Phase::Measure(MeasureState { readings: Vec::new(), why: Why::First });
    true
}

pub(in crate::session) fn ask(session: &Session, state: &MeasureState) -> Option<Ask> {
    let measure = session.measuring()?;
    let at = session.state.at[measure.adjuster];
    Some(Ask::Sag { fit: session.fit(measure.adjuster, at), why: state.why })
}

pub(in crate::session) fn ask_at_stop(session: &Session, state: &StopState) -> Option<Ask> {
    let measure = session.measuring()?;
    let sag = sag_at(&state.readings, state.at).or_else(|| Some(state.readings.last()?.sag))?;
    let sign = Sign::of(measure, sag);
    Some(Ask::Stop { fit: session.fit(measure.adjuster, state.at), short: state.short, sign })
}

/// Hears a reading, or ends the measurement. At a stop a reading is the first of a new measurement, and
/// only the full words ride on.
pub(in crate::session) fn hear(
    session: &mut Session,
    fit: Fit,
    ask: &Ask,
    answer: &Answer,
) -> Result<(), Mismatch> {
    let Some(measure) = session.measuring().cloned() else { return Err(session.unfit(ask, answer)) };
    let (mut readings, stands_at) = match (&session.state.phase, answer) {
        (Phase::Measure(state), Answer::Finish) => {
            let readings = state.readings.clone();
            end_by_rider(session, &measure, readings);
            return Ok(());
        }
        (Phase::Stop(state), Answer::RideAnyway) => {
            let state = state.clone();
            ride_anyway(session, &measure, &state);
            return Ok(());
        }
        // a word is no sag, and what it should be is said
        (Phase::Stop(_), Answer::Told(Stated::Name(_))) => return Err(session.unfit(ask, answer)),
        (Phase::Measure(state), _) => (state.readings.clone(), fit.to),
        _ => (Vec::new(), fit.from.unwrap_or(fit.to)),
    };
    let (place, first, second) = answer.readings().ok_or_else(|| session.unfit(ask, answer))?;
    let at = place.map_or(Ok(stands_at), |place| session.position(fit.adjuster, place))?;
    let sag = sag(&measure, first, second)?;
    let id = fit.adjuster;
    if session.state.fitted[id] != Some(at) {
        session.change(fit.adjuster);
    }
    session.state.fitted[id] = Some(at);
    session.state.at[id] = at;
    let twice = second.is_some();
    readings.push(Reading { at, sag, counts: true, twice });
    match weigh(&mut readings) {
        Weighed::Doubted => {
            session.history.tell(News::SagContradicts { adjuster: fit.adjuster });
        }
        Weighed::Outweighs => {
            session.history.tell(News::EarlierSagSetAside { adjuster: fit.adjuster });
        }
        Weighed::Fits => {}
    }
    let next = judge(session, &measure, |spring| spring.next(&readings, at));
    go_on(session, &measure, readings, next.ok_or_else(|| session.unfit(ask, answer))?);
    Ok(())
}

/// The readings of that measurement.
pub(in crate::session) fn read_so_far(session: &Session) -> Option<&[Reading]> {
    match &session.state.phase {
        Phase::Measure(state) => Some(&state.readings),
        Phase::Stop(state) => Some(&state.readings),
        Phase::Before(_)
        | Phase::Count(_)
        | Phase::InNow(_)
        | Phase::Steps
        | Phase::Fit
        | Phase::Tune(_)
        | Phase::Compare(_)
        | Phase::Over => None,
    }
}

pub(in crate::session) fn judge<T>(
    session: &Session,
    measure: &Measure,
    judge: impl FnOnce(&Spring<'_>) -> T,
) -> Option<T> {
    let dial: Arc<Dial> = session.dials[measure.adjuster].clone()?;
    let preload =
        measure.preload.and_then(|id| match session.dial(id)?.scale().reading(session.state.at[id]) {
            ScaleReading::Value(number, _) => Some(number),
            ScaleReading::Name(_) => None,
        });
    let preload = preload.unwrap_or_else(Number::zero);
    Some(judge(&Spring { step: measure, dial: &dial, preload }))
}

fn go_on(session: &mut Session, measure: &Measure, readings: Vec<Reading>, next: Next) {
    match next {
        Next::Read { at, why } => {
            session.state.at[measure.adjuster] = at;
            session.state.phase = Phase::Measure(MeasureState { readings, why });
        }
        Next::Settle { at, how, short } => {
            if let Some(short) = short {
                session.history.tell(News::SagShort { adjuster: measure.adjuster, short });
            }
            settle(session, measure, &readings, at, how);
        }
        Next::Stop { at, short } => {
            session.state.phase = Phase::Stop(StopState { readings, at, short });
        }
    }
}

/// The rider ends a measurement: a spring that was read and is not right stops the ride all the same.
fn end_by_rider(session: &mut Session, measure: &Measure, readings: Vec<Reading>) {
    let short = |spring: &Spring<'_>| {
        spring.nearest_read(&readings).map(|at| spring.fall_short(&readings, at, Short::Ended))
    };
    match judge(session, measure, short).flatten() {
        Some(next @ Next::Stop { .. }) => go_on(session, measure, readings, next),
        _ => keep(session, measure, &readings),
    }
}

fn ride_anyway(session: &mut Session, measure: &Measure, state: &StopState) {
    settle(session, measure, &state.readings, state.at, How::StoppedEarly);
    let id = measure.adjuster;
    let Some(ground) = session.history.ground_mut(id) else { return };
    ground.ridden_anyway = true;
    let sag = ground.sag.as_ref().map(|sagged| sagged.sag);
    session.history.told();
    session.history.tell(News::RiddenAnyway { adjuster: measure.adjuster, at: state.at, sag });
}

/// Ends a measurement now: at the setting read that comes nearest to the aim.
fn keep(session: &mut Session, measure: &Measure, readings: &[Reading]) {
    let nearest = judge(session, measure, |spring| spring.nearest_read(readings)).flatten();
    let fitted = session.state.fitted[measure.adjuster];
    let at = nearest.or(fitted).unwrap_or(session.state.at[measure.adjuster]);
    let how = if nearest.is_some() { How::StoppedEarly } else { How::Unchanged };
    settle(session, measure, readings, at, how);
}

/// Ends a running measurement by its rule, where one runs.
pub(in crate::session) fn end(session: &mut Session) {
    let Some((measure, readings)) = session.measuring().cloned().zip(read_so_far(session)) else { return };
    let readings = readings.to_vec();
    keep(session, &measure, &readings);
}

pub(in crate::session) fn settle(
    session: &mut Session,
    measure: &Measure,
    readings: &[Reading],
    at: u32,
    how: How,
) {
    let sag = sag_at(readings, at);
    let id = measure.adjuster;
    session.state.at[id] = at;
    session.state.settle_due = session.state.fitted[id] != Some(at);
    session.state.phase = Phase::Steps;
    session.state.step += 1;
    let stood = springs_with(session, measure.adjuster);
    if let Some(ground) = session.history.ground_mut(id) {
        ground.how = how;
        ground.ridden_anyway = false;
        ground.confirmed = None;
        ground.laps.clear();
        ground.sag = sag.map(|sag| Sagged { sag, travel: measure.travel, stood });
    }
    session.history.tell(News::Measured { adjuster: measure.adjuster, at, how, sag });
}

/// Where everything stands that bears on a spring's sag: the springs of its part, with preload and
/// spacers.
pub(in crate::session) fn springs_with(session: &Session, spring: AdjusterId) -> Vec<(AdjusterId, u32)> {
    let part = session.adjuster(spring).part;
    let bears = |id: &AdjusterId| {
        session.adjuster(*id).part == part && session.adjuster(*id).family() == Family::Spring
    };
    session.ids().filter(bears).map(|id| (id, session.state.at[id])).collect()
}
