//! Owns why an answer does not fit its question, and what a question wants, as facts. It knows nothing of the
//! words in which a rider is told so.

use crate::physics::{Number, Unit};
use crate::plan::{AdjusterId, Condition};

use super::{Answer, Stated};

/// What a question wants for an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wanted {
    /// How an adjuster was found, or that nobody knows.
    Before(AdjusterId),
    /// What is in a spring or tyre now.
    InNow(AdjusterId),
    /// How many positions an adjuster has.
    Count(AdjusterId),
    /// The same, or how it was found and then how many there are.
    BeforeAndCount(AdjusterId),
    /// A text, or that nobody knows.
    Text,
    /// A number with one of these units, or that nobody knows.
    Quantity(Vec<Unit>),
    /// That it is done.
    Done,
    /// That a lap is ridden, or void.
    Ridden,
    /// Whether a proof lap is ridden.
    Trial,
    /// Whether pairs of laps begin.
    Pairs,
    /// Which lap of a pair was better, or that they are void.
    Which,
    /// A sag in mm, or two of one setting.
    Sag,
    /// The same, where the travel is known: in mm or in percent.
    SagOrShare,
    /// A new sag, about so many mm where that is known, or to ride anyway.
    SagOrRideAnyway(Option<Number>),
    /// Which way of an adjuster comes first.
    Way(AdjusterId),
    /// How a lap felt.
    Verdict,
    /// How a lap felt against a second one, or to leave that out.
    SecondVerdict,
}

/// Why what was told is no position of an adjuster.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OffScale {
    /// It is none of its names, or outside of its range.
    NotOne,
    /// Its unit is not the adjuster's.
    OtherUnit,
    /// It is between these two positions.
    Between(u32, u32),
}

/// Why what was told is no sag.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoSag {
    /// It is no number.
    NoNumber,
    /// It has no unit.
    NoUnit,
    /// It is in percent, and nobody knows of how much.
    TravelUnknown,
    /// Its unit is none of length or of shares.
    OtherUnit,
    /// It is less than nothing, or more than the part can move; in mm, where that is known.
    Outside(Option<Number>),
}

/// Why an answer does not fit the question; nothing has changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Mismatch {
    /// The ride is over, and nothing is asked.
    Over,
    /// There is no answer to take back.
    NothingToTakeBack,
    /// It is of another kind than the question wants.
    Unfit { answer: Box<Answer>, wanted: Wanted },
    /// A new baseline, before any lap was ridden.
    NoLapYet,
    /// A new baseline takes this many laps, and fewer are left.
    TooFewLaps { wanted: u32, left: u32 },
    /// It is no position of the adjuster.
    NoPosition { adjuster: AdjusterId, told: Box<Stated>, why: OffScale },
    /// It is no sag.
    NoSag { told: Box<Stated>, why: NoSag },
    /// A position of an adjuster that is not counted yet.
    NotCounted,
    /// A count of an adjuster that has one.
    CountedAlready,
    /// A start of an adjuster that has one.
    StartedAlready,
    /// How it was found, with the count, where that is known.
    FoundAlready(Box<Answer>),
    /// An adjuster has no such count.
    NoCount { adjuster: AdjusterId, told: Box<Stated> },
    /// How it was found is beyond the count that is told with it.
    BeforeBeyond { before: Box<Stated>, count: Box<Stated> },
    /// The count does not reach how it was found.
    CountBelowBefore { before: Box<Stated>, count: Box<Stated> },
    /// The count does not reach what the plan sets the adjuster to.
    CountBelowPlan { adjuster: AdjusterId, wanted: Box<Number>, count: Box<Stated> },
    /// No condition is like that.
    NoCondition { condition: Box<Condition>, answer: Box<Answer> },
}
