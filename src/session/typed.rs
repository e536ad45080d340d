//! Owns how answers are typed: one a line, or several parted by a comma and a space.
//! It knows nothing of which answer fits which question.

use crate::language::{Token, TokenKind, plain_text, tokens};
use crate::physics::{Number, Unit, parse_decimal, parse_fraction};
use crate::problem::Sources;
use crate::search::Verdict;
use crate::vocabulary::{ANSWERS, AnswerWord, Way, answer_word, nearest, unit_named};

use super::answer::{AND, is_plain};
use super::{Answer, Felt, OfPair, Said, Stated, Wanted, What};

/// Whether a line is one answer, or a list of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    One,
    /// It may go on with the next answer behind a comma.
    List,
}

/// How much of an answer was typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Full {
    /// All of it.
    AsTyped,
    /// All but the unit, which is the question's.
    UnitLeftOut,
    /// It was typed in other words, or in another unit.
    Otherwise,
    /// In another unit, between two settings: this is the nearest, and this many were meant.
    Nearest(Number),
}

/// Why a line holds no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotRead {
    /// A comma between two digits could part two answers or be a decimal comma.
    CommaInNumber(String),
    /// A text is not closed.
    OpenQuote(String),
    /// No answer begins like this; the nearest one, where one is near.
    Unknown { text: String, near: Option<&'static str> },
    /// It can mean more than one thing; each is there to be typed.
    Unclear { text: String, ways: Vec<String> },
    /// The question takes one number, and here are more; each is there to be typed.
    OneNumber { text: String, ways: Vec<String> },
    /// More readings than one setting has, or a list that does not say which belong together. The first two are
    /// there to be typed.
    Readings { text: String, pair: String, extent: Extent },
    /// Numbers at a question that takes none.
    Unwanted { text: String, wanted: Wanted },
    /// A converted number is too far from every setting; the nearest two are there to be typed.
    Between { text: String, ways: Vec<String> },
    /// More than one answer, where one is taken at a time.
    OneAtATime { first: String, next: String },
}

impl NotRead {
    /// Whether this says all that there is to say: the line is no text that could become a note.
    #[must_use]
    pub fn is_final(&self) -> bool {
        !matches!(self, NotRead::CommaInNumber(_) | NotRead::OpenQuote(_) | NotRead::Unknown { .. })
    }
}

/// What stands in a line of answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Typed {
    Said(Said),
    /// The rider stops here.
    Quit,
    /// The rider wants to know what can be answered.
    Help,
    /// Another setting was ridden; which one is not said yet.
    Another,
}

/// Reads all answers of a line. `?` alone is `cannot tell`; `#` begins a comment.
///
/// # Errors
/// Where some part of the line is no answer.
pub fn read_answers(line: &str) -> Result<Vec<Typed>, NotRead> {
    let mut sources = Sources::default();
    let id = sources.add("answer", line);
    let mut pieces: Vec<Token> = tokens(id, line, 0);
    pieces.retain(|token| token.kind != TokenKind::Comment);
    let mut said = Vec::new();
    for part in pieces.split(|token| token.kind == TokenKind::Comma) {
        if !part.is_empty() {
            said.push(Words { line, tokens: part, at: 0 }.typed()?);
        }
    }
    Ok(said)
}

struct Words<'a> {
    line: &'a str,
    tokens: &'a [Token],
    at: usize,
}

