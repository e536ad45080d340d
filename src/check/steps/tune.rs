//! Owns what `tune` means: which adjusters are searched, how, how far and at most how long.

use crate::language::clause;
use crate::language::steps::Tune;
use crate::plan::{self, MOST_LAPS_OF_A_TUNE, Step};
use crate::problem::Told;
use crate::vocabulary::Method;

use super::Spreader;
use crate::check::facts::compare_twice_needed;
use crate::check::values::{found, whole};

impl Spreader<'_> {
    pub(super) fn tune(&mut self, tune: &Tune<'_>) -> Result<(), Told> {
        let Tune { line, which, first_way, within, at_most, method, feel, if_fitted } = tune;
        let which = found(*which, self.findings)?;
        let chosen = self.usable(line, which, *if_fitted);
        // a clause that cannot be read is told, and the step is judged as if it were not there
        let at_most = at_most.and_then(|clause::AtMost { place: _, laps }| found(laps, self.findings).ok());
        let at_most = at_most
            .map_or(Ok(MOST_LAPS_OF_A_TUNE), |(laps, _)| whole(laps, 1, MOST_LAPS_OF_A_TUNE, self.findings));
        let method = method.and_then(|clause::Method { place: _, method }| found(method, self.findings).ok());
        if let (Some((Method::CrossOut, span)), Some(no)) = (method, self.facts.no_compare_twice_at()) {
            self.findings.tell(compare_twice_needed(span, no));
        }
        let method = method.map_or(self.facts.method, |(&method, _)| method);
        let feel = feel.and_then(|clause::Feel { place: _, text }| found(text, self.findings).ok());
        let first_way = first_way.and_then(|clause::Try { place: _, way }| found(way, self.findings).ok());
        let within = within.and_then(|clause::Within { place: _, far }| found(far, self.findings).ok());
        for adjuster in chosen {
            let first_way = first_way.map(|(&way, span)| self.direction(adjuster, way, span)).transpose();
            let within = within.map(|(far, _)| self.count(far, adjuster)).transpose();
            let tune = plan::Tune {
                adjuster,
                method,
                first_way: first_way?,
                within: within?,
                at_most: at_most?,
                feel: feel.map(|(feel, _)| feel.clone()),
            };
            self.put(Step::Tune(tune), line.word);
        }
        Ok(())
    }
}
