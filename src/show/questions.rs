//! Owns how a question is put: where the knob must stand first, then what to do and to compare
//! with, then the keys. It knows nothing of how the answer is read.

use crate::physics::{Number, nearest};
use crate::plan::{AdjusterId, Condition, Dial, Reading, Scale};
use crate::rehearsal::minutes_left;
use crate::search::{Direction, Reason};
use crate::session::{Ask, Begun, Fit, Round, Session, Truth};
use crate::vocabulary::{End, Way, capital, said_minutes, several, unit_word};

use super::Look;
use super::before;
use super::ends;
use super::page::Page;
use super::pairs;
use super::prompt::{astray, change, choices, stands};
use super::ruler::ruler;
use super::springs;
use super::stops;
use super::wrap::wrapped;

/// A question in lines of at most the look's width.
#[must_use]
pub fn question(session: &Session, truth: &Truth, ask: &Ask, look: Look) -> Vec<String> {
    let mut page = Page::new(look.width);
    match ask {
        Ask::Before(id) => before::before(session, *id, &mut page),
        Ask::Count(id) => before::count(session, *id, &mut page),
        Ask::InNow(id) => springs::in_now(session, *id, &mut page),
        Ask::Sag { fit, why } => springs::sag(session, truth, (ask, fit, *why), &mut page),
        Ask::Stop { fit, short, sign } => stops::stop(session, ask, (fit, *short, *sign), &mut page),
        Ask::Record(condition) => record(condition, &mut page),
        Ask::Say(text) => {
            page.head("Before you go on");
            page.text(text);
            page.text("Press Enter when done.");
        }
        Ask::Fit { fits, first } => fit(session, truth, (ask, fits, *first), &mut page),
        Ask::Ride { laps, warm_up } => {
            let kind = if *warm_up { "Warm-up" } else { "Ride" };
            page.head(&format!("{kind}: {}, nothing to judge", several(*laps as usize, "lap")));
            astray(session, truth, ask, &mut page);
            page.text(if truth.is_ridden(session, ask) {
                "You have ridden it already: press Enter."
            } else {
                "Press Enter when you are back."
            });
        }
        Ask::Baseline(place) => {
            page.head(&lap_title(session, place.adjuster, Round::First));
            stands(session, truth, ask, place, &mut page);
            second_look(session, &mut page);
            if truth.is_ridden(session, ask) {
                page.text("You have ridden it already: press Enter.");
            } else {
                page.text("Ride a baseline lap: you compare the next laps with this one.");
                feel(session, &mut page);
                page.text("Press Enter after the lap.");
            }
            page.choices(choices(ask));
        }
        Ask::Way(id) => way(session, *id, &mut page),
        Ask::Lap { fit, against, round } => {
            lap(session, truth, (ask, fit, *against, *round), look, &mut page);
        }
        Ask::Trial { fit, against } => proof(session, truth, (ask, fit, *against), &mut page),
        Ask::Pairs { pairs, blind } => pairs::begin(session, ask, *pairs, *blind, &mut page),
        Ask::Swap { pair, lap, fits, blind } => {
            pairs::swap(session, (*pair, *lap, *blind), fits, &mut page);
        }
        Ask::FirstOfPair { pair, pairs } => pairs::first(session, truth, (ask, *pair, *pairs), &mut page),
        Ask::Which { pair, pairs } => pairs::which(session, truth, (ask, *pair, *pairs), &mut page),
    }
    if let Some(begun) = session.begun() {
        // above the heading, below the empty line
        page.lines.splice(1..1, wrapped(&progress(session, begun), look.width, "", "  "));
    }
    page.lines
}

/// How far the ride is, and about how long the rest takes: `Step 4 of 9, about 1 h 10 min left.`
fn progress(session: &Session, begun: Begun) -> String {
    let left = minutes_left(session).and_then(nearest).map_or(String::new(), |minutes| {
        // nobody plans by single minutes beyond half an hour
        let to = Number::from_integer(if minutes > Number::from_integer(30) { 5 } else { 1 });
        format!(", about {} left", said_minutes((minutes / to).round() * to))
    });
    format!("Step {} of {}{left}.", begun.number, begun.of)
}

