//! Owns how springs are spoken of: what is in them now, how sag is read, what came of it. The
//! procedure is common practice, no source.

use crate::physics::{Kind, Number, Unit, decimal, percent};
use crate::plan::{AdjusterId, Measure, Scale};
use crate::session::{Ask, Fit, Session, Short, Why};
use crate::vocabulary::{Knob, unit_word};

use super::page::Page;
use super::stand::{keys, stands};

/// Asks what is in a spring or tyre now.
pub(super) fn in_now(session: &Session, id: AdjusterId, page: &mut Page) {
    let adjuster = session.adjuster(id);
    page.head(&format!("In it now: {}", adjuster.name()));
    let Some(scale) = session.scale(id) else { return };
    match adjuster.knob {
        Knob::Coil => page.text("Which spring is fitted? Its rate is printed on it."),
        _ => page.text("The file names no start. What does the gauge say?"),
    }
    let choice = if scale.is_list() {
        let listed: Vec<String> = (0..=scale.top()).map(|position| scale.said(position)).collect();
        format!("Listed: {}.", listed.join(", "))
    } else {
        format!("From {}.", scale.said_range())
    };
    page.text(&format!("{choice} Answer like: {}", session.example(id)));
}

/// Asks for the sag at a setting.
pub(super) fn sag(session: &Session, ask: &Ask, place: &Fit, why: Why, page: &mut Page) {
    let Some(measure) = session.measuring() else { return };
    let number = Measure::MOST_READINGS + 1 - session.readings_to_go();
    let name = session.adjuster(place.adjuster).name();
    page.head(&format!("Sag, reading {number} of at most {}: {name}", Measure::MOST_READINGS));
    stands(session, place, page);
    if let Some(reason) = reason(session, measure, place, why) {
        page.text(&reason);
    }
    let air =
        session.scale(place.adjuster).and_then(Scale::unit).is_some_and(|unit| unit.kind() == Kind::Pressure);
    page.text(&aim(measure));
    if why == Why::First {
        page.text("Compression and lockout fully open.");
        if !air {
            coil_notes(session, measure, page);
        }
    }
    let cycle = if air { "Cycle it 5 to 10 times; then riding" } else { "Riding" };
    page.text(&format!(
        "{cycle} stance, full kit, no bounce. Read it twice: settled from deeper, then from shallower."
    ));
    page.text(&example(measure));
    page.keys(&keys(ask));
}

fn coil_notes(session: &Session, measure: &Measure, page: &mut Page) {
    let preload = measure.preload.and_then(|id| Some((session.dial(id)?.scale(), session.fitted_at(id)?)));
    match preload {
        Some((scale, at)) => page.text(&format!("Preload stays at {}.", scale.said(at))),
        None => page.text("The file has no preload in mm, so it counts as 0 here: leave it as it is."),
    }
}

/// How sag is read, in full, for those who ask.
pub(super) fn procedure(page: &mut Page) {
    const STEPS: [&str; 5] = [
        "Compression and lockout fully open: damping would hold the suspension up.",
        "After a change of pressure cycle the suspension 5 to 10 times through its middle, so that its chambers are even.",
        "Full kit, riding stance, standing still without bouncing; someone steadies the bike and reads.",
        "Friction holds it wherever it comes to rest: push it deeper and let it rise to rest, read; lift it and let it sink to rest, read again. The mean of the two cancels the friction.",
        "A first reading inside the aim ends it.",
    ];
    for step in STEPS {
        page.item(step);
    }
}

/// How an answer could look: about the aim, as finely as it is read.
fn example(measure: &Measure) -> String {
    let middle = (measure.aim() / measure.read_to).round() * measure.read_to;
    let mm = |number: Number| {
        format!("{} {}", Unit::Millimetre.figure(number), unit_word(Unit::Millimetre, false))
    };
    let (low, high) = (middle - measure.read_to, middle + measure.read_to);
    format!("Answer like: {} and {}; or one: {}", mm(high), mm(low), mm(middle))
}

/// The sag that is aimed at.
fn aim(measure: &Measure) -> String {
    let figure = |number: Number| Unit::Millimetre.figure(number);
    let mm =
        format!("{} to {} {}", figure(measure.low), figure(measure.high), unit_word(Unit::Millimetre, false));
    let share = |number: Number| measure.travel.and_then(|travel| percent(number, travel)).map(decimal);
    let common = if measure.silent { "; common practice, the file names none" } else { "" };
    match (share(measure.low), share(measure.high)) {
        (Some(low), Some(high)) => format!("Aim: {mm} ({low} to {high} %){common}"),
        _ => format!("Aim: {mm}{common}"),
    }
}

/// Why this reading is asked for, by what was read where the spring stands now.
fn reason(session: &Session, measure: &Measure, place: &Fit, why: Why) -> Option<String> {
    let now = place.from.and_then(|at| session.sag_read_at(at)).map(|sag| said(sag, measure.travel));
    Some(match why {
        Why::First => return None,
        Why::TooSoft => format!("{} was too much sag, so it goes firmer.", now?),
        Why::TooFirm => format!("{} was too little sag, so it goes softer.", now?),
        Why::Again => "This setting was read before: read it once more, to be sure of it.".to_owned(),
        Why::Contradiction => "The same setting once more: a firmer spring cannot sag further.".to_owned(),
    })
}

/// A sag in mm, and in percent where the travel is known.
pub(super) fn said(sag: Number, travel: Option<Number>) -> String {
    let mm = format!("{} {}", Unit::Millimetre.figure(sag), unit_word(Unit::Millimetre, false));
    let share = travel.and_then(|travel| percent(sag, travel)).map(decimal);
    share.map_or(mm.clone(), |share| format!("{mm} ({share} %)"))
}

/// Why the sag that was aimed at was not reached.
pub(super) fn short(session: &Session, id: AdjusterId, short: Short) -> String {
    let name = session.adjuster(id).name();
    let coil = session.adjuster(id).knob == Knob::Coil;
    match short {
        Short::FirmEnd if coil => {
            format!("{name}: no firmer spring is listed, and it still sags too far. A firmer one is needed.")
        }
        Short::SoftEnd if coil => format!(
            "{name}: no softer spring is listed, and it still sags too little. A softer one is needed."
        ),
        Short::NothingBetween if coil => {
            format!("{name}: of the springs that are listed none comes nearer to the aim.")
        }
        Short::FirmEnd => format!(
            "{name} is at the upper end of its range and still sags too far. Never go beyond the limit printed on the part: volume spacers or a service are the next thing to look at."
        ),
        Short::SoftEnd => format!(
            "{name} is at the lower end of its range and still sags too little: have volume spacers, friction and service looked at."
        ),
        Short::NothingBetween => {
            format!("{name}: no setting is left between one that is too soft and one that is too firm.")
        }
        Short::Readings if coil => format!("{name}: {} readings are used up.", Measure::MOST_READINGS),
        Short::Readings => format!(
            "{name}: {} readings are used up. Some air springs are hard to hit: a little air moves their sag a lot.",
            Measure::MOST_READINGS
        ),
    }
}
