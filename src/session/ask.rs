//! Owns the questions of a ride. It knows nothing of how they are worded on a screen.

use crate::plan::{AdjusterId, Condition};

use super::{OfPair, Short, Sign, Why};

/// One adjuster to be put somewhere. Before the first list nobody knows where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fit {
    pub adjuster: AdjusterId,
    pub from: Option<u32>,
    pub to: u32,
}

/// Which question about a lap it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Round {
    /// The first about it.
    First,
    /// The lap is ridden once more, as the rider could not tell the last time.
    Again,
    /// The same lap, compared with a second one.
    Second,
    /// A lap at the setting that was found, which had not been ridden.
    Trial,
}

/// Which kind a question is of, whatever it is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum QuestionKind {
    Before,
    Count,
    InNow,
    Sag,
    Stop,
    Record,
    Say,
    Fit,
    Ride,
    Baseline,
    Way,
    /// The first question about a lap, or about the same lap ridden once more.
    Lap,
    /// The second question about a lap.
    Second,
    TrialLap,
    /// Whether a proof lap is ridden.
    Trial,
    Pairs,
    Swap,
    FirstOfPair,
    Which,
}

/// What is asked next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    /// How an adjuster stands now, as found.
    Before(AdjusterId),
    /// How many positions an adjuster has.
    Count(AdjusterId),
    /// What is in a spring or tyre now, where the files name no start.
    InNow(AdjusterId),
    /// The sag of a spring at a setting.
    Sag { fit: Fit, why: Why },
    /// A spring is not right: it is measured once more, or ridden anyway as it is.
    Stop { fit: Fit, short: Short, sign: Sign },
    /// Something that is kept with the settings.
    Record(Condition),
    /// A text to be read.
    Say(String),
    /// Adjusters to be put somewhere; `first` is the list of every adjuster before the first lap.
    Fit { fits: Vec<Fit>, first: bool },
    /// Laps without a verdict.
    Ride { laps: u32, warm_up: bool },
    /// The lap with which the laps of a tune are compared.
    Baseline(Fit),
    /// Which way comes first.
    Way(AdjusterId),
    /// A lap and how it felt against the latest lap at `against`.
    Lap { fit: Fit, against: u32, round: Round },
    /// Whether a lap is ridden at the setting that was found, which was not ridden, against the best
    /// that was.
    Trial { fit: Fit, against: u32 },
    /// Pairs of laps are about to begin.
    Pairs { pairs: u32, blind: bool },
    /// One of the two settings is fitted for the first or second lap of a pair; where it is blind, by a
    /// second person.
    Swap { pair: u32, lap: OfPair, fits: Vec<Fit>, blind: bool },
    /// The first lap of a pair.
    FirstOfPair { pair: u32, pairs: u32 },
    /// The second lap of a pair, and which of the two was better.
    Which { pair: u32, pairs: u32 },
}

impl Ask {
    /// Which kind it is of.
    #[must_use]
    pub fn kind(&self) -> QuestionKind {
        match self {
            Ask::Before(_) => QuestionKind::Before,
            Ask::Count(_) => QuestionKind::Count,
            Ask::InNow(_) => QuestionKind::InNow,
            Ask::Sag { .. } => QuestionKind::Sag,
            Ask::Stop { .. } => QuestionKind::Stop,
            Ask::Record(_) => QuestionKind::Record,
            Ask::Say(_) => QuestionKind::Say,
            Ask::Fit { .. } => QuestionKind::Fit,
            Ask::Ride { .. } => QuestionKind::Ride,
            Ask::Baseline(_) => QuestionKind::Baseline,
            Ask::Way(_) => QuestionKind::Way,
            Ask::Lap { round: Round::First | Round::Again, .. } => QuestionKind::Lap,
            Ask::Lap { round: Round::Second, .. } => QuestionKind::Second,
            Ask::Lap { round: Round::Trial, .. } => QuestionKind::TrialLap,
            Ask::Trial { .. } => QuestionKind::Trial,
            Ask::Pairs { .. } => QuestionKind::Pairs,
            Ask::Swap { .. } => QuestionKind::Swap,
            Ask::FirstOfPair { .. } => QuestionKind::FirstOfPair,
            Ask::Which { .. } => QuestionKind::Which,
        }
    }

    /// The adjuster that it is about, where it is about one.
    #[must_use]
    pub fn adjuster(&self) -> Option<AdjusterId> {
        match self {
            Ask::Before(id) | Ask::Count(id) | Ask::InNow(id) | Ask::Way(id) => Some(*id),
            Ask::Baseline(fit)
            | Ask::Lap { fit, .. }
            | Ask::Sag { fit, .. }
            | Ask::Stop { fit, .. }
            | Ask::Trial { fit, .. } => Some(fit.adjuster),
            Ask::Record(_)
            | Ask::Say(_)
            | Ask::Fit { .. }
            | Ask::Ride { .. }
            | Ask::Pairs { .. }
            | Ask::Swap { .. }
            | Ask::FirstOfPair { .. }
            | Ask::Which { .. } => None,
        }
    }

    /// Whether it wants a text of the rider's own.
    #[must_use]
    pub fn wants_text(&self) -> bool {
        matches!(self, Ask::Record(condition) if condition.units().is_empty())
    }

    /// Whether its answer carries no information and may go without saying.
    #[must_use]
    pub fn implied(&self) -> bool {
        matches!(
            self,
            Ask::Say(_)
                | Ask::Fit { .. }
                | Ask::Ride { .. }
                | Ask::Baseline(_)
                | Ask::Trial { .. }
                | Ask::Pairs { .. }
                | Ask::Swap { .. }
                | Ask::FirstOfPair { .. }
        )
    }
}
