//! Owns the words with which a rider answers.
//! It knows nothing of which question is asked.

/// A word of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AnswerWord {
    Better,
    Worse,
    Same,
    CannotTell,
    Void,
    Undo,
    Used,
    Keep,
    Quit,
    Help,
    Either,
    Unknown,
    Done,
}

/// Every answer: its word, the key for it, and what it says.
pub const ANSWERS: &[(AnswerWord, &str, &str, &str)] = &[
    (AnswerWord::Better, "better", "b", "this lap was better than the one it is compared with"),
    (AnswerWord::Worse, "worse", "w", "this lap was worse"),
    (AnswerWord::Same, "same", "s", "no difference that you could feel"),
    (AnswerWord::CannotTell, "cannot tell", "?", "the same lap is ridden once more"),
    (AnswerWord::Void, "void", "v", "the lap does not count (puncture, traffic)"),
    (AnswerWord::Undo, "undo", "u", "takes the last answer back"),
    (AnswerWord::Used, "used", "r", "another setting was ridden than the one asked for"),
    (AnswerWord::Keep, "keep", "k", "ends this adjuster now, by its rule"),
    (AnswerWord::Quit, "quit", "q", "keeps everything and stops here"),
    (AnswerWord::Help, "help", "h", "says what can be answered"),
    (AnswerWord::Either, "either", "e", "no wish which way comes first"),
    (AnswerWord::Unknown, "unknown", "", "this is not known"),
    (AnswerWord::Done, "done", "", "it is done"),
];

impl AnswerWord {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        ANSWERS.iter().find(|row| row.0 == self).map_or("", |row| row.1)
    }

    /// The key for it; empty where it has none.
    #[must_use]
    pub fn key(self) -> &'static str {
        ANSWERS.iter().find(|row| row.0 == self).map_or("", |row| row.2)
    }
}

/// The answer that a word or key stands for, in any case.
#[must_use]
pub fn answer_word(word: &str) -> Option<AnswerWord> {
    let word = word.to_lowercase();
    ANSWERS
        .iter()
        .find(|&&(_, long, key, _)| word == long || (!key.is_empty() && word == key))
        .map(|row| row.0)
}
