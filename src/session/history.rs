//! Owns what has happened in a ride: laps by number, results, conditions, and what is to be told.
//! Nothing that is asked later depends on it but lap numbers and words.

use std::sync::Arc;

use indexmap::IndexMap;

use crate::physics::Number;
use crate::plan::AdjusterId;

use super::state::Shared;
use super::{Compared, Felt, How, Noted, Short};

/// One lap that was ridden.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lap {
    /// From 1.
    pub number: u32,
    /// The adjuster that was being tuned, and its position.
    pub tuned: Option<(AdjusterId, u32)>,
    /// How it felt; absent for laps without a verdict and for void laps.
    pub felt: Option<Felt>,
    pub void: bool,
}

/// Something that the rider is told, once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum News {
    /// A tune has ended here.
    Settled { adjuster: AdjusterId, at: u32, how: How },
    /// The plan's laps are used up, so this adjuster is left as it stands.
    KeptForLaps(AdjusterId),
    /// The plan's laps are used up, so these laps are not ridden.
    RideCut { asked: u32, ridden: u32 },
    /// A change would have left the range and stopped at its end.
    StoppedAtEnd { adjuster: AdjusterId, at: u32 },
    /// How it was found is not known, so it goes to its start.
    BeforeUnknown { adjuster: AdjusterId, at: u32 },
    /// There is nothing to look at again, and why.
    NotAgain { adjuster: AdjusterId, why: WhyNot },
    /// Too few places for crossing out, so this one goes by the bracket.
    Bracketed(AdjusterId),
    /// Pairs are left out: start and found are alike.
    NothingToCompare(Vec<AdjusterId>),
    /// Pairs are left out, as the plan's laps do not suffice.
    PairsDoNotFit { pairs: u32, left: u32 },
    /// Pairs have ended: how many of them were for the found setting, or for the second of two places.
    Compared { compared: Compared, better: u32, pairs: u32 },
    /// The files' start lies beyond the count; the end is taken.
    StartCut { adjuster: AdjusterId, at: u32 },
    /// The ride has taken longer than the plan thought, by the plan's own times.
    TimeUsedUp,
    /// A lap at another setting could not be counted, so it is void.
    LapVoid,
    /// A measurement has ended here, with this sag in mm where one was read.
    Measured { adjuster: AdjusterId, at: u32, how: How, sag: Option<Number> },
    /// Why it ended without the sag that was aimed at.
    SagShort { adjuster: AdjusterId, short: Short },
    /// A spring is not right, with this sag in mm, and the rider rides it anyway.
    RiddenAnyway { adjuster: AdjusterId, at: u32, sag: Option<Number> },
    /// A firmer spring cannot sag further, so this reading is asked for again.
    SagContradicts { adjuster: AdjusterId },
    /// The reading stands by itself, so the earlier ones that it contradicts are set aside.
    EarlierSagSetAside { adjuster: AdjusterId },
}

/// Why there is no second look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhyNot {
    /// It was not tuned in this ride.
    NotTuned,
    /// Nothing else has moved enough since.
    NothingMoved,
}

/// What one adjuster's setting rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Ground {
    pub how: How,
    pub laps: Vec<u32>,
    pub start_cut: bool,
    pub sag: Option<Sagged>,
    /// A spring that is not right, and is ridden anyway.
    pub ridden_anyway: bool,
    /// Pairs for the found setting, and all of them, where they were ridden.
    pub confirmed: Option<(u32, u32)>,
}

/// A sag that was measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Sagged {
    /// In mm.
    pub sag: Number,
    /// How far the part can move, in mm, where known.
    pub travel: Option<Number>,
    /// Where everything stood that bears on it; elsewhere it holds no longer.
    pub stood: Vec<(AdjusterId, u32)>,
}

/// All that has happened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct History {
    /// Laps are written down; not so in a walk, which asks only how many there were.
    keeps_laps: bool,
    ridden: u32,
    pub laps: Vec<Lap>,
    /// Each shared by itself, as most changes are of one.
    pub grounds: Shared<Arc<Ground>>,
    pub conditions: IndexMap<String, Noted>,
    /// The laps that count in the running tune, by number and position, the reference first.
    pub running: Vec<(u32, u32)>,
    /// In the running comparison: how many pairs were for the found setting, or for the second place.
    pub agreeing: u32,
    /// How often something was turned before a lap.
    pub changes: u32,
    /// How often a coil or spacers were changed.
    pub slow_changes: u32,
    /// What has come up since the last answer.
    pub news: Vec<News>,
}

impl History {
    pub fn new(adjusters: usize) -> Self {
        let ground = Ground {
            how: How::Set,
            laps: Vec::new(),
            start_cut: false,
            sag: None,
            ridden_anyway: false,
            confirmed: None,
        };
        History {
            keeps_laps: true,
            ridden: 0,
            laps: Vec::new(),
            grounds: Arc::new(std::iter::repeat_n(Arc::new(ground), adjusters).collect()),
            conditions: IndexMap::new(),
            running: Vec::new(),
            agreeing: 0,
            changes: 0,
            slow_changes: 0,
            news: Vec::new(),
        }
    }

    /// What the setting of an adjuster rests on, by its place, to be changed.
    pub fn ground_mut(&mut self, index: usize) -> &mut Ground {
        Arc::make_mut(&mut Arc::make_mut(&mut self.grounds)[index])
    }

    /// How many laps were ridden.
    pub fn ridden(&self) -> u32 {
        self.ridden
    }

    /// Writes a lap down and gives its number.
    pub fn lap(&mut self, tuned: Option<(AdjusterId, u32)>, felt: Option<Felt>, void: bool) -> u32 {
        self.ridden = self.ridden.saturating_add(1);
        if self.keeps_laps {
            self.laps.push(Lap { number: self.ridden, tuned, felt, void });
        }
        self.ridden
    }

    /// Writes down that a lap counts in the running tune.
    pub fn counts(&mut self, number: u32, position: u32) {
        if self.keeps_laps {
            self.running.push((number, position));
        }
    }

    /// What is behind is forgotten, and so is what comes.
    pub fn forget(&mut self) {
        self.keeps_laps = false;
        self.laps = Vec::new();
        self.running = Vec::new();
        self.news = Vec::new();
        self.conditions.clear();
    }

    /// The latest lap of the running tune at a position.
    pub fn lap_at(&self, position: u32) -> Option<u32> {
        self.running.iter().rev().find(|lap| lap.1 == position).map(|lap| lap.0)
    }
}