impl<'a> Words<'a> {
    fn raw(&self, token: Token) -> &'a str {
        self.line.get(token.span.start..token.span.end).unwrap_or("")
    }

    fn peek(&self) -> Option<Token> {
        self.tokens.get(self.at).copied()
    }

    fn word(&self) -> Option<&'a str> {
        self.peek().filter(|token| token.kind == TokenKind::Word).map(|token| self.raw(token))
    }

    fn at_text(&self) -> bool {
        self.peek().is_some_and(|token| matches!(token.kind, TokenKind::Text | TokenKind::BentText))
    }

    /// All of this part, as it was typed.
    fn whole(&self) -> String {
        match (self.tokens.first(), self.tokens.last()) {
            (Some(first), Some(last)) => {
                self.line.get(first.span.start..last.span.end).unwrap_or("").to_owned()
            }
            _ => String::new(),
        }
    }

    fn unknown(&self) -> NotRead {
        if let Some(token) = self.tokens.iter().find(|token| token.kind == TokenKind::CommaNumber) {
            return NotRead::CommaInNumber(self.raw(*token).to_owned());
        }
        if let Some(token) = self.tokens.iter().find(|token| token.kind == TokenKind::OpenText) {
            return NotRead::OpenQuote(self.raw(*token).to_owned());
        }
        let words = ANSWERS.iter().map(|row| row.word).chain(Way::ALL.map(Way::word));
        NotRead::Unknown { text: self.whole(), near: nearest(&self.whole(), words) }
    }

    fn typed(self) -> Result<Typed, NotRead> {
        match self.tokens {
            [only] if only.kind == TokenKind::Word => match answer_word(self.raw(*only)) {
                Some(AnswerWord::Quit) => Ok(Typed::Quit),
                Some(AnswerWord::Help) => Ok(Typed::Help),
                Some(AnswerWord::Rode | AnswerWord::At) => Ok(Typed::Another),
                _ => self.said().map(Typed::Said),
            },
            _ => self.said().map(Typed::Said),
        }
    }

    fn said(mut self) -> Result<Said, NotRead> {
        if let [only] = self.tokens
            && matches!(only.kind, TokenKind::Text | TokenKind::BentText)
        {
            return Ok(Said::answer(Answer::Text(plain_text(self.raw(*only)).to_owned())));
        }
        let what = match self.answer_word() {
            Some(AnswerWord::Undo) => What::Undo,
            Some(AnswerWord::Rode | AnswerWord::At) => What::Answer(self.rode()?),
            Some(word) => What::Answer(simple(word).ok_or_else(|| self.unknown())?),
            None => What::Answer(self.told_or_way()?),
        };
        let note = self.note();
        if self.at < self.tokens.len() {
            return Err(self.unknown());
        }
        Ok(Said { what, note })
    }

    /// Takes an answer's word, of one word or two.
    fn answer_word(&mut self) -> Option<AnswerWord> {
        let first = self.word()?;
        let second = self.tokens.get(self.at + 1).filter(|token| token.kind == TokenKind::Word);
        if let Some(second) = second
            && let Some(word) = answer_word(&format!("{first} {}", self.raw(*second)))
        {
            self.at += 2;
            return Some(word);
        }
        let word = answer_word(first)?;
        self.at += 1;
        Some(word)
    }

    fn note(&mut self) -> Option<String> {
        let token = self.peek().filter(|_| self.at_text())?;
        self.at += 1;
        Some(plain_text(self.raw(token)).to_owned())
    }

    fn rode(&mut self) -> Result<Answer, NotRead> {
        let told = self.told()?;
        if self.peek().is_none_or(|token| token.kind != TokenKind::Colon) {
            return Ok(Answer::Rode(told, None));
        }
        self.at += 1;
        match self.answer_word() {
            Some(word) => match simple(word) {
                Some(Answer::Felt(felt)) => Ok(Answer::Rode(told, Some(felt))),
                _ => Err(self.unknown()),
            },
            None => {
                let (first, second) = self.readings()?;
                Ok(Answer::SagAt(told, first, second))
            }
        }
    }

    /// One reading, or two joined by a word.
    fn readings(&mut self) -> Result<(Stated, Option<Stated>), NotRead> {
        let first = self.told()?;
        if !matches!(first, Stated::Value(..))
            || self.word().is_none_or(|word| !word.eq_ignore_ascii_case(AND))
        {
            return Ok((first, None));
        }
        self.at += 1;
        self.told().map(|second| (first, Some(second)))
    }

    fn told_or_way(&mut self) -> Result<Answer, NotRead> {
        let way =
            self.word().and_then(|word| Way::ALL.into_iter().find(|way| way.word() == word.to_lowercase()));
        if let Some(way) = way {
            self.at += 1;
            return Ok(Answer::Way(Some(way)));
        }
        let quoted = self.at_text();
        Ok(match self.readings()? {
            (first, Some(second)) => Answer::Two(first, second),
            // what is written down in quotes is read from a journal as a text
            (Stated::Name(name), None) if quoted || !is_plain(&name) => Answer::Text(name),
            (told, None) => Answer::Told(told),
        })
    }

    fn told(&mut self) -> Result<Stated, NotRead> {
        let Some(token) = self.peek() else { return Err(self.unknown()) };
        let raw = self.raw(token);
        match token.kind {
            TokenKind::Number => {
                let plain = raw.replace('\u{2212}', "-");
                let number =
                    parse_decimal(&plain).or_else(|| parse_fraction(&plain)).ok_or_else(|| self.unknown())?;
                self.at += 1;
                let unit: Option<Unit> = self.word().and_then(unit_named);
                if unit.is_some() {
                    self.at += 1;
                }
                Ok(Stated::Value(number, unit))
            }
            TokenKind::Word => {
                self.at += 1;
                Ok(Stated::Name(raw.to_owned()))
            }
            TokenKind::Text | TokenKind::BentText => {
                self.at += 1;
                Ok(Stated::Name(plain_text(raw).to_owned()))
            }
            TokenKind::CommaNumber
            | TokenKind::Hash
            | TokenKind::OpenText
            | TokenKind::Comma
            | TokenKind::Colon
            | TokenKind::Dash
            | TokenKind::Comment
            | TokenKind::Junk => Err(self.unknown()),
        }
    }
}

