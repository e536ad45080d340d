//! Owns what is asked where laps can no longer be compared with those before: conditions and tyres again, a
//! warm-up, and the setting with which the next lap is compared, ridden again. Then the ride goes on where it was.

use std::sync::Arc;

use crate::plan::{AdjusterId, Step};
use crate::vocabulary::Family;

use super::history::Worth;
use super::state::{Due, PairStage, Phase, Stage, TuneState};
use super::steps::{self, Job, laps, record, tune};
use super::{Answer, Ask, Mismatch, News, OfPair, Session};

/// What is asked before the ride goes on where it was; `None` where nothing is.
pub(super) fn ask(session: &Session) -> Option<Ask> {
    match *session.state.due.first()? {
        Due::Record(step) => session.plan.steps().get(step)?.condition().map(record::ask),
        Due::Fit => {
            let fits = fits(session).map(|id| session.fit(id, session.state.at[id]));
            Some(Ask::Fit { fits: fits.collect(), first: false })
        }
        Due::WarmUp(laps) => Some(Ask::Ride { laps: session.laps_that_fit(laps), warm_up: true }),
        Due::Baseline(at) => Some(Ask::Baseline(session.fit(steps::job(session)?.adjuster, at))),
    }
}

/// What is to be fitted: tyres, which lose air, and all else that was to be fitted anyway.
fn fits(session: &Session) -> impl Iterator<Item = AdjusterId> {
    let all = session.state.phase == Phase::Fit;
    session.ids().filter(move |id| {
        let (fitted, at) = (session.state.fitted[*id], session.state.at[*id]);
        fitted.is_none() || all && fitted != Some(at)
    })
}

/// Begins afresh: what was ridden before is no longer compared with.
pub(super) fn hear_baseline(session: &mut Session, ask: &Ask) -> Result<(), Mismatch> {
    if session.history.ridden() == 0 {
        return Err(Mismatch::NoLapYet);
    }
    let wanted = warm_up(session) + 2;
    if let (Phase::Tune(_), Some(left)) =
        (&session.state.phase, session.state.laps_left.filter(|left| *left < wanted))
    {
        return Err(Mismatch::TooFewLaps { wanted, left });
    }
    let before = session.plan.steps().iter().enumerate().take(session.state.step);
    let records = before.filter(|(_, step)| matches!(step, Step::Record(_)));
    let mut due: Vec<Due> = records.map(|(index, _)| Due::Record(index)).collect();
    for id in session.ids() {
        if session.plan.bike().get(id).knob.family() == Family::Tyre {
            session.state.fitted[id] = None;
        }
    }
    if fits(session).next().is_some() {
        due.push(Due::Fit);
    }
    let rides_anyway = matches!(ask, Ask::Sag { .. } | Ask::Stop { .. })
        || matches!(session.plan.steps().get(session.state.step), None | Some(Step::Ride { .. }));
    let warm_up = session.laps_that_fit(warm_up(session));
    if !rides_anyway && warm_up > 0 {
        due.push(Due::WarmUp(warm_up));
    }
    session.state.due = due;
    session.state.last_lap = None;
    match session.state.phase.clone() {
        Phase::Tune(tune) => tune_afresh(session, tune),
        Phase::Compare(mut pairs) if pairs.stage != PairStage::Begin => {
            // the laps of a pair are ridden one after the other
            pairs.stage = PairStage::Swap(OfPair::First);
            session.state.phase = Phase::Compare(pairs);
        }
        Phase::Before(_)
        | Phase::Count(_)
        | Phase::InNow(_)
        | Phase::Steps
        | Phase::Fit
        | Phase::Measure(_)
        | Phase::Stop(_)
        | Phase::Compare(_)
        | Phase::Over => {}
    }
    Ok(())
}

/// The laps of the plan's warm-up; one where it has none.
fn warm_up(session: &Session) -> u32 {
    session.plan.steps().iter().find_map(Step::warm_up).unwrap_or(1)
}

