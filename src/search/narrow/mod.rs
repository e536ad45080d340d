//! Owns the surest search: what is believed of the best setting is a share for every place, every
//! verdict changes it, and the next lap is the one whose answer is expected to tell most. It knows
//! nothing of what the positions are.

mod begun;
mod belief;
mod felt;
mod memory;
mod rows;
mod telling;

pub use belief::Belief;
pub use felt::{Sense, share_of};
pub use memory::Memory;

use std::hash::{Hash, Hasher};
use std::sync::Arc;

use super::{Direction, Effort, Grade, Proposal, Reason, SecondLook, Verdict};

/// What a search begins with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Terms {
    /// The positions are 0 to this.
    pub top: u32,
    /// Where it begins; ridden already.
    pub start: u32,
    /// The side on which the rider thinks the best lies.
    pub hint: Option<Direction>,
    /// It is a second look; `None` for a first one.
    pub again: Option<SecondLook>,
    pub effort: Effort,
    /// A lap may be compared with a second one.
    pub compare_twice: bool,
}

/// A position is surer than one before it only where its share is greater by more than this.
const TIE: f64 = 1e-7;

/// A lap tells more than one before it only where it tells more than this besides, in nats.
const LEAST_MORE: f64 = 1e-6;

/// A lap with its answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct JudgedLap {
    at: u32,
    against: u32,
    grade: Grade,
    also: Option<(u32, Grade)>,
}

/// What may be ridden next, and the most that it can tell.
struct Choice {
    at: u32,
    also: Option<u32>,
    at_most: f64,
}

/// What follows from the verdicts so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Decision {
    proposal: Proposal,
    settled: u32,
    best_ridden: u32,
}

/// A narrowing search. All that its future depends on, and nothing else: what is believed follows from
/// the verdicts.
#[derive(Debug, Clone)]
pub struct Narrow {
    terms: Terms,
    laps: Vec<JudgedLap>,
    decision: Decision,
    memory: Arc<Memory>,
}

impl PartialEq for Narrow {
    fn eq(&self, other: &Self) -> bool {
        let Narrow { terms, laps, decision, memory: _ } = self;
        *terms == other.terms && *laps == other.laps && *decision == other.decision
    }
}

impl Eq for Narrow {}

impl Hash for Narrow {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        let Narrow { terms, laps, decision, memory: _ } = self;
        (terms, laps, decision).hash(hasher);
    }
}

impl Terms {
    /// How sure it is to be of one position before it settles.
    fn stop(&self) -> f64 {
        match self.effort {
            _ if self.again.is_some() => 0.70,
            Effort::Quick => 0.70,
            Effort::Normal => 0.80,
            Effort::Thorough => 0.88,
        }
    }

    /// The most laps, the one at the start among them.
    fn most_laps(&self) -> usize {
        match (self.again, self.effort) {
            (None, Effort::Thorough) => 10,
            (None, _) => 8,
            (Some(look), _) => look.at_most as usize,
        }
    }

    /// How far beyond what was ridden the next lap may lie.
    fn reach(&self) -> u32 {
        match (self.again, self.top) {
            (Some(look), _) => look.reach,
            (None, 0..=7) => 2,
            (None, _) => 4,
        }
    }
}

impl Narrow {
    /// A search on these terms, which remembers there what it works out.
    #[must_use]
    pub fn begin(mut terms: Terms, memory: &Arc<Memory>) -> Self {
        terms.start = terms.start.min(terms.top);
        let decision = Decision {
            proposal: Proposal::Settle(terms.start),
            settled: terms.start,
            best_ridden: terms.start,
        };
        let mut begun = Narrow { terms, laps: Vec::new(), decision, memory: Arc::clone(memory) };
        begun.decision = memory.beginnings.of(terms, || begun.clone().decided().decision);
        begun
    }

    /// What is believed now.
    #[must_use]
    pub fn belief(&self) -> Belief {
        self.belief_with(None)
    }

    /// What is believed with one more answer.
    fn belief_with(&self, more: Option<(u32, u32, Grade)>) -> Belief {
        let of_lap = |lap: &JudgedLap| {
            let also = lap.also.map(|(also, grade)| (lap.at, also, grade));
            [Some((lap.at, lap.against, lap.grade)), also]
        };
        let answers: Vec<_> = self.laps.iter().flat_map(of_lap).flatten().chain(more).collect();
        let graded = answers.iter().any(|(.., grade)| grade.is_much());
        let mut belief = Belief::begin(&self.terms, graded, &self.memory);
        for (at, against, grade) in answers {
            belief.hear(at, against, grade);
        }
        belief
    }

