//! Owns how the question that is asked reads a typed line: which forms of numbers it takes, in which
//! unit, and where one answer ends. It knows nothing of terminals, nor of what follows from an answer.

use crate::language::{TokenKind, tokens};
use crate::physics::Unit;
use crate::plan::AdjusterId;
use crate::problem::Sources;
use crate::vocabulary::{AnswerWord, Way, answer_word};

use super::converted::{before_and_count, condition_in, place};
use super::figures::{Group, Slash, groups, is_blank};
use super::readings::far_apart;
use super::sags::{clear, is_sag, pair, sag_of};
use super::typed::{Extent, Full, NotRead, Typed, read_answers};
use super::{Answer, Ask, Felt, Said, Session, Stated, What};

/// One answer as the question reads it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heard {
    pub typed: Typed,
    pub full: Full,
    /// What is left of the line: the answers of a list that come later.
    pub left: String,
}

/// Two sags of one setting, or one.
struct Sag {
    first: Stated,
    second: Option<Stated>,
    note: Option<String>,
    full: Full,
    end: usize,
}

impl Session {
    /// Reads the first answer of a line. `None` where the line is blank.
    ///
    /// # Errors
    /// Where it is no answer, can mean more than one thing, or is more than one answer where only one is taken.
    pub fn hear(&self, line: &str, extent: Extent) -> Result<Option<Heard>, NotRead> {
        let first = match self.ask() {
            Some(ask) => Hearing { session: self, ask: &ask, extent }.first(line)?,
            None => plain(line)?,
        };
        let Some(heard) = first else { return Ok(None) };
        if extent == Extent::List || is_blank(&heard.left) {
            return Ok(Some(heard));
        }
        let does_not_fit = |answer| self.answer(answer).is_err();
        if matches!(&heard.typed, Typed::Said(Said { what: What::Answer(answer), .. }) if does_not_fit(answer))
        {
            return Ok(Some(Heard { left: String::new(), ..heard }));
        }
        let at = line.len() - heard.left.len();
        let first = line[..at].trim().trim_end_matches(',').trim().to_owned();
        Err(match next_answer(&heard.left) {
            Some(next) => NotRead::OneAtATime { first, next },
            None => NotRead::Unknown { text: line.trim().to_owned(), near: None },
        })
    }
}

/// The reading of a line at the question that is asked.
struct Hearing<'a> {
    session: &'a Session,
    ask: &'a Ask,
    extent: Extent,
}

