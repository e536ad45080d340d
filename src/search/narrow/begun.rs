//! Owns what was decided at the beginnings of searches, worked out once: it depends on their terms alone, and
//! a walk comes to the same beginning many times.

use std::sync::{Mutex, PoisonError};

use indexmap::IndexMap;

use super::{Decision, Terms};

/// How many are kept; with more all of them are let go.
const MOST_KEPT: usize = 10_000;

/// What was decided so far. It only saves work: what is in it is the same wherever it is made.
#[derive(Debug, Default)]
pub(super) struct Beginnings(Mutex<IndexMap<Terms, Decision>>);

impl Beginnings {
    /// What is decided at the beginning of a search.
    pub fn of(&self, terms: Terms, decide: impl FnOnce() -> Decision) -> Decision {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner).get(&terms).copied();
        if let Some(known) = known {
            return known;
        }
        // others are not kept waiting
        let decision = decide();
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= MOST_KEPT {
            kept.clear();
        }
        kept.insert(terms, decision);
        decision
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::search::{Effort, Proposal};

    #[test]
    fn a_beginning_is_decided_once_and_not_too_many_are_kept() {
        let terms = |top: u32| Terms {
            top,
            start: 0,
            hint: None,
            again: None,
            effort: Effort::Normal,
            compare_twice: false,
        };
        let decision = |at: u32| Decision { proposal: Proposal::Settle(at), settled: at, best_ridden: at };
        let beginnings = Beginnings::default();
        let kept = || beginnings.0.lock().unwrap().len();
        for top in 0..u32::try_from(MOST_KEPT).unwrap() {
            assert_eq!(beginnings.of(terms(top), || decision(top)), decision(top));
        }
        assert_eq!(beginnings.of(terms(7), || decision(99)), decision(7));
        assert_eq!(kept(), MOST_KEPT);
        beginnings.of(terms(u32::MAX), || decision(0));
        assert_eq!(kept(), 1);
    }
}
