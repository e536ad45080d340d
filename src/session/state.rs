//! Owns the state of a ride: all that its future depends on besides the plan, the seed of its lots and whether a lap
//! was ridden at all. No lap numbers, no history, nothing with floats.

use std::hash::{Hash, Hasher};
use std::sync::Arc;

use crate::physics::Number;
use crate::plan::{AdjusterId, ByAdjuster, FewByAdjuster, MOST_LAPS_OF_A_TUNE};
use crate::search::{Grade, Search, Window};

use super::{OfPair, Stated};

/// A list that copies of a moment share until one changes it.
pub(super) type Shared<T> = Arc<Vec<T>>;

/// All that the future of a ride depends on, besides the plan and the seed.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct State {
    pub(super) phase: Phase,
    /// The step of the plan, from 0.
    pub(super) step: usize,
    /// Where each adjuster is to stand.
    pub(super) at: FewByAdjuster<u32>,
    /// Where each adjuster stands in truth, once that is known.
    pub(super) fitted: FewByAdjuster<Option<u32>>,
    /// The setting of everything on the last lap, where that lap can be compared with.
    pub(super) last_lap: Option<FewByAdjuster<u32>>,
    pub(super) laps_left: Option<u32>,
    /// A tune has settled, and its setting is fitted before anything else is asked.
    pub(super) settle_due: bool,
    pub(super) found_asked: bool,
    pub(super) seldom: Arc<Seldom>,
    /// What is asked before the ride goes on where it is: nothing but where a new baseline is ridden.
    pub(super) due: Vec<Due>,
}

impl State {
    /// Hashes only what differs most often from one moment of a tune to another.
    pub fn hash_briefly<H: Hasher>(&self, hasher: &mut H) {
        self.phase.hash(hasher);
        self.fitted.hash(hasher);
    }
}

/// One for each adjuster, of what seldom changes: copies of a moment share it until one changes it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Seldom {
    /// How many positions above the first it has, once that is known.
    pub tops: ByAdjuster<Option<u32>>,
    /// How it was found, where that was asked and known.
    pub before: ByAdjuster<Option<Stated>>,
    /// Where everything stood while it was tuned, where the plan looks at it again.
    pub stood: ByAdjuster<Option<Arc<ByAdjuster<u32>>>>,
}

/// What is asked where laps can no longer be compared with those before.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Due {
    /// The condition of a step, once more.
    Record(usize),
    /// Tyres are set again, and whatever else is to be fitted.
    Fit,
    WarmUp(u32),
    /// The place with which the next lap of the running tune is compared is ridden again.
    Baseline(u32),
}

/// What the ride is about just now.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) enum Phase {
    /// Asking how each adjuster was found, from this one on.
    Before(usize),
    /// Counting what is not counted, from this one on.
    Count(usize),
    /// Asking what is in each spring or tyre without a start, from this one on.
    InNow(usize),
    Steps,
    /// What is not where it should be is fitted.
    Fit,
    Measure(MeasureState),
    /// A spring is not right, and the ride stops at it.
    Stop(StopState),
    Tune(TuneState),
    Compare(PairsState),
    Over,
}

/// A running measurement.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct MeasureState {
    pub readings: Vec<Reading>,
    /// Why the next one is asked for.
    pub why: Why,
}

/// A spring that is not right.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct StopState {
    pub readings: Vec<Reading>,
    /// Where it is left, if it is ridden anyway.
    pub at: u32,
    pub short: Short,
}

/// Why a sag is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Why {
    /// Nothing is known yet.
    First,
    /// The spring sagged too far, so it is made firmer.
    TooSoft,
    /// It sagged too little, so it is made softer.
    TooFirm,
    /// A setting that was read already, once more: the next would be that one.
    Again,
    /// The same setting once more: a firmer spring cannot sag further.
    Contradiction,
}

/// Why a measurement ended without the target sag.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Short {
    /// At the firm end of the range, and still too much sag.
    FirmEnd,
    /// At the soft end of the range, and still too little.
    SoftEnd,
    /// No position is left between one that is too soft and one that is too firm.
    NothingBetween,
    /// All readings are used up.
    Readings,
    /// The sag hardly follows the spring's setting, or goes the other way.
    Unmoved,
    /// The rider ended it.
    Ended,
}

/// One reading of sag.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Reading {
    /// The position of the spring.
    pub at: u32,
    /// In mm; the mean where it was read twice.
    pub sag: Number,
    /// It was not set aside.
    pub counts: bool,
    /// It was read from both sides.
    pub twice: bool,
}

/// A running tune.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct TuneState {
    pub stage: Stage,
    /// The laps ridden in it that count for its own `at most`.
    pub laps: u32,
    /// The laps ridden in it that were void, or that a new baseline took.
    pub void: u32,
    /// The places ridden since a new baseline was wanted; `None` if none was, so that all places count.
    pub since: Option<Shared<u32>>,
    pub window: Window,
}

impl TuneState {
    /// The laps ridden in it, of every kind.
    pub fn ridden(&self) -> u32 {
        self.laps + self.void
    }

    /// Whether a lap may be compared with the latest one at a place.
    pub fn counts_at(&self, at: u32) -> bool {
        self.since.as_ref().is_none_or(|since| since.contains(&at))
    }

    /// The laps that it may still take by its own `at most`, for which void ones do not count, and by the
    /// most that any tune takes, for which they do.
    pub fn left(&self, at_most: u32) -> u32 {
        at_most.saturating_sub(self.laps).min(MOST_LAPS_OF_A_TUNE.saturating_sub(self.ridden()))
    }
}

/// How far a tune is.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) enum Stage {
    Baseline,
    Way,
    /// `retold` where the rider could not tell once, and the same lap is ridden again.
    Lap {
        search: Search,
        retold: bool,
    },
    /// A lap was ridden at `rode` and judged once; it is compared with a second one.
    Second {
        search: Search,
        rode: u32,
        grade: Grade,
    },
    /// It has settled where nothing was ridden, and a proof lap is offered.
    Offer(Search),
    /// The proof lap is ridden.
    Trial(Search),
}

/// A running comparison by pairs of laps.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct PairsState {
    pub stage: PairStage,
    /// The running pair, from 0.
    pub pair: u32,
    /// The laps that did not count.
    pub void: u32,
    /// Each adjuster that is compared, with its two places: start or the first, found or the second.
    pub places: Vec<(AdjusterId, u32, u32)>,
}

/// How far a pair is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PairStage {
    Begin,
    /// A setting is fitted for the first lap, or the second.
    Swap(OfPair),
    First,
    Which,
}
