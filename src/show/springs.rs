//! Owns how springs are spoken of: what is in them now, how sag is read, what came of it. The
//! procedure is common practice, no source.

use crate::physics::{Kind, Number, Unit, decimal, nearest, percent};
use crate::plan::{AdjusterId, Measure, Scale};
use crate::session::{Ask, Fit, Session, Sign, Truth, Why};
use crate::vocabulary::{Knob, unit_word};

use super::page::Page;
use super::prompt::{choices, stands};
use super::wanted;

/// Asks what is in a spring or tyre now.
pub(super) fn in_now(session: &Session, id: AdjusterId, page: &mut Page) {
    let adjuster = session.adjuster(id);
    page.head(&format!("Now: {}", adjuster.name()));
    let Some(scale) = session.scale(id) else { return };
    match adjuster.knob {
        Knob::Coil => page.text("Which spring is on the bike? The rate is printed on it."),
        _ => page.text("The bike's file gives no start. What does the gauge read?"),
    }
    let choice = if scale.is_list() {
        let listed: Vec<String> = (0..=scale.top()).map(|position| scale.said(position)).collect();
        format!("Choose from {}.", listed.join(", "))
    } else {
        format!("Range: {}.", scale.said_range())
    };
    page.text(&format!("{choice} For example: {}", wanted::example(session, id)));
}

/// Asks for the sag at a setting.
pub(super) fn sag(session: &Session, truth: &Truth, (ask, place, why): (&Ask, &Fit, Why), page: &mut Page) {
    let Some(measure) = session.measuring() else { return };
    let number = Measure::MOST_READINGS + 1 - session.readings_to_go();
    let name = session.adjuster(place.adjuster).name();
    page.head(&format!("Sag, reading {number}: {name}"));
    stands(session, truth, ask, place, page);
    if let Some(reason) = reason(session, measure, place, why) {
        page.text(&reason);
    }
    let changed = place.from.filter(|from| *from != place.to);
    let air =
        session.scale(place.adjuster).and_then(Scale::unit).is_some_and(|unit| unit.kind() == Kind::Pressure);
    page.text(&aim(measure));
    let in_full = session.is_first_measure();
    if why == Why::First && !air {
        coil_notes(session, measure, page);
    }
    if let Some(from) = changed {
        change_notes(session, measure, (place, from, air), page);
    }
    let open = if why == Why::First { "Set compression and lockout fully open. " } else { "" };
    let cycle = match (air, changed) {
        (true, Some(_)) => "Then get on in full kit",
        (true, None) => "Cycle it 5 to 10 times, then get on in full kit",
        (false, _) => "Get on in full kit",
    };
    let twice = if in_full {
        "Read twice: push down and let it rise, then lift and let it sink."
    } else {
        "Read after pushing down, and again after lifting."
    };
    page.text(&format!("{open}{cycle}, in your riding position, without bouncing. {twice}"));
    page.text(&example(measure));
    page.choices(choices(ask));
}

/// The preload where it stands, if the file has it in mm.
fn preload(session: &Session, measure: &Measure) -> Option<String> {
    let id = measure.preload?;
    Some(session.dial(id)?.scale().said(session.fitted_at(id)?))
}

fn coil_notes(session: &Session, measure: &Measure, page: &mut Page) {
    match preload(session, measure) {
        Some(preload) => page.text(&format!("Preload stays at {preload}.")),
        None => page.text("Leave the preload alone: the bike's file doesn't say how far it goes."),
    }
}

/// Whether the spring stood at one setting for all readings so far.
fn is_first_change(session: &Session, from: u32) -> bool {
    session.sag_readings().iter().all(|(at, _)| *at == from)
}

/// What is to be known before the spring is changed from where it was read.
fn change_notes(
    session: &Session,
    measure: &Measure,
    (place, from, air): (&Fit, u32, bool),
    page: &mut Page,
) {
    if let Some(doubt) = session.sag_read_at(from).and_then(|sag| doubt(measure, sag, air)) {
        page.text(doubt);
    }
    if air {
        // the reason is told once
        page.text(if is_first_change(session, from) {
            "Cycle it 5 to 10 times, read the gauge again and set the pressure again. Air moves between \
                the chambers, and the pump takes some each time you screw it on."
        } else {
            "Cycle it 5 to 10 times, read the gauge again and set the pressure again."
        });
        return;
    }
    let Some(scale) = session.scale(place.adjuster) else { return };
    if let Some(rate) = rate(session, scale, from) {
        page.text(&format!("{rate}; the nearest you have is {}.", scale.said(place.to)));
    }
    page.text(&match preload(session, measure) {
        Some(preload) => format!("Fit it so there's no play, with the same preload: {preload}."),
        None => {
            "Fit it, then turn the preload only until there's no play. Never go past the turns printed on \
                the part."
                .to_owned()
        }
    });
}