impl Hearing<'_> {
    /// The first answer of a line.
    fn first(&self, line: &str) -> Result<Option<Heard>, NotRead> {
        if let (Ask::Way(id), Extent::One) = (self.ask, self.extent)
            && let Some(way) = self.way_of_key(*id, line)
        {
            let typed = Typed::Said(Said::answer(Answer::Way(Some(way))));
            return Ok(Some(Heard { typed, full: Full::AsTyped, left: String::new() }));
        }
        if let Some((id, behind)) = self.ask.adjuster().zip(behind_used(line))
            && matches!(
                self.ask,
                Ask::Sag { .. } | Ask::Stop { .. } | Ask::Lap { .. } | Ask::Baseline(_) | Ask::Way(_)
            )
            && let Some(heard) = self.used(id, behind)?
        {
            return Ok(Some(heard));
        }
        let unit = match self.ask {
            Ask::Before(id) | Ask::InNow(id) | Ask::Count(id) => self.session.adjuster(*id).setup.unit(),
            Ask::Sag { .. }
            | Ask::Stop { .. }
            | Ask::Record(_)
            | Ask::Say(_)
            | Ask::Fit { .. }
            | Ask::Ride { .. }
            | Ask::Baseline(_)
            | Ask::Way(_)
            | Ask::Lap { .. }
            | Ask::Trial { .. }
            | Ask::Pairs { .. }
            | Ask::Swap { .. }
            | Ask::FirstOfPair { .. }
            | Ask::Which { .. } => None,
        };
        let groups = groups(line, slash_of(unit));
        match groups.first() {
            Some(first) => self.numbers(line, &groups, first),
            None => Ok(self.words(line)?.map(|heard| unknown(self.ask, heard))),
        }
    }

    /// An answer that begins with numbers, in the groups of its line.
    fn numbers(&self, line: &str, groups: &[Group<'_>], first: &Group<'_>) -> Result<Option<Heard>, NotRead> {
        let (answer, note, full, end) = match self.ask {
            Ask::Count(id)
                if let Some((answer, note)) = before_and_count(self.session, *id, groups, self.extent)? =>
            {
                let end = if self.extent == Extent::List { first.end } else { line.len() };
                (answer, note, Full::Otherwise, end)
            }
            Ask::Sag { .. } | Ask::Stop { .. } => {
                let Some(sag) = self.sag_in(line, groups)? else { return plain(line) };
                let answer = match sag.second {
                    Some(second) => Answer::Two(sag.first, second),
                    None => Answer::Told(sag.first),
                };
                (answer, sag.note, sag.full, sag.end)
            }
            Ask::Before(id) | Ask::InNow(id) | Ask::Count(id) => {
                let (told, full) = place(self.session, *id, first)?;
                (Answer::Told(told), first.note.clone(), full, first.end)
            }
            Ask::Record(condition) if !condition.units().is_empty() => {
                let (told, full) = condition_in(first, &condition.units())?;
                (Answer::Told(told), first.note.clone(), full, first.end)
            }
            _ if !is_single(first) => {
                let (text, wanted) = (first.raw.to_owned(), self.session.wanted(self.ask));
                return Err(NotRead::Unwanted { text, wanted });
            }
            Ask::Record(_)
            | Ask::Say(_)
            | Ask::Fit { .. }
            | Ask::Ride { .. }
            | Ask::Baseline(_)
            | Ask::Way(_)
            | Ask::Lap { .. }
            | Ask::Trial { .. }
            | Ask::Pairs { .. }
            | Ask::Swap { .. }
            | Ask::FirstOfPair { .. }
            | Ask::Which { .. } => return plain(line),
        };
        let typed = Typed::Said(Said { what: What::Answer(answer), note });
        Ok(Some(Heard { typed, full, left: line.get(end..).unwrap_or("").to_owned() }))
    }

    /// Which way one character is short for. In a list of answers `s` is `same`: there the way may be left out.
    fn way_of_key(&self, id: AdjusterId, line: &str) -> Option<Way> {
        let rising = self.session.adjuster(id).rising();
        [rising, rising.opposite()].into_iter().find(|way| line.trim().eq_ignore_ascii_case(way.key()))
    }

    /// An answer in words. Two of them with nothing between are no answer with a note.
    fn words(&self, line: &str) -> Result<Option<Heard>, NotRead> {
        let heard = plain(line);
        if self.extent == Extent::List || !matches!(heard, Err(NotRead::Unknown { .. })) {
            return heard;
        }
        let parts = line.match_indices(' ').take(2).map(|(at, _)| (line[..at].trim(), line[at..].trim()));
        for (first, rest) in parts {
            if let (Some(first), Some(next)) = (next_answer(first), next_answer(rest)) {
                return Err(NotRead::OneAtATime { first, next });
            }
        }
        heard
    }

    /// `used 72 psi: 40 mm`; `None` where no number is told.
    fn used(&self, id: AdjusterId, behind: &str) -> Result<Option<Heard>, NotRead> {
        let (at, felt) = match colon(behind) {
            Some(at) => (&behind[..at], Some(&behind[at + 1..])),
            None => (behind, None),
        };
        let found = groups(at, slash_of(self.session.adjuster(id).setup.unit()));
        let Some(first) = found.first() else { return Ok(None) };
        let (told, full) = place(self.session, id, first)?;
        let said = |answer, note| Typed::Said(Said { what: What::Answer(answer), note });
        let Some(felt) = felt else {
            let typed = said(Answer::Rode(told, None), first.note.clone());
            return Ok(Some(Heard { typed, full, left: at[first.end..].to_owned() }));
        };
        if found.len() > 1 || first.end < at.len() || first.note.is_some() {
            return Ok(None);
        }
        if matches!(self.ask, Ask::Sag { .. } | Ask::Stop { .. })
            && let Some(sag) = self.sag_in(felt, &groups(felt, Slash::Between))?
        {
            let typed = said(Answer::SagAt(told, sag.first, sag.second), sag.note);
            let full = if matches!(full, Full::Nearest(_)) { full } else { sag.full };
            return Ok(Some(Heard { typed, full, left: felt.get(sag.end..).unwrap_or("").to_owned() }));
        }
        let heard = plain(&format!("{} {told}: {felt}", AnswerWord::Rode.word()))?;
        Ok(heard.map(|heard| Heard { full, ..heard }))
    }

    /// The sag with which a line begins; `None` where its first numbers are none.
    fn sag_in(&self, line: &str, groups: &[Group<'_>]) -> Result<Option<Sag>, NotRead> {
        let Some(measure) = self.session.measuring() else { return Ok(None) };
        let count = groups.iter().take_while(|group| group.values.iter().all(is_sag)).count();
        let sags = groups.get(..count).unwrap_or(groups);
        let Some((first, more)) = sags.split_first() else { return Ok(None) };
        clear(measure, first)?;
        let raw =
            |last: &Group<'_>| line.get(..last.end).unwrap_or(line).trim().trim_end_matches(',').to_owned();
        let too_many = |last: &Group<'_>| NotRead::Readings {
            text: raw(last),
            pair: pair(&sags.iter().flat_map(|group| &group.values).collect::<Vec<_>>()),
            extent: self.extent,
        };
        let (values, last) = match more {
            [] if first.values.len() <= 2 => (first.values.iter().collect::<Vec<_>>(), first),
            [second] if is_single(first) && is_single(second) && first.note.is_none() => {
                (first.values.iter().chain(&second.values).collect(), second)
            }
            [_, ..] if sags.iter().all(|group| group.values.len() == 2) => {
                (first.values.iter().collect(), first)
            }
            _ => return Err(too_many(more.last().unwrap_or(first))),
        };
        let mut told = values.iter().map(|value| sag_of(value, &values));
        let Some(one) = told.next() else { return Ok(None) };
        let second = told.next();
        if self.extent == Extent::List
            && !more.is_empty()
            && last.end != first.end
            && let Some(second) = &second
            && far_apart(measure, &one, second).is_some()
        {
            return Err(too_many(last));
        }
        let said = second.as_ref().map_or(one.to_string(), |second| format!("{one} and {second}"));
        let full = if said == raw(last) { Full::AsTyped } else { Full::Otherwise };
        Ok(Some(Sag { first: one, second, note: last.note.clone(), full, end: last.end }))
    }
}

