//! Owns a text that is shown: it is read, and the ride goes on.

use crate::session::{Ask, Session};

/// Asks at once, unless a setting is to be fitted first.
pub(super) fn enter(session: &mut Session) -> bool {
    session.must_settle_first();
    true
}

pub(super) fn ask(text: &str) -> Ask {
    Ask::Say(text.to_owned())
}
