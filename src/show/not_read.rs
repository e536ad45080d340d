//! Owns how it is said why a typed line is no answer. It knows nothing of how answers are read.

use crate::session::{Extent, NotRead, Session, Trouble};

use super::mismatch::mismatch;
use super::wanted::what_to_do;

/// Why a line is no answer to the question of a session.
#[must_use]
pub fn not_read(session: &Session, reason: &NotRead) -> String {
    match reason {
        NotRead::CommaInNumber(text) => format!(
            "`{text}` has a comma: write a point, like 27.5, or put a space after the comma if these are \
                two answers"
        ),
        NotRead::OpenQuote(text) => format!("the closing quote is missing: {text}"),
        NotRead::Unknown { text, near } => {
            let near = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
            format!("`{text}` is not an answer{near}")
        }
        NotRead::Unclear { text, ways } => format!("`{text}` is not clear here: type {}.", or(ways)),
        NotRead::OneNumber { text, ways } => {
            format!("One number answers this question, not `{text}`: type {}.", or(ways))
        }
        NotRead::Readings { text, pair, extent } => {
            let next = match extent {
                Extent::One => "",
                Extent::List => " Write the next setting's sag on a line of its own.",
            };
            format!("Type `{pair}`, not `{text}`: give one sag reading, or two at the same setting.{next}")
        }
        NotRead::Unwanted { text, wanted: want } => {
            format!("`{text}` doesn't answer this question: {}", what_to_do(session, want))
        }
        NotRead::Between { text, ways } => format!("`{text}` is between two settings: type {}.", or(ways)),
        NotRead::OneAtATime { first, next } => {
            format!("One answer at a time: type `{first}` now, and `{next}` when you are asked for it.")
        }
    }
}

/// Why a part of a line does not say how an adjuster of a session was found.
#[must_use]
pub fn trouble(session: &Session, trouble: &Trouble) -> String {
    match trouble {
        Trouble::NotRead(reason) => not_read(session, reason),
        Trouble::Unfit(unfit) => mismatch(session, unfit),
    }
}

/// What can be typed, each in backticks.
fn or(ways: &[String]) -> String {
    ways.iter().map(|way| format!("`{way}`")).collect::<Vec<_>>().join(" or ")
}
