//! Owns how a spring that is not right is spoken of: what it means, what to look at, in which order. The order
//! is common practice, no source.

use crate::physics::{Kind, Unit};
use crate::plan::{AdjusterId, Measure, Scale};
use crate::session::{Ask, Fit, Session, Short, Sign};
use crate::vocabulary::AnswerWord;

use super::page::Page;
use super::prompt::choices;
use super::springs::{mm, rate, said};

/// Says that a spring is not right, and asks what becomes of it.
pub(super) fn stop(session: &Session, ask: &Ask, (place, short, sign): (&Fit, Short, Sign), page: &mut Page) {
    let Some((measure, scale)) = session.measuring().zip(session.scale(place.adjuster)) else { return };
    let air = scale.unit().is_some_and(|unit| unit.kind() == Kind::Pressure);
    page.head(&format!("Do not ride yet: {} is not right", session.adjuster(place.adjuster).name()));
    let here = scale.said(place.to);
    let sag = session.sag_read_at(place.to).map_or(String::new(), |sag| said(sag, measure.travel));
    let all = if sign == Sign::Bottomed { ", all of its travel" } else { "" };
    let figure = |number| Unit::Millimetre.figure(number);
    page.text(&format!("Sag {sag} at {here}{all}; target {} to {}.", figure(measure.low), mm(measure.high)));
    if let Some(lead) = lead(short, sign, air, &here) {
        page.text(&lead);
    }
    if let Some(rate) = rate(session, scale, place.to) {
        page.text(&format!("{rate}."));
    }
    let stands = place.from.map_or_else(|| here.clone(), |at| scale.said(at));
    if short == Short::Ended {
        page.text(&format!("To carry on, read the sag at {stands} again and type it."));
    } else {
        page.text(&if air { of_air(short, sign, &here) } else { of_coil(short, sign) });
        page.text(&format!("Fixed? Read the sag at {stands} again and type it."));
    }
    page.text(&format!("To ride it as it is, type `{}`.", AnswerWord::RideAnyway.word()));
    page.choices(choices(ask));
}

/// Why nothing more is tried.
fn lead(short: Short, sign: Sign, air: bool, here: &str) -> Option<String> {
    let too_much = matches!(sign, Sign::TooMuch | Sign::Bottomed);
    Some(match short {
        Short::FirmEnd if air => format!("{here} is the top of its range."),
        Short::SoftEnd if air => format!("{here} is the bottom of its range."),
        Short::FirmEnd => "This is the firmest spring you have.".to_owned(),
        Short::SoftEnd => "This is the softest spring you have.".to_owned(),
        Short::NothingBetween => "None of your springs gets closer.".to_owned(),
        Short::Readings => format!("You have used all {} readings.", Measure::MOST_READINGS),
        Short::Unmoved => {
            let more = if too_much { "firmer" } else { "softer" };
            format!("It is much {more} now, and the sag is hardly any different.")
        }
        Short::Ended => return None,
    })
}

/// What to look at, in order, and what it means where nothing is found.
fn of_air(short: Short, sign: Sign, here: &str) -> String {
    let look = match (sign, short) {
        (Sign::Bottomed, _) => format!(
            "Read the gauge: well under {here} means a leak. If it leaks, holds no air or is damaged, take \
                it to a workshop."
        ),
        (Sign::TooMuch, Short::Unmoved) => format!(
            "Read the gauge: well under {here} means a leak: take it to a workshop. If not, was the \
                lockout closed before? Does anything stick?"
        ),
        (Sign::TooMuch, _) => {
            format!(
                "Read the gauge: well under {here} means a leak. Then check the lockout is open, and look \
                    for friction."
            )
        }
        (Sign::TooLittle, Short::Unmoved) => {
            "Open the lockout and all compression. Already open? Then something sticks or is damaged: take \
                it to a workshop."
                .to_owned()
        }
        (Sign::TooLittle, _) => "Open the lockout and all compression. Then look for friction.".to_owned(),
    };
    let nothing_found = match short {
        Short::FirmEnd => {
            " Found nothing? You need a firmer air spring: that is a job for a workshop. Never go over the \
                limit printed on the part."
        }
        Short::SoftEnd => " Found nothing? You need a softer air spring: that is a job for a workshop.",
        _ => "",
    };
    look + nothing_found
}

fn of_coil(short: Short, sign: Sign) -> String {
    let look = match sign {
        Sign::Bottomed => "Is the spring seated, and nothing damaged?",
        Sign::TooMuch => "Is the spring seated, with no play?",
        Sign::TooLittle => {
            "Open the lockout and all compression. Then look for friction and too much preload."
        }
    };
    let nothing_found = match (short, sign) {
        (Short::FirmEnd | Short::NothingBetween, Sign::Bottomed | Sign::TooMuch) => {
            " Found nothing? You need a firmer spring."
        }
        (Short::SoftEnd | Short::NothingBetween, Sign::TooLittle) => {
            " Found nothing? You need a softer spring."
        }
        _ => "",
    };
    format!("{look}{nothing_found}")
}

/// What is told where a spring is near enough to be ridden, though not within its range of sag.
pub(super) fn near(session: &Session, id: AdjusterId, short: Short) -> String {
    let name = session.adjuster(id).name();
    let air = session.scale(id).and_then(Scale::unit).is_some_and(|unit| unit.kind() == Kind::Pressure);
    let why = match short {
        Short::FirmEnd if air => "this is the top of its range",
        Short::SoftEnd if air => "this is the bottom of its range",
        Short::FirmEnd => "this is the firmest spring you have",
        Short::SoftEnd => "this is the softest spring you have",
        Short::NothingBetween if air => "there is no setting left between too soft and too firm",
        Short::NothingBetween => "none of your springs gets closer",
        Short::Readings | Short::Unmoved | Short::Ended => {
            let air = if air {
                " A little air changes sag a lot here, or friction makes the readings differ."
            } else {
                ""
            };
            let most = Measure::MOST_READINGS;
            return format!(
                "{name}: you have used all {most} readings.{air} The nearest setting is close enough to ride."
            );
        }
    };
    format!("{name}: {why}. It is close enough to ride.")
}