/// What to look for first where a sag is too far off to be the setting's alone.
fn doubt(measure: &Measure, sag: Number, air: bool) -> Option<&'static str> {
    let two = Number::from_integer(2);
    match Sign::of(measure, sag) {
        Sign::Bottomed if air => {
            Some("It used all its travel. Is there air in it? Look for a leak or damage first.")
        }
        Sign::Bottomed => Some("It used all its travel. Is the spring seated? Look for damage first."),
        Sign::TooLittle if sag * two < measure.aim() => {
            Some("That's very little sag. Check first: is the lockout open? Does anything stick?")
        }
        _ => None,
    }
}

/// The rate of coil that the sag at a position asks for: `Your reading asks for about 547 lb/in`.
pub(super) fn rate(session: &Session, scale: &Scale, at: u32) -> Option<String> {
    let (rate, unit) = (session.rate_asked_for(at)?, scale.unit()?);
    let rough = if rate < 100.0 { libm::round(rate * 10.0) / 10.0 } else { libm::round(rate) };
    Some(format!("By your reading you need about {} {}", decimal(nearest(rough)?), unit_word(unit)))
}

/// How sag is read, in full, for those who ask.
pub(super) fn procedure(page: &mut Page) {
    const STEPS: [&str; 5] = [
        "Set compression and lockout fully open; otherwise damping holds the bike up.",
        "After changing pressure, cycle the suspension 5 to 10 times through mid-travel, so the air \
            chambers even out. Then read the gauge again and set the pressure again.",
        "Stand still in full kit in your riding position. Someone else holds the bike and reads.",
        "Friction stops it in slightly different places. Push it down, let it rise and read; lift it, let \
            it sink and read again. The average takes out the friction.",
        "If the first reading is on target, you are done.",
    ];
    for step in STEPS {
        page.item(step);
    }
}

/// How an answer could look: about the aim, as finely as it is read.
fn example(measure: &Measure) -> String {
    let middle = (measure.aim() / measure.measured_to).round() * measure.measured_to;
    let (low, high) = (middle - measure.measured_to, middle + measure.measured_to);
    let figure = |number: Number| Unit::Millimetre.figure(number);
    format!("For example: {} and {}, or {}", figure(high), figure(low), mm(middle))
}

/// The sag that is aimed at.
fn aim(measure: &Measure) -> String {
    let figure = |number: Number| Unit::Millimetre.figure(number);
    let mm = format!("{} to {} {}", figure(measure.low), figure(measure.high), unit_word(Unit::Millimetre));
    let share = |number: Number| measure.travel.and_then(|travel| percent(number, travel)).map(decimal);
    let common = if measure.silent { " (common practice: the bike's file gives no target)" } else { "" };
    match (share(measure.low), share(measure.high)) {
        (Some(low), Some(high)) => format!("Target: {mm} ({low} to {high} %){common}"),
        _ => format!("Target: {mm}{common}"),
    }
}

/// Why this reading is asked for, by what was read where the spring stands now.
fn reason(session: &Session, measure: &Measure, place: &Fit, why: Why) -> Option<String> {
    let now = place.from.and_then(|at| session.sag_read_at(at)).map(|sag| said(sag, measure.travel));
    Some(match why {
        Why::First => return None,
        Why::TooSoft => format!("{} was too much sag, so go firmer.", now?),
        Why::TooFirm => format!("{} was too little sag, so go softer.", now?),
        Why::Again => "You have read this setting before. Read it again to be sure.".to_owned(),
        Why::Contradiction => "Read this setting again: a firmer spring can't sag more.".to_owned(),
    })
}

pub(super) fn mm(number: Number) -> String {
    format!("{} {}", Unit::Millimetre.figure(number), unit_word(Unit::Millimetre))
}

/// A sag in mm, and in percent where the travel is known.
pub(super) fn said(sag: Number, travel: Option<Number>) -> String {
    let mm = mm(sag);
    let share = travel.and_then(|travel| percent(sag, travel)).map(decimal);
    share.map_or(mm.clone(), |share| format!("{mm} ({share} %)"))
}
