//! Owns what has happened in a ride: laps by number, results, conditions, and what is to be told.
//! Nothing that is asked later depends on it but lap numbers and words.

use std::sync::Arc;

use indexmap::IndexMap;

use crate::physics::Number;
use crate::plan::{AdjusterId, Bike, ByAdjuster};

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

/// Whether a lap that was ridden counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Worth {
    Counts,
    Void,
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
    ridden: u32,
    /// In the running comparison: how many pairs were for the found setting, or for the second place.
    pub agreeing: u32,
    /// How often something was turned before a lap.
    pub changes: u32,
    /// How often a coil or spacers were changed.
    pub slow_changes: u32,
    /// None in a walk, which asks only how much there was.
    record: Option<Box<Record>>,
}

/// What is written down.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Record {
    laps: Vec<Lap>,
    /// Each shared by itself, as most changes are of one.
    grounds: Arc<ByAdjuster<Arc<Ground>>>,
    conditions: IndexMap<String, Noted>,
    running: Vec<(u32, u32)>,
    news: Vec<News>,
}

impl Ground {
    /// Of a setting that nothing has been done about.
    const NONE: Ground = Ground {
        how: How::Set,
        laps: Vec::new(),
        start_cut: false,
        sag: None,
        ridden_anyway: false,
        confirmed: None,
    };
}

impl History {
    pub fn new(bike: &Bike) -> Self {
        let record = Record {
            laps: Vec::new(),
            grounds: Arc::new(ByAdjuster::of(bike, |_| Arc::new(Ground::NONE))),
            conditions: IndexMap::new(),
            running: Vec::new(),
            news: Vec::new(),
        };
        History { ridden: 0, agreeing: 0, changes: 0, slow_changes: 0, record: Some(Box::new(record)) }
    }

    /// How many laps were ridden.
    pub fn ridden(&self) -> u32 {
        self.ridden
    }

    /// Every lap that is written down.
    pub fn laps(&self) -> &[Lap] {
        self.record.as_ref().map_or(&[], |record| &record.laps)
    }

    /// The laps that count in the running tune, by number and position, the reference first.
    pub fn running(&self) -> &[(u32, u32)] {
        self.record.as_ref().map_or(&[], |record| &record.running)
    }

    /// The latest lap of the running tune at a position.
    pub fn lap_at(&self, position: u32) -> Option<u32> {
        self.running().iter().rev().find(|lap| lap.1 == position).map(|lap| lap.0)
    }

    /// What has come up since the last answer.
    pub fn news(&self) -> &[News] {
        self.record.as_ref().map_or(&[], |record| &record.news)
    }

    pub fn conditions(&self) -> IndexMap<String, Noted> {
        self.record.as_ref().map(|record| record.conditions.clone()).unwrap_or_default()
    }

    /// What the setting of an adjuster rests on.
    pub fn ground(&self, id: AdjusterId) -> Ground {
        self.record.as_ref().map_or(Ground::NONE, |record| (*record.grounds[id]).clone())
    }

    /// The same, to be changed; `None` where nothing is written down.
    pub fn ground_mut(&mut self, id: AdjusterId) -> Option<&mut Ground> {
        let record = self.record.as_mut()?;
        Some(Arc::make_mut(&mut Arc::make_mut(&mut record.grounds)[id]))
    }

    /// Writes a lap down and gives its number.
    pub fn lap(&mut self, tuned: Option<(AdjusterId, u32)>, felt: Option<Felt>, worth: Worth) -> u32 {
        self.ridden = self.ridden.saturating_add(1);
        if let Some(record) = &mut self.record {
            let void = worth == Worth::Void;
            record.laps.push(Lap { number: self.ridden, tuned, felt, void });
        }
        self.ridden
    }

    /// A tune begins, in which no lap counts yet.
    pub fn begin_tune(&mut self) {
        if let Some(record) = &mut self.record {
            record.running.clear();
        }
    }

    /// Writes down that a lap counts in the running tune.
    pub fn counts(&mut self, number: u32, position: u32) {
        if let Some(record) = &mut self.record {
            record.running.push((number, position));
        }
    }

    /// Writes down how the running tune of an adjuster has ended, and by which laps.
    pub fn settled(&mut self, id: AdjusterId, how: How) {
        let laps: Vec<u32> = self.running().iter().map(|lap| lap.0).collect();
        let Some(ground) = self.ground_mut(id) else { return };
        (ground.how, ground.laps, ground.confirmed) = (how, laps, None);
    }

    /// Writes down how the running second look at an adjuster has ended, and by which laps.
    pub fn settled_again(&mut self, id: AdjusterId, how: How) {
        let laps: Vec<u32> = self.running().iter().map(|lap| lap.0).collect();
        let Some(ground) = self.ground_mut(id) else { return };
        // one that is cut short leaves what the first look was
        ground.how = if ground.how == How::FeltBest { How::FeltBest } else { how };
        ground.laps.extend(laps);
        ground.laps.dedup();
        ground.confirmed = None;
    }

    /// Writes a condition down; an earlier one of its name is replaced.
    pub fn note(&mut self, name: &str, noted: Noted) {
        if let Some(record) = &mut self.record {
            record.conditions.insert(name.to_owned(), noted);
        }
    }

    /// Writes down what the rider is to be told.
    pub fn tell(&mut self, news: News) {
        if let Some(record) = &mut self.record {
            record.news.push(news);
        }
    }

    /// What there was to tell has been told.
    pub fn told(&mut self) {
        if let Some(record) = &mut self.record {
            record.news.clear();
        }
    }

    /// What is behind is forgotten, and what comes is not written down.
    pub fn forget(&mut self) {
        self.record = None;
    }
}
