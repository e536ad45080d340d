//! Owns a step that has an adjuster put somewhere: it asks nothing itself.

use crate::plan::{AdjusterId, Goal};

use crate::session::{How, News, Session};

pub(super) fn enter(session: &mut Session, id: AdjusterId, goal: Goal) {
    if session.dials[id].is_some() {
        let (at, cut) = session.reach(id, goal, session.state.at[id]);
        session.state.at[id] = at;
        if let Some(ground) = session.history.ground_mut(id) {
            ground.how = How::Set;
            ground.laps.clear();
            ground.ridden_anyway = false;
            ground.confirmed = None;
        }
        if cut {
            session.history.tell(News::StoppedAtEnd { adjuster: id, at });
        }
        if goal == Goal::Before && session.before(id).is_none() {
            session.history.tell(News::BeforeUnknown { adjuster: id, at });
        }
    }
    session.state.step += 1;
}
