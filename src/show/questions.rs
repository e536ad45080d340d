//! Owns how a question is put: where the knob must stand first, then what to do and to compare
//! with, then the keys. It knows nothing of how the answer is read.

use crate::plan::{AdjusterId, Condition, Dial, Scale};
use crate::search::{Direction, Reason};
use crate::session::{Ask, Fit, Session};
use crate::vocabulary::{End, Knob, capital, several, unit_word};

use super::Look;
use super::page::Page;
use super::ruler::ruler;
use super::springs;
use super::stand::{keys, stands};

/// A question in lines of at most the look's width.
#[must_use]
pub fn question(session: &Session, ask: &Ask, look: Look) -> Vec<String> {
    let mut page = Page::new(look.width);
    match ask {
        Ask::Found(id) => found(session, *id, &mut page),
        Ask::Count(id) => {
            page.head(&format!("Count: {}", session.adjuster(*id).name()));
            page.text("Close it gently, then count out to fully open. How many are there?");
            page.text(&format!("Answer like: {}", session.example(*id)));
        }
        Ask::InNow(id) => springs::in_now(session, *id, &mut page),
        Ask::Sag { fit, why } => springs::sag(session, ask, fit, *why, &mut page),
        Ask::Record(condition) => record(condition, &mut page),
        Ask::Say(text) => {
            page.head("Read this");
            page.text(text);
            page.text("Enter when it is done.");
        }
        Ask::Fit { fits, first } => fit(session, fits, *first, &mut page),
        Ask::Ride { laps, warm_up } => {
            let kind = if *warm_up { "Warm up" } else { "Ride" };
            page.head(&format!("{kind}: {}, no verdict", several(*laps as usize, "lap")));
            page.text("Enter when that is ridden.");
        }
        Ask::Reference(place) => {
            page.head(&lap_title(session, place.adjuster));
            stands(session, place, &mut page);
            page.text("Ride the lap that the next ones are compared with.");
            feel(session, &mut page);
            page.text("Enter when it is ridden.");
            page.keys(&keys(ask));
        }
        Ask::Way(id) => way(session, *id, &mut page),
        Ask::Lap { fit, against, again } => lap(session, ask, (fit, *against, *again), look, &mut page),
    }
    page.lines
}

fn found(session: &Session, id: AdjusterId, page: &mut Page) {
    page.head(&format!("As found: {}", session.adjuster(id).name()));
    let from = |end: Option<End>| end.map_or(String::new(), |end| format!(" from {}", end.word()));
    let setup = &session.adjuster(id).setup;
    let (unit, end) = (setup.unit(), setup.counted());
    match (unit, session.scale(id)) {
        (Some(unit), _) => {
            if session.adjuster(id).knob == Knob::Coil {
                page.text("Which spring is fitted? Its rate is printed on it.");
                page.text(&format!("Answer like: {}; or unknown.", session.example(id)));
                return;
            }
            let how = format!("At how many {}", unit_word(unit, false));
            page.text(&format!("{how}{} does it stand now?", from(end)));
            page.text("A number, or unknown.");
        }
        (None, scale) => {
            let names = scale.map_or(String::new(), Scale::listed_names);
            page.text(&format!("Where does it stand now: {names}?"));
            page.text("One of these, or unknown.");
        }
    }
}

fn record(condition: &Condition, page: &mut Page) {
    page.head(&format!("Note down: {}", condition.name()));
    let units: Vec<_> = condition.units().into_iter().map(|unit| unit_word(unit, false)).collect();
    if units.is_empty() {
        page.text("A few words, or unknown.");
    } else {
        page.text(&format!("A number with {}, or unknown.", units.join(" or ")));
    }
}

fn fit(session: &Session, fits: &[Fit], first: bool, page: &mut Page) {
    page.head(if first { "Set every adjuster" } else { "Set" });
    let (mut from_closed, mut from_open) = (false, false);
    for place in fits {
        let name = session.adjuster(place.adjuster).name();
        let Some(dial) = session.dial(place.adjuster) else { continue };
        let found = match session.found_at(place.adjuster) {
            Some(found) if found == place.to => ", as found".to_owned(),
            Some(found) => format!(", found at {}", dial.scale().said(found)),
            None => String::new(),
        };
        let change = place.from.and_then(|from| dial.change(from, place.to));
        let change = change.map_or(found, |change| format!(", {change} than now"));
        page.item(&format!("{name}: {}{change}", dial.scale().said_in_full(place.to)));
        from_closed |= dial.scale().counted() == Some(End::Closed);
        from_open |= dial.scale().counted() == Some(End::Open);
    }
    if first && from_closed {
        page.text("From closed: close it gently, then count out.");
    }
    if first && from_open {
        page.text("From open: open it fully, gently, then count in.");
    }
    page.text("Enter when it is done.");
}

fn lap_title(session: &Session, id: AdjusterId) -> String {
    let number = session.laps().len() + 1;
    let left = session.laps_to_go().map_or(String::new(), |laps| format!(", at most {laps} to go"));
    format!("Lap {number}{left}: {}", session.adjuster(id).name())
}

/// Why a lap is proposed, in a sentence.
fn why(dial: &Dial, reason: Reason) -> String {
    let way = |direction: Direction| dial.way(direction).word();
    match reason {
        Reason::First(direction) => format!("A first step {}.", way(direction)),
        Reason::Onward(direction) => format!("{} was better, so one step on.", capital(way(direction))),
        Reason::Plateau(_) => "It felt the same, so one step on, to find where that ends.".to_owned(),
        Reason::Turned(direction) => {
            let other = capital(way(direction.opposite()));
            format!("{other} was no better, so now {}, from the start.", way(direction))
        }
    }
}

fn feel(session: &Session, page: &mut Page) {
    if let Some(feel) = session.feel() {
        page.text(feel);
    }
}

fn way(session: &Session, id: AdjusterId, page: &mut Page) {
    let rising = session.adjuster(id).rising();
    page.head(&format!("{}: which way first?", session.adjuster(id).name()));
    if let (Some(dial), Some(at)) = (session.dial(id), session.fitted_at(id)) {
        page.text(&format!("It stands at {}.", dial.scale().said_in_full(at)));
    }
    let (rising, falling) = (rising.word(), rising.opposite().word());
    page.text(&format!("{rising}, {falling} or either; Enter for either."));
}

fn lap(
    session: &Session,
    ask: &Ask,
    (place, against, again): (&Fit, u32, bool),
    look: Look,
    page: &mut Page,
) {
    let id = place.adjuster;
    page.head(&lap_title(session, id));
    stands(session, place, page);
    let Some(dial) = session.dial(id) else { return };
    let earlier = session.lap_at(against).map_or(String::new(), |lap| format!("lap {lap}, at "));
    if let Some(reason) = session.reason().filter(|_| !again) {
        page.text(&why(dial, reason));
    }
    let once_more = if again { "Ride it once more." } else { "Ride it." };
    page.text(&format!("{once_more} How was it against {earlier}{}?", dial.scale().said(against)));
    feel(session, page);
    page.text(&ruler(dial, against, place.to, Look { width: look.width.saturating_sub(2), ..look }));
    page.keys(&keys(ask));
}
