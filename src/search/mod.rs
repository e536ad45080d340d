//! Owns how the best setting of one adjuster is found. A method is a file: it says what to ride
//! next and hears the verdict. It knows positions only, nothing of clicks, bikes or laps' numbers.

mod bracket;
mod cross_out;
mod few;
mod narrow;
mod second_look;
mod task;

pub use bracket::Bracket;
pub use cross_out::CrossOut;
pub use few::Few;
pub use narrow::{Belief, Memory, Narrow, Sense, Terms, share_of};
pub use second_look::SecondLook;
pub use task::{Search, Task};

/// How a tune searches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Method {
    Bracket,
    CrossOut,
    Narrow,
}

/// How much certainty a search is to give.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Effort {
    Quick,
    Normal,
    Thorough,
}

/// Which way a search goes over the positions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    Up,
    Down,
}

impl Direction {
    /// The other way.
    #[must_use]
    pub fn opposite(self) -> Self {
        match self {
            Direction::Up => Direction::Down,
            Direction::Down => Direction::Up,
        }
    }
}

/// How a lap felt against the lap it is compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    Better,
    Worse,
    Same,
}

impl Verdict {
    /// As a grade: not much.
    #[must_use]
    pub fn graded(self) -> Grade {
        match self {
            Verdict::Better => Grade::Better,
            Verdict::Worse => Grade::Worse,
            Verdict::Same => Grade::Same,
        }
    }
}

/// How a lap felt, and whether by much. Only narrowing makes use of that.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Grade {
    MuchBetter,
    Better,
    Same,
    Worse,
    MuchWorse,
}

impl Grade {
    /// How it felt, by whatever much.
    #[must_use]
    pub fn verdict(self) -> Verdict {
        match self {
            Grade::MuchBetter | Grade::Better => Verdict::Better,
            Grade::Same => Verdict::Same,
            Grade::Worse | Grade::MuchWorse => Verdict::Worse,
        }
    }

    /// Whether it was said to be much.
    #[must_use]
    pub fn is_much(self) -> bool {
        matches!(self, Grade::MuchBetter | Grade::MuchWorse)
    }
}

/// What a search wants next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Proposal {
    /// A lap at `at`, compared with the latest lap at `against`; and, where a second comparison of
    /// the same lap is worth a question, with the latest lap at `also`.
    Ride { at: u32, against: u32, also: Option<u32> },
    /// Nothing more; the best setting is taken to be this.
    Settle(u32),
}

/// Why a search wants the lap that it wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reason {
    /// A first step in this direction.
    First(Direction),
    /// The last step in this direction was better: one more.
    Onward(Direction),
    /// The last step felt the same: one more, to find where that ends.
    Plateau(Direction),
    /// The other direction was no better: now this one, from the start.
    Turned(Direction),
    /// The verdicts leave this much of the range: a lap to part it.
    Left(Window),
    /// The answer tells most here: which side of the middle of the two the best lies on.
    Telling { at: u32, against: u32 },
}

/// The positions among which a search may choose; both ends belong to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Window {
    pub low: u32,
    pub high: u32,
}

impl Window {
    /// The position `by` further in a direction, never outside the window. The one place where a
    /// proposal is cut to the range.
    #[must_use]
    pub fn step(self, from: u32, by: u32, direction: Direction) -> u32 {
        match direction {
            Direction::Up => from.saturating_add(by).min(self.high).max(self.low),
            Direction::Down => from.saturating_sub(by).max(self.low).min(self.high),
        }
    }

    /// How far it is from `from` to the end in a direction.
    #[must_use]
    pub fn room(self, from: u32, direction: Direction) -> u32 {
        match direction {
            Direction::Up => self.high.saturating_sub(from),
            Direction::Down => from.saturating_sub(self.low),
        }
    }

    /// How many positions it has above its first.
    #[must_use]
    pub fn width(self) -> u32 {
        self.high.saturating_sub(self.low)
    }
}
