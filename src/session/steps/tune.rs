//! Owns how a tune or a second look begins and ends: its window, the reference lap, which way first,
//! settling, the offer of a proof lap. Its laps are in `laps`; which lap comes next is the search's
//! business.

use std::sync::Arc;

use crate::plan::{AdjusterId, ByAdjuster, Dial, Step, Tune};
use crate::search::{Direction, Method, Proposal, Search, Task, Window};

use crate::session::state::{Due, Phase, Stage, TuneState};
use crate::session::{Answer, Ask, How, Mismatch, News, Session};

use super::Job;

/// Whether a position is at an end of what a tune may choose.
fn is_at_an_end(tune: &TuneState, at: u32) -> bool {
    [Direction::Up, Direction::Down].into_iter().any(|way| tune.window.room(at, way) == 0)
}

/// Begins a tune; `true` where something is asked now.
pub(super) fn enter(session: &mut Session, job: &Job) -> bool {
    let id = job.adjuster;
    let window = window(session, job);
    let out_of_laps = session.state.laps_left == Some(0);
    if window.low == window.high || out_of_laps {
        if out_of_laps {
            session.history.tell(News::KeptForLaps(job.adjuster));
        }
        keep(session, job.adjuster);
        session.state.step += 1;
        return false;
    }
    if session.must_fit_first() {
        return true;
    }
    session.history.begin_tune();
    let tune = TuneState { stage: Stage::Baseline, laps: 0, void: 0, since: None, window };
    if job.method != task(session, job, &tune, None).method(job.method) && job.again.is_none() {
        session.history.tell(News::Bracketed(job.adjuster));
    }
    if session.state.last_lap.as_ref() == Some(&session.state.at) {
        session.history.counts(session.history.ridden(), session.state.at[id]);
        after_baseline(session, job, tune);
        return !matches!(session.state.phase, Phase::Steps);
    }
    session.state.phase = Phase::Tune(tune);
    true
}

fn window(session: &Session, job: &Job) -> Window {
    let id = job.adjuster;
    let (at, top) = (session.state.at[id], session.state.seldom.tops[id].unwrap_or(0));
    match job.within {
        Some(reach) => Window { low: at.saturating_sub(reach), high: at.saturating_add(reach).min(top) },
        None => Window { low: 0, high: top },
    }
}

/// Says of an adjuster that it was kept, unless something else has changed it.
pub(in crate::session) fn keep(session: &mut Session, id: AdjusterId) {
    if let Some(ground) = session.history.ground_mut(id).filter(|ground| ground.how == How::Set) {
        ground.how = How::Unchanged;
    }
}

pub(in crate::session) fn can_ride(session: &Session, job: &Job, tune: &TuneState) -> bool {
    tune.left(job.at_most) > 0 && session.state.laps_left != Some(0)
}

pub(super) fn after_baseline(session: &mut Session, job: &Job, mut tune: TuneState) {
    let at = session.state.at[job.adjuster];
    if !can_ride(session, job, &tune) {
        settle(session, job, &tune, at, How::StoppedEarly);
        return;
    }
    let narrows = task(session, job, &tune, None).method(job.method) == Method::Narrow;
    let room = |direction| tune.window.room(at, direction);
    let forced = if room(Direction::Up) == 0 {
        Some(Direction::Down)
    } else if room(Direction::Down) == 0 {
        Some(Direction::Up)
    } else {
        job.first_way
    };
    if asks_way(session, job, &tune) {
        tune.stage = Stage::Way;
        session.state.phase = Phase::Tune(tune);
    } else if narrows && (is_at_an_end(&tune, at) || job.again.is_some()) {
        // nobody is asked where there is one way only; what the plan says of it is a hint
        let hint = job.first_way.filter(|way| job.again.is_none() && room(*way) > 0);
        search(session, job, tune, hint);
    } else if let Some(direction) = forced {
        search(session, job, tune, Some(direction));
    } else {
        let direction = roomier(session, job, &tune);
        search(session, job, tune, Some(direction));
    }
}

