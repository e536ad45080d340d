//! Owns a question as it is written down beside its answer, so that a plan that was changed since
//! is noticed. It knows nothing of what the question looks like on a screen.

use serde::{Deserialize, Serialize};

use crate::plan::AdjusterId;
use crate::session::{Ask, Fit, Session};

use super::spellings;

/// A question as it is written down: what was asked, of which adjuster, from where to where.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Question {
    pub ask: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub adjuster: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub against: Option<String>,
}

impl Question {
    /// A question of a session.
    #[must_use]
    pub fn of(session: &Session, ask: &Ask) -> Self {
        let told = |id: AdjusterId, position: u32| {
            session.dial(id).map_or(String::new(), |dial| dial.scale().said(position))
        };
        let mut question = Question {
            ask: spellings::question(ask.kind()).to_owned(),
            adjuster: ask.adjuster().map(|id| session.adjuster(id).name()),
            about: None,
            from: None,
            to: None,
            against: None,
        };
        let mut place = |fit: &Fit| {
            question.from = fit.from.map(|from| told(fit.adjuster, from));
            question.to = Some(told(fit.adjuster, fit.to));
        };
        match ask {
            Ask::Baseline(fit) | Ask::Sag { fit, .. } | Ask::Stop { fit, .. } => place(fit),
            Ask::Lap { fit, against, .. } | Ask::Trial { fit, against } => {
                place(fit);
                question.against = Some(told(fit.adjuster, *against));
            }
            Ask::Record(condition) => question.about = Some(condition.name().to_owned()),
            Ask::Say(text) => question.about = Some(text.clone()),
            Ask::Ride { laps, .. } => question.about = Some(format!("{laps} laps")),
            Ask::Fit { fits, .. } => {
                let list = fits.iter().map(|fit| {
                    format!("{} {}", session.adjuster(fit.adjuster).name(), told(fit.adjuster, fit.to))
                });
                question.about = Some(list.collect::<Vec<_>>().join(", "));
            }
            Ask::Pairs { pairs, .. } => question.about = Some(format!("{pairs} pairs")),
            // which setting a lap of a pair has is drawn, and must not be read before it is ridden
            Ask::Swap { pair, lap, .. } => {
                question.about = Some(format!("pair {pair}, lap {}", lap.number()));
            }
            Ask::FirstOfPair { pair, .. } | Ask::Which { pair, .. } => {
                question.about = Some(format!("pair {pair}"));
            }
            Ask::Before(_) | Ask::Count(_) | Ask::InNow(_) | Ask::Way(_) => {}
        }
        question
    }
}
