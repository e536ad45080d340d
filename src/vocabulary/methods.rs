//! Owns the words of the methods of search and of the efforts. It knows nothing of how one searches.

pub use crate::search::{Effort, Method};

impl Method {
    /// All methods.
    pub const ALL: [Method; 3] = [Method::Bracket, Method::CrossOut, Method::Narrow];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Method::Bracket => "bracket",
            Method::CrossOut => "cross-out",
            Method::Narrow => "narrow",
        }
    }

    /// What it does, in a line.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Method::Bracket => "goes one way until it gets worse, then looks between",
            Method::CrossOut => "rules out what is worse, with a second comparison on most laps",
            Method::Narrow => "weighs up every answer, and picks the lap it learns most from",
        }
    }
}

impl Effort {
    /// All efforts.
    pub const ALL: [Effort; 3] = [Effort::Quick, Effort::Normal, Effort::Thorough];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Effort::Quick => "quick",
            Effort::Normal => "normal",
            Effort::Thorough => "thorough",
        }
    }

    /// What it means, in a line.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Effort::Quick => "fewer laps, less certain",
            Effort::Normal => "in between (the default)",
            Effort::Thorough => "more laps, more certain",
        }
    }
}
