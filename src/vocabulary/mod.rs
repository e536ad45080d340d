//! Owns the words: every heading, entry, clause, adjuster, unit and answer stands here once, with
//! a one-line meaning. It knows nothing of files, plans or rides; parser, messages and files
//! written are fed from it.

mod answers;
mod knob;
mod units;
mod words;

pub use answers::{ANSWERS, AnswerRow, AnswerWord, answer_word};
pub use knob::{End, Family, KNOBS, Knob, KnobRow, PARTS, Part, Way};
pub use units::{UNITS, UnitRow, unit_named, unit_word};
pub use words::{
    CLAUSES, Clause, ClauseRow, ENTRIES, Effort, Entry, EntryRow, HEADINGS, Heading, HeadingRow, Method,
    Slot, continuers, openers, part_named,
};

/// The word of `words` nearest to `word`, where one is near enough to be meant: one letter off for
/// words of one or two letters, two for words up to five, else three. Of equals the first.
#[must_use]
pub fn nearest<'a>(word: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = word.to_lowercase();
    let limit = match word.chars().count() {
        0..=2 => 1,
        3..=5 => 2,
        _ => 3,
    };
    words
        .into_iter()
        .map(|candidate| (strsim::osa_distance(&word, &candidate.to_lowercase()), candidate))
        .filter(|&(distance, candidate)| distance <= limit && distance < candidate.chars().count())
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_word_both_opens_a_line_and_goes_on_from_one() {
        for row in HEADINGS {
            let openers = openers(row.heading);
            for word in continuers(row.heading) {
                assert!(!openers.contains(&word), "{word} under {}", row.word);
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
    }
}
