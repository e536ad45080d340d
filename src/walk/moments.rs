//! Owns the moments of a walk, each known by its future: what is asked there, where it leads, what was found of it. It
//! knows nothing of how one comes from one to the next.

use std::ops::{Index, IndexMut};
use std::sync::Arc;

use crate::plan::AdjusterId;
use crate::session::Session;

use super::Map;
use super::asked::By;
use super::cost::Cost;
use super::future::Future;
use super::tune::Walked;

/// What a walk found of a moment: all from there on.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub cost: Cost,
    pub ends: bool,
    pub within_range: bool,
    /// Every sequence was walked; otherwise laps, minutes and sequences are upper bounds.
    pub exact: bool,
    /// The way on with the most laps.
    pub longest: Option<usize>,
}

impl Found {
    /// What holds for both, each at its worst.
    pub fn and(&self, other: &Found) -> Found {
        Found {
            cost: self.cost.worse(other.cost),
            ends: self.ends && other.ends,
            within_range: self.within_range && other.within_range,
            exact: self.exact && other.exact,
            longest: None,
        }
    }
}

/// A tune of a longest ride, as it was walked, with its last answer; none where it is bounded and not walked.
pub(super) type WalkedTune = Option<(AdjusterId, Arc<Walked>, usize)>;

/// A way from one moment to a next one, or to the end.
#[derive(Debug)]
pub(super) struct Passage {
    pub cost: Cost,
    pub to: Option<MomentId>,
    pub tune: WalkedTune,
}

/// A moment of a ride, and of all others with the same future.
#[derive(Debug)]
pub(super) struct Moment {
    /// Until it is walked on from.
    pub session: Option<Box<Session>>,
    pub by: By,
    pub passages: Vec<Passage>,
    /// Of what is asked here.
    pub ends: bool,
    pub within_range: bool,
    pub exact: bool,
    /// Once all that follows is known.
    pub found: Option<Found>,
}

/// One of the moments of some walks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct MomentId(usize);

/// All moments that walks have come to.
#[derive(Debug, Default)]
// each is at a place of its own, as there may be very many
pub(super) struct Moments(Map<Box<Future>, Box<Moment>>);

impl Moments {
    /// The moment with this future, and whether it is a new one: then it is made.
    pub fn come(&mut self, future: Future, make: impl FnOnce() -> Moment) -> (MomentId, bool) {
        match self.0.entry(Box::new(future)) {
            indexmap::map::Entry::Occupied(same) => (MomentId(same.index()), false),
            indexmap::map::Entry::Vacant(new) => {
                let id = MomentId(new.index());
                new.insert(Box::new(make()));
                (id, true)
            }
        }
    }

    pub fn iter(&self) -> impl Iterator<Item = &Moment> {
        self.0.values().map(AsRef::as_ref)
    }
}

impl Index<MomentId> for Moments {
    type Output = Moment;

    #[expect(
        clippy::indexing_slicing,
        reason = "an id is given out for a moment that is there, and none is taken away"
    )]
    fn index(&self, id: MomentId) -> &Moment {
        &self.0[id.0]
    }
}

impl IndexMut<MomentId> for Moments {
    #[expect(
        clippy::indexing_slicing,
        reason = "an id is given out for a moment that is there, and none is taken away"
    )]
    fn index_mut(&mut self, id: MomentId) -> &mut Moment {
        &mut self.0[id.0]
    }
}