/// Whether a tune that begins where its adjuster is asks which way comes first: the plan does not say,
/// and there is room both ways. A second look never asks.
pub(in crate::session) fn asks_way(session: &Session, job: &Job, tune: &TuneState) -> bool {
    let at = session.state.at[job.adjuster];
    job.first_way.is_none() && job.again.is_none() && !is_at_an_end(tune, at)
}

pub(super) fn hear_way(
    session: &mut Session,
    job: &Job,
    tune: TuneState,
    ask: &Ask,
    answer: &Answer,
) -> Result<(), Mismatch> {
    let narrows = task(session, job, &tune, None).method(job.method) == Method::Narrow;
    let toward = match answer {
        Answer::Way(Some(way)) => {
            let adjuster = session.adjuster(job.adjuster);
            Some(adjuster.direction(*way).ok_or_else(|| session.unfit(ask, answer))?)
        }
        Answer::Way(None) | Answer::Done if narrows => None,
        Answer::Way(None) | Answer::Done => Some(roomier(session, job, &tune)),
        Answer::Felt(_)
        | Answer::Void
        | Answer::Rode(..)
        | Answer::Two(..)
        | Answer::SagAt(..)
        | Answer::Finish
        | Answer::RideAnyway
        | Answer::Trial
        | Answer::Skip
        | Answer::Which(_)
        | Answer::Told(_)
        | Answer::Text(_)
        | Answer::Unknown
        | Answer::Baseline => return Err(session.unfit(ask, answer)),
    };
    search(session, job, tune, toward);
    Ok(())
}

/// The way with more room; of two alike the one toward faster or softer.
fn roomier(session: &Session, job: &Job, tune: &TuneState) -> Direction {
    let opening = session.adjuster(job.adjuster).rising().opening();
    let at = session.state.at[job.adjuster];
    let room = |direction| tune.window.room(at, direction);
    if room(opening) >= room(opening.opposite()) { opening } else { opening.opposite() }
}

/// What the search is about.
pub(in crate::session) fn task(
    session: &Session,
    job: &Job,
    tune: &TuneState,
    toward: Option<Direction>,
) -> Task {
    let dial = session.dial(job.adjuster).filter(|_| job.within.is_none());
    let parts = session.plan.parts();
    Task {
        window: tune.window,
        start: session.state.at[job.adjuster],
        step: dial.map_or(1, crate::plan::Dial::step),
        apart: dial.map_or(1, crate::plan::Dial::apart),
        toward,
        effort: parts.effort,
        compare_twice: parts.compare_twice,
        again: job.again,
    }
}

fn search(session: &mut Session, job: &Job, tune: TuneState, toward: Option<Direction>) {
    let search = task(session, job, &tune, toward).begin(job.method, session.plan.memory());
    go_on(session, job, tune, search);
}

/// Rides the search's next proposal, or settles.
pub(in crate::session) fn go_on(session: &mut Session, job: &Job, mut tune: TuneState, search: Search) {
    match search.next() {
        Proposal::Settle(place) => {
            if is_trial_worth_it(session, job, &tune, &search) {
                tune.stage = Stage::Offer(search);
                session.state.phase = Phase::Tune(tune);
            } else {
                settle(session, job, &tune, place, How::FeltBest);
            }
        }
        Proposal::Ride { against, .. } if can_ride(session, job, &tune) => {
            baseline_first(session, &tune, against);
            tune.stage = Stage::Lap { search, retold: false };
            session.state.phase = Phase::Tune(tune);
        }
        Proposal::Ride { .. } => settle(session, job, &tune, search.settled(), How::StoppedEarly),
    }
}

/// Has a setting ridden again before a lap is compared with it, where that is due and laps are left.
pub(in crate::session) fn baseline_first(session: &mut Session, tune: &TuneState, against: u32) {
    if !tune.counts_at(against) && session.state.laps_left.is_none_or(|left| left > 1) {
        session.state.due.push(Due::Baseline(against));
    }
}

