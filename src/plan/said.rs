//! Owns how positions, ranges and amounts of a scale are said. It knows nothing of which adjuster the
//! scale belongs to.

use num_rational::Ratio;
use num_traits::Signed;

use super::{Reading, Scale};
use crate::vocabulary::{unit_word, unit_word_behind};

impl Scale {
    /// A position as it is said: `12 clicks`, `1 1/4 turns`, `half`.
    #[must_use]
    pub fn said(&self, position: u32) -> String {
        match self.reading(position) {
            Reading::Value(number, unit) => {
                format!("{} {}", unit.figure(number), unit_word_behind(number, unit))
            }
            Reading::Name(name) => name.to_owned(),
        }
    }

    /// A position with the end it counts from, where that is a question: `12 clicks from closed`.
    #[must_use]
    pub fn said_in_full(&self, position: u32) -> String {
        match self.counted() {
            Some(end) => format!("{} from {}", self.said(position), end.word()),
            None => self.said(position),
        }
    }

    /// The whole range as it is counted, the lower number first: `0 to 18 clicks`, `open to closed`.
    #[must_use]
    pub fn said_range(&self) -> String {
        let (first, last) = match (self.reading(0), self.reading(self.top())) {
            (Reading::Value(first, _), Reading::Value(last, _)) if first > last => (self.top(), 0),
            _ => (0, self.top()),
        };
        match (self.reading(first), self.reading(last)) {
            (Reading::Value(low, unit), Reading::Value(..)) => {
                format!("{} to {}", unit.figure(low), self.said(last))
            }
            _ => format!("{} to {}", self.said(first), self.said(last)),
        }
    }

    /// So many positions, as an amount: `2 clicks`, `1/2 turn`, `1 position`.
    #[must_use]
    pub fn amount(&self, positions: u32) -> String {
        match self.spacing() {
            Some((unit, by)) => {
                let number = by.abs() * Ratio::from_integer(i128::from(positions));
                format!("{} {}", unit.figure(number), unit_word_behind(number, unit))
            }
            None => {
                format!("{positions} {}", if positions == 1 { "position" } else { "positions" })
            }
        }
    }

    /// How far it is between two positions, as an amount: `2 clicks`, `50 lb/in`, `1 position`.
    #[must_use]
    pub fn distance(&self, from: u32, to: u32) -> String {
        match (self.spacing(), self.reading(from), self.reading(to)) {
            (None, Reading::Value(from, unit), Reading::Value(to, _)) => {
                format!("{} {}", unit.figure((to - from).abs()), unit_word(unit))
            }
            _ => self.amount(from.abs_diff(to)),
        }
    }

    /// The names of its positions for a sentence, in quotes where they are more than one plain word.
    #[must_use]
    pub fn listed_names(&self) -> String {
        let quoted = |name: &String| {
            let plain = name.chars().all(char::is_alphabetic);
            if plain { name.clone() } else { format!("\"{name}\"") }
        };
        self.all_names().iter().map(quoted).collect::<Vec<_>>().join(", ")
    }
}
