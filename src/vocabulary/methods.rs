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
}

impl Effort {
    /// All efforts.
    pub const ALL: [Effort; 3] = [Effort::Quick, Effort::Usual, Effort::Thorough];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Effort::Quick => "quick",
            Effort::Usual => "usual",
            Effort::Thorough => "thorough",
        }
    }
}
