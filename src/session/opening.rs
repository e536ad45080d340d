//! Owns what comes before the first step: how the bike was found, counting, what is in a spring or tyre now. It knows
//! nothing of how the steps are ridden.

use std::sync::Arc;

use num_traits::Zero;

use crate::physics::Number;
use crate::plan::{AdjusterId, Setup, Uncounted};

use super::state::Phase;
use super::{Answer, Ask, Mismatch, News, Session, Stated};

pub(super) fn hear_before(session: &mut Session, id: AdjusterId, answer: &Answer) -> Result<(), Mismatch> {
    let told = match answer {
        Answer::Unknown => None,
        Answer::Told(told) => Some(told.clone()),
        Answer::Text(name) => Some(Stated::Name(name.clone())),
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
        | Answer::Baseline => return Err(session.unfit(&Ask::Before(id), answer)),
    };
    let checked = match (&told, &session.adjuster(id).setup) {
        (None, _) => None,
        (Some(Stated::Value(number, unit)), Setup::Uncounted(uncounted)) => {
            let fits = unit.is_none_or(|unit| unit == uncounted.unit()) && on_grid(*number, uncounted);
            if !fits {
                return Err(session.unfit(&Ask::Before(id), answer));
            }
            Some(Stated::Value(*number, Some(uncounted.unit())))
        }
        (Some(told), _) => {
            let position = session.position(id, told)?;
            let said = session.scale(id).map(|scale| match scale.reading(position) {
                crate::plan::Reading::Value(number, unit) => Stated::Value(number, Some(unit)),
                crate::plan::Reading::Name(name) => Stated::Name(name.to_owned()),
            });
            said.or(Some(told.clone()))
        }
    };
    Arc::make_mut(&mut session.state.seldom).before[id] = checked;
    session.state.phase = Phase::Before(id.index() + 1);
    Ok(())
}

/// Takes what was found in a spring or tyre as what is in it now, where that was recorded.
pub(super) fn before_is_in_it(session: &mut Session, id: AdjusterId) -> bool {
    let Some(told) = session.state.seldom.before[id].clone() else { return false };
    hear_in_now(session, id, &told).is_ok()
}

/// Hears what is in a spring or tyre now: it starts there.
pub(super) fn hear_in_now(session: &mut Session, id: AdjusterId, told: &Stated) -> Result<(), Mismatch> {
    let plan = Arc::clone(&session.plan);
    let Setup::Unstarted(dial) = &plan.bike().get(id).setup else {
        return Err(Mismatch::StartedAlready);
    };
    let position = session.position(id, told)?;
    session.state.at[id] = position;
    Arc::make_mut(&mut session.dials)[id] = Some(Arc::new(dial.clone().starting_at(position)));
    session.state.phase = Phase::InNow(id.index() + 1);
    Ok(())
}

/// Hears how many positions an adjuster was from its end, counted on the way there, and how many it has.
pub(super) fn hear_before_and_count(
    session: &mut Session,
    id: AdjusterId,
    (found, told): (&Stated, &Stated),
    answer: &Answer,
) -> Result<(), Mismatch> {
    if session.before(id).is_some() {
        return Err(Mismatch::FoundAlready(Box::new(answer.clone())));
    }
    hear_before(session, id, &Answer::Told(found.clone()))
        .map_err(|_| session.unfit(&Ask::Count(id), answer))?;
    if let (Stated::Value(first, _), Stated::Value(second, _)) = (found, told)
        && first > second
    {
        return Err(Mismatch::BeforeBeyond { before: boxed(found), count: boxed(told) });
    }
    hear_count(session, id, told)
}

pub(super) fn hear_count(session: &mut Session, id: AdjusterId, told: &Stated) -> Result<(), Mismatch> {
    let plan = Arc::clone(&session.plan);
    let Setup::Uncounted(uncounted) = &plan.bike().get(id).setup else {
        return Err(Mismatch::CountedAlready);
    };
    let refused = || session.unfit(&Ask::Count(id), &Answer::Told(told.clone()));
    let Stated::Value(count, unit) = told else { return Err(refused()) };
    if unit.is_some_and(|unit| unit != uncounted.unit()) {
        return Err(refused());
    }
    let no_count = || Mismatch::NoCount { adjuster: id, told: boxed(told) };
    let top = uncounted.top_of(*count).ok_or_else(no_count)?;
    if let Some(found @ Stated::Value(number, _)) = &session.state.seldom.before[id]
        && number > count
    {
        return Err(Mismatch::CountBelowBefore { before: boxed(found), count: boxed(told) });
    }
    let beyond = plan.steps().iter().find_map(|step| step.value_set(id).filter(|value| value > count));
    if let Some(value) = beyond {
        let wanted = Box::new(value);
        return Err(Mismatch::CountBelowPlan { adjuster: id, wanted, count: boxed(told) });
    }
    let Some((dial, cut)) = uncounted.dial(top) else { return Err(refused()) };
    Arc::make_mut(&mut session.state.seldom).tops[id] = Some(top);
    session.state.at[id] = dial.start();
    if cut {
        if let Some(ground) = session.history.ground_mut(id) {
            ground.start_cut = true;
        }
        session.history.tell(News::StartCut { adjuster: id, at: dial.start() });
    }
    Arc::make_mut(&mut session.dials)[id] = Some(Arc::new(dial));
    session.state.phase = Phase::Count(id.index() + 1);
    Ok(())
}

fn boxed(told: &Stated) -> Box<Stated> {
    Box::new(told.clone())
}

/// Whether a number is a whole number of positions from 0 to the most that a count may give.
fn on_grid(number: Number, uncounted: &Uncounted) -> bool {
    let positions = number / uncounted.by();
    let most = Number::from_integer(Uncounted::MOST.into());
    positions.is_integer() && (Number::zero()..=most).contains(&positions)
}