/// Whether a group is one number that can be read in one way.
fn is_single(group: &Group<'_>) -> bool {
    matches!(group.values.as_slice(), [value] if value.comma.is_none())
}

/// What a slash is in numbers of a unit: only turns are told in fractions.
fn slash_of(unit: Option<Unit>) -> Slash {
    if unit == Some(Unit::Turns) { Slash::InFraction } else { Slash::Between }
}

/// Who cannot tell how something was found, or what is to be noted down, does not know it.
fn unknown(ask: &Ask, heard: Heard) -> Heard {
    let cannot_tell = What::Answer(Answer::Felt(Felt::CannotTell));
    let mut heard = heard;
    if let Typed::Said(said) = &mut heard.typed
        && said.what == cannot_tell
        && matches!(ask, Ask::Before(_) | Ask::Record(_))
    {
        said.what = What::Answer(Answer::Unknown);
    }
    heard
}

/// The first answer of a line, whatever the question.
fn plain(line: &str) -> Result<Option<Heard>, NotRead> {
    let mut sources = Sources::default();
    let id = sources.add("answer", line);
    let pieces = tokens(id, line, 0);
    let mut seen = false;
    let comma = pieces.iter().find(|token| {
        let ends = token.kind == TokenKind::Comma && seen;
        seen |= token.kind != TokenKind::Comma;
        ends
    });
    let end = comma.map_or(line.len(), |comma| comma.span.end);
    let typed = read_answers(line.get(..end).unwrap_or(line))?.into_iter().next();
    Ok(typed.map(|typed| Heard {
        typed,
        full: Full::AsTyped,
        left: line.get(end..).unwrap_or("").to_owned(),
    }))
}

/// The first answer of what is left of a line, as it was typed; `None` where that is no known answer
/// but words, which may be a note.
fn next_answer(left: &str) -> Option<String> {
    let text = left.trim().trim_start_matches(',').trim();
    let known = !matches!(
        plain(text).ok()??.typed,
        Typed::Said(Said { what: What::Answer(Answer::Told(Stated::Name(_)) | Answer::Text(_)), .. })
    );
    known.then(|| text.split(',').next().unwrap_or(text).trim().to_owned())
}

/// What is behind `used` or its key.
fn behind_used(line: &str) -> Option<&str> {
    let (word, rest) = line.trim_start().split_once(char::is_whitespace)?;
    (answer_word(word) == Some(AnswerWord::Rode)).then_some(rest)
}

/// Where the colon of the first answer is: outside a text, before any comma.
fn colon(text: &str) -> Option<usize> {
    let mut quoted = false;
    for (at, c) in text.char_indices() {
        match c {
            '"' => quoted = !quoted,
            ':' if !quoted => return Some(at),
            ',' if !quoted && !text[at + 1..].starts_with(|c: char| c.is_ascii_digit()) => return None,
            _ => {}
        }
    }
    None
}
