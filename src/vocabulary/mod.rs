//! Owns the words: every heading, entry, clause, adjuster, unit and answer stands here once, with
//! a one-line meaning. It knows nothing of files, plans or rides; parser, messages and files
//! written are fed from it.

use std::borrow::Cow;

use crate::physics::Number;

mod answers;
mod earlier;
mod knob;
mod methods;
mod openers;
mod places;
mod units;
mod words;

pub use answers::{ANSWERS, AnswerRow, AnswerWord, NONE, answer_word};
pub use earlier::{opens_no_more, renamed};
pub use knob::{End, Family, KNOBS, Knob, KnobRow, PARTS, Part, Way};
pub use methods::{Effort, Method};
pub use openers::{continuers, entry_words, joins, openers, part_named};
pub use places::{
    EVERY, EVERYTHING, FIRST, NOT_COUNTED, OWN, PLACES, PlaceWord, Recordable, SPRING, place_named,
};
pub use units::{
    FOREIGN_UNITS, UNITS, UnitRow, foreign_unit, single_unit_word, unit_named, unit_word, unit_word_behind,
};
pub use words::{CLAUSES, Clause, ClauseRow, ENTRIES, Entry, EntryRow, HEADINGS, Heading, HeadingRow, Slot};
pub(crate) use words::{clause_table, entry_table, heading_table};

/// A text with a capital letter at its head.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// A word in lower case; most are written so.
#[must_use]
pub fn lower(word: &str) -> Cow<'_, str> {
    let plain = word.bytes().all(|byte| byte.is_ascii() && !byte.is_ascii_uppercase());
    if plain { Cow::Borrowed(word) } else { Cow::Owned(word.to_lowercase()) }
}

/// The word of `words` nearest to `word`, where one is near enough to be meant: one letter off for
/// words of up to four letters, two up to seven, else three; the first letter is right, or it is
/// one that was left out or put in. Of equals the first.
#[must_use]
pub fn nearest<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = lower(word);
    let length = word.chars().count();
    let limit = match length {
        0 | 1 => 0,
        2..=4 => 1,
        5..=7 => 2,
        _ => 3,
    };
    let first = word.chars().next();
    let near = |candidate: &'a str| {
        let other = candidate.chars().count();
        let alike = candidate.chars().next().and_then(|c| c.to_lowercase().next()) == first;
        // the distance is no less than the difference in length
        let apart = other.abs_diff(length);
        if apart > limit || (!alike && apart != 1) {
            return None;
        }
        let distance = strsim::osa_distance(&word, &lower(candidate));
        let slipped = distance == 1 && other != length;
        (distance <= limit && distance < other && (alike || slipped)).then_some((distance, candidate))
    };
    let found = words.into_iter().filter_map(near).min_by_key(|&(distance, _)| distance);
    found.map(|(_, candidate)| candidate)
}

/// So many of something: `1 lap`, `3 laps`, `2,000 rides`.
#[must_use]
pub fn several(count: usize, word: &str) -> String {
    format!("{} {word}{}", grouped(count), if count == 1 { "" } else { "s" })
}

/// Minutes as a person tells them: `3 h 34 min`, `45 min`; part of a minute counts as a whole one.
#[must_use]
pub fn said_minutes(minutes: Number) -> String {
    let whole = minutes.ceil().to_integer();
    match (whole / 60, whole % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// A count as people read it: `999`, `2,000`, `1,250,000`.
#[must_use]
pub fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let groups = digits.as_bytes().rchunks(3).rev().map(String::from_utf8_lossy);
    groups.collect::<Vec<_>>().join(",")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_both_opens_a_line_and_goes_on_from_one() {
        for row in HEADINGS {
            let openers = openers(row.heading);
            for word in continuers(row.heading) {
                assert!(!openers.contains(word), "{word} under {}", row.word);
            }
        }
    }

    #[test]
    fn every_unit_and_knob_is_found_by_each_of_its_spellings() {
        for row in UNITS {
            for word in std::iter::once(&row.word).chain(row.also) {
                assert_eq!(unit_named(word), Some(row.unit), "{word}");
            }
        }
        for unit in crate::physics::Unit::ALL {
            assert!(UNITS.iter().any(|row| row.unit == unit), "{unit:?} has no word");
        }
    }

    #[test]
    fn the_nearest_word_is_near() {
        assert_eq!(nearest("rebuond", ["rebound", "record"]), Some("rebound"));
        assert_eq!(nearest("xyz", ["rebound", "record"]), None);
        assert_eq!(nearest("b", ["a"]), None);
        assert_eq!(nearest("ebound", ["rebound"]), Some("rebound"));
        assert_eq!(nearest("for", ["bar"]), None);
        assert_eq!(nearest("height", ["weight"]), None);
    }

    #[test]
    fn a_longer_word_may_have_more_slips() {
        let found = |word: &str| nearest(word, ["fork", "rebound", "compression"]);
        assert_eq!((found("fxrk"), found("fxxk")), (Some("fork"), None));
        assert_eq!((found("rexxund"), found("rexxxnd")), (Some("rebound"), None));
        assert_eq!((found("comprexxxon"), found("compxxxxion")), (Some("compression"), None));
        // the shortest and the longest word of each size
        assert_eq!(nearest("ax", ["an"]), Some("an"));
        assert_eq!((nearest("shxxk", ["shock"]), nearest("shxxxk", ["shocks"])), (Some("shock"), None));
        assert_eq!(
            (nearest("pxxxsure", ["pressure"]), nearest("pxxxsre", ["pressre"])),
            (Some("pressure"), None)
        );
    }

    #[test]
    fn a_word_of_which_nothing_is_right_is_not_meant() {
        assert_eq!(nearest("at", ["a"]), None);
        assert_eq!(nearest("shock", ["lock"]), None);
        assert_eq!(nearest("fork", ["bork"]), None);
    }
}