fn record(condition: &Condition, page: &mut Page) {
    page.head(&format!("Note down: {}", condition.name()));
    let units: Vec<_> = condition.units().into_iter().map(|unit| unit_word(unit)).collect();
    match units.first() {
        None => page.text("Type a few words, or unknown."),
        Some(first) => page
            .text(&format!("Type a number with {}, such as `18 {first}`, or unknown.", units.join(" or "))),
    }
}

fn fit(session: &Session, truth: &Truth, (ask, fits, first): (&Ask, &[Fit], bool), page: &mut Page) {
    page.head(if first { "Set the bike" } else { "Now set" });
    let counted = |end| {
        let from = |fit: &Fit| session.dial(fit.adjuster).and_then(|dial| dial.scale().counted());
        fits.iter().any(|fit| from(fit) == Some(end))
    };
    // where all are counted from closed, that is said once, below
    let from_closed = first && counted(End::Closed) && !counted(End::Open);
    let mut items = Vec::new();
    for place in fits {
        let name = session.adjuster(place.adjuster).name();
        let Some(dial) = session.dial(place.adjuster) else { continue };
        let found = match session.before_at(place.adjuster) {
            // a tyre before a new baseline: it may have lost air
            _ if !first => ", check the gauge".to_owned(),
            Some(found) if found == place.to => ", stays".to_owned(),
            Some(found) => format!(", was {}", figure(dial.scale(), found)),
            None => String::new(),
        };
        let may_be = truth.may_be(place.adjuster);
        let change =
            if may_be.is_none() && place.from.is_none() { found } else { change(dial, place, may_be) };
        let said = if from_closed { Scale::said } else { Scale::said_in_full };
        items.push(format!("{name}: {}{change}", said(dial.scale(), place.to)));
    }
    page.items(&items);
    astray(session, truth, ask, page);
    if from_closed {
        page.text("Count from closed (close it gently).");
    } else if first && counted(End::Closed) {
        page.text("From closed: turn it gently to fully closed, then count clicks out.");
    }
    if first && counted(End::Open) {
        page.text("From open: turn it gently to fully open, then count clicks in.");
    }
    page.text("Press Enter when done.");
}

/// A position as its number or name alone.
fn figure(scale: &Scale, position: u32) -> String {
    match scale.reading(position) {
        Reading::Value(number, unit) => unit.figure(number),
        Reading::Name(name) => name.to_owned(),
    }
}

