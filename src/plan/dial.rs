//! Owns an adjuster's scale together with its start, its step and what turning it is called; and
//! the adjuster that is not counted yet, until it is. It knows nothing of files or rides.

use num_rational::Ratio;
use num_traits::{ToPrimitive, Zero};

use super::{Reading, Scale};
use crate::physics::{Number, Unit};
use crate::search::Direction;
use crate::vocabulary::{End, Way};

/// An adjuster whose positions are known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dial {
    scale: Scale,
    start: u32,
    /// The step that its line gives; absent where it is silent.
    given_step: Option<u32>,
    rising: Way,
}

/// Where an adjuster is to stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Goal {
    Start,
    /// Where it was found; its start where nobody knows.
    Before,
    End(End),
    Middle,
    /// A position.
    At(u32),
    /// A number as the adjuster counts; only where its positions are not known yet.
    Value(Number),
    /// So many positions further.
    By(u32, Direction),
}

/// Where an adjuster that is not counted yet starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StartRule {
    End(End),
    Middle,
    /// A number as the adjuster counts.
    Value(Number),
}

/// The step of an adjuster whose line does not say one, in positions: of clicks one where there are
/// ten or fewer, else two; 2 psi, 0.15 bar or 15 kPa; one position of everything else. Common
/// practice, no source.
fn silent_step(scale: &Scale) -> u32 {
    let amount = match scale.unit() {
        Some(Unit::Clicks) if scale.top() > 10 => return 2,
        Some(Unit::Psi) => Ratio::from_integer(2),
        Some(Unit::Bar) => Ratio::new(15, 100),
        Some(Unit::Kilopascal) => Ratio::from_integer(15),
        _ => return 1,
    };
    scale.positions_nearest(amount)
}

impl Dial {
    /// A dial; its step is the one given, or the silent one, never more than the range.
    #[must_use]
    pub fn new(scale: Scale, start: StartRule, step: Option<u32>, rising: Way) -> Self {
        let mut dial = Dial { scale, start: 0, given_step: step, rising };
        dial.start = dial.resolve(start);
        dial
    }

    fn resolve(&self, rule: StartRule) -> u32 {
        match rule {
            StartRule::End(end) => self.end(end),
            StartRule::Middle => self.middle(),
            StartRule::Value(value) => self.scale.nearest(value, self.rising.opening()),
        }
    }

    /// The same dial starting elsewhere; beyond the top counts as the top.
    #[must_use]
    pub fn starting_at(mut self, start: u32) -> Self {
        self.start = start.min(self.scale.top());
        self
    }

    /// Its scale.
    #[must_use]
    pub fn scale(&self) -> &Scale {
        &self.scale
    }

    /// The position at which it starts.
    #[must_use]
    pub fn start(&self) -> u32 {
        self.start
    }

    /// How many positions one change goes.
    #[must_use]
    pub fn step(&self) -> u32 {
        let step = self.given_step.unwrap_or_else(|| silent_step(&self.scale));
        step.clamp(1, self.scale.top().max(1))
    }

    /// The same dial with another step, in positions.
    #[must_use]
    pub fn with_step(mut self, step: u32) -> Self {
        self.given_step = Some(step);
        self
    }

    /// How many positions lie between two settings that a rider could tell apart at best: one click,
    /// spacer, listed value or name; of a quantity one step.
    #[must_use]
    pub fn apart(&self) -> u32 {
        match self.scale.unit() {
            Some(Unit::Clicks | Unit::Spacers) | None => 1,
            Some(_) if self.scale.is_list() => 1,
            Some(_) => self.step(),
        }
    }

    /// What going in a direction is called.
    #[must_use]
    pub fn way(&self, direction: Direction) -> Way {
        match direction {
            Direction::Up => self.rising,
            Direction::Down => self.rising.opposite(),
        }
    }

    /// The direction that leads toward open.
    #[must_use]
    pub fn opening(&self) -> Direction {
        if self.rising.opens() { Direction::Up } else { Direction::Down }
    }

    /// The position of an end: of names the one that bears its word, where one does.
    #[must_use]
    pub fn end(&self, end: End) -> u32 {
        let at_top = (end == End::Open) == self.rising.opens();
        let outer = if at_top { self.scale.top() } else { 0 };
        self.scale.named(end.word()).unwrap_or(outer)
    }

    /// The middle position; of two, the one toward open.
    #[must_use]
    pub fn middle(&self) -> u32 {
        let top = self.scale.top();
        if self.rising.opens() { top.div_ceil(2) } else { top / 2 }
    }

    /// The position that a goal means, from where the adjuster stands; and whether it had to stop
    /// at the end of the range.
    #[must_use]
    pub fn reach(&self, goal: Goal, from: u32) -> (u32, bool) {
        let top = self.scale.top();
        match goal {
            // where it was found is known in a ride alone
            Goal::Start | Goal::Before => (self.start, false),
            Goal::End(end) => (self.end(end), false),
            Goal::Middle => (self.middle(), false),
            Goal::At(position) => (position.min(top), position > top),
            Goal::Value(value) => {
                let cut = self.scale.position(value).is_err();
                (self.scale.nearest(value, self.rising.opening()), cut)
            }
            Goal::By(count, Direction::Up) => {
                (from.saturating_add(count).min(top), count > top - from.min(top))
            }
            Goal::By(count, Direction::Down) => (from.saturating_sub(count), count > from),
        }
    }

