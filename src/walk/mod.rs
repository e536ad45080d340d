//! Owns the proof of a plan: the very session of a ride, walked with every verdict and either way
//! first. It knows nothing of how that is told.
//!
//! Not walked, as they only come on top and are bounded by the most laps of a tune: void laps, laps
//! at another setting, laps at which nothing could be told, proof laps that are taken, and what is taken
//! back. Where a spring ends up, what was in it, and the order of pairs are not the rider's: the worst
//! counts.

#![deny(clippy::wildcard_enum_match_arm, clippy::indexing_slicing)]

mod asked;
mod bound;
mod cost;
mod count;
mod excess;
mod fact;
mod future;
mod moments;
mod needs;
mod ride;
mod tune;

use std::sync::Arc;

use indexmap::{IndexMap, IndexSet};
use rustc_hash::FxBuildHasher;

use crate::physics::Number;
use crate::plan::{AdjusterId, FewByAdjuster, Plan, Setup, Uncounted};

use crate::session::Answer;

pub use count::Count;
pub use excess::{Excess, excess};
use moments::Found;
use ride::Walks;
use tune::Tunes;

/// A map for the many moments of a walk. Nobody can choose its keys to make it slow, so a fast hash will do.
type Map<K, V> = IndexMap<K, V, FxBuildHasher>;

/// A set of them.
type Distinct<T> = IndexSet<T, FxBuildHasher>;

/// The most counts of several adjusters together that are walked.
const MOST_COUNTS: usize = 2_000;

/// The most moments of all walks of a plan together, one for each count that a rider may make. A plan of 1 kB
/// with as many takes about half a second (`cargo bench --bench worst`).
const MOST_MOMENTS: usize = 400_000;

/// The most of all walks with fewer laps together.
const MOST_MOMENTS_OF_SHARES: usize = 120_000;

/// What is known of every ride of a plan before it is ridden. Laps, minutes and sequences are as if
/// the plan had no `at most` of its own; those of its tunes count.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// Every ride ends.
    pub ends: bool,
    /// No setting that is asked for is one that the bike does not have.
    pub within_range: bool,
    /// The most laps, those without a verdict among them.
    pub worst_laps: u32,
    /// The most minutes; `None` where the loop does not say how long a lap is. A spring counts all
    /// the readings that it may take.
    pub worst_minutes: Option<Number>,
    /// How many sequences of verdicts and ways first there are.
    pub sequences: Count,
    /// Every sequence was walked. Otherwise laps, minutes and sequences are bounds, and no ride has more: the plan comes
    /// back to too many adjusters, or it has a method that is not walked.
    pub exact: bool,
    /// The most laps where every adjuster that is counted in the ride has this many positions above
    /// its first; empty where none is. Counts that the plan's steps cannot use are left out.
    pub by_count: Vec<(u32, u32)>,
    /// The tunes of a ride with the most laps in order, each with its answers; empty where rides are
    /// bounded and not walked.
    pub longest: Vec<(AdjusterId, Vec<Answer>)>,
}

/// Walks every ride of a plan.
#[must_use]
pub fn prove(plan: &Arc<Plan>) -> Proof {
    Prover::new(plan).prove(plan)
}

/// The most laps that every tune of a plan may take so that its worst case fits its `at most` of laps
/// and of time; `None` where not even one lap each does, or where the plan fits as it is. Where
/// there are too many rides to be walked, it is what fits in any case, which may be fewer.
#[must_use]
pub fn share(plan: &Arc<Plan>) -> Option<u32> {
    let shared = |laps: u32| Arc::new(Plan::clone(plan).with_share(laps));
    let most = plan.tunes().map(|tune| tune.at_most);
    // with as many laps as that nothing changes
    let (mut fitting, mut beyond) = (0, most.max()?);
    // what fits at its bound need not be walked
    while fitting + 1 < beyond && bound::fits(&shared(fitting + 1)) {
        fitting += 1;
    }
    let bounded = fitting;
    let mut prover = Prover::new(plan);
    prover.tunes.allow(MOST_MOMENTS_OF_SHARES);
    let counted = !prover.counted.is_empty();
    let mut fits = |laps: u32, counts: &[u32]| {
        let proof = prover.prove_for(&shared(laps), counts);
        !proof.is_beyond_laps(plan) && !proof.is_beyond_time(plan)
    };
    // most counts are alike: a few lead to the share, all of them decide it
    let few = [Uncounted::MOST, 10];
    // a bound is seldom far off, so this goes on from it in strides that grow
    let mut stride = 1;
    while beyond - fitting > 1 {
        let laps = (fitting + stride).min(fitting.midpoint(beyond).max(fitting + 1));
        if fits(laps, &few) {
            (fitting, stride) = (laps, stride * 2);
        } else {
            beyond = laps;
        }
    }
    let mut walked = (bounded + 1..=fitting).rev();
    let walked = if counted { walked.find(|&laps| fits(laps, &all_counts())) } else { walked.next() };
    walked.or((bounded > 0).then_some(bounded))
}

