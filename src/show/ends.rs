//! Owns what is said of a setting at or near an end of its range, and what it may mean that a damper
//! settles there. The explanations are common practice, no source.

use crate::plan::{AdjusterId, Dial};
use crate::session::{Ask, Session};
use crate::vocabulary::{End, Family};

/// Whether both ends of a range are those of the knob itself: it is counted from nought.
fn is_whole(dial: &Dial) -> bool {
    dial.scale().counted().is_some() && dial.scale().grid_by().is_some()
}

/// That a proposed setting is at an end of its range or next to it, the first time in a tune.
pub(super) fn near(session: &Session, ask: &Ask) -> Option<String> {
    let near = session.near_end(ask)?;
    let dial = session.dial(ask.adjuster()?)?;
    let end = match is_whole(dial) {
        true if near.end == dial.end(End::Closed) => "fully closed",
        true => "fully open",
        false => "the end of its range",
    };
    Some(match near.away {
        0 => format!("That is {end}."),
        away => format!("That is {} from {end}.", dial.scale().amount(away)),
    })
}

/// What it may mean that a damper settles at an end of its range; `None` elsewhere.
pub(super) fn settled(session: &Session, id: AdjusterId, at: u32) -> Option<String> {
    let dial = session.dial(id)?;
    dial.scale().counted()?;
    let closed = at == dial.end(End::Closed);
    if !closed && at != dial.end(End::Open) {
        return None;
    }
    let meaning = match (session.adjuster(id).family(), closed) {
        (Family::Rebound, true) => {
            "That is its slowest setting. If it still feels too fast, the spring may be too firm or the damper may need a service: ask a workshop."
        }
        (Family::Rebound, false) => {
            "That is its fastest setting. If it still feels too slow, the spring may be too soft or the damper may need fresh oil: ask a workshop."
        }
        (Family::Compression, true) => {
            "That is its firmest setting. If it still feels too soft, the spring may be too soft or the damper may need a service: ask a workshop."
        }
        (Family::Compression, false) => {
            "That is its softest setting. If it still feels harsh, the spring may be too firm, or the damper may be made for a heavier rider: ask a workshop."
        }
        _ => return None,
    };
    let narrow = if is_whole(dial) { "" } else { " If the knob turns further, widen its range in the file." };
    Some(format!("{meaning}{narrow}"))
}