fn tune_afresh(session: &mut Session, mut tune: TuneState) {
    let Some(job) = steps::job(session) else { return };
    tune.since = Some(Arc::default());
    match tune.stage.clone() {
        Stage::Baseline | Stage::Way | Stage::Offer(_) => session.state.phase = Phase::Tune(tune),
        Stage::Lap { search, .. } => tune::go_on(session, &job, tune, search),
        Stage::Second { search, rode, grade } => {
            tune::go_on(session, &job, tune, search.hear(rode, grade, None));
        }
        Stage::Trial(search) => {
            tune::baseline_first(session, &tune, search.best_ridden());
            session.state.phase = Phase::Tune(tune);
        }
    }
}

/// Hears an answer to what is due.
pub(super) fn hear(session: &mut Session, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
    match (ask, answer) {
        (Ask::Record(condition), _) => record::note_down(session, condition, answer)?,
        (Ask::Fit { fits, .. }, Answer::Done) => {
            for fit in fits {
                session.state.fitted[fit.adjuster] = Some(fit.to);
            }
            if session.state.phase == Phase::Fit {
                session.fitted();
            }
        }
        (Ask::Ride { laps, .. }, Answer::Done) => {
            session.ride(*laps);
            let fitted = session.state.fitted.all();
            session.state.last_lap = fitted.filter(|fitted| *fitted == session.state.at);
        }
        (Ask::Baseline(fit), _) => return hear_again(session, fit.to, ask, answer),
        _ => return Err(session.unfit(ask, answer)),
    }
    session.state.due.remove(0);
    Ok(())
}

/// The setting with which the next lap is compared, ridden again. It is no lap of the adjuster's own
/// `at most`.
fn hear_again(session: &mut Session, at: u32, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
    let (Some(job), Phase::Tune(mut tune)) = (steps::job(session), session.state.phase.clone()) else {
        return Err(session.unfit(ask, answer));
    };
    let id = job.adjuster;
    let rode = match answer {
        Answer::Done => at,
        Answer::Void => {
            laps::write_down(session, &mut tune, id, at, None, Worth::Void);
            return still_due(session, &job, tune);
        }
        Answer::Rode(told, None) => session.position(id, told)?,
        Answer::Finish => {
            session.state.due.clear();
            tune::settle_now(session, &tune);
            return Ok(());
        }
        Answer::Rode(_, Some(_))
        | Answer::Felt(_)
        | Answer::Two(..)
        | Answer::SagAt(..)
        | Answer::RideAnyway
        | Answer::Trial
        | Answer::Skip
        | Answer::Which(_)
        | Answer::Way(_)
        | Answer::Told(_)
        | Answer::Text(_)
        | Answer::Unknown
        | Answer::Baseline => return Err(session.unfit(ask, answer)),
    };
    if rode != at {
        laps::write_down(session, &mut tune, id, rode, None, Worth::Void);
        session.history.tell(News::LapVoid);
        return still_due(session, &job, tune);
    }
    let number = laps::write_down(session, &mut tune, id, at, None, Worth::Counts);
    (tune.laps, tune.void) = (tune.laps.saturating_sub(1), tune.void + 1);
    session.history.counts(number, at);
    session.state.due.remove(0);
    if tune::can_ride(session, &job, &tune) {
        session.state.phase = Phase::Tune(tune);
    } else {
        tune::settle_now(session, &tune);
    }
    Ok(())
}

/// What is due is asked again where a lap is left, else the tune settles.
#[allow(clippy::unnecessary_wraps, reason = "the end of what hears an answer")]
fn still_due(session: &mut Session, job: &Job, tune: TuneState) -> Result<(), Mismatch> {
    if tune::can_ride(session, job, &tune) {
        session.state.phase = Phase::Tune(tune);
    } else {
        session.state.due.clear();
        tune::settle_now(session, &tune);
    }
    Ok(())
}
