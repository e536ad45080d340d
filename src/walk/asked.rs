//! Owns what is answered outside the tunes, and who decides it: the rider, or else the bike or the lot; and whether
//! what any question asks for is within the range. It knows nothing of what comes of it.

use crate::physics::Number;
use crate::plan::{AdjusterId, FewByAdjuster, Reading, Scale, Setup};
use crate::session::{Answer, Ask, Fit, OfPair, Session, Stated};

use super::Distinct;
use super::future::measured_as;
use super::needs::Later;

/// Who decides which way a ride goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// Each way is a sequence of its own.
    Rider,
    /// The bike, or the lot: the worst way counts, and there are no more sequences for it.
    Chance,
}

/// Where a question outside a tune leads; `None` where it cannot be answered.
pub(super) fn leads(session: &Session, ask: &Ask, later: &Later) -> Option<(By, Vec<Session>)> {
    let one = |answer: &Answer| Some((By::Rider, vec![session.answer(answer).ok()?]));
    match ask {
        Ask::Before(id) => {
            let found = found(session, *id, later, 0).into_iter();
            Some((By::Chance, found.map(|answer| session.answer(&answer).ok()).collect::<Option<_>>()?))
        }
        Ask::Record(_) => one(&Answer::Unknown),
        Ask::Say(_) | Ask::Fit { .. } | Ask::Ride { .. } | Ask::Swap { .. } | Ask::FirstOfPair { .. } => {
            one(&Answer::Done)
        }
        Ask::Stop { .. } => one(&Answer::RideAnyway),
        Ask::InNow(id) => Some((By::Chance, in_now(session, *id, later)?)),
        Ask::Sag { fit, .. } => Some((By::Chance, measured(session, fit.adjuster, later)?)),
        Ask::Pairs { .. } => Some((By::Chance, drawn(session, later)?)),
        Ask::Which { .. } => {
            let either = [OfPair::First, OfPair::Second].map(Answer::Which);
            let either = either.iter().map(|which| session.answer(which).ok());
            Some((By::Rider, either.collect::<Option<_>>()?))
        }
        // counts are given to a walk, and tunes are walked by themselves
        Ask::Count(_) | Ask::Baseline(_) | Ask::Way(_) | Ask::Lap { .. } | Ask::Trial { .. } => None,
    }
}

/// The rides after what comes before their steps, with these counts: one, or one
/// for each way in which the bike can have been found that makes a difference.
pub(super) fn counted(
    session: Session,
    counts: &FewByAdjuster<u32>,
    later: &Later,
) -> Result<Vec<Session>, NotWalked> {
    let mut sessions = vec![session];
    while let Some((first, ask)) = sessions.first().and_then(|first| Some((first, first.ask()?))) {
        let answers = match ask {
            Ask::Before(id) => found(first, id, later, counts[id]),
            Ask::Count(id) => match &first.adjuster(id).setup {
                Setup::Uncounted(uncounted) => {
                    let count = Number::from_integer(counts[id].into());
                    vec![Answer::Told(Stated::Value(uncounted.by() * count, None))]
                }
                Setup::Known(_) | Setup::Unstarted(_) => return Err(NotWalked::Unfit),
            },
            Ask::InNow(_)
            | Ask::Sag { .. }
            | Ask::Stop { .. }
            | Ask::Record(_)
            | Ask::Say(_)
            | Ask::Fit { .. }
            | Ask::Ride { .. }
            | Ask::Baseline(_)
            | Ask::Way(_)
            | Ask::Lap { .. }
            | Ask::Trial { .. }
            | Ask::Pairs { .. }
            | Ask::Swap { .. }
            | Ask::FirstOfPair { .. }
            | Ask::Which { .. } => break,
        };
        if sessions.len() * answers.len() > MOST_FOUND {
            return Err(NotWalked::TooMany);
        }
        let next = sessions.iter().flat_map(|session| answers.iter().map(|answer| session.answer(answer)));
        sessions = next.collect::<Result<_, _>>().map_err(|_| NotWalked::Unfit)?;
    }
    Ok(sessions)
}