fn lap_title(session: &Session, id: AdjusterId, round: Round) -> String {
    let number = session.laps().len() + 1;
    let left = match session.laps_to_go() {
        // a repeat is none of the laps that were counted
        _ if round == Round::Again => ", again".to_owned(),
        None => String::new(),
        Some(..=1) => ", the last one".to_owned(),
        Some(laps) => format!(", up to {} more", laps - 1),
    };
    let look = if session.is_second_look() { ", second look" } else { "" };
    format!("Lap {number}: {}{look}{left}", session.adjuster(id).name())
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

/// Why a lap is proposed, in a sentence, where that is not plain.
fn why(dial: &Dial, reason: Reason, (place, against): (&Fit, u32)) -> Option<String> {
    let way = |direction: Direction| dial.way(direction).word();
    Some(match reason {
        // that it is a first step is plain
        Reason::First(_) => return None,
        // the same setting again, as its lap was void: no step
        Reason::Onward(_) | Reason::Plateau(_) | Reason::Turned(_) if place.from == Some(place.to) => {
            return None;
        }
        Reason::Onward(direction) => {
            format!("{} was better, so go one step further.", capital(way(direction)))
        }
        Reason::Plateau(_) => {
            "It felt the same, so go one step further, until you notice a change.".to_owned()
        }
        Reason::Turned(direction) => {
            let other = capital(way(direction.opposite()));
            format!("{other} was no better, so try {} from {}.", way(direction), dial.scale().said(against))
        }
        Reason::Left(left) => {
            format!(
                "Your answers point to {}; this lap splits that in two.",
                stretch(dial.scale(), left.low, left.high)
            )
        }
        Reason::Telling { at, against } => {
            let beyond = if at > against { Direction::Up } else { Direction::Down };
            let (better, worse) = (way(beyond), way(beyond.opposite()));
            let middle = middle(dial.scale(), at, against);
            format!(
                "Better would point to {better} than {middle}, worse to {worse}, the same to close to it."
            )
        }
    })
}

/// Why a second look is held, where it begins: what has moved since.
fn second_look(session: &Session, page: &mut Page) {
    if session.begun().is_none() {
        return;
    }
    let moved = session.moved_since().into_iter().filter_map(|(id, then, now)| {
        let dial = session.dial(id)?;
        Some(format!("{} is {}", session.adjuster(id).name(), dial.change(then, now)?))
    });
    let moved: Vec<String> = moved.collect();
    if !moved.is_empty() {
        page.text(&format!("Why again: since you tuned it, {}.", moved.join(", ")));
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
        page.text(&format!("Now: {}.", dial.scale().said_in_full(at)));
    }
    let said = [rising.opposite(), rising].map(Way::word);
    page.text(&format!("Type {}, or press Enter if you don't mind.", said.join(" or ")));
}

/// What an earlier lap of the running tune was: `lap 3, at 14 clicks`.
fn earlier(session: &Session, dial: &Dial, at: u32) -> String {
    let lap = session.lap_at(at).map_or(String::new(), |lap| format!("lap {lap}, at "));
    format!("{lap}{}", dial.scale().said(at))
}

fn lap(
    session: &Session,
    truth: &Truth,
    (ask, place, against, round): (&Ask, &Fit, u32, Round),
    look: Look,
    page: &mut Page,
) {
    let id = place.adjuster;
    let Some(dial) = session.dial(id) else { return };
    let earlier = earlier(session, dial, against);
    if round == Round::Second {
        let lap = session.laps().len();
        page.head(&format!("Lap {lap}, one more comparison: {}", session.adjuster(id).name()));
        page.text(&format!("Don't ride again. Was lap {lap} better or worse than {earlier}?"));
        page.choices(choices(ask));
        return;
    }
    page.head(&lap_title(session, id, round));
    stands(session, truth, ask, place, page);
    second_look(session, page);
    let reason = session.reason().filter(|_| round == Round::First);
    if let Some(why) = reason.and_then(|reason| why(dial, reason, (place, against))) {
        page.text(&why);
    }
    if let Some(near) = ends::near(session, ask) {
        page.text(&near);
    }
    let ride = match round {
        _ if truth.is_ridden(session, ask) => "You have ridden it already.",
        Round::Again => "Ride it again.",
        Round::First | Round::Second | Round::Trial => "Ride it.",
    };
    page.text(&format!("{ride} Was it better or worse than {earlier}?"));
    feel(session, page);
    page.text(&ruler(dial, against, place.to, Look { width: look.width.saturating_sub(2), ..look }));
    page.choices(choices(ask));
}

fn proof(session: &Session, truth: &Truth, (ask, place, against): (&Ask, &Fit, u32), page: &mut Page) {
    let Some(dial) = session.dial(place.adjuster) else { return };
    page.head(&format!("{}: ride a trial lap?", session.adjuster(place.adjuster).name()));
    stands(session, truth, ask, place, page);
    page.text(&format!(
        "This may be your best setting, but you haven't ridden it. If you do, you compare it with {}.",
        earlier(session, dial, against)
    ));
    page.text("Type t to ride it, or press Enter to skip it.");
    page.choices(choices(ask));
}
