//! Owns a text that is shown: it is read, and the ride goes on.

use crate::session::{Ask, Session};

/// It asks at once, or what is due is fitted before.
pub(super) fn enter(session: &mut Session) -> bool {
    session.must_settle_first();
    true
}

pub(super) fn ask(text: &str) -> Ask {
    Ask::Say(text.to_owned())
}
