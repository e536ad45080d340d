//! Owns the words for places on an adjuster, for what can be recorded, and for choosing adjusters.
//! It knows nothing of scales or steps.

use super::End;

/// A place on an adjuster that has a word of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PlaceWord {
    Start,
    Before,
    End(End),
    Middle,
}

/// The words for places, with their meaning.
pub const PLACES: &[(PlaceWord, &str, &str)] = &[
    (PlaceWord::Start, "start", "the start setting"),
    (
        PlaceWord::Before,
        "before",
        "the setting before anything was changed, as you gave it at `record settings`",
    ),
    (PlaceWord::End(End::Open), "open", "the softest or fastest end"),
    (PlaceWord::End(End::Closed), "closed", "the firmest or slowest end"),
    (PlaceWord::Middle, "middle", "halfway; if two are in the middle, the one nearer open"),
];

impl PlaceWord {
    /// Whether an adjuster can start there: the start cannot be told by itself, nor by what the ride finds.
    #[must_use]
    pub fn can_start(self) -> bool {
        !matches!(self, PlaceWord::Start | PlaceWord::Before)
    }
}

/// The place that a word stands for, in any case.
#[must_use]
pub fn place_named(word: &str) -> Option<PlaceWord> {
    PLACES.iter().find(|row| row.1.eq_ignore_ascii_case(word)).map(|row| row.0)
}

/// Something that a plan can have recorded, besides what it names itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Recordable {
    Settings,
    Temperature,
    Altitude,
}

impl Recordable {
    /// All of them.
    pub const ALL: [Recordable; 3] = [Recordable::Settings, Recordable::Temperature, Recordable::Altitude];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Recordable::Settings => "settings",
            Recordable::Temperature => "temperature",
            Recordable::Altitude => "altitude",
        }
    }
}

/// Chooses the adjusters of every part.
pub const EVERY: &str = "every";
/// Chooses the springs, whatever kind they are.
pub const SPRING: &str = "spring";
/// Chooses all that was tuned.
pub const EVERYTHING: &str = "everything";

/// Ends `try faster first`.
pub const FIRST: &str = "first";
/// Opens the name of an adjuster of the user's own.
pub const OWN: &str = "adjuster";
/// A number that is not known yet.
pub const NOT_COUNTED: &str = "?";
