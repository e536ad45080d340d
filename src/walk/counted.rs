//! Owns the walks of a plan whose adjusters are counted in the ride: counts that no ride can tell apart
//! are walked once.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::plan::{AdjusterId, Goal, Plan, Setup, Step};

use super::ride::{Found, walk};
use super::tune::Tunes;

/// What a ride can tell of a count: the step, and the room below and above the start as far as the plan
/// may lead.
type Told = (u32, u32, u32);

/// The walks of a plan so far.
pub(super) struct Counted<'a> {
    plan: &'a Arc<Plan>,
    walked: BTreeMap<Vec<Option<Told>>, Option<Found>>,
}

impl<'a> Counted<'a> {
    pub fn of(plan: &'a Arc<Plan>) -> Self {
        Counted { plan, walked: BTreeMap::new() }
    }

    /// The walk with these counts, by the place of the adjuster; `None` where they do not fit the plan.
    pub fn walk(&mut self, tunes: &mut Tunes, counts: &[u32]) -> Option<Found> {
        let ids = self.plan.bike().ids().zip(counts);
        let told = ids.map(|(id, count)| self.told(id, *count)).collect();
        self.walked.entry(told).or_insert_with(|| walk(self.plan, tunes, counts)).clone()
    }

    fn told(&self, id: AdjusterId, count: u32) -> Option<Told> {
        let Setup::Uncounted(uncounted) = &self.plan.bike().get(id).setup else { return None };
        let (dial, _) = uncounted.dial(count)?;
        let far = self.travel(id, dial.step());
        let (start, top) = (dial.start(), dial.scale().top());
        Some((dial.step(), start.min(far), (top - start).min(far)))
    }

    /// How far a plan may lead an adjuster from its start, at most; without bound where it names a place.
    fn travel(&self, id: AdjusterId, step: u32) -> u32 {
        let far = |each: &Step| match each {
            Step::Tune(tune) if tune.adjuster == id => {
                tune.at_most.saturating_mul(if tune.within.is_some() { 1 } else { step })
            }
            Step::Revisit { adjuster, .. } if *adjuster == id => 3,
            Step::Set { adjuster, goal } if *adjuster == id => match goal {
                Goal::Start => 0,
                Goal::By(count, _) => *count,
                Goal::End(_) | Goal::Middle | Goal::At(_) | Goal::Value(_) => u32::MAX,
            },
            Step::Confirm(confirm) if confirm.adjusters.contains(&id) && !confirm.between.is_empty() => {
                u32::MAX
            }
            _ => 0,
        };
        self.plan.steps().iter().map(far).fold(0, u32::saturating_add)
    }
}