impl Proof {
    /// Whether the worst case has more laps than the plan allows.
    #[must_use]
    pub fn is_beyond_laps(&self, plan: &Plan) -> bool {
        plan.parts().laps.is_some_and(|most| self.worst_laps > most)
    }

    /// Whether the worst case takes longer than the plan thinks of.
    #[must_use]
    pub fn is_beyond_time(&self, plan: &Plan) -> bool {
        self.worst_minutes.zip(plan.parts().minutes).is_some_and(|(worst, most)| worst > most)
    }
}

/// Every count that a rider may make, the most first.
fn all_counts() -> Vec<u32> {
    (1..=Uncounted::MOST).rev().collect()
}

/// What is remembered from one walk to the next of plans that differ little.
struct Prover {
    tunes: Tunes,
    /// The adjusters that are counted in the ride.
    counted: Vec<AdjusterId>,
}

impl Prover {
    fn new(plan: &Plan) -> Self {
        let is_counted = |id: &AdjusterId| matches!(plan.bike().get(*id).setup, Setup::Uncounted(_));
        let counted = plan.bike().ids().filter(is_counted).collect();
        Prover { tunes: Tunes::default(), counted }
    }

    fn prove(&mut self, plan: &Arc<Plan>) -> Proof {
        self.tunes.allow(MOST_MOMENTS);
        self.prove_for(plan, &all_counts())
    }

    /// The proof where only some counts are made.
    fn prove_for(&mut self, plan: &Arc<Plan>, each: &[u32]) -> Proof {
        let free = Arc::new(Plan::clone(plan).without_budget());
        let mut walks = Walks::of(free, &mut self.tunes);
        let apart = self.counted.iter().map(|&id| (id, walks.told_apart(id, each)));
        // with one count as with any other, it is no count that makes a difference
        let apart: CountsApart = apart.filter(|apart| apart.1.len() > 1).collect();
        let mut by_count = Vec::new();
        let mut worst: Option<Worst> = None;
        let too_many = apart.iter().map(|apart| apart.1.len()).product::<usize>() > MOST_COUNTS;
        for &count in each {
            let counts = FewByAdjuster::of(plan.bike(), |_| count);
            let Some((found, longest)) = walks.walk(&counts) else { continue };
            // what was walked once tells at least that no setting leaves its range
            let (found, longest) = if too_many { (walks.bounded(), Vec::new()) } else { (found, longest) };
            by_count.push((count, found.cost.laps));
            let exact = found.exact;
            let found = Worst { found, counts, longest };
            worst = Some(match worst {
                Some(worst) => worst.and(found),
                None => found,
            });
            if apart.is_empty() || !exact {
                by_count.clear();
                break;
            }
        }
        by_count.reverse();
        let worst = worst.map(|worst| each_count(&apart, &mut walks, worst));
        if worst.as_ref().is_some_and(|worst| !worst.found.exact) {
            by_count.clear();
        }
        let Some(Worst { found, longest, .. }) = worst else {
            return Proof {
                ends: false,
                within_range: false,
                worst_laps: 0,
                worst_minutes: None,
                sequences: Count::NONE,
                exact: false,
                by_count,
                longest: Vec::new(),
            };
        };
        let lap = plan.parts().loop_.as_ref().and_then(|loop_| loop_.lap);
        Proof {
            ends: found.ends,
            within_range: found.within_range,
            worst_laps: found.cost.laps,
            worst_minutes: lap.map(|_| walks.pace().minutes(found.cost.time)),
            sequences: found.cost.sequences,
            exact: found.exact,
            by_count,
            longest,
        }
    }
}

/// The adjusters that are counted, each with the counts that the plan can tell apart.
type CountsApart = Vec<(AdjusterId, Vec<u32>)>;

/// The worst of several walks.
struct Worst {
    found: Found,
    /// The counts with which it has the most laps, and the tunes of such a ride.
    counts: FewByAdjuster<u32>,
    longest: Vec<(AdjusterId, Vec<Answer>)>,
}

impl Worst {
    /// What holds for both, each at its worst.
    fn and(self, other: Worst) -> Worst {
        let more = other.found.cost.laps > self.found.cost.laps;
        let found = self.found.and(&other.found);
        Worst { found, ..if more { other } else { self } }
    }
}

/// Where several adjusters are counted: all their counts together that the plan can tell apart.
fn each_count(apart: &CountsApart, walks: &mut Walks<'_>, mut worst: Worst) -> Worst {
    if apart.len() < 2 || !worst.found.exact {
        return worst;
    }
    let mut all = vec![worst.counts.clone()];
    for (id, apart) in apart {
        let with = |counts: &FewByAdjuster<u32>, count| {
            let mut counts = counts.clone();
            counts[*id] = count;
            counts
        };
        all = all.iter().flat_map(|counts| apart.iter().map(|&count| with(counts, count))).collect();
    }
    for counts in all {
        let Some((found, longest)) = walks.walk(&counts) else { continue };
        let exact = found.exact;
        worst = worst.and(Worst { found, counts, longest });
        if !exact {
            break;
        }
    }
    worst
}
