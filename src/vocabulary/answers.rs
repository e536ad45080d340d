//! Owns the words with which a rider answers.
//! It knows nothing of which question is asked.

/// A word of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum AnswerWord {
    Better,
    Worse,
    Same,
    MuchBetter,
    MuchWorse,
    CannotTell,
    Void,
    Undo,
    Rode,
    At,
    Finish,
    RideAnyway,
    Trial,
    Skip,
    First,
    Second,
    Quit,
    Help,
    Either,
    Unknown,
    Done,
    Baseline,
}

/// One answer of the vocabulary.
#[derive(Debug)]
pub struct AnswerRow {
    pub answer: AnswerWord,
    pub word: &'static str,
    /// A character or two that are short for it; empty where there is nothing.
    pub key: &'static str,
    /// What stands beside its key on a screen.
    pub label: &'static str,
    pub meaning: &'static str,
}

macro_rules! answers {
    ($($answer:ident $word:literal $key:literal $label:literal, $meaning:literal;)*) => {
        /// Every answer.
        pub const ANSWERS: &[AnswerRow] = &[
            $(AnswerRow {
                answer: AnswerWord::$answer, word: $word, key: $key, label: $label, meaning: $meaning,
            },)*
        ];
    };
}

answers! {
    Better "better" "b" "better", "this lap was better than the one it is compared with";
    Worse "worse" "w" "worse", "this lap was worse";
    Same "same" "s" "same", "you felt no difference";
    MuchBetter "much better" "mb" "much better", "this lap was much better";
    MuchWorse "much worse" "mw" "much worse", "this lap was much worse";
    CannotTell "cannot tell" "?" "cannot tell", "you can't tell: ride the same setting again";
    Void "void" "v" "void lap", "the lap does not count (puncture, traffic)";
    Undo "undo" "u" "undo", "undo the last answer";
    Rode "rode" "r" "rode another setting", "you rode a different setting from the one asked for";
    At "at" "" "at another setting", "you measured sag at a different setting: `at 72 psi: 40 mm`";
    Finish "finish" "f" "finish", "finish this adjuster now, with your answers so far";
    RideAnyway "ride anyway" "" "ride anyway", "ride with a spring that is not right, at your own risk";
    Trial "trial" "t" "trial lap", "ride the trial lap";
    Skip "skip" "" "skip", "skip this";
    First "first" "1" "first", "the first lap of the pair was better";
    Second "second" "2" "second", "the second lap of the pair was better";
    Quit "quit" "q" "quit", "save everything and stop here";
    Help "help" "h" "help", "show what you can type";
    Either "either" "e" "either", "you don't mind which way comes first";
    Unknown "unknown" "" "unknown", "you don't know";
    Done "done" "" "done", "it is done";
    Baseline "baseline" "" "baseline", "conditions have changed: warm up, then ride the best so far again";
}

impl AnswerWord {
    fn row(self) -> &'static AnswerRow {
        ANSWERS.iter().find(|row| row.answer == self).unwrap_or(&ANSWERS[0])
    }

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        self.row().word
    }

    /// The key for it; empty where it has none.
    #[must_use]
    pub fn key(self) -> &'static str {
        self.row().key
    }

    /// What stands beside its key on a screen.
    #[must_use]
    pub fn label(self) -> &'static str {
        self.row().label
    }
}

/// Says that a part or an adjuster is not there.
pub const NONE: &str = "none";

/// The answer that a word or key stands for, in any case.
#[must_use]
pub fn answer_word(word: &str) -> Option<AnswerWord> {
    let word = word.to_lowercase();
    ANSWERS
        .iter()
        .find(|row| word == row.word || (!row.key.is_empty() && word == row.key))
        .map(|row| row.answer)
        .or_else(|| AnswerWord::once(&word))
}
