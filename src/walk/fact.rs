//! Owns what one adjuster is to later steps, fact by fact: where a position is relative to a place, as far as that makes
//! a difference. It knows nothing of steps and rides.

use std::fmt::{self, Debug, Formatter};
use std::hash::{Hash, Hasher};

use crate::plan::Scale;

use super::needs::Reach;

/// A number of positions, either way.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) struct Positions([u8; 2]);

/// Where a position is relative to a place, as far as the steps to come can tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Standing {
    /// Exactly where it is matters: so far above the place, or below it.
    Exact(Positions),
    /// Only how close it is to the place matters, and it is this close.
    Near(Positions),
    /// It is so far from the place that it makes no difference how far.
    Free,
}

/// Where an adjuster is or was otherwise than where it is to be: in truth, or on the last lap.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Otherwise {
    /// Nobody knows, or there is no such lap.
    Unknown,
    /// Where it is to be.
    Alike,
    /// Not where it is to be; how far from there makes no difference.
    Apart,
    /// So far from where it is to be.
    From(Standing),
}

/// Where an adjuster is relative to where it was when another one, which is looked at again, was tuned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Since {
    /// The other one was not tuned yet.
    NotTuned,
    /// It stays where it is, so it has moved or not, whatever comes.
    Moved(bool),
    /// So far from there.
    From(Standing),
}

/// One thing that the steps to come can tell of an adjuster. A walk keeps millions of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fact {
    /// It has no positions yet, so there is nothing to tell.
    Uncounted,
    /// How it is to the low end of its range.
    LowEnd(Standing),
    /// How it is to the high end.
    HighEnd(Standing),
    /// How far one change of it goes.
    Step(Positions),
    /// Whether it is looked at again closely.
    Close(bool),
    /// Where it was found, where that is known.
    Found(Option<Positions>),
    /// How it is to a place with which it is compared or where it is put.
    Place(Standing),
    /// How such a place is to the low end, where not all rides have it at the same one,
    PlaceLowEnd(Standing),
    /// to the high end,
    PlaceHighEnd(Standing),
    /// and to another such place.
    PlacePlace(Standing),
    /// Where it is fitted,
    Fitted(Otherwise),
    /// and how that is to such a place.
    FittedPlace(Standing),
    /// Where it was on the last lap,
    LastLap(Otherwise),
    /// and how that was to such a place.
    LastLapPlace(Standing),
    /// How it is to where it was when another one was tuned,
    Since(Since),
    /// and how that was to a place where it is put before the other one is looked at again.
    SincePlace(Standing),
}

// a walk keeps millions of facts
const _: () = assert!(size_of::<Fact>() == 4);

impl Positions {
    /// So many; no adjuster has as many as there is no room for ([`Scale::HIGHEST_TOP`]).
    pub fn of(number: i64) -> Self {
        let most = if number < 0 { i16::MIN } else { i16::MAX };
        Positions(i16::try_from(number).unwrap_or(most).to_ne_bytes())
    }

    fn number(self) -> i16 {
        i16::from_ne_bytes(self.0)
    }
}

// no two numbers are taken for one
const _: () = assert!(Scale::HIGHEST_TOP < i16::MAX.unsigned_abs() as u32);

impl Debug for Positions {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        self.number().fmt(f)
    }
}

impl Fact {
    /// A number that is the same for facts that are the same. Others seldom share it: what kind of fact comes where
    /// is the same for most keys that are compared.
    fn digest(self) -> i16 {
        match self {
            Fact::LowEnd(standing)
            | Fact::HighEnd(standing)
            | Fact::Place(standing)
            | Fact::PlaceLowEnd(standing)
            | Fact::PlaceHighEnd(standing)
            | Fact::PlacePlace(standing)
            | Fact::FittedPlace(standing)
            | Fact::LastLapPlace(standing)
            | Fact::SincePlace(standing)
            | Fact::Fitted(Otherwise::From(standing))
            | Fact::LastLap(Otherwise::From(standing))
            | Fact::Since(Since::From(standing)) => match standing {
                Standing::Exact(by) | Standing::Near(by) => by.number(),
                Standing::Free => i16::MAX,
            },
            Fact::Step(number) | Fact::Found(Some(number)) => number.number(),
            Fact::Close(true) | Fact::Since(Since::Moved(true)) => 1,
            Fact::Fitted(Otherwise::Apart) | Fact::LastLap(Otherwise::Apart) => 1,
            Fact::Fitted(Otherwise::Alike) | Fact::LastLap(Otherwise::Alike) => 0,
            Fact::Close(false) | Fact::Since(Since::Moved(false)) => 0,
            Fact::Fitted(Otherwise::Unknown) | Fact::LastLap(Otherwise::Unknown) => i16::MIN,
            Fact::Uncounted | Fact::Found(None) | Fact::Since(Since::NotTuned) => i16::MIN,
        }
    }
}

/// Four at a time, as keys are looked up millions of times.
impl Hash for Fact {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        hasher.write_i16(self.digest());
    }

    fn hash_slice<H: Hasher>(facts: &[Self], hasher: &mut H) {
        for four in facts.chunks(4) {
            let pack = |packed: u64, fact: &Fact| packed << 16 | u64::from(fact.digest().cast_unsigned());
            hasher.write_u64(four.iter().fold(0, pack));
        }
    }
}

impl Standing {
    /// How a position is to a place where it may be turned no farther than `reach`.
    pub fn to(place: u32, position: u32, reach: Reach) -> Self {
        let apart = i64::from(position) - i64::from(place);
        match reach {
            Reach::Anywhere => Standing::Exact(Positions::of(apart)),
            Reach::Within(most) if apart.unsigned_abs() <= most.into() => {
                Standing::Near(Positions::of(apart))
            }
            Reach::Within(_) => Standing::Free,
        }
    }

    /// How it is to an end from which it is `room` away. As much room as it may be turned is as good as more.
    pub fn with_room(room: u32, reach: Reach) -> Self {
        match reach {
            Reach::Anywhere => Standing::Exact(Positions::of(room.into())),
            Reach::Within(most) if room < most => Standing::Near(Positions::of(room.into())),
            Reach::Within(_) => Standing::Free,
        }
    }
}
