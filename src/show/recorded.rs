//! Owns how a question is told in a few words: one that a journal has, and one that would be asked now. It knows
//! nothing of when two of them are the same.

use crate::engine::Difference;
use crate::plan::AdjusterId;
use crate::record::{Question, Record};
use crate::session::{Ask, Fit, QuestionKind, Session};

/// What a journal has that no longer fits, and what would be asked there now.
#[must_use]
pub fn differs(difference: &Difference) -> (String, String) {
    let Difference { recorded: Record { lap, question, said, .. }, now } = difference;
    let recorded = format!("lap {lap}: {}; you said {}", recorded(question), said.what);
    (recorded, now.ask().map_or("nothing".to_owned(), |ask| asked(now, &ask)))
}

/// A question as a journal has it, in its own words.
#[must_use]
pub fn recorded(question: &Question) -> String {
    let Question { ask, adjuster, about, from: _, to, against } = question;
    in_words(ask, adjuster.as_deref(), about.as_deref(), (to.as_deref(), against.as_deref()))
}

/// A question that a session asks, in as few words.
#[must_use]
pub fn asked(session: &Session, ask: &Ask) -> String {
    let name = |id: AdjusterId| session.adjuster(id).name();
    let said = |id: AdjusterId, position: u32| {
        session.dial(id).map_or(String::new(), |dial| dial.scale().said(position))
    };
    let about = match ask {
        Ask::Record(condition) => Some(condition.name().to_owned()),
        Ask::Say(text) => Some(text.clone()),
        Ask::Ride { laps, .. } => Some(format!("{laps} laps")),
        Ask::Fit { fits, .. } => {
            let fit = |fit: &Fit| format!("{} {}", name(fit.adjuster), said(fit.adjuster, fit.to));
            Some(fits.iter().map(fit).collect::<Vec<_>>().join(", "))
        }
        Ask::Pairs { pairs, .. } => Some(format!("{pairs} pairs")),
        // which setting a lap of a pair has is drawn, and must not be read before it is ridden
        Ask::Swap { pair, lap, .. } => Some(format!("pair {pair}, lap {}", lap.number())),
        Ask::FirstOfPair { pair, .. } | Ask::Which { pair, .. } => Some(format!("pair {pair}")),
        Ask::Before(_)
        | Ask::Count(_)
        | Ask::InNow(_)
        | Ask::Way(_)
        | Ask::Baseline(_)
        | Ask::Sag { .. }
        | Ask::Stop { .. }
        | Ask::Lap { .. }
        | Ask::Trial { .. } => None,
    };
    let (to, against) = match ask {
        Ask::Baseline(fit) | Ask::Sag { fit, .. } | Ask::Stop { fit, .. } => {
            (Some(said(fit.adjuster, fit.to)), None)
        }
        Ask::Lap { fit, against, .. } | Ask::Trial { fit, against } => {
            (Some(said(fit.adjuster, fit.to)), Some(said(fit.adjuster, *against)))
        }
        Ask::Before(_)
        | Ask::Count(_)
        | Ask::InNow(_)
        | Ask::Record(_)
        | Ask::Say(_)
        | Ask::Fit { .. }
        | Ask::Ride { .. }
        | Ask::Way(_)
        | Ask::Pairs { .. }
        | Ask::Swap { .. }
        | Ask::FirstOfPair { .. }
        | Ask::Which { .. } => (None, None),
    };
    let adjuster = ask.adjuster().map(name);
    let places = (to.as_deref(), against.as_deref());
    in_words(kind(ask.kind()), adjuster.as_deref(), about.as_deref(), places)
}

fn in_words(
    asked: &str,
    adjuster: Option<&str>,
    about: Option<&str>,
    (to, against): (Option<&str>, Option<&str>),
) -> String {
    let mut words = vec![asked.to_owned()];
    words.extend([adjuster, about].into_iter().flatten().map(str::to_owned));
    words.extend(to.map(|to| format!("at {to}")));
    words.extend(against.map(|against| format!("against {against}")));
    words.join(", ")
}

/// What a kind of question is called.
fn kind(kind: QuestionKind) -> &'static str {
    match kind {
        QuestionKind::Before => "before",
        QuestionKind::Count => "count",
        QuestionKind::InNow => "fitted now",
        QuestionKind::Sag => "sag",
        QuestionKind::Stop => "spring not right",
        QuestionKind::Record => "record",
        QuestionKind::Say => "say",
        QuestionKind::Fit => "set",
        QuestionKind::Ride => "ride",
        QuestionKind::Baseline => "baseline lap",
        QuestionKind::Way => "which way first",
        QuestionKind::Lap => "lap",
        QuestionKind::Second => "second comparison",
        QuestionKind::TrialLap => "trial lap",
        QuestionKind::Trial => "trial lap offered",
        QuestionKind::Pairs => "pairs",
        QuestionKind::Swap => "helper sets",
        QuestionKind::FirstOfPair => "first lap of a pair",
        QuestionKind::Which => "which lap was better",
    }
}
