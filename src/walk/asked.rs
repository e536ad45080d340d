//! Owns what is answered outside the tunes, and who decides it: the rider, or else the bike or the lot.
//! It knows nothing of what comes of it.

use crate::physics::Number;
use crate::plan::{AdjusterId, Reading, Setup};
use crate::session::{Answer, Ask, Later, OfPair, Session, Told};

use super::Set;

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
        Ask::Found(_) | Ask::Record(_) => one(&Answer::Unknown),
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
        Ask::Count(_) | Ask::Reference(_) | Ask::Way(_) | Ask::Lap { .. } | Ask::Proof { .. } => None,
    }
}

/// A ride after what comes before its steps, with these counts, by the place of the adjuster; `None`
/// where they do not fit the plan.
pub(super) fn counted(mut session: Session, counts: &[u32]) -> Option<Session> {
    loop {
        session = match session.ask() {
            Some(Ask::Found(_)) => session.answer(&Answer::Unknown).ok()?,
            Some(Ask::Count(id)) => {
                let Setup::Uncounted(uncounted) = &session.adjuster(id).setup else { return None };
                let count = Number::from_integer(counts.get(id.index()).copied().unwrap_or(1).into());
                session.answer(&Answer::Told(Told::Value(uncounted.by() * count, None))).ok()?
            }
            _ => return Some(session),
        }
    }
}

/// What can be in a spring or tyre: everything, where that makes a difference.
fn in_now(session: &Session, id: AdjusterId, later: &Later) -> Option<Vec<Session>> {
    let scale = session.scale(id)?;
    let middle = scale.top() / 2;
    let positions = if later.tells(id, session.step()) { 0..=scale.top() } else { middle..=middle };
    let told = positions.map(|position| match scale.reading(position) {
        Reading::Value(number, _) => Told::Value(number, None),
        Reading::Name(name) => Told::Name(name.to_owned()),
    });
    told.map(|told| session.answer(&Answer::Told(told)).ok()).collect()
}

/// Where a spring can end up: where it is, or anywhere else that makes a difference. How many readings
/// that takes is bounded, not walked.
fn measured(session: &Session, id: AdjusterId, later: &Later) -> Option<Vec<Session>> {
    let kept = session.answer(&Answer::Keep).ok()?;
    let (mut known, mut told) = (Set::default(), Vec::new());
    session.measured_as(later, id, session.stands_at(id), &mut told);
    known.insert(told.clone());
    let mut ways = vec![kept];
    for at in 0..=session.scale(id)?.top() {
        session.measured_as(later, id, at, &mut told);
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
