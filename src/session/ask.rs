//! Owns the questions of a ride. It knows nothing of how they are worded on a screen.

use crate::plan::{AdjusterId, Condition};

use super::Why;

/// One adjuster to be put somewhere. Before the first list nobody knows where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fit {
    pub adjuster: AdjusterId,
    pub from: Option<u32>,
    pub to: u32,
}

/// What is asked next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    /// How an adjuster stands now, as found.
    Found(AdjusterId),
    /// How many positions an adjuster has.
    Count(AdjusterId),
    /// What is in a spring or tyre now, where the files name no start.
    InNow(AdjusterId),
    /// The sag of a spring at a setting.
    Sag { fit: Fit, why: Why },
    /// Something that is kept with the settings.
    Record(Condition),
    /// A text to be read.
    Say(String),
    /// Adjusters to be put somewhere; `first` is the list of every adjuster before the first lap.
    Fit { fits: Vec<Fit>, first: bool },
    /// Laps without a verdict.
    Ride { laps: u32, warm_up: bool },
    /// The lap with which the laps of a tune are compared.
    Reference(Fit),
    /// Which way comes first.
    Way(AdjusterId),
    /// A lap and how it felt against the latest lap at `against`; `again` where the rider could not
    /// tell the last time.
    Lap { fit: Fit, against: u32, again: bool },
}

impl Ask {
    /// Its name in the journal.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Ask::Found(_) => "as found",
            Ask::Count(_) => "count",
            Ask::InNow(_) => "in it now",
            Ask::Sag { .. } => "sag",
            Ask::Record(_) => "record",
            Ask::Say(_) => "say",
            Ask::Fit { .. } => "fit",
            Ask::Ride { .. } => "ride",
            Ask::Reference(_) => "reference lap",
            Ask::Way(_) => "which way first",
            Ask::Lap { .. } => "lap",
        }
    }

    /// The adjuster that it is about, where it is about one.
    #[must_use]
    pub fn adjuster(&self) -> Option<AdjusterId> {
        match self {
            Ask::Found(id) | Ask::Count(id) | Ask::InNow(id) | Ask::Way(id) => Some(*id),
            Ask::Reference(fit) | Ask::Lap { fit, .. } | Ask::Sag { fit, .. } => Some(fit.adjuster),
            _ => None,
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
        matches!(self, Ask::Say(_) | Ask::Fit { .. } | Ask::Ride { .. } | Ask::Reference(_))
    }
}
