//! Owns how pairs of laps look: what so many can show, what the rider sees, what only the second person
//! sees, what came out. What the rider sees is the same in either order.

use crate::chance::{Sides, by_chance, fewest_agreeing, in_hundred, power};
use crate::session::{Ask, Compared, Fit, OfPair, Session, Truth};
use crate::vocabulary::several;

use super::page::Page;
use super::prompt::{astray, choices};
use super::wrap::wrapped;

/// The first line of a sheet for the second person.
pub const SHEET_TITLE: &str = "For your helper only. Don't show this to the rider.";

/// The names of what is compared, with both settings: `fork rebound: 9 clicks or 12 clicks from closed`.
fn compared_in_words(session: &Session, compared: &Compared) -> String {
    let one = |&(id, first, second): &(crate::plan::AdjusterId, u32, u32)| {
        let name = session.adjuster(id).name();
        session.dial(id).map_or(name.clone(), |dial| {
            let (first, second) = (dial.scale().said(first), dial.scale().said_in_full(second));
            format!("{name}: {first} or {second}")
        })
    };
    compared.places.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// What so many pairs can and cannot show, in sentences.
fn can_show(pairs: u32, sides: Sides) -> Vec<String> {
    let often = |agreeing| in_hundred(by_chance(agreeing, pairs, sides));
    let mut said = Vec::new();
    match fewest_agreeing(pairs, sides) {
        None => said.push(format!(
            "That is too few pairs to show anything: guessing alone would give {pairs} of {pairs}{} {} times in \
                100.",
            if sides == Sides::Two { " one way or the other" } else { "" },
            often(pairs)
        )),
        Some(least) => {
            let which = match sides {
                Sides::One => "the new setting",
                Sides::Two => "one of the two settings",
            };
            said.push(format!(
                "It takes {least} of {pairs} for {which} to show a difference: guessing alone gets there {} times \
                    in 100.",
                often(least)
            ));
            let [seven, eight, nine] =
                [0.7, 0.8, 0.9].map(|preference| libm::round(power(pairs, sides, preference) * 100.0));
            said.push(format!(
                "If you really prefer {which} 7, 8 or 9 times in 10, you get there about {seven}, {eight} \
                    or {nine} times in 100."
            ));
        }
    }
    if pairs < 8 {
        said.push("8 pairs would be better.".to_owned());
    }
    said
}

/// Before the first pair.
pub(super) fn begin(session: &Session, ask: &Ask, pairs: u32, blind: bool, page: &mut Page) {
    let Some(compared) = session.comparing() else { return };
    let what =
        if compared.found { "start setting against new setting" } else { "one setting against another" };
    page.head(&format!("Back-to-back test: {what}"));
    for line in compared_in_words(session, &compared).split("; ") {
        page.item(line);
    }
    page.text(&format!(
        "{}, {}. After each pair, say which lap was better. If you can't tell, guess. Your answers change \
            no settings.",
        several(pairs as usize, "pair"),
        several(pairs as usize * 2, "lap")
    ));
    for said in can_show(pairs, compared.sides()) {
        page.text(&said);
    }
    if blind {
        page.text("Your helper turns every knob away and back before each lap, where you can't see or hear.");
    }
    page.text("Press Enter to begin, or type skip to leave this out.");
    page.choices(choices(ask));
}

fn of_pair(lap: OfPair) -> &'static str {
    match lap {
        OfPair::First => "first lap",
        OfPair::Second => "second lap",
    }
}

/// A setting is fitted. Where it is blind, nothing of it is shown.
pub(super) fn swap(
    session: &Session,
    (pair, lap, blind): (u32, OfPair, bool),
    fits: &[Fit],
    page: &mut Page,
) {
    page.head(&format!("Pair {pair}, {}: set the bike", of_pair(lap)));
    if blind {
        page.text("Rider: look away. Helper: press Enter to see the settings.");
    } else {
        settings(session, fits, page);
        page.text("Press Enter when done.");
    }
}

fn settings(session: &Session, fits: &[Fit], page: &mut Page) {
    for fit in fits {
        let Some(dial) = session.dial(fit.adjuster) else { continue };
        let name = session.adjuster(fit.adjuster).name();
        page.item(&format!("{name}: {}", dial.scale().said_in_full(fit.to)));
    }
}

