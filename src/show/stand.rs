//! Owns what every question about a setting shows: where the knob must stand, and which keys answer.
//! It knows nothing of what is asked besides.

use crate::session::{Ask, Fit, Round, Session};
use crate::vocabulary::AnswerWord;

use super::page::Page;

/// The keys that a question takes, the likeliest first.
pub(super) fn keys(ask: &Ask) -> Vec<AnswerWord> {
    use AnswerWord::{
        Better, CannotTell, Either, First, Help, Keep, Proof, Quit, RideAnyway, Same, Second, Skip, Undo,
        Used, Void, Worse,
    };
    let mut keys = match ask {
        Ask::Lap { round: Round::Second, .. } => vec![Better, Worse, Same, Skip, Keep],
        Ask::Lap { round: Round::Proof, .. } => vec![Better, Worse, Same, CannotTell, Void, Keep],
        Ask::Proof { .. } => vec![Proof, Skip],
        Ask::Pairs { .. } => vec![Skip],
        Ask::Swap { .. } => vec![Keep],
        Ask::FirstOfPair { .. } => vec![Void, Keep],
        Ask::Which { .. } => vec![First, Second, Void, Keep],
        Ask::Lap { .. } => vec![Better, Worse, Same, CannotTell, Void, Used, Keep],
        Ask::Reference(_) => vec![Void, Used, Keep],
        Ask::Sag { .. } => vec![Used, Keep],
        Ask::Stop { .. } => vec![RideAnyway, Used],
        Ask::Way(_) => vec![Either, Keep],
        _ => Vec::new(),
    };
    keys.extend([Undo, Quit, Help]);
    keys
}

/// Where the knob must stand, and how that differs from now.
pub(super) fn stands(session: &Session, place: &Fit, page: &mut Page) {
    let Some(dial) = session.dial(place.adjuster) else { return };
    let change = place.from.and_then(|from| dial.change(from, place.to));
    let change = change.map_or("as now".to_owned(), |change| format!("{change} than now"));
    page.item(&format!("{}, {change}", dial.scale().said_in_full(place.to)));
}