fn simple(word: AnswerWord) -> Option<Answer> {
    Some(match word {
        AnswerWord::Better => Answer::Felt(Felt::Verdict(Verdict::Better)),
        AnswerWord::Worse => Answer::Felt(Felt::Verdict(Verdict::Worse)),
        AnswerWord::Same => Answer::Felt(Felt::Verdict(Verdict::Same)),
        AnswerWord::MuchBetter => Answer::Felt(Felt::MuchBetter),
        AnswerWord::MuchWorse => Answer::Felt(Felt::MuchWorse),
        AnswerWord::CannotTell => Answer::Felt(Felt::CannotTell),
        AnswerWord::Void => Answer::Void,
        AnswerWord::Finish => Answer::Finish,
        AnswerWord::RideAnyway => Answer::RideAnyway,
        AnswerWord::Trial => Answer::Trial,
        AnswerWord::Skip => Answer::Skip,
        AnswerWord::First => Answer::Which(OfPair::First),
        AnswerWord::Second => Answer::Which(OfPair::Second),
        AnswerWord::Either => Answer::Way(None),
        AnswerWord::Unknown => Answer::Unknown,
        AnswerWord::Done => Answer::Done,
        AnswerWord::Baseline => Answer::Baseline,
        AnswerWord::Undo | AnswerWord::Rode | AnswerWord::At | AnswerWord::Quit | AnswerWord::Help => {
            return None;
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Vec<Said> {
        let said = |typed| {
            let Typed::Said(said) = typed else { panic!("{typed:?}") };
            said
        };
        read_answers(line).unwrap().into_iter().map(said).collect()
    }

    #[test]
    fn every_form_of_an_answer_is_read_and_written() {
        for text in [
            "better",
            "worse",
            "same",
            "cannot tell",
            "void",
            "finish",
            "ride anyway",
            "trial",
            "skip",
            "first",
            "second",
            "unknown",
            "done",
            "baseline",
            "rode 6: better",
            "rode 6",
            "14 clicks",
            "1 1/4 turns",
            "half",
            "12 C",
            "faster",
            "either",
            "\"dusty\"",
            "31 mm and 33 mm",
            "27.5 %",
            "at 72 psi: 40 mm",
            "at 72 psi: 40 mm and 41.5 mm",
            "rode half: cannot tell",
            "rode \"half way\": same",
            "rode \"3\"",
            "rode \"note\": same",
            "härter",
            "mid-2",
        ] {
            let [said] = &read(text)[..] else { panic!("{text}") };
            let What::Answer(answer) = &said.what else { panic!("{text}") };
            assert_eq!(answer.to_string(), text);
        }
        assert_eq!(read("b, w, s, ?, u").len(), 5);
        assert_eq!(read("12 C, \"dusty\"").len(), 2);
        let noted = read("worse \"harsh in the rock garden\"");
        assert_eq!(noted[0].note.as_deref(), Some("harsh in the rock garden"));
    }

    /// A journal has the words alone, so what is written in quotes must have been read as a text.
    #[test]
    fn what_was_typed_is_what_a_journal_gives_back() {
        for typed in ["härter", "half", "\"half way\"", "\"half way\" \"a note\"", "note", "Note \"n\"", "%"]
        {
            let said = &read(typed)[0];
            assert_eq!(read(&said.what.to_string())[0].what, said.what, "{typed}");
        }
    }

    #[test]
    fn what_is_no_answer_is_refused_with_the_nearest() {
        let near = Some("cannot tell");
        assert_eq!(read_answers("canot tell"), Err(NotRead::Unknown { text: "canot tell".to_owned(), near }));
        assert!(matches!(read_answers("27,5 %"), Err(NotRead::CommaInNumber(_))));
        assert!(matches!(read_answers("worse \"harsh"), Err(NotRead::OpenQuote(_))));
        assert_eq!(read("# nothing"), []);
    }
}
