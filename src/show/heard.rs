//! Owns how it is said what was understood of a typed answer, and why it is odd. It knows nothing of
//! how an answer is read.

use crate::physics::{Unit, decimal};
use crate::session::{Answer, Doubt, Full, Session, Stated};
use crate::vocabulary::{Part, unit_word};

use super::springs::said;

/// What an answer to the present question was read as.
#[must_use]
pub fn read_as(session: &Session, answer: &Answer, full: Full) -> String {
    let sag =
        session.sag_told(answer).map(|sag| said(sag, session.measuring().and_then(|measure| measure.travel)));
    let two = matches!(answer, Answer::Two(..) | Answer::SagAt(_, _, Some(_)));
    let nearest = match (full, answer) {
        (Full::Nearest(number), Answer::Told(place) | Answer::Rode(place, _) | Answer::SagAt(place, ..)) => {
            let unit = match place {
                Stated::Value(_, Some(unit)) => unit_word(*unit),
                _ => "",
            };
            let number = (number * 1000).round() / 1000;
            format!(": the nearest setting to {} {unit}", decimal(number))
        }
        _ => String::new(),
    };
    if let Answer::Two(found, count) = answer
        && sag.is_none()
    {
        let bare = |told: &Stated| match told {
            Stated::Value(number, _) => Stated::Value(*number, None).to_string(),
            Stated::Name(name) => name.clone(),
        };
        return format!("Understood as: at {} now, {} in all.", bare(found), bare(count));
    }
    match sag {
        Some(sag) if two => format!("Understood as {answer}, so {sag}{nearest}."),
        Some(sag) if sag.starts_with(&answer.to_string()) => format!("Understood as {sag}."),
        Some(sag) => format!("Understood as {answer}, so {sag}{nearest}."),
        None => format!("Understood as {answer}{nearest}."),
    }
}

/// Why an answer is refused, with what was typed in short: a line may be as long as a file.
#[must_use]
pub fn refused(reason: &str) -> String {
    const LONGEST: usize = 60;
    let mut said = String::new();
    // what is typed is in backticks
    for (index, part) in reason.split('`').enumerate() {
        if index > 0 {
            said.push('`');
        }
        if index % 2 == 1 && part.chars().count() > LONGEST {
            said.extend(part.chars().take(LONGEST));
            said += " ...";
        } else {
            said += part;
        }
    }
    said
}

/// Why an answer is odd, in a sentence.
#[must_use]
pub fn odd(session: &Session, doubt: Doubt) -> String {
    // how far a shock moves is its stroke
    let part = session.ask().and_then(|ask| ask.adjuster()).map(|id| session.adjuster(id).part);
    let travel = if part == Some(Part::Shock) { "stroke" } else { "travel" };
    match doubt {
        Doubt::Apart(apart) => format!(
            "The two readings are {} mm apart: more than a tenth of the {travel}.",
            Unit::Millimetre.figure(apart)
        ),
        Doubt::Little => format!("That is less than 2 % of the {travel}."),
        Doubt::Much => format!("That is more than 60 % of the {travel}."),
        Doubt::Far { adjuster, from, to } => {
            let name = session.adjuster(adjuster).name();
            let at =
                |position| session.dial(adjuster).map_or(String::new(), |dial| dial.scale().said(position));
            format!("It would change {name} from {} to {}: more than half its range.", at(from), at(to))
        }
    }
}