    /// The positions ridden, in order, the start first.
    fn ridden(&self) -> impl DoubleEndedIterator<Item = u32> + use<'_> {
        std::iter::once(self.terms.start).chain(self.laps.iter().map(|lap| lap.at))
    }

    fn last(&self) -> u32 {
        self.laps.last().map_or(self.terms.start, |lap| lap.at)
    }

    fn decided(mut self) -> Self {
        if self.terms.top == 0 {
            return self;
        }
        let belief = self.belief();
        let (mut settled, mut surest) = (0, f64::NEG_INFINITY);
        for position in 0..=self.terms.top {
            let within = belief.within_one(position);
            if within > surest + TIE {
                (settled, surest) = (position, within);
            }
        }
        let mut best_ridden = (self.last(), f64::NEG_INFINITY);
        for position in self.ridden().rev() {
            let within = belief.within_one(position);
            if within > best_ridden.1 + TIE {
                best_ridden = (position, within);
            }
        }
        let enough = !self.laps.is_empty() && surest >= self.terms.stop();
        let out_of_laps = self.laps.len() + 1 >= self.terms.most_laps();
        let next = if enough || out_of_laps { None } else { self.most_telling(&belief) };
        let proposal = match next {
            None => Proposal::Settle(settled),
            Some((at, also)) => Proposal::Ride { at, against: self.last(), also },
        };
        self.decision = Decision { proposal, settled, best_ridden: best_ridden.0 };
        self
    }

    /// The next lap and what it is compared with besides the last one: what tells most together. `None` where there is
    /// no other place.
    fn most_telling(&self, belief: &Belief) -> Option<(u32, Option<u32>)> {
        let last = self.last();
        let before_last = self.ridden().rev().nth(1);
        let (least, most) =
            self.ridden().fold((last, last), |(least, most), at| (least.min(at), most.max(at)));
        let reach = self.terms.reach();
        let low = least.saturating_sub(reach).max(last.saturating_sub(2 * reach));
        let high = (most + reach).min(last + 2 * reach).min(self.terms.top);
        let mut candidates: Vec<u32> =
            (low..=high).filter(|&at| at != last && Some(at) != before_last).collect();
        if self.terms.hint == Some(Direction::Up) {
            candidates.reverse();
        }
        let partners = self.partners();
        let mut telling = belief.telling();
        let mut choices = Vec::new();
        for at in candidates {
            let one = telling.one(at, last);
            let others: Vec<u32> = partners.iter().copied().filter(|also| *also != at).collect();
            if others.is_empty() {
                choices.push(Choice { at, also: None, at_most: one });
            }
            let mut with =
                |also| Choice { at, also: Some(also), at_most: one + telling.adds_at_most(at, also) };
            choices.extend(others.into_iter().map(&mut with));
        }
        let mut tells = |choice: &Choice| match choice.also {
            None => choice.at_most,
            Some(also) => telling.both(choice.at, last, also),
        };
        // most need not be worked out: they cannot tell as much as the one that promises most
        let promising = choices.iter().max_by(|one, other| one.at_most.total_cmp(&other.at_most))?;
        let least = tells(promising) - 2.0 * LEAST_MORE;
        let mut best: Option<(&Choice, f64)> = None;
        for choice in choices.iter().filter(|choice| choice.at_most >= least) {
            let is_more = |told: f64| best.is_none_or(|(_, most)| told > most + LEAST_MORE);
            if !is_more(choice.at_most) {
                continue;
            }
            let told = tells(choice);
            if is_more(told) {
                best = Some((choice, told));
            }
        }
        best.map(|(choice, _)| (choice.at, choice.also))
    }

    /// The settings with which a lap may be compared besides the last one, by their latest laps, the oldest first.
    fn partners(&self) -> Vec<u32> {
        if !self.terms.compare_twice {
            return Vec::new();
        }
        let mut partners: Vec<u32> = Vec::new();
        for at in self.ridden() {
            partners.retain(|earlier| *earlier != at);
            partners.push(at);
        }
        partners.pop();
        partners
    }

    /// What to ride next, or where to settle.
    #[must_use]
    pub fn next(&self) -> Proposal {
        self.decision.proposal
    }

    /// Why that is ridden next; `None` where nothing is.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        match self.decision.proposal {
            Proposal::Ride { at, against, .. } => Some(Reason::Telling { at, against }),
            Proposal::Settle(_) => None,
        }
    }

    /// The position that is likeliest to lie within one of the best.
    #[must_use]
    pub fn settled(&self) -> u32 {
        self.decision.settled
    }

    /// The likeliest of what was ridden.
    #[must_use]
    pub fn best_ridden(&self) -> u32 {
        self.decision.best_ridden
    }

    /// Whether a position was ridden.
    #[must_use]
    pub fn has_ridden(&self, position: u32) -> bool {
        self.ridden().any(|ridden| ridden == position)
    }

    /// The search after a lap at `rode` with the answers of its one or two comparisons.
    #[must_use]
    pub fn hear(&self, rode: u32, grade: Grade, second: Option<Grade>) -> Self {
        let Proposal::Ride { against, also, .. } = self.decision.proposal else { return self.clone() };
        let mut next = self.clone();
        next.laps.push(JudgedLap { at: rode.min(self.terms.top), against, grade, also: also.zip(second) });
        next.decided()
    }

    /// Where to settle after a proof lap at the place where it settled, which was never ridden,
    /// compared with the best ridden.
    #[must_use]
    pub fn proven(&self, grade: Grade) -> u32 {
        let (proof, best) = (self.decision.settled, self.decision.best_ridden);
        if self.terms.effort == Effort::Quick {
            return if grade.verdict() == Verdict::Worse { best } else { proof };
        }
        let belief = self.belief_with(Some((proof, best, grade)));
        if belief.within_one(best) > belief.within_one(proof) { best } else { proof }
    }

    /// The most laps that may still be asked for.
    #[must_use]
    pub fn most_laps(&self) -> u32 {
        match self.decision.proposal {
            Proposal::Settle(_) => 0,
            Proposal::Ride { .. } => {
                u32::try_from(self.terms.most_laps().saturating_sub(self.laps.len() + 1)).unwrap_or(0)
            }
        }
    }
}

#[cfg(test)]
mod tests;
