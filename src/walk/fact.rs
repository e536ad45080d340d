//! Owns what one adjuster is to later steps, fact by fact: where a position is relative to a place, as far as that makes
//! a difference. It knows nothing of steps and rides.

use std::hash::{Hash, Hasher};

use crate::plan::Scale;

use super::needs::Reach;

/// Where a position is relative to another one, as far as the steps to come can tell.
#[derive(Debug, Clone, Copy)]
pub(super) enum Standing {
    /// Exactly where it is matters: so many positions above the other one, or below it.
    Exact(i64),
    /// Only how close it is matters, and it is this close.
    Near(i64),
    /// It is so far away that it makes no difference how far.
    Free,
    /// It is the other one.
    Alike,
    /// It is not the other one; how far away it is makes no difference.
    Apart,
    /// Nobody knows, or there is no other one.
    Unknown,
}

/// What a fact is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub(super) enum About {
    /// It has no positions yet, so there is nothing to tell.
    Uncounted,
    /// How it is to the low end of its range.
    LowEnd,
    /// How it is to the high end.
    HighEnd,
    /// How far one change of it goes.
    Step,
    /// How many positions it has, as far as a second look can tell.
    Top,
    /// Where it was found.
    Before,
    /// How it is to a place with which it is compared or where it is put.
    Place,
    /// How such a place is to the low end, where not all rides have it at the same one,
    PlaceLowEnd,
    /// to the high end,
    PlaceHighEnd,
    /// and to another such place.
    PlacePlace,
    /// How where it is to be is to where it is fitted,
    Fitted,
    /// and how that is to such a place.
    FittedPlace,
    /// How where it is to be is to where it was on the last lap,
    LastLap,
    /// and how that was to such a place.
    LastLapPlace,
    /// Whether it was tuned before it is looked at again.
    Tuned,
    /// How it is to where it was when another one, which is looked at again, was tuned,
    Since,
    /// and how that was to a place where it is put before the other one is looked at again.
    SincePlace,
}

/// One thing that the steps to come can tell of an adjuster, as one number: a walk keeps millions of them, and compares
/// and hashes them more often than that.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Fact(u32);

// no two numbers of positions are taken for one: no adjuster has more
const _: () = assert!(Scale::HIGHEST_TOP < i16::MAX.unsigned_abs() as u32);

impl Fact {
    pub fn new(about: About, standing: Standing) -> Self {
        let (kind, positions) = match standing {
            Standing::Exact(by) => (0, by),
            Standing::Near(by) => (1, by),
            Standing::Free => (2, 0),
            Standing::Alike => (3, 0),
            Standing::Apart => (4, 0),
            Standing::Unknown => (5, 0),
        };
        let most = if positions < 0 { i16::MIN } else { i16::MAX };
        let [high, low] = i16::try_from(positions).unwrap_or(most).to_be_bytes();
        Fact(u32::from_be_bytes([about as u8, kind, high, low]))
    }
}

impl Hash for Fact {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        hasher.write_u32(self.0);
    }

    /// Two at a time.
    fn hash_slice<H: Hasher>(facts: &[Self], hasher: &mut H) {
        let (pairs, last) = facts.as_chunks();
        for [one, other] in pairs {
            hasher.write_u64(u64::from(other.0) << 32 | u64::from(one.0));
        }
        for fact in last {
            fact.hash(hasher);
        }
    }
}

impl Standing {
    /// How a position is to a place where it may be turned no farther than `reach`.
    pub fn to(place: u32, position: u32, reach: Reach) -> Self {
        let apart = i64::from(position) - i64::from(place);
        match reach {
            Reach::Anywhere => Standing::Exact(apart),
            Reach::Within(most) if apart.unsigned_abs() <= most.into() => Standing::Near(apart),
            Reach::Within(_) => Standing::Free,
        }
    }

    /// How it is to an end from which it is `room` away. As much room as it may be turned is as good as more.
    pub fn with_room(room: u32, reach: Reach) -> Self {
        match reach {
            Reach::Anywhere => Standing::Exact(room.into()),
            Reach::Within(most) if room < most => Standing::Near(room.into()),
            Reach::Within(_) => Standing::Free,
        }
    }

    /// Whether it is the other one, where no more can be told.
    pub fn alike_if(alike: bool) -> Self {
        if alike { Standing::Alike } else { Standing::Apart }
    }
}
