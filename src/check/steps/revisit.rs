//! Owns what `revisit` means: a second, short look at what was tuned before, by the method of its last tune.

use crate::language::steps::Revisit;
use crate::plan::{AdjusterId, Step};
use crate::problem::Told;
use crate::search::Method;

use super::Spreader;
use crate::check::values::found;

impl Spreader<'_> {
    /// The tunes so far, by adjuster.
    pub(super) fn tuned(&self) -> impl DoubleEndedIterator<Item = (AdjusterId, Method)> + '_ {
        self.steps.iter().filter_map(|(step, _)| step.tune()).map(|tune| (tune.adjuster, tune.method))
    }

    pub(super) fn revisit(&mut self, revisit: &Revisit<'_>) -> Result<(), Told> {
        let Revisit { line, which, if_fitted } = revisit;
        let which = found(*which, self.findings)?;
        for adjuster in self.usable(line, which, *if_fitted) {
            let tuned = self.tuned().rfind(|(tuned, _)| *tuned == adjuster);
            let method = tuned.map_or(self.facts.method, |(_, method)| method);
            self.put(Step::Revisit { adjuster, method }, line.word);
        }
        Ok(())
    }
}