    /// A change between two positions as it is said: `2 clicks faster`; `None` where there is none.
    #[must_use]
    pub fn change(&self, from: u32, to: u32) -> Option<String> {
        let direction = if to > from { Direction::Up } else { Direction::Down };
        (from != to).then(|| format!("{} {}", self.scale.distance(from, to), self.way(direction).word()))
    }

    /// The same adjuster to be counted anew: its start and step stay. `None` where it is not counted
    /// in clicks or turns from an end, or does not begin at nought.
    #[must_use]
    pub fn to_be_counted(&self) -> Option<Uncounted> {
        let (unit, counted) = (self.scale.unit()?, self.scale.counted()?);
        let by = self.scale.grid_by()?;
        let Reading::Value(start, _) = self.scale.reading(self.start) else { return None };
        let rule = StartRule::Value(start);
        Some(Uncounted::new(unit, by, counted, rule, self.given_step, self.rising))
    }
}

/// An adjuster of clicks or turns whose positions are counted at the beginning of the ride.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Uncounted {
    pub(super) unit: Unit,
    pub(super) by: Number,
    pub(super) counted: End,
    pub(super) start: StartRule,
    pub(super) step: Option<u32>,
    pub(super) rising: Way,
}

impl Uncounted {
    /// The most positions that a count may give.
    pub const MOST: u32 = 60;

    /// Clicks, or turns of `by` each, with what the plan says of it. A `by` of nought counts as one.
    #[must_use]
    pub fn new(
        unit: Unit,
        by: Number,
        counted: End,
        start: StartRule,
        step: Option<u32>,
        rising: Way,
    ) -> Self {
        let by = if by > Number::zero() { by } else { Ratio::from_integer(1) };
        Uncounted { unit, by, counted, start, step, rising }
    }

    /// The same with another step, in positions.
    #[must_use]
    pub fn with_step(mut self, step: u32) -> Self {
        self.step = Some(step);
        self
    }

    /// The unit that is counted.
    #[must_use]
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// From which end its numbers count.
    #[must_use]
    pub fn counted(&self) -> End {
        self.counted
    }

    /// What going up is called.
    #[must_use]
    pub fn rising(&self) -> Way {
        self.rising
    }

    /// Where it is to start.
    #[must_use]
    pub fn start_rule(&self) -> StartRule {
        self.start
    }

    /// How much one position is.
    #[must_use]
    pub fn by(&self) -> Number {
        self.by
    }

    /// How many positions a count is; `None` where it is none from 1 to 60.
    #[must_use]
    pub fn top_of(&self, count: Number) -> Option<u32> {
        let top = count / self.by;
        let top = if top.is_integer() { top.to_integer().to_u32()? } else { return None };
        (1..=Self::MOST).contains(&top).then_some(top)
    }

    /// The dial, once the count is known; and whether a start beyond it was cut to the end.
    #[must_use]
    pub fn dial(&self, top: u32) -> Option<(Dial, bool)> {
        let high = self.by * Ratio::from_integer(i128::from(top));
        let scale = Scale::grid(self.unit, Number::zero(), high, self.by, Some(self.counted)).ok()?;
        let cut = matches!(self.start, StartRule::Value(value) if value > high);
        Some((Dial::new(scale, self.start, self.step, self.rising), cut))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clicks(counted: End, rising: Way) -> Uncounted {
        Uncounted::new(Unit::Clicks, Ratio::from_integer(1), counted, StartRule::Middle, None, rising)
    }

    #[test]
    fn silent_start_and_step_follow_the_count() {
        // Common practice, no source: ten clicks or fewer one at a time, more of them two.
        let (dial, _) = clicks(End::Closed, Way::Faster).dial(14).unwrap();
        assert_eq!((dial.start(), dial.step()), (7, 2));
        let (dial, _) = clicks(End::Closed, Way::Faster).dial(9).unwrap();
        assert_eq!((dial.start(), dial.step()), (5, 1));
        let (dial, _) = clicks(End::Open, Way::Faster).dial(9).unwrap();
        assert_eq!(dial.scale().said(dial.start()), "4 clicks");
        assert_eq!(clicks(End::Closed, Way::Faster).dial(10).unwrap().0.step(), 1);
        assert_eq!(clicks(End::Closed, Way::Faster).dial(11).unwrap().0.step(), 2);
    }

    #[test]
    fn open_is_the_fast_or_soft_end_and_of_names_the_one_that_says_so() {
        let (dial, _) = clicks(End::Closed, Way::Softer).dial(12).unwrap();
        assert_eq!((dial.end(End::Open), dial.end(End::Closed)), (12, 0));
        let names = ["open", "half", "closed"].map(str::to_owned).to_vec();
        let scale = Scale::names(names).unwrap();
        let dial = Dial::new(scale, StartRule::End(End::Open), None, Way::Firmer);
        assert_eq!((dial.end(End::Open), dial.end(End::Closed), dial.start()), (0, 2, 0));
    }

    #[test]
    fn a_change_stops_at_the_end_of_the_range() {
        let (dial, _) = clicks(End::Closed, Way::Faster).dial(10).unwrap();
        assert_eq!(dial.reach(Goal::By(3, Direction::Up), 8), (10, true));
        assert_eq!(dial.reach(Goal::By(2, Direction::Down), 2), (0, false));
        assert_eq!(dial.change(8, 6).as_deref(), Some("2 clicks slower"));
    }
}
