//! Owns what `confirm` means: pairs of laps at two settings of what was tuned, or between two places.

use crate::chance::{Sides, fewest_agreeing};
use crate::language::steps::Confirm;
use crate::language::{BetweenNode, Placed, WhomNode, clause};
use crate::plan::{self, AdjusterId, Goal, Step};
use crate::problem::{Code, Problem, Refuse, Span, Told};
use crate::vocabulary::{Family, Knob};

use super::Spreader;
use crate::check::values::{found, whole};

/// Whether `everything` means it too: springs, tyres, preload and spacers are confirmed by name.
fn is_in_everything(knob: &Knob) -> bool {
    !matches!(knob.family(), Family::Spring | Family::Tyre) && !matches!(knob, Knob::Preload | Knob::Spacers)
}

/// The fewest pairs that can show something; so many are ridden where the plan does not say how many.
fn fewest_telling(sides: Sides) -> u32 {
    let tells = |pairs: &u32| fewest_agreeing(*pairs, sides).is_some();
    (1..=plan::Confirm::MOST_PAIRS).find(tells).unwrap_or(plan::Confirm::MOST_PAIRS)
}

impl Spreader<'_> {
    pub(super) fn confirm(&mut self, confirm: &Confirm<'_>) -> Result<(), Told> {
        let Confirm { line, which, between, blind, pairs, if_fitted } = confirm;
        let blind = blind.map(|clause::Blind { place: _ }| ()).is_some();
        let sides = if between.is_some() { Sides::Two } else { Sides::One };
        // a clause that cannot be read is told, and the step is judged as if it were not there
        let pairs_at = pairs.map_or(line.word, |pairs| *pairs.place);
        let pairs = pairs.and_then(|clause::Pairs { place: _, pairs }| found(pairs, self.findings).ok());
        let pairs = pairs.map_or(Ok(fewest_telling(sides)), |(pairs, _)| {
            whole(pairs, 1, plan::Confirm::MOST_PAIRS, self.findings)
        });
        let places = between.and_then(|clause::Between { place, places }| {
            found(places, self.findings).ok().map(|places| (places, *place))
        });
        let groups = match (found(*which, self.findings), places) {
            (Ok((WhomNode::Everything, _)), Some((_, place))) => {
                let message = "`between` needs one adjuster";
                let help = "name it, as in `confirm fork rebound, between 4 clicks and 8 clicks`";
                return Err(self.findings.refuse(Problem::new(Code::OptionWrong, place, message).help(help)));
            }
            (Ok((WhomNode::Everything, _)), None) => vec![self.everything()],
            (Ok((WhomNode::Which(which), span)), _) => {
                let chosen = self.usable(line, (which, span), *if_fitted);
                self.together(chosen)
            }
            (Err(_), _) => Vec::new(),
        };
        let pairs = pairs?;
        self.too_few(pairs_at, pairs, sides);
        for adjusters in groups {
            let between = places.map(|(places, _)| self.places(&adjusters, places)).transpose()?;
            let between = between.unwrap_or_default();
            self.put(Step::Confirm(plan::Confirm { adjusters, between, blind, pairs }), line.word);
        }
        Ok(())
    }

    /// All that the steps so far tune and `everything` means, in the bike's order.
    fn everything(&self) -> Vec<AdjusterId> {
        let is_tuned = |id: &AdjusterId| self.tuned().any(|(tuned, _)| tuned == *id);
        let means = |id: &AdjusterId| is_in_everything(&self.sketch.bike.get(*id).knob);
        self.sketch.bike.ids().filter(|id| is_tuned(id) && means(id)).collect()
    }

    /// Adjusters in groups, a split circuit together.
    fn together(&self, chosen: Vec<AdjusterId>) -> Vec<Vec<AdjusterId>> {
        let mut groups: Vec<Vec<AdjusterId>> = Vec::new();
        for id in chosen {
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

    /// The two places on each adjuster of a group.
    fn places(
        &mut self,
        adjusters: &[AdjusterId],
        (BetweenNode { one, other }, span): Placed<'_, BetweenNode>,
    ) -> Result<Vec<(Goal, Goal)>, Told> {
        let mut places = Vec::new();
        for &id in adjusters {
            let (one, other) = (self.place(id, one, span)?, self.place(id, other, span)?);
            if one == other {
                let problem = Problem::new(Code::ValueImpossible, span, "these two settings are the same");
                let help = "give two different settings to compare";
                return Err(self.findings.refuse(problem.help(help)));
            }
            places.push((one, other));
        }
        Ok(places)
    }

    /// Warns of pairs that can show nothing, however they come out.
    fn too_few(&mut self, span: Span, pairs: u32, sides: Sides) {
        if fewest_agreeing(pairs, sides).is_some() {
            return;
        }
        let least = fewest_telling(sides);
        let message =
            "this is too few pairs to show anything: guessing alone can choose the same setting every time";
        let problem = Problem::pointing(Code::PairsTooFew, span, message);
        self.findings.tell(problem.help(format!("use at least {least} pairs; 8 would be better")));
    }
}
