//! Owns the laps of a tune: which answers they take, what each counts for, what is ridden once more.
//! How a tune begins and ends is in `tune`.

use std::sync::Arc;

use crate::plan::AdjusterId;
use crate::search::{Grade, Proposal, Search, Verdict};

use crate::session::history::Worth;
use crate::session::state::{Phase, Stage, TuneState};
use crate::session::{Answer, Ask, Felt, Fit, How, Mismatch, News, Round, Session};

use super::{Job, tune};

pub(in crate::session) fn ask(session: &Session, tune: &TuneState) -> Option<Ask> {
    let id = super::job(session)?.adjuster;
    let stands = |at| session.fit(id, at);
    match &tune.stage {
        Stage::Baseline => Some(Ask::Baseline(stands(session.state.at[id]))),
        Stage::Way => Some(Ask::Way(id)),
        Stage::Lap { search, retold } => match search.next() {
            Proposal::Ride { at, against, .. } => {
                let round = if *retold { Round::Again } else { Round::First };
                Some(Ask::Lap { fit: stands(at), against, round })
            }
            Proposal::Settle(_) => None,
        },
        Stage::Second { search, rode, .. } => match search.next() {
            Proposal::Ride { also: Some(also), .. } => {
                Some(Ask::Lap { fit: stands(*rode), against: also, round: Round::Second })
            }
            Proposal::Ride { also: None, .. } | Proposal::Settle(_) => None,
        },
        Stage::Offer(search) => {
            Some(Ask::Trial { fit: stands(search.settled()), against: search.best_ridden() })
        }
        Stage::Trial(search) => Some(Ask::Lap {
            fit: stands(search.settled()),
            against: search.best_ridden(),
            round: Round::Trial,
        }),
    }
}

pub(in crate::session) fn hear(session: &mut Session, ask: &Ask, answer: &Answer) -> Result<(), Mismatch> {
    let Some(job) = super::job(session) else { return Err(session.unfit(ask, answer)) };
    // it is put back, or another phase follows; where the answer does not fit, nobody goes on from here
    let Phase::Tune(mut tune) = std::mem::replace(&mut session.state.phase, Phase::Steps) else {
        return Err(session.unfit(ask, answer));
    };
    if *answer == Answer::Finish && !matches!(ask, Ask::Trial { .. }) {
        tune::settle_now(session, &tune);
        return Ok(());
    }
    match ask {
        Ask::Baseline(fit) => hear_baseline(session, &job, tune, *fit, ask, answer),
        Ask::Way(_) => tune::hear_way(session, &job, tune, ask, answer),
        Ask::Lap { fit, .. } => match std::mem::replace(&mut tune.stage, Stage::Baseline) {
            Stage::Lap { search, retold } => {
                hear_lap(session, &job, tune, (*fit, search, retold), ask, answer)
            }
            Stage::Second { search, rode, grade } => {
                hear_second(session, &job, tune, (&search, rode, grade), ask, answer)
            }
            Stage::Trial(search) => hear_trial(session, &job, tune, (*fit, search), ask, answer),
            Stage::Baseline | Stage::Way | Stage::Offer(_) => Err(session.unfit(ask, answer)),
        },
        Ask::Trial { .. } => hear_offer(session, &job, tune, ask, answer),
        Ask::Before(_)
        | Ask::Count(_)
        | Ask::InNow(_)
        | Ask::Sag { .. }
        | Ask::Stop { .. }
        | Ask::Record(_)
        | Ask::Say(_)
        | Ask::Fit { .. }
        | Ask::Ride { .. }
        | Ask::Pairs { .. }
        | Ask::Swap { .. }
        | Ask::FirstOfPair { .. }
        | Ask::Which { .. } => Err(session.unfit(ask, answer)),
    }
}

/// Writes a lap down: where the knob stood, what it cost.
pub(in crate::session) fn write_down(
    session: &mut Session,
    tune: &mut TuneState,
    id: AdjusterId,
    position: u32,
    felt: Option<Felt>,
    worth: Worth,
) -> u32 {
    match worth {
        Worth::Void => tune.void += 1,
        Worth::Counts => {
            tune.laps += 1;
            if let Some(since) = &mut tune.since {
                Arc::make_mut(since).push(position);
            }
        }
    }
    session.spend(1);
    if session.state.fitted[id] != Some(position) {
        session.change(id);
    }
    session.state.fitted[id] = Some(position);
    let number = session.history.lap(Some((id, position)), felt, worth);
    match worth {
        Worth::Void => session.state.last_lap = None,
        Worth::Counts => {
            session.state.at[id] = position;
            session.state.last_lap = Some(session.state.at.clone());
        }
    }
    number
}

fn hear_baseline(
    session: &mut Session,
    job: &Job,
    mut tune: TuneState,
    fit: Fit,
    ask: &Ask,
    answer: &Answer,
) -> Result<(), Mismatch> {
    let id = fit.adjuster;
    let rode = match answer {
        Answer::Done => None,
        Answer::Void => Some(fit.to),
        Answer::Rode(told, None) => Some(session.position(id, told)?),
        Answer::Rode(_, Some(_))
        | Answer::Felt(_)
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
        | Answer::Unknown
        | Answer::Baseline => return Err(session.unfit(ask, answer)),
    };
    match rode {
        Some(position) if *answer == Answer::Void || position != fit.to => {
            write_down(session, &mut tune, id, position, None, Worth::Void);
            if *answer != Answer::Void {
                session.history.tell(News::LapVoid);
            }
            again(session, job, tune);
        }
        _ => {
            let number = write_down(session, &mut tune, id, fit.to, None, Worth::Counts);
            session.history.counts(number, fit.to);
            tune::after_baseline(session, job, tune);
        }
    }
    Ok(())
}