/// What only the second person may see.
#[must_use]
pub fn for_the_second_person(session: &Session, ask: &Ask, width: usize) -> Vec<String> {
    let Ask::Swap { pair, lap, fits, blind: true } = ask else { return Vec::new() };
    let mut page = Page::new(width);
    page.head(&format!("Helper only. Pair {pair}, {}", of_pair(*lap)));
    settings(session, fits, &mut page);
    page.text("Turn each knob well away first, then to this setting, even if it is there already.");
    page.lines
}

/// The order of all pairs, for the second person to keep.
#[must_use]
pub fn sheet(session: &Session) -> Vec<String> {
    let Some(compared) = session.comparing() else { return Vec::new() };
    let mut page = Page::new(72);
    page.lines.push(SHEET_TITLE.to_owned());
    page.lines.push(String::new());
    page.lines.push(compared_in_words(session, &compared));
    page.lines.extend(wrapped(
        "Turn each knob well away first, then to the setting shown, even if it is there already. Don't \
            tell the rider.",
        72,
        "",
        "",
    ));
    for pair in 0..u32::try_from(session.order().len()).unwrap_or(0) {
        for lap in OfPair::BOTH {
            page.head(&format!("Pair {}, {}", pair + 1, of_pair(lap)));
            settings(session, &session.fits_of(pair, lap), &mut page);
        }
    }
    page.lines
}

/// The first lap of a pair.
pub(super) fn first(session: &Session, truth: &Truth, (ask, pair, pairs): (&Ask, u32, u32), page: &mut Page) {
    page.head(&format!("Lap {}: pair {pair} of {pairs}, first lap", session.laps().len() + 1));
    astray(session, truth, ask, page);
    if truth.is_ridden(session, ask) {
        page.text("You have ridden it already: press Enter.");
    } else {
        page.text("Ride it and remember how it felt.");
        page.text("Press Enter after the lap.");
    }
    page.choices(choices(ask));
}

/// The second lap of a pair.
pub(super) fn which(session: &Session, truth: &Truth, (ask, pair, pairs): (&Ask, u32, u32), page: &mut Page) {
    page.head(&format!("Lap {}: pair {pair} of {pairs}, second lap", session.laps().len() + 1));
    let ride = if truth.is_ridden(session, ask) { "You have ridden it already." } else { "Ride it." };
    page.text(&format!("{ride} Which lap was better, the first or the second? If you can't tell, guess."));
    page.choices(choices(ask));
}

/// What came out of the pairs.
pub(super) fn outcome(session: &Session, compared: &Compared, better: u32, pairs: u32) -> String {
    let sides = compared.sides();
    let often = in_hundred(by_chance(better, pairs, sides));
    let (for_what, other) = if compared.found {
        ("the new setting".to_owned(), "the start")
    } else {
        let second = |&(id, _, second): &(crate::plan::AdjusterId, u32, u32)| {
            session.dial(id).map(|dial| dial.scale().said(second))
        };
        (compared.places.iter().find_map(second).unwrap_or_default(), "the other")
    };
    let names: Vec<String> = compared.places.iter().map(|place| session.adjuster(place.0).name()).collect();
    let mut said = format!("{}: you chose {for_what} in {better} of {pairs} pairs.", names.join(", "));
    said += &match (sides, fewest_agreeing(pairs, sides)) {
        (_, None) => " That is too few pairs to show anything.".to_owned(),
        (Sides::One, Some(least)) if better >= least => format!(
            " Guessing would do that {often} times in 100, so the difference is probably real, on this \
                loop today."
        ),
        (Sides::Two, Some(least)) if better.max(pairs - better) >= least => format!(
            " Guessing would give a result that clear {often} times in 100, so the difference is probably \
                real, on this loop today."
        ),
        _ => format!(" Guessing would do that {often} times in 100, so this does not show a difference."),
    };
    if compared.found && better * 2 < pairs {
        said += &format!(" You chose {other} more often: think about going back to it, or tune again.");
    }
    said
}
