//! Owns what `set` means: an adjuster that is put somewhere, at a place or so much one way.

use crate::language::TargetNode;
use crate::language::steps::Set;
use crate::plan::{Goal, Step};
use crate::problem::Told;

use super::Spreader;
use crate::check::values::found;

impl Spreader<'_> {
    pub(super) fn set(&mut self, set: &Set<'_>) -> Result<(), Told> {
        let Set { line, which, target, if_fitted } = set;
        let which = found(*which, self.findings)?;
        let chosen = self.usable(line, which, *if_fitted);
        let (target, span) = found(*target, self.findings)?;
        for adjuster in chosen {
            let goal = match target {
                TargetNode::To(place) => self.place(adjuster, place, span)?,
                TargetNode::By(value, way) => {
                    let count = self.count(value, adjuster);
                    let direction = self.direction(adjuster, *way, span);
                    Goal::By(count?, direction?)
                }
            };
            self.put(Step::Set { adjuster, goal }, line.word);
        }
        Ok(())
    }
}
