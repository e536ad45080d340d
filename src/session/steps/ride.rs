//! Owns laps that nobody judges: how many fit, and that they were ridden.

use crate::session::state::Phase;
use crate::session::{Ask, News, Session};

pub(super) fn enter(session: &mut Session, asked: u32) -> bool {
    let ridden = session.laps_that_fit(asked);
    if ridden > 0 && session.unfitted() {
        session.state.phase = Phase::Fit;
        return true;
    }
    if ridden < asked {
        session.history.tell(News::RideCut { asked, ridden });
    }
    if ridden == 0 {
        session.state.step += 1;
    }
    ridden > 0
}

pub(in crate::session) fn hear(session: &mut Session, laps: u32) {
    session.ride(laps);
    session.state.last_lap = Some(session.state.at.clone());
    session.state.step += 1;
}

pub(super) fn ask(session: &Session, laps: u32, warm_up: bool) -> Ask {
    Ask::Ride { laps: session.laps_that_fit(laps), warm_up }
}
