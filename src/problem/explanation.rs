//! Owns what each code means, as it stands in `grammar/codes.toml`: the meaning, why it matters, a bad
//! and a good example. It knows nothing of how that is shown.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::Code;

const CODES: &str = include_str!("../../grammar/codes.toml");

/// What a code means.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Explanation {
    pub meaning: String,
    /// Why it matters to those who ride.
    pub why: String,
    /// A text that has the problem; absent where it cannot be shown in a few lines.
    pub bad: Option<String>,
    /// The same text without it.
    pub good: String,
}

/// Every code by its name with what it means; empty where the table cannot be read, which a test
/// rules out.
#[must_use]
pub fn explanations() -> BTreeMap<String, Explanation> {
    toml::from_str(CODES).unwrap_or_default()
}

impl Code {
    /// The code of a name.
    #[must_use]
    pub fn named(name: &str) -> Option<Code> {
        Code::ALL.iter().copied().find(|code| code.name() == name)
    }

    /// What it means.
    #[must_use]
    pub fn explanation(self) -> Option<Explanation> {
        explanations().remove(self.name())
    }
}
