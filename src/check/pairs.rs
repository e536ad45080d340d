//! Owns second looks and pairs of laps: what each step of these means on a bike. It knows nothing of
//! how they are ridden.

use crate::chance::{Sides, fewest_agreeing};
use crate::language::{EntryLine, Node, PlaceNode};
use crate::plan::{AdjusterId, Confirm, Goal, Step};
use crate::problem::{Code, Problem, Span};
use crate::vocabulary::{Clause, Family, Knob};

use super::steps::Spreader;
use super::values::whole;

/// Whether `everything` means it too: springs, tyres, preload and spacers are confirmed by name.
fn is_in_everything(knob: &Knob) -> bool {
    !matches!(knob.family(), Family::Spring | Family::Tyre) && !matches!(knob, Knob::Preload | Knob::Spacers)
}

/// The fewest pairs that can show something; so many are ridden where the plan does not say how many.
fn fewest_telling(sides: Sides) -> u32 {
    let tells = |pairs: &u32| fewest_agreeing(*pairs, sides).is_some();
    (1..=Confirm::MOST_PAIRS).find(tells).unwrap_or(Confirm::MOST_PAIRS)
}

impl Spreader<'_> {
    /// The tunes so far, by adjuster.
    fn tuned(&self) -> impl DoubleEndedIterator<Item = (AdjusterId, crate::search::Method)> + '_ {
        self.steps.iter().filter_map(|(step, _)| match step {
            Step::Tune(tune) => Some((tune.adjuster, tune.method)),
            _ => None,
        })
    }

    fn is_tuned(&self, id: AdjusterId) -> bool {
        self.tuned().any(|(tuned, _)| tuned == id)
    }

    pub(super) fn revisit(&mut self, line: &EntryLine) {
        let chosen: Vec<_> = self.chosen(line).into_iter().filter_map(|chosen| chosen.id).collect();
        for adjuster in chosen {
            let tuned = self.tuned().rfind(|(tuned, _)| *tuned == adjuster);
            let method = tuned.map_or(self.facts.method, |(_, method)| method);
            self.put(Step::Revisit { adjuster, method }, line.word);
        }
    }

    pub(super) fn confirm(&mut self, line: &EntryLine) {
        let blind = line.clause(Clause::Blind).is_some();
        let sides = if line.clause(Clause::Between).is_some() { Sides::Two } else { Sides::One };
        let pairs = match line.clause(Clause::Pairs).and_then(|clause| clause.fields.value()) {
            Some((value, _)) => whole(value, 1, Confirm::MOST_PAIRS, self.problems),
            None => Some(fewest_telling(sides)),
        };
        let between = line.clause(Clause::Between).and_then(|clause| {
            let places = clause.fields.0.iter().find_map(|(node, span)| match node {
                Node::Between(places) => Some((places.as_ref().clone(), *span)),
                _ => None,
            });
            places.map(|(places, span)| (places, span, clause.span))
        });
        let everything = line.fields.0.iter().any(|(node, _)| matches!(node, Node::Everything));
        if let (true, Some((_, _, span))) = (everything, &between) {
            let problem = Problem::new(
                Code::ClauseUnfit,
                *span,
                "`between` needs to know on which adjuster the places are",
            );
            self.problems
                .push(problem.help("name it, as in  confirm fork rebound, between 4 clicks and 8 clicks"));
            return;
        }
        let groups = if everything { vec![self.everything()] } else { self.together(line) };
        let Some(pairs) = pairs else { return };
        self.too_few(line, pairs, sides);
        for adjusters in groups {
            let places = between.as_ref().map(|(places, span, _)| self.places(&adjusters, places, *span));
            let Some(between) = places.unwrap_or(Some(Vec::new())) else { return };
            self.put(Step::Confirm(Confirm { adjusters, between, blind, pairs }), line.word);
        }
    }

    /// All that the steps so far tune and `everything` means, in the bike's order.
    fn everything(&mut self) -> Vec<AdjusterId> {
        let ids = self.sketch.bike.ids();
        ids.filter(|&id| self.is_tuned(id) && is_in_everything(&self.sketch.bike.get(id).knob)).collect()
    }

    /// What a line means, a split circuit together.
    fn together(&mut self, line: &EntryLine) -> Vec<Vec<AdjusterId>> {
        let mut groups: Vec<Vec<AdjusterId>> = Vec::new();
        for id in self.chosen(line).into_iter().filter_map(|chosen| chosen.id) {
            let adjuster = self.sketch.bike.get(id);
            let same_circuit = |other: &AdjusterId| {
                let other = self.sketch.bike.get(*other);
                let damping = matches!(adjuster.family(), Family::Rebound | Family::Compression);
                damping && other.part == adjuster.part && other.family() == adjuster.family()
            };
            match groups.iter_mut().find(|group| group.iter().any(same_circuit)) {
                Some(group) => group.push(id),
                None => groups.push(vec![id]),
            }
        }
        groups
    }

    /// The two places on each adjuster of a group; `None` where one of them is not there.
    fn places(
        &mut self,
        adjusters: &[AdjusterId],
        (one, other): &(PlaceNode, PlaceNode),
        span: Span,
    ) -> Option<Vec<(Goal, Goal)>> {
        let mut places = Vec::new();
        for &id in adjusters {
            let (one, other) = (self.place(id, one, span)?, self.place(id, other, span)?);
            if one == other {
                let problem = Problem::new(Code::ValueUnusable, span, "these two places are the same");
                self.problems
                    .push(problem.help("name two different ones; they are compared with each other"));
                return None;
            }
            places.push((one, other));
        }
        Some(places)
    }

    /// Warns of pairs that can show nothing, however they come out.
    fn too_few(&mut self, line: &EntryLine, pairs: u32, sides: Sides) {
        if fewest_agreeing(pairs, sides).is_some() {
            return;
        }
        let least = fewest_telling(sides);
        let span = line.clause(Clause::Pairs).map_or(line.word, |clause| clause.span);
        let message = "so few pairs can show nothing: chance alone often makes all of them agree";
        let problem = Problem::new(Code::PairsTooFew, span, message);
        self.problems.push(problem.help(format!("{least} pairs are the fewest that can; 8 are wiser")));
    }
}