/// Asks the same again where laps are left, else settles.
fn again(session: &mut Session, job: &Job, tune: TuneState) {
    if tune::can_ride(session, job, &tune) {
        session.state.phase = Phase::Tune(tune);
    } else {
        tune::settle_now(session, &tune);
    }
}

/// Where a lap was ridden, and what was felt; `None` where it is void.
fn felt_at(session: &Session, fit: Fit, ask: &Ask, answer: &Answer) -> Result<Option<(u32, Felt)>, Mismatch> {
    Ok(match answer {
        Answer::Felt(felt) => Some((fit.to, *felt)),
        Answer::Void => None,
        Answer::Rode(told, Some(felt)) => Some((session.position(fit.adjuster, told)?, *felt)),
        Answer::Rode(_, None)
        | Answer::Done
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
        | Answer::Unknown
        | Answer::Baseline => return Err(session.unfit(ask, answer)),
    })
}

fn hear_lap(
    session: &mut Session,
    job: &Job,
    mut tune: TuneState,
    (fit, search, retold): (Fit, Search, bool),
    ask: &Ask,
    answer: &Answer,
) -> Result<(), Mismatch> {
    let id = fit.adjuster;
    let Some((rode, felt)) = felt_at(session, fit, ask, answer)? else {
        tune.stage = Stage::Lap { search, retold };
        write_down(session, &mut tune, id, fit.to, None, Worth::Void);
        again(session, job, tune);
        return Ok(());
    };
    // nothing was felt at a setting that nobody asked for: nothing to count
    let counts = || search.takes(rode) && felt != Felt::CannotTell;
    if rode != fit.to && !counts() {
        tune.stage = Stage::Lap { search, retold };
        write_down(session, &mut tune, id, rode, Some(felt), Worth::Void);
        session.history.tell(News::LapVoid);
        again(session, job, tune);
        return Ok(());
    }
    let number = write_down(session, &mut tune, id, rode, Some(felt), Worth::Counts);
    let grade = match felt.grade() {
        Some(grade) => grade,
        None if retold => Grade::Same,
        None => {
            tune.stage = Stage::Lap { search, retold: true };
            again(session, job, tune);
            return Ok(());
        }
    };
    session.history.counts(number, rode);
    if let Proposal::Ride { also: Some(also), .. } = search.next()
        && also != rode
        && tune.counts_at(also)
    {
        tune.stage = Stage::Second { search, rode, grade };
        session.state.phase = Phase::Tune(tune);
    } else {
        tune::go_on(session, job, tune, search.hear(rode, grade, None));
    }
    Ok(())
}

/// The second question about a lap. Who cannot tell leaves it out: it is not worth another lap.
fn hear_second(
    session: &mut Session,
    job: &Job,
    tune: TuneState,
    (search, rode, grade): (&Search, u32, Grade),
    ask: &Ask,
    answer: &Answer,
) -> Result<(), Mismatch> {
    let second = match answer {
        Answer::Felt(felt) => felt.grade(),
        Answer::Skip => None,
        Answer::Done
        | Answer::Void
        | Answer::Rode(..)
        | Answer::Two(..)
        | Answer::SagAt(..)
        | Answer::Finish
        | Answer::RideAnyway
        | Answer::Trial
        | Answer::Which(_)
        | Answer::Way(_)
        | Answer::Told(_)
        | Answer::Text(_)
        | Answer::Unknown
        | Answer::Baseline => return Err(session.unfit(ask, answer)),
    };
    tune::go_on(session, job, tune, search.hear(rode, grade, second));
    Ok(())
}

fn hear_offer(
    session: &mut Session,
    job: &Job,
    mut tune: TuneState,
    ask: &Ask,
    answer: &Answer,
) -> Result<(), Mismatch> {
    let Stage::Offer(search) = tune.stage.clone() else { return Err(session.unfit(ask, answer)) };
    match answer {
        Answer::Done | Answer::Skip => tune::settle(session, job, &tune, search.settled(), How::FeltBest),
        Answer::Trial => {
            tune::baseline_first(session, &tune, search.best_ridden());
            tune.stage = Stage::Trial(search);
            session.state.phase = Phase::Tune(tune);
        }
        Answer::Felt(_)
        | Answer::Void
        | Answer::Rode(..)
        | Answer::Two(..)
        | Answer::SagAt(..)
        | Answer::Finish
        | Answer::RideAnyway
        | Answer::Which(_)
        | Answer::Way(_)
        | Answer::Told(_)
        | Answer::Text(_)
        | Answer::Unknown
        | Answer::Baseline => return Err(session.unfit(ask, answer)),
    }
    Ok(())
}

/// The proof lap. Whoever cannot tell has not found it worse.
fn hear_trial(
    session: &mut Session,
    job: &Job,
    mut tune: TuneState,
    (fit, search): (Fit, Search),
    ask: &Ask,
    answer: &Answer,
) -> Result<(), Mismatch> {
    let felt = match answer {
        Answer::Felt(Felt::CannotTell) => Felt::Verdict(Verdict::Same),
        Answer::Felt(felt) => *felt,
        Answer::Void => {
            tune.stage = Stage::Trial(search);
            write_down(session, &mut tune, fit.adjuster, fit.to, None, Worth::Void);
            again(session, job, tune);
            return Ok(());
        }
        Answer::Done
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
        | Answer::Unknown
        | Answer::Baseline => return Err(session.unfit(ask, answer)),
    };
    let number = write_down(session, &mut tune, fit.adjuster, fit.to, Some(felt), Worth::Counts);
    session.history.counts(number, fit.to);
    tune::settle(session, job, &tune, search.proven(felt.grade().unwrap_or(Grade::Same)), How::FeltBest);
    Ok(())
}
