//! Owns how a question is put: where the knob must stand first, then what to do and to compare
//! with, then the keys. It knows nothing of how the answer is read.

use crate::plan::{AdjusterId, Condition, Dial, Reading, Scale};
use crate::search::{Direction, Reason};
use crate::session::{Ask, Fit, Round, Session};
use crate::vocabulary::{End, Knob, capital, several, unit_word};

use super::Look;
use super::ends;
use super::page::Page;
use super::pairs;
use super::ruler::ruler;
use super::springs;
use super::stand::{keys, stands};
use super::stops;

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
        Ask::Stop { fit, short, sign } => stops::stop(session, ask, (fit, *short, *sign), &mut page),
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
        Ask::Lap { fit, against, round } => lap(session, ask, (fit, *against, *round), look, &mut page),
        Ask::Proof { fit, against } => proof(session, ask, (fit, *against), &mut page),
        Ask::Pairs { pairs, blind } => pairs::begin(session, ask, *pairs, *blind, &mut page),
        Ask::Swap { pair, second, fits, blind } => {
            pairs::swap(session, (*pair, *second, *blind), fits, &mut page);
        }
        Ask::FirstOfPair { pair, pairs } => pairs::first(session, ask, (*pair, *pairs), &mut page),
        Ask::Which { pair, pairs } => pairs::which(session, ask, (*pair, *pairs), &mut page),
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
    let look = if session.is_second_look() { ", a second look" } else { "" };
    format!("Lap {number}{left}: {}{look}", session.adjuster(id).name())
}

/// The middle of two positions: `10 clicks`, or `8 to 9 clicks` where it lies between two.
fn middle(scale: &Scale, one: u32, other: u32) -> String {
    let sum = one + other;
    if sum.is_multiple_of(2) { scale.said(sum / 2) } else { stretch(scale, sum / 2, sum / 2 + 1) }
}

/// The positions from one to another: `8 to 9 clicks`.
fn stretch(scale: &Scale, low: u32, high: u32) -> String {
    match (scale.reading(low), scale.reading(high)) {
        (Reading::Value(first, unit), Reading::Value(last, _)) => {
            let (first, last, said) = if first <= last { (first, last, high) } else { (last, first, low) };
            if first == last {
                scale.said(said)
            } else {
                format!("{} to {}", unit.figure(first), scale.said(said))
            }
        }
        _ => format!("{} to {}", scale.said(low), scale.said(high)),
    }
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
        Reason::Left(left) => {
            format!("Your answers leave {}; this lap parts it.", stretch(dial.scale(), left.low, left.high))
        }
        Reason::Telling { at, against } => {
            let beyond = if at > against { Direction::Up } else { Direction::Down };
            let (better, worse) = (way(beyond), way(beyond.opposite()));
            let middle = middle(dial.scale(), at, against);
            format!(
                "If better, the best is likely {better} than {middle}; if worse, {worse}; if the same, near it."
            )
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

/// What an earlier lap of the running tune was: `lap 3, at 14 clicks`.
fn earlier(session: &Session, dial: &Dial, at: u32) -> String {
    let lap = session.lap_at(at).map_or(String::new(), |lap| format!("lap {lap}, at "));
    format!("{lap}{}", dial.scale().said(at))
}

fn lap(
    session: &Session,
    ask: &Ask,
    (place, against, round): (&Fit, u32, Round),
    look: Look,
    page: &mut Page,
) {
    let id = place.adjuster;
    let Some(dial) = session.dial(id) else { return };
    let earlier = earlier(session, dial, against);
    if round == Round::Second {
        let lap = session.laps().len();
        page.head(&format!("Lap {lap}, a second question: {}", session.adjuster(id).name()));
        page.text(&format!("No new lap. How was lap {lap} against {earlier}?"));
        page.keys(&keys(ask));
        return;
    }
    page.head(&lap_title(session, id));
    stands(session, place, page);
    if let Some(reason) = session.reason().filter(|_| round == Round::First) {
        page.text(&why(dial, reason));
    }
    if let Some(near) = ends::near(session, ask) {
        page.text(&near);
    }
    let ride = if round == Round::Again { "Ride it once more." } else { "Ride it." };
    page.text(&format!("{ride} How was it against {earlier}?"));
    feel(session, page);
    page.text(&ruler(dial, against, place.to, Look { width: look.width.saturating_sub(2), ..look }));
    page.keys(&keys(ask));
}

fn proof(session: &Session, ask: &Ask, (place, against): (&Fit, u32), page: &mut Page) {
    let Some(dial) = session.dial(place.adjuster) else { return };
    page.head(&format!("{}: a proof lap?", session.adjuster(place.adjuster).name()));
    stands(session, place, page);
    page.text(&format!(
        "This is likely the best, and was not ridden yet. A lap there would be compared with {}.",
        earlier(session, dial, against)
    ));
    page.text("p rides it; Enter goes without.");
    page.keys(&keys(ask));
}
