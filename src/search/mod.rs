//! Owns how the best setting of one adjuster is found. A method is a file: it says what to ride
//! next and hears the verdict. It knows positions only, nothing of clicks, bikes or laps' numbers.

mod bracket;

pub use bracket::Bracket;

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

/// What a search wants next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Proposal {
    /// A lap at `at`, compared with the latest lap at `against`.
    Ride { at: u32, against: u32 },
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
}

/// A running search by any method.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Search {
    Bracket(Bracket),
}

impl Search {
    /// What it wants next.
    #[must_use]
    pub fn next(&self) -> Proposal {
        match self {
            Search::Bracket(bracket) => bracket.next(),
        }
    }

    /// Why it wants that; `None` where it wants nothing more.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        match self {
            Search::Bracket(bracket) => bracket.reason(),
        }
    }

    /// Where it would settle if no further lap were ridden.
    #[must_use]
    pub fn settled(&self) -> u32 {
        match self {
            Search::Bracket(bracket) => bracket.settled(),
        }
    }

    /// The search after a lap at `rode` with this verdict.
    #[must_use]
    pub fn hear(&self, rode: u32, verdict: Verdict) -> Self {
        match self {
            Search::Bracket(bracket) => Search::Bracket(bracket.hear(rode, verdict)),
        }
    }

    /// Whether a lap at `rode`, which was not the setting asked for, may count: it lies within the
    /// window, on the side that is searched, beyond the last setting.
    #[must_use]
    pub fn takes(&self, rode: u32) -> bool {
        match self {
            Search::Bracket(bracket) => bracket.takes(rode),
        }
    }

    /// The most laps that may still be asked for.
    #[must_use]
    pub fn most_laps(&self) -> u32 {
        match self {
            Search::Bracket(bracket) => bracket.most_laps(),
        }
    }
}
