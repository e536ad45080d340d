//! Owns how it is said why an answer does not fit its question. It knows nothing of which answers fit.

use crate::physics::Number;
use crate::plan::{AdjusterId, Setup, Uncounted};
use crate::session::{Answer, Mismatch, NoSag, OffScale, Session, Stated};
use crate::vocabulary::{ANSWERS, AnswerWord, Way, nearest, unit_word};

use super::springs::mm;
use super::wanted::wanted;

/// Why an answer does not fit the question of a session.
#[must_use]
pub fn mismatch(session: &Session, mismatch: &Mismatch) -> String {
    match mismatch {
        Mismatch::Over => "the ride is over; nothing is asked".to_owned(),
        Mismatch::NothingToTakeBack => "there is no answer to take back".to_owned(),
        Mismatch::Unfit { answer, wanted: want } => {
            let near = nearly(answer).map_or(String::new(), |near| format!("; did you mean `{near}`?"));
            format!("`{answer}` does not answer this question, it wants {}{near}", wanted(session, want))
        }
        Mismatch::NoLapYet => "no lap is ridden yet, so there is no baseline to ride again".to_owned(),
        Mismatch::TooFewLaps { wanted, left } => format!(
            "a new baseline takes {wanted} laps: the warm-up, the best so far and one to compare; {left} are left. Carry on, or end this adjuster with `{}`",
            AnswerWord::Keep.word()
        ),
        Mismatch::NoPosition { adjuster, told, why } => no_position(session, *adjuster, told, *why),
        Mismatch::NoSag { told, why } => format!("`{told}` cannot be a sag{}", no_sag(*why)),
        Mismatch::NotCounted => "this adjuster is not counted yet".to_owned(),
        Mismatch::CountedAlready => "this adjuster is counted already".to_owned(),
        Mismatch::StartedAlready => "this adjuster has a start already".to_owned(),
        Mismatch::FoundAlready(answer) => {
            format!("`{answer}`: how it was found is known already; type only how many there are")
        }
        Mismatch::NoCount { adjuster, told } => {
            format!("`{told}` cannot be a count{}", counts(session, *adjuster))
        }
        Mismatch::FoundBeyond { found, count } => {
            let both = Answer::Two((**found).clone(), (**count).clone());
            format!(
                "`{both}`: it can't be found at {found} of {count}; type how it was found first, then how many there are"
            )
        }
        Mismatch::CountBelowFound { found, count } => format!(
            "it was found at {found}, which a count of {count} does not reach; count again, or u takes back what was found"
        ),
        Mismatch::CountBelowPlan { adjuster, wanted, count } => {
            let unit = session.adjuster(*adjuster).setup.unit();
            let wanted = unit.map_or(String::new(), |unit| unit.figure(**wanted));
            format!(
                "the plan sets this adjuster to {wanted}, which a count of {count} does not reach; count again"
            )
        }
        Mismatch::NoCondition { condition, answer } => {
            format!("`{answer}` cannot be the {}", condition.name())
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
    let Some(scale) = session.scale(id) else { return format!("`{told}` is no position of {name}") };
    match why {
        OffScale::NotOne => {
            let named = !scale.all_names().is_empty();
            let positions = if named { scale.listed_names() } else { scale.said_range() };
            format!("`{told}` is no position of {name}: {positions}")
        }
        OffScale::OtherUnit => {
            let has = scale.unit().map_or(String::new(), |unit| format!(": it has {}", unit_word(unit)));
            format!("`{told}` has another unit than {name}{has}")
        }
        OffScale::Between(below, above) => format!(
            "`{told}` lies between two positions of {name}: {} and {}",
            scale.said(below),
            scale.said(above)
        ),
    }
}

/// Why what was told is no sag, behind that it is none.
fn no_sag(why: NoSag) -> String {
    match why {
        NoSag::NoNumber => ": it is a number, such as 32 mm or 20 %".to_owned(),
        NoSag::NoUnit => " without its unit: mm or %".to_owned(),
        NoSag::TravelUnknown => {
            ": the file does not say how far the part can move, so read it in mm".to_owned()
        }
        NoSag::OtherUnit => ": it is read in mm or %".to_owned(),
        NoSag::Outside(None) => ": it is 0 mm or more".to_owned(),
        NoSag::Outside(Some(most)) => format!(": it is 0 mm or more and at most {}", mm(most)),
    }
}

/// The counts that an adjuster can have.
fn counts(session: &Session, id: AdjusterId) -> String {
    match &session.adjuster(id).setup {
        Setup::Uncounted(uncounted) => {
            let most = uncounted.by() * Number::from_integer(Uncounted::MOST.into());
            let figure = |number| uncounted.unit().figure(number);
            format!(": it is from {} to {}", figure(uncounted.by()), figure(most))
        }
        Setup::Known(_) | Setup::Unstarted(_) => String::new(),
    }
}
