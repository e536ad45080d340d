//! Owns how it is said what a question wants, with an example. It knows nothing of the question's own words.

use crate::physics::Unit;
use crate::plan::{AdjusterId, Scale, Setup};
use crate::session::{Session, Wanted};
use crate::vocabulary::{AnswerWord, unit_word};

/// What to do at a question of a session, as it goes on in a sentence: `type a count such as 14 clicks`.
#[must_use]
pub fn what_to_do(session: &Session, wanted: &Wanted) -> String {
    match wanted {
        Wanted::Done => "press Enter when you have done it".to_owned(),
        Wanted::Ridden => "press Enter after the lap, or type void".to_owned(),
        Wanted::Trial => "type trial, or press Enter to skip it".to_owned(),
        Wanted::Pairs => "press Enter to begin, or type skip".to_owned(),
        wanted => format!("type {}", typed(session, wanted)),
    }
}

/// What can be typed at a question of a session; empty where Enter is what it wants.
fn typed(session: &Session, wanted: &Wanted) -> String {
    let names = |id: AdjusterId| session.scale(id).map(Scale::listed_names).filter(|names| !names.is_empty());
    match wanted {
        Wanted::Before(id) => match names(*id) {
            Some(names) => format!("{names} or unknown"),
            None => format!("a number such as {}, or unknown", example(session, *id)),
        },
        Wanted::InNow(id) => {
            names(*id).unwrap_or_else(|| format!("a number such as {}", example(session, *id)))
        }
        Wanted::Count(id) => format!("a count such as {}", example(session, *id)),
        Wanted::BeforeAndCount(id) => {
            let [found, count] = example_of_two(session, *id);
            let example = example(session, *id);
            format!("a count such as {example}, or where it is now and the count: `{found}, {count}`")
        }
        Wanted::Text => "a few words, or unknown".to_owned(),
        Wanted::Quantity(units) => {
            let units: Vec<_> = units.iter().map(|unit| unit_word(*unit)).collect();
            format!("a number with {}, or unknown", units.join(" or "))
        }
        Wanted::Done | Wanted::Ridden | Wanted::Trial | Wanted::Pairs => String::new(),
        Wanted::Which => "first, second or void".to_owned(),
        Wanted::Sag => "a sag such as 32 mm, or two readings: `31 mm and 33 mm`".to_owned(),
        Wanted::SagOrShare => "a sag such as 32 mm or 20 %, or two readings: `31 mm and 33 mm`".to_owned(),
        Wanted::SagOrRideAnyway(aim) => {
            let figure = |aim| Unit::Millimetre.figure(aim);
            let aim = aim.map_or(String::new(), |aim| format!(" such as {} mm", figure(aim)));
            format!("a new sag{aim}, or `{}` in full", AnswerWord::RideAnyway.word())
        }
        Wanted::Way(id) => {
            let rising = session.adjuster(*id).rising();
            format!("{}, {} or either", rising.word(), rising.opposite().word())
        }
        Wanted::Verdict => {
            let [better, worse, same, cannot_tell] =
                [AnswerWord::Better, AnswerWord::Worse, AnswerWord::Same, AnswerWord::CannotTell]
                    .map(AnswerWord::word);
            format!("{better}, {worse}, {same} or {cannot_tell}")
        }
        Wanted::SecondVerdict => "better, worse, same, or skip".to_owned(),
    }
}

/// A number as it could be told of an adjuster.
pub(super) fn example(session: &Session, id: AdjusterId) -> String {
    match &session.adjuster(id).setup {
        Setup::Known(dial) | Setup::Unstarted(dial) => dial.scale().said(dial.scale().top() / 2),
        Setup::Uncounted(uncounted) if uncounted.unit() == Unit::Turns => "2 1/2 turns".to_owned(),
        Setup::Uncounted(_) => "14 clicks".to_owned(),
    }
}

/// How an adjuster that is not counted yet was found, and its count, as they could be told.
pub(super) fn example_of_two(session: &Session, id: AdjusterId) -> [&'static str; 2] {
    match session.adjuster(id).setup.unit() {
        Some(Unit::Turns) => ["1 1/4", "2 1/2"],
        _ => ["6", "14"],
    }
}
