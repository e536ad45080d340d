//! Owns what every question about a setting shows: where the knob must stand, and which keys answer.
//! It knows nothing of what is asked besides.

use crate::plan::Dial;
use crate::session::{Ask, Fit, Round, Session, Truth};
use crate::vocabulary::{AnswerRow, AnswerWord};

use super::page::Page;

/// The keys that a question takes, the likeliest first.
pub(super) fn keys(ask: &Ask) -> Vec<AnswerWord> {
    use AnswerWord::{
        Baseline, Better, CannotTell, Either, Finish, First, Help, MuchBetter, MuchWorse, Quit, RideAnyway,
        Rode, Same, Second, Skip, Trial, Undo, Void, Worse,
    };
    let mut keys = match ask {
        Ask::Lap { round: Round::Second, .. } => {
            vec![Better, Worse, Same, Skip, MuchBetter, MuchWorse, Finish]
        }
        Ask::Lap { round: Round::Trial, .. } => {
            vec![Better, Worse, Same, CannotTell, Void, MuchBetter, MuchWorse, Finish]
        }
        Ask::Trial { .. } => vec![Trial, Skip],
        Ask::Pairs { .. } => vec![Skip],
        Ask::Swap { .. } => vec![Finish],
        Ask::FirstOfPair { .. } => vec![Void, Finish],
        Ask::Which { .. } => vec![First, Second, Void, Finish],
        Ask::Lap { .. } => vec![Better, Worse, Same, CannotTell, Void, Rode, MuchBetter, MuchWorse, Finish],
        Ask::Baseline(_) => vec![Void, Rode, Finish],
        Ask::Sag { .. } => vec![Rode, Finish],
        Ask::Stop { .. } => vec![RideAnyway, Rode],
        Ask::Way(_) => vec![Either, Finish],
        _ => Vec::new(),
    };
    keys.extend([Undo, Quit]);
    if matches!(
        ask,
        Ask::Baseline(_) | Ask::Way(_) | Ask::Lap { .. } | Ask::FirstOfPair { .. } | Ask::Which { .. }
    ) {
        keys.push(Baseline);
    }
    keys.push(Help);
    keys
}

/// What can be typed to a question, each key with its label.
pub(super) fn choices(ask: &Ask) -> impl Iterator<Item = (&'static str, &'static str)> {
    // what the question says in a sentence is not among its keys
    let is_said = |word: &AnswerWord| match ask {
        Ask::Trial { .. } => matches!(word, AnswerWord::Trial | AnswerWord::Skip),
        Ask::Pairs { .. } => *word == AnswerWord::Skip,
        Ask::Stop { .. } => *word == AnswerWord::RideAnyway,
        _ => false,
    };
    keys(ask).into_iter().filter(move |word| !is_said(word)).map(|word| (word.key(), label(ask, word)))
}

/// What stands beside a key: while measuring nothing is ridden.
pub(super) fn label(ask: &Ask, word: AnswerWord) -> &'static str {
    match (word, ask) {
        (AnswerWord::Rode, Ask::Sag { .. } | Ask::Stop { .. }) => AnswerWord::At.label(),
        _ => word.label(),
    }
}

/// What an answer means to a question.
pub(super) fn meaning(ask: &Ask, row: &AnswerRow) -> &'static str {
    match (row.answer, ask) {
        (AnswerWord::Rode, Ask::Sag { .. } | Ask::Stop { .. }) => {
            "you measured at a different setting from the one asked for"
        }
        (AnswerWord::Finish, Ask::Swap { .. } | Ask::FirstOfPair { .. } | Ask::Which { .. }) => {
            "end the test now, with the pairs you have ridden"
        }
        _ => row.meaning,
    }
}

/// Where the knob must be, and how that differs from now; where it may be elsewhere than the answers say, from
/// there. Of a lap that was ridden already, where it was.
pub(super) fn stands(session: &Session, truth: &Truth, ask: &Ask, place: &Fit, page: &mut Page) {
    let Some(dial) = session.dial(place.adjuster) else { return };
    let said = dial.scale().said_in_full(place.to);
    if truth.is_ridden(session, ask) {
        page.item(&format!("It was at {said}."));
        return;
    }
    page.item(&format!("{said}{}", change(dial, place, truth.may_be(place.adjuster))));
    astray(session, truth, ask, page);
}

/// What else is to be turned back, as it may be where it was asked for before something was taken back.
pub(super) fn astray(session: &Session, truth: &Truth, ask: &Ask, page: &mut Page) {
    for fit in truth.astray(session, ask) {
        if let Some(dial) = session.dial(fit.adjuster) {
            let (name, said) = (session.adjuster(fit.adjuster).name(), dial.scale().said_in_full(fit.to));
            page.item(&format!("Set {name} back: {said}{}", change(dial, &fit, fit.from)));
        }
    }
}

/// How a place differs from where its adjuster is, after a comma; from where it may be, if that is known to be
/// elsewhere than the answers say.
pub(super) fn change(dial: &Dial, place: &Fit, may_be: Option<u32>) -> String {
    if let Some(from) = may_be {
        let said = dial.scale().said(from);
        return dial.change(from, place.to).map_or(", if it is not there yet".to_owned(), |change| {
            format!("; if it is at {said}, that is {change}")
        });
    }
    let change = place.from.and_then(|from| dial.change(from, place.to));
    change.map_or(", no change".to_owned(), |change| format!(", {change} than now"))
}