/// Whether a proof lap is offered: the place was never ridden, and a lap is left that no later step
/// may need.
fn is_trial_worth_it(session: &Session, job: &Job, tune: &TuneState, search: &Search) -> bool {
    let spare = || {
        session.state.laps_left.is_none_or(|left| {
            let later = session.plan.steps().iter().skip(session.state.step + 1);
            left > later.map(|step| super::most_laps(session, step)).sum()
        })
    };
    job.again.is_none() && !search.has_ridden_it() && can_ride(session, job, tune) && spare()
}

pub(in crate::session) fn settle(session: &mut Session, job: &Job, tune: &TuneState, place: u32, how: How) {
    let id = job.adjuster;
    session.state.at[id] = place;
    session.state.settle_due = session.state.fitted[id] != Some(place);
    session.state.phase = Phase::Steps;
    session.state.step += 1;
    if tune.ridden() == 0 {
        keep(session, job.adjuster);
        session.history.tell(News::Settled { adjuster: job.adjuster, at: place, how: How::Unchanged });
        return;
    }
    let looked_at_later = session.plan.steps().iter().skip(session.state.step);
    let adjuster = job.adjuster;
    if looked_at_later
        .into_iter()
        .any(|step| matches!(step, Step::Revisit { adjuster: later, .. } if *later == adjuster))
    {
        let stood = Arc::new(ByAdjuster::of(session.plan.bike(), |id| session.state.at[id]));
        Arc::make_mut(&mut session.state.seldom).stood[id] = Some(stood);
    }
    match job.again {
        Some(_) => session.history.settled_again(id, how),
        None => session.history.settled(id, how),
    }
    session.history.tell(News::Settled { adjuster: job.adjuster, at: place, how });
}

/// Settles a tune where it stands, by its rule.
pub(in crate::session) fn settle_now(session: &mut Session, tune: &TuneState) {
    let Some(job) = super::job(session) else { return };
    let (place, how) = match &tune.stage {
        Stage::Lap { search, .. } => (search.settled(), How::StoppedEarly),
        Stage::Second { search, rode, grade } => {
            (search.hear(*rode, *grade, None).settled(), How::StoppedEarly)
        }
        Stage::Offer(search) | Stage::Trial(search) => (search.settled(), How::FeltBest),
        Stage::Baseline | Stage::Way => (session.state.at[job.adjuster], How::StoppedEarly),
    };
    settle(session, &job, tune, place, how);
}

/// The most laps that a tune may still take, the present one among them.
pub(in crate::session) fn laps_to_go(session: &Session, tune: &TuneState) -> u32 {
    let Some(job) = super::job(session) else { return 0 };
    let either = || {
        let most = |direction| {
            task(session, &job, tune, Some(direction)).begin(job.method, session.plan.memory()).most_laps()
        };
        most(Direction::Up).max(most(Direction::Down))
    };
    let wished = match &tune.stage {
        Stage::Baseline => 1 + either(),
        Stage::Way => either(),
        Stage::Lap { search, .. } => search.most_laps(),
        Stage::Second { search, .. } => search.most_laps().saturating_sub(1),
        Stage::Offer(_) | Stage::Trial(_) => 1,
    };
    wished.min(tune.left(job.at_most)).min(session.state.laps_left.unwrap_or(u32::MAX))
}

/// What a step tunes.
pub(super) fn job(tune: &Tune) -> Job {
    let Tune { adjuster, method, first_way, within, at_most, feel: _ } = tune;
    Job {
        adjuster: *adjuster,
        method: *method,
        first_way: *first_way,
        within: *within,
        at_most: *at_most,
        again: None,
    }
}

/// The most laps that a tune which comes later may take, or somewhat more.
pub(super) fn most_laps(session: &Session, job: &Job) -> u32 {
    let top = session.state.seldom.tops[job.adjuster].unwrap_or(0);
    let width = job.within.map_or(top, |reach| top.min(reach * 2));
    let size = session.dial(job.adjuster).filter(|_| job.within.is_none());
    let steps = width.div_ceil(size.map_or(1, Dial::step));
    job.at_most.min(steps + 2)
}
