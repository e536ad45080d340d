//! Owns a second, short look at what was tuned: whether it is due. It goes on as a tune.

use crate::plan::AdjusterId;
use crate::search::{Method, SecondLook};

use crate::session::{News, Session, WhyNot};

use super::{Job, tune};

/// Why there is no second look where one is due; `None` where there is one.
fn why_not(session: &Session, id: AdjusterId) -> Option<WhyNot> {
    let Some(stood) = &session.state.seldom.stood[id] else {
        return Some(WhyNot::NotTuned);
    };
    let mut others = session.ids().filter(|other| *other != id);
    let moved = others.any(|other| SecondLook::has_moved(stood[other], session.state.at[other]));
    (!moved).then_some(WhyNot::NothingMoved)
}

/// Begins a second look, where it is due; `true` where something is asked now.
pub(super) fn enter(session: &mut Session, id: AdjusterId, method: Method) -> bool {
    if let Some(why) = why_not(session, id) {
        session.history.tell(News::NotAgain { adjuster: id, why });
        session.state.step += 1;
        return false;
    }
    tune::enter(session, &job(session, id, method))
}

/// What a second look tunes.
pub(super) fn job(session: &Session, adjuster: AdjusterId, method: Method) -> Job {
    let look = SecondLook::at(session.state.seldom.tops[adjuster].unwrap_or(0));
    Job {
        adjuster,
        method,
        first_way: None,
        within: Some(look.reach),
        at_most: look.at_most,
        again: Some(look),
    }
}