/// The most ways together in which a bike can have been found that are walked.
const MOST_FOUND: usize = 1_000;

/// Why a ride with some counts is not walked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum NotWalked {
    /// The counts do not fit the plan.
    Unfit,
    /// There are too many ways in which the bike can have been found.
    TooMany,
}

/// How an adjuster can have been found: anywhere, where that makes a difference, and unknown.
fn found(session: &Session, id: AdjusterId, later: &Later, count: u32) -> Vec<Answer> {
    let mut answers = vec![Answer::Unknown];
    if !later.tells_found(id, session.step()) {
        return answers;
    }
    match (session.scale(id), &session.adjuster(id).setup) {
        (Some(scale), _) => {
            answers.extend((0..=scale.top()).map(|position| Answer::Told(told(scale, position))));
        }
        (None, Setup::Uncounted(uncounted)) => answers.extend((0..=count).map(|position| {
            Answer::Told(Stated::Value(uncounted.by() * Number::from_integer(position.into()), None))
        })),
        (None, _) => {}
    }
    answers
}

fn told(scale: &Scale, position: u32) -> Stated {
    match scale.reading(position) {
        Reading::Value(number, _) => Stated::Value(number, None),
        Reading::Name(name) => Stated::Name(name.to_owned()),
    }
}

/// What can be in a spring or tyre: everything, where that makes a difference.
fn in_now(session: &Session, id: AdjusterId, later: &Later) -> Option<Vec<Session>> {
    let scale = session.scale(id)?;
    let middle = scale.top() / 2;
    let positions = if later.tells(id, session.step()) { 0..=scale.top() } else { middle..=middle };
    positions.map(|position| session.answer(&Answer::Told(told(scale, position))).ok()).collect()
}

/// Where a spring can end up: where it is, or anywhere else that makes a difference. How many readings
/// that takes is bounded, not walked.
fn measured(session: &Session, id: AdjusterId, later: &Later) -> Option<Vec<Session>> {
    let kept = session.answer(&Answer::Finish).ok()?;
    let (mut known, mut told) = (Distinct::default(), Vec::new());
    measured_as(session, later, id, session.stands_at(id), &mut told);
    known.insert(told.clone());
    let mut ways = vec![kept];
    for at in 0..=session.scale(id)?.top() {
        measured_as(session, later, id, at, &mut told);
        if !known.contains(&told) {
            ways.push(session.measured_at(at)?);
            known.insert(told.clone());
        }
    }
    Some(ways)
}

/// Pairs in either order of the last one, where it makes a difference on which of its settings the bike
/// is then.
fn drawn(session: &Session, later: &Later) -> Option<Vec<Session>> {
    let otherwise = if later.fits(session.step() + 1) { session.drawn_otherwise() } else { None };
    let drawn = std::iter::once(session).chain(otherwise.as_ref());
    drawn.map(|session| session.answer(&Answer::Done).ok()).collect()
}

/// Whether every setting that is asked for is one that the bike has.
pub(super) fn is_within_range(session: &Session, ask: &Ask) -> bool {
    let within = |fit: &Fit| session.dial(fit.adjuster).is_some_and(|dial| fit.to <= dial.scale().top());
    match ask {
        Ask::Fit { fits, .. } | Ask::Swap { fits, .. } => fits.iter().all(within),
        Ask::Baseline(fit)
        | Ask::Lap { fit, .. }
        | Ask::Sag { fit, .. }
        | Ask::Stop { fit, .. }
        | Ask::Trial { fit, .. } => within(fit),
        Ask::Before(_)
        | Ask::Count(_)
        | Ask::InNow(_)
        | Ask::Record(_)
        | Ask::Say(_)
        | Ask::Ride { .. }
        | Ask::Way(_)
        | Ask::Pairs { .. }
        | Ask::FirstOfPair { .. }
        | Ask::Which { .. } => true,
    }
}
