//! Owns how it is said why an answer does not fit its question. It knows nothing of which answers fit.

use crate::physics::Number;
use crate::plan::{AdjusterId, Setup, Uncounted};
use crate::session::{Answer, Mismatch, NoSag, OffScale, Session, Stated};
use crate::vocabulary::{ANSWERS, AnswerWord, Way, nearest, unit_word};

use super::springs::mm;
use super::wanted::what_to_do;

/// Why an answer does not fit the question of a session.
#[must_use]
pub fn mismatch(session: &Session, mismatch: &Mismatch) -> String {
    match mismatch {
        Mismatch::Over => "the session is finished; there are no more questions".to_owned(),
        Mismatch::NothingToTakeBack => "there is nothing to undo".to_owned(),
        Mismatch::Unfit { answer, wanted: want } => {
            let near = nearly(answer).map_or(String::new(), |near| format!("; did you mean `{near}`?"));
            format!("`{answer}` doesn't answer this question: {}{near}", what_to_do(session, want))
        }
        Mismatch::NoLapYet => {
            "you have not ridden a lap yet, so there is no baseline to ride again".to_owned()
        }
        Mismatch::TooFewLaps { wanted, left } => format!(
            "a new baseline takes {wanted} laps and the plan has only {left} left: it needs a warm-up, the \
                best so far and one to compare. Carry on, or type `{}`",
            AnswerWord::Finish.word()
        ),
        Mismatch::NoPosition { adjuster, told, why } => no_position(session, *adjuster, told, *why),
        Mismatch::NoSag { told, why } => format!("`{told}` is not a sag reading{}", no_sag(*why)),
        Mismatch::NotCounted => "count this adjuster first".to_owned(),
        Mismatch::CountedAlready => "you have already counted this adjuster".to_owned(),
        Mismatch::StartedAlready => "this adjuster already has a start".to_owned(),
        Mismatch::FoundAlready(answer) => {
            format!("`{answer}`: you have already said where it was; type only how many there are")
        }
        Mismatch::NoCount { adjuster, told } => {
            format!("`{told}` can't be right{}", counts(session, *adjuster))
        }
        Mismatch::BeforeBeyond { before, count } => {
            let both = Answer::Two((**before).clone(), (**count).clone());
            format!(
                "`{both}`: it can't be at {before} of {count}; type where it is first, then how many there \
                    are"
            )
        }
        Mismatch::CountBelowBefore { before, count } => format!(
            "count again: it was at {before}, which is more than {count}. If {before} was wrong, type u"
        ),
        Mismatch::CountBelowPlan { adjuster, wanted, count } => {
            let unit = session.adjuster(*adjuster).setup.unit();
            let wanted = unit.map_or(String::new(), |unit| unit.figure(**wanted));
            format!("count again: the plan needs {wanted}, which is more than {count}")
        }
        Mismatch::NoCondition { condition, answer } => {
            format!("`{answer}` doesn't work as the {}", condition.name())
        }
    }
}

/// The word of an answer that was nearly typed.
fn nearly(answer: &Answer) -> Option<&'static str> {
    let Answer::Told(Stated::Name(name)) = answer else { return None };
    nearest(name, ANSWERS.iter().map(|row| row.word).chain(Way::ALL.map(Way::word)))
}

fn no_position(session: &Session, id: AdjusterId, told: &Stated, why: OffScale) -> String {
    let name = session.adjuster(id).name();
    let Some(scale) = session.scale(id) else { return format!("{name} can't be `{told}`") };
    match why {
        OffScale::NotOne => {
            let named = !scale.all_names().is_empty();
            let positions = if named { scale.listed_names() } else { scale.said_range() };
            format!("{name} can't be `{told}`: use {positions}")
        }
        OffScale::OtherUnit => {
            let has = scale.unit().map_or(String::new(), |unit| format!(": use {}", unit_word(unit)));
            format!("`{told}` is the wrong unit for {name}{has}")
        }
        OffScale::Between(below, above) => {
            format!(
                "{name} can't be `{told}`; the nearest are {} and {}",
                scale.said(below),
                scale.said(above)
            )
        }
    }
}

/// Why what was told is no sag, behind that it is none.
fn no_sag(why: NoSag) -> String {
    match why {
        NoSag::NoNumber => ": give a number, such as 32 mm or 20 %".to_owned(),
        NoSag::NoUnit => ": add mm or %".to_owned(),
        NoSag::TravelUnknown => ": give it in mm, because the bike's file has no travel".to_owned(),
        NoSag::OtherUnit => ": give it in mm or %".to_owned(),
        NoSag::Outside(None) => ": give 0 mm or more".to_owned(),
        NoSag::Outside(Some(most)) => format!(": give 0 mm to {}", mm(most)),
    }
}

/// The counts that an adjuster can have.
fn counts(session: &Session, id: AdjusterId) -> String {
    match &session.adjuster(id).setup {
        Setup::Uncounted(uncounted) => {
            let most = uncounted.by() * Number::from_integer(Uncounted::MOST.into());
            let figure = |number| uncounted.unit().figure(number);
            format!(": give a count from {} to {}", figure(uncounted.by()), figure(most))
        }
        Setup::Known(_) | Setup::Unstarted(_) => String::new(),
    }
}
