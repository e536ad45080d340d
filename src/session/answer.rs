//! Owns what a rider can answer, whatever the question. It knows nothing of which answer fits
//! which question, nor of how answers are typed.

use std::fmt;

use crate::language::{TokenKind, tokens};
use crate::physics::{Number, Unit};
use crate::problem::Sources;
use crate::search::{Grade, Verdict};
use crate::vocabulary::{AnswerWord, Way, answer_word, single_unit_word, unit_word};

/// Joins two readings of one setting.
pub(super) const AND: &str = "and";

/// Stands in a journal where a note was said without an answer.
pub(super) const NOTE: &str = "note";

/// A place on an adjuster as a person tells it: `6`, `14 clicks`, `half`.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Stated {
    Value(Number, Option<Unit>),
    Name(String),
}

/// What a rider felt on a lap.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Felt {
    Verdict(Verdict),
    MuchBetter,
    MuchWorse,
    CannotTell,
}

impl Felt {
    /// What is made of it; `None` of a lap about which the rider cannot tell.
    #[must_use]
    pub fn grade(self) -> Option<Grade> {
        match self {
            Felt::Verdict(verdict) => Some(verdict.graded()),
            Felt::MuchBetter => Some(Grade::MuchBetter),
            Felt::MuchWorse => Some(Grade::MuchWorse),
            Felt::CannotTell => None,
        }
    }
}

/// One lap of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum OfPair {
    First,
    Second,
}

impl OfPair {
    pub const BOTH: [OfPair; 2] = [OfPair::First, OfPair::Second];

    /// 1 or 2.
    #[must_use]
    pub fn number(self) -> u32 {
        match self {
            OfPair::First => 1,
            OfPair::Second => 2,
        }
    }
}

/// One answer.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Answer {
    /// It is done: the implied answer. Asked which way comes first, it means either.
    Done,
    Felt(Felt),
    Void,
    /// Another setting was ridden than the one asked for, and how it felt.
    Rode(Stated, Option<Felt>),
    /// Two numbers: two readings of the sag of one setting; or, asked for a count, where the adjuster was
    /// found and how many positions it has.
    Two(Stated, Stated),
    /// Sag was read at another setting than the one asked for; once or twice.
    SagAt(Stated, Stated, Option<Stated>),
    Finish,
    /// Rides on with a spring that is not right.
    RideAnyway,
    /// Takes an offered trial lap.
    Trial,
    /// Declines an offer, or a second comparison.
    Skip,
    /// Which lap of a pair was better.
    Which(OfPair),
    /// Which way comes first; `None` for either.
    Way(Option<Way>),
    Told(Stated),
    Text(String),
    Unknown,
    /// Laps can no longer be compared with those before: a new baseline is ridden first.
    Baseline,
}

impl Answer {
    /// The readings that it tells: the setting, where it is another one than the one asked for, a reading, and a
    /// second one. `None` where it tells none.
    #[must_use]
    pub fn readings(&self) -> Option<(Option<&Stated>, &Stated, Option<&Stated>)> {
        match self {
            Answer::Told(first) => Some((None, first, None)),
            Answer::Two(first, second) => Some((None, first, Some(second))),
            Answer::SagAt(place, first, second) => Some((Some(place), first, second.as_ref())),
            Answer::Done
            | Answer::Felt(_)
            | Answer::Void
            | Answer::Rode(..)
            | Answer::Finish
            | Answer::RideAnyway
            | Answer::Trial
            | Answer::Skip
            | Answer::Which(_)
            | Answer::Way(_)
            | Answer::Text(_)
            | Answer::Unknown
            | Answer::Baseline => None,
        }
    }

    /// Whether it carries information, as all but the implied one do.
    #[must_use]
    pub fn informs(&self) -> bool {
        *self != Answer::Done
    }
}

impl fmt::Display for Stated {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Stated::Value(number, Some(unit)) => {
                let word = if *number == Number::from_integer(1) { single_unit_word } else { unit_word };
                let exact = crate::physics::mixed_or_decimal(*number);
                let figure = if *unit == Unit::Turns { unit.figure(*number) } else { exact };
                write!(f, "{figure} {}", word(*unit))
            }
            Stated::Value(number, None) => f.write_str(&crate::physics::mixed_or_decimal(*number)),
            Stated::Name(name) if is_plain(name) => f.write_str(name),
            Stated::Name(name) => write!(f, "\"{name}\""),
        }
    }
}

/// Whether a name can be typed without quotes and read back as itself: it is one word, and no other
/// answer is called so.
pub(super) fn is_plain(name: &str) -> bool {
    let mut sources = Sources::default();
    let id = sources.add("name", name);
    let pieces = tokens(id, name, 0);
    let one_word =
        matches!(&pieces[..], [only] if only.kind == TokenKind::Word && sources.slice(only.span) == name);
    let ways = Way::ALL.map(Way::word);
    let taken = ways.iter().chain(&[NOTE]).any(|word| word.eq_ignore_ascii_case(name));
    one_word && !taken && answer_word(name).is_none()
}

impl fmt::Display for Felt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Felt::Verdict(Verdict::Better) => AnswerWord::Better.word(),
            Felt::Verdict(Verdict::Worse) => AnswerWord::Worse.word(),
            Felt::Verdict(Verdict::Same) => AnswerWord::Same.word(),
            Felt::MuchBetter => AnswerWord::MuchBetter.word(),
            Felt::MuchWorse => AnswerWord::MuchWorse.word(),
            Felt::CannotTell => AnswerWord::CannotTell.word(),
        })
    }
}

/// Writes an answer as it can be typed and read back.
impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Answer::Done => f.write_str(AnswerWord::Done.word()),
            Answer::Felt(felt) => felt.fmt(f),
            Answer::Void => f.write_str(AnswerWord::Void.word()),
            Answer::Rode(told, felt) => {
                write!(f, "{} {told}", AnswerWord::Rode.word())?;
                felt.map_or(Ok(()), |felt| write!(f, ": {felt}"))
            }
            Answer::Two(first, second) => write!(f, "{first} {AND} {second}"),
            Answer::SagAt(place, first, second) => {
                write!(f, "{} {place}: {first}", AnswerWord::At.word())?;
                second.as_ref().map_or(Ok(()), |second| write!(f, " {AND} {second}"))
            }
            Answer::Finish => f.write_str(AnswerWord::Finish.word()),
            Answer::RideAnyway => f.write_str(AnswerWord::RideAnyway.word()),
            Answer::Trial => f.write_str(AnswerWord::Trial.word()),
            Answer::Skip => f.write_str(AnswerWord::Skip.word()),
            Answer::Which(OfPair::First) => f.write_str(AnswerWord::First.word()),
            Answer::Which(OfPair::Second) => f.write_str(AnswerWord::Second.word()),
            Answer::Way(way) => f.write_str(way.map_or(AnswerWord::Either.word(), Way::word)),
            Answer::Told(told) => told.fmt(f),
            Answer::Text(text) => write!(f, "\"{text}\""),
            Answer::Unknown => f.write_str(AnswerWord::Unknown.word()),
            Answer::Baseline => f.write_str(AnswerWord::Baseline.word()),
        }
    }
}
