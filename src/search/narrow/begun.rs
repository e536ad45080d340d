//! Owns what was decided at the beginnings of searches, worked out once: it depends on their terms alone, and
//! a walk comes to the same beginning many times.

use std::sync::{LazyLock, Mutex, PoisonError};

use indexmap::IndexMap;

use super::{Decision, Terms};

/// How many are kept; with more all of them are let go.
const MOST_KEPT: usize = 10_000;

/// It only saves work: what is in it is the same wherever it is made.
static KEPT: LazyLock<Mutex<IndexMap<Terms, Decision>>> = LazyLock::new(Mutex::default);

/// What is decided at the beginning of a search.
pub(super) fn begun(terms: Terms, decide: impl FnOnce() -> Decision) -> Decision {
    let known = KEPT.lock().unwrap_or_else(PoisonError::into_inner).get(&terms).copied();
    if let Some(known) = known {
        return known;
    }
    // others are not kept waiting
    let decision = decide();
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    if kept.len() >= MOST_KEPT {
        kept.clear();
    }
    kept.insert(terms, decision);
    decision
}
