//! Owns how questions, and the ways in which settings came to be, are spelt in files. A file lives longer than the
//! words of a screen: what was ever written is read for ever. It knows nothing of what is shown.

use crate::session::{How, QuestionKind};

/// The questions, each as it is written, and as it may be read besides.
const QUESTIONS: [(QuestionKind, &str, &[&str]); 19] = [
    (QuestionKind::Before, "before", &["as found"]),
    (QuestionKind::Count, "count", &[]),
    (QuestionKind::InNow, "fitted now", &["in it now"]),
    (QuestionKind::Sag, "sag", &[]),
    (QuestionKind::Stop, "spring not right", &[]),
    (QuestionKind::Record, "record", &[]),
    (QuestionKind::Say, "say", &[]),
    (QuestionKind::Fit, "set", &["fit"]),
    (QuestionKind::Ride, "ride", &[]),
    (QuestionKind::Baseline, "baseline lap", &["reference lap"]),
    (QuestionKind::Way, "which way first", &[]),
    (QuestionKind::Lap, "lap", &["trial lap"]),
    (QuestionKind::Second, "second comparison", &["second question"]),
    (QuestionKind::TrialLap, "trial lap ridden", &["proof lap"]),
    (QuestionKind::Trial, "trial lap offered", &["proof lap offered"]),
    (QuestionKind::Pairs, "pairs", &[]),
    (QuestionKind::Swap, "helper sets", &["change over"]),
    (QuestionKind::FirstOfPair, "first lap of a pair", &[]),
    (QuestionKind::Which, "which lap was better", &[]),
];

/// The ways in which a setting came to be, in the same manner.
const HOWS: [(How, &str, &[&str]); 5] = [
    (How::Set, "set", &[]),
    (How::Measured, "measured", &[]),
    (How::FeltBest, "felt best", &[]),
    (How::Unchanged, "unchanged", &["kept"]),
    (How::StoppedEarly, "stopped early", &["not finished"]),
];

fn spelt<T: PartialEq>(rows: &[(T, &'static str, &[&str])], what: &T) -> &'static str {
    rows.iter().find(|row| row.0 == *what).map_or("", |row| row.1)
}

fn read<T: Copy>(rows: &[(T, &str, &[&str])], text: &str) -> Option<T> {
    let is_it = |word: &str| word.eq_ignore_ascii_case(text.trim());
    rows.iter().find(|row| is_it(row.1) || row.2.iter().any(|also| is_it(also))).map(|row| row.0)
}

/// A kind of question as it is written.
pub(super) fn question(kind: QuestionKind) -> &'static str {
    spelt(&QUESTIONS, &kind)
}

/// The kind of question that a text says; `None` where it says none that is known.
pub(super) fn question_of(text: &str) -> Option<QuestionKind> {
    read(&QUESTIONS, text)
}

/// How a setting came to be, as it is written.
pub(super) fn how(how: How) -> &'static str {
    spelt(&HOWS, &how)
}

/// How a setting came to be, as a text says; `None` where it says nothing that is known.
pub(super) fn how_of(text: &str) -> Option<How> {
    read(&HOWS, text)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is written is read as the same, and no spelling is that of two.
    fn is_unambiguous<T: Copy + PartialEq + std::fmt::Debug>(rows: &[(T, &'static str, &[&str])]) {
        for (what, word, also) in rows {
            assert_eq!(spelt(rows, what), *word, "{what:?} is in the table twice");
            assert!(!word.is_empty());
            for spelling in also.iter().chain([word]) {
                assert_eq!(read(rows, spelling), Some(*what), "{spelling}");
                assert_eq!(read(rows, &format!(" {}", spelling.to_uppercase())), Some(*what), "{spelling}");
            }
        }
        assert_eq!(read(rows, "nothing of the kind"), None);
        assert_eq!(read(rows, ""), None);
    }

    #[test]
    fn what_is_written_is_read_as_the_same() {
        is_unambiguous(&QUESTIONS);
        is_unambiguous(&HOWS);
    }

    #[test]
    fn what_was_written_once_is_still_read() {
        assert_eq!(question_of("reference lap"), Some(QuestionKind::Baseline));
        assert_eq!(question_of("baseline lap"), Some(QuestionKind::Baseline));
        assert_eq!(question_of("trial lap"), Some(QuestionKind::Lap));
        assert_eq!(how_of("felt best"), Some(How::FeltBest));
    }
}
