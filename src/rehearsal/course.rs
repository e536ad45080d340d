//! Owns how far a rehearsal has come, told to whoever waits for it, and its end before the last ride.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// A rehearsal under way. Another thread can look how far it is, and end it.
#[derive(Debug, Default)]
pub struct Course {
    ridden: AtomicU64,
    of: AtomicU64,
    ended: AtomicBool,
}

impl Course {
    /// How many rides are ridden, and of how many; more can come to be wanted later.
    pub fn ridden(&self) -> (u64, u64) {
        (self.ridden.load(Ordering::Relaxed), self.of.load(Ordering::Relaxed))
    }

    /// No ride is begun any more, and what is being ridden is left.
    pub fn end(&self) {
        self.ended.store(true, Ordering::Relaxed);
    }

    /// Whether it is to end.
    pub fn is_ended(&self) -> bool {
        self.ended.load(Ordering::Relaxed)
    }

    pub(super) fn wants(&self, rides: u64) {
        self.of.fetch_add(rides, Ordering::Relaxed);
    }

    pub(super) fn has_ridden(&self) {
        self.ridden.fetch_add(1, Ordering::Relaxed);
    }
}
