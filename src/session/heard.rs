//! Owns how the question that is asked reads a typed line: which forms of numbers it takes, in which
//! unit, and where one answer ends. It knows nothing of terminals, nor of what follows from an answer.

use crate::language::{TokenKind, tokens};
use crate::physics::{Number, Quantity, Unit};
use crate::plan::{AdjusterId, Reading};
use crate::problem::Sources;
use crate::vocabulary::{AnswerWord, Way, answer_word};

use super::figures::{Group, Value, groups, is_blank, rounded};
use super::sags::{clear, is_sag, pair, sag_of};
use super::{Answer, Ask, Felt, NotRead, Said, Session, Told, Typed, What, read_answers};

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
    first: Told,
    second: Option<Told>,
    note: Option<String>,
    full: Full,
    end: usize,
}

impl Session {
    /// Reads the first answer of a line. A list may go on behind a comma; where none may, `list` is
    /// false, the line is one answer. `None` where the line is blank.
    ///
    /// # Errors
    /// Where it is no answer, can mean more than one thing, or is more than one answer.
    pub fn hear(&self, line: &str, list: bool) -> Result<Option<Heard>, NotRead> {
        let Some(heard) = self.first_of(line, list)? else { return Ok(None) };
        if list || is_blank(&heard.left) {
            return Ok(Some(heard));
        }
        let fits = match &heard.typed {
            Typed::Said(Said { what: What::Answer(answer), .. }) => self.answer(answer).is_ok(),
            _ => true,
        };
        if !fits {
            return Ok(Some(Heard { left: String::new(), ..heard }));
        }
        let at = line.len() - heard.left.len();
        let first = line[..at].trim().trim_end_matches(',').trim().to_owned();
        Err(match next_answer(&heard.left) {
            Some(next) => NotRead::OneAtATime { first, next },
            None => NotRead::Unknown { text: line.trim().to_owned(), near: None },
        })
    }

    fn first_of(&self, line: &str, list: bool) -> Result<Option<Heard>, NotRead> {
        let Some(ask) = self.ask() else { return plain(line) };
        if let (Ask::Way(id), false) = (&ask, list)
            && let Some(way) = self.way_of_key(*id, line)
        {
            let typed = Typed::Said(Said::answer(Answer::Way(Some(way))));
            return Ok(Some(Heard { typed, full: Full::AsTyped, left: String::new() }));
        }
        if let Some((id, behind)) = ask.adjuster().zip(behind_used(line))
            && matches!(
                ask,
                Ask::Sag { .. } | Ask::Stop { .. } | Ask::Lap { .. } | Ask::Reference(_) | Ask::Way(_)
            )
            && let Some(heard) = self.used(&ask, id, behind, list)?
        {
            return Ok(Some(heard));
        }
        let unit = match &ask {
            Ask::Found(id) | Ask::InNow(id) | Ask::Count(id) => self.adjuster(*id).setup.unit(),
            _ => None,
        };
        let groups = groups(line, unit == Some(Unit::Turns));
        let Some(first) = groups.first() else {
            return Ok(Session::words(line, list)?.map(|heard| unknown(&ask, heard)));
        };
        if let Ask::Count(id) = &ask
            && let Some(heard) = self.found_and_count(*id, &groups, list)?
        {
            let end = if list { first.end } else { line.len() };
            return Ok(Some(Heard { left: line.get(end..).unwrap_or("").to_owned(), ..heard }));
        }
        let (answer, note, full, end) = match &ask {
            Ask::Sag { .. } | Ask::Stop { .. } => {
                let Some(sag) = self.sag_in(line, &groups, list)? else { return plain(line) };
                let answer = match sag.second {
                    Some(second) => Answer::Two(sag.first, second),
                    None => Answer::Told(sag.first),
                };
                (answer, sag.note, sag.full, sag.end)
            }
            Ask::Found(id) | Ask::InNow(id) | Ask::Count(id) => {
                let (told, full) = self.place(*id, first)?;
                (Answer::Told(told), first.note.clone(), full, first.end)
            }
            Ask::Record(condition) if !condition.units().is_empty() => {
                let (told, full) = condition_in(first, &condition.units())?;
                (Answer::Told(told), first.note.clone(), full, first.end)
            }
            _ if first.values.len() > 1 || first.values[0].comma.is_some() => {
                let (text, wanted) = (first.raw.to_owned(), self.wanted(&ask));
                return Err(NotRead::Unwanted { text, wanted });
            }
            _ => return plain(line),
        };
        let typed = Typed::Said(Said { what: What::Answer(answer), note });
        Ok(Some(Heard { typed, full, left: line.get(end..).unwrap_or("").to_owned() }))
    }

    /// Which way one character is short for. In a list of answers `s` is `same`: there the way may be left out.
    fn way_of_key(&self, id: AdjusterId, line: &str) -> Option<Way> {
        let rising = self.adjuster(id).rising();
        [rising, rising.opposite()].into_iter().find(|way| line.trim().eq_ignore_ascii_case(way.key()))
    }

    /// An answer in words. Two of them with nothing between are no answer with a note.
    fn words(line: &str, list: bool) -> Result<Option<Heard>, NotRead> {
        let heard = plain(line);
        if list || !matches!(heard, Err(NotRead::Unknown { .. })) {
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
    fn used(&self, ask: &Ask, id: AdjusterId, behind: &str, list: bool) -> Result<Option<Heard>, NotRead> {
        let (place, felt) = match colon(behind) {
            Some(at) => (&behind[..at], Some(&behind[at + 1..])),
            None => (behind, None),
        };
        let found = groups(place, self.adjuster(id).setup.unit() == Some(Unit::Turns));
        let Some(first) = found.first() else { return Ok(None) };
        let (told, full) = self.place(id, first)?;
        let said = |answer, note| Typed::Said(Said { what: What::Answer(answer), note });
        let Some(felt) = felt else {
            let typed = said(Answer::Used(told, None), first.note.clone());
            return Ok(Some(Heard { typed, full, left: place[first.end..].to_owned() }));
        };
        if found.len() > 1 || first.end < place.len() || first.note.is_some() {
            return Ok(None);
        }
        if matches!(ask, Ask::Sag { .. } | Ask::Stop { .. })
            && let Some(sag) = self.sag_in(felt, &groups(felt, false), list)?
        {
            let typed = said(Answer::UsedSag(told, sag.first, sag.second), sag.note);
            let full = if matches!(full, Full::Nearest(_)) { full } else { sag.full };
            return Ok(Some(Heard { typed, full, left: felt.get(sag.end..).unwrap_or("").to_owned() }));
        }
        let heard = plain(&format!("{} {told}: {felt}", AnswerWord::Used.word()))?;
        Ok(heard.map(|heard| Heard { full, ..heard }))
    }

    /// The sag with which a line begins; `None` where its first numbers are none.
    fn sag_in(&self, line: &str, groups: &[Group<'_>], list: bool) -> Result<Option<Sag>, NotRead> {
        let Some(measure) = self.measuring() else { return Ok(None) };
        let sags = groups.iter().take_while(|group| group.values.iter().all(is_sag)).count();
        let Some((first, more)) = groups[..sags].split_first() else { return Ok(None) };
        clear(measure, first)?;
        let single = |group: &Group<'_>| group.values.len() == 1 && group.values[0].comma.is_none();
        let raw =
            |last: &Group<'_>| line.get(..last.end).unwrap_or(line).trim().trim_end_matches(',').to_owned();
        let too_many = |last: &Group<'_>| NotRead::Readings {
            text: raw(last),
            pair: pair(&groups[..sags].iter().flat_map(|group| &group.values).collect::<Vec<_>>()),
            list,
        };
        let (values, last) = match more {
            [] if first.values.len() <= 2 => (first.values.iter().collect::<Vec<_>>(), first),
            [second] if single(first) && single(second) && first.note.is_none() => {
                (vec![&first.values[0], &second.values[0]], second)
            }
            [_, ..] if groups[..sags].iter().all(|group| group.values.len() == 2) => {
                (first.values.iter().collect(), first)
            }
            _ => return Err(too_many(more.last().unwrap_or(first))),
        };
        let told: Vec<Told> = values.iter().map(|value| sag_of(value, &values)).collect();
        let (one, second) = (told[0].clone(), told.get(1).cloned());
        if list
            && !more.is_empty()
            && last.end != first.end
            && let Some(second) = &second
            && Session::far_apart(measure, &one, second).is_some()
        {
            return Err(too_many(last));
        }
        let said = second.as_ref().map_or(one.to_string(), |second| format!("{one} and {second}"));
        let full = if said == raw(last) { Full::AsTyped } else { Full::Otherwise };
        Ok(Some(Sag { first: one, second, note: last.note.clone(), full, end: last.end }))
    }

    /// The one number of a group as a place on an adjuster, in the adjuster's own unit.
    pub(super) fn place(&self, id: AdjusterId, group: &Group<'_>) -> Result<(Told, Full), NotRead> {
        let unit = self.adjuster(id).setup.unit();
        let value = only(group, unit)?;
        let Some(unit) = unit else { return Ok(as_typed(value)) };
        let Some((times, typed)) = value.unit else {
            return Ok((Told::Value(value.number, Some(unit)), Full::UnitLeftOut));
        };
        let quantity = Quantity { number: value.number * times, unit: typed };
        if typed == unit && times == Number::from_integer(1) {
            return Ok((Told::Value(value.number, Some(unit)), Full::AsTyped));
        }
        let Some(number) = quantity.in_unit(unit) else { return Ok(as_typed(value)) };
        let number = rounded(number, 1_000_000);
        let converted = Told::Value(number, Some(unit));
        let Some(scale) = self.scale(id) else { return Ok((converted, Full::Otherwise)) };
        let reading = |position: u32| match scale.reading(position) {
            Reading::Value(number, _) => number,
            Reading::Name(_) => number,
        };
        let nearest = scale.nearest(number, false);
        let at = reading(nearest);
        if at == number {
            return Ok((converted, Full::Otherwise));
        }
        let apart = |one: Number, other: Number| if one < other { other - one } else { one - other };
        let sides = [nearest.saturating_sub(1), (nearest + 1).min(scale.top())].map(reading);
        let beside = sides.into_iter().find(|side| (*side < at) == (number < at) && *side != at);
        // a gauge is read to its nearest mark; a coil that is listed is this one or is not
        let parts = if scale.is_list() { 4 } else { 2 };
        let gap = beside
            .or(sides.into_iter().find(|side| *side != at))
            .map_or(Number::from_integer(0), |side| apart(side, at));
        if apart(number, at) * Number::from_integer(parts) <= gap {
            return Ok((Told::Value(at, Some(unit)), Full::Nearest(number)));
        }
        match beside {
            Some(beside) => {
                let ways = [at, beside].map(|number| Told::Value(number, Some(unit)).to_string()).to_vec();
                Err(NotRead::Between { text: group.raw.to_owned(), ways })
            }
            None => Ok((converted, Full::Otherwise)),
        }
    }
}

/// Who cannot tell how something was found, or what is to be noted down, does not know it.
fn unknown(ask: &Ask, heard: Heard) -> Heard {
    let cannot_tell = What::Answer(Answer::Felt(Felt::CannotTell));
    match heard.typed {
        Typed::Said(said) if said.what == cannot_tell && matches!(ask, Ask::Found(_) | Ask::Record(_)) => {
            let typed = Typed::Said(Said { what: What::Answer(Answer::Unknown), ..said });
            Heard { typed, ..heard }
        }
        _ => heard,
    }
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
        Typed::Said(Said { what: What::Answer(Answer::Told(Told::Name(_)) | Answer::Text(_)), .. })
    );
    known.then(|| text.split(',').next().unwrap_or(text).trim().to_owned())
}

/// What is behind `used` or its key.
fn behind_used(line: &str) -> Option<&str> {
    let (word, rest) = line.trim_start().split_once(char::is_whitespace)?;
    (answer_word(word) == Some(AnswerWord::Used)).then_some(rest)
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

fn as_typed(value: &Value<'_>) -> (Told, Full) {
    (Told::Value(value.number, value.unit.map(|(_, unit)| unit)), Full::AsTyped)
}

/// The one number of a group; each of several is there to be typed.
fn only<'a, 'b>(group: &'b Group<'a>, unit: Option<Unit>) -> Result<&'b Value<'a>, NotRead> {
    let text = group.raw.to_owned();
    let said = |number: Number, typed: &Value<'_>| {
        Told::Value(number, typed.unit.map(|(_, unit)| unit).or(unit)).to_string()
    };
    match &group.values[..] {
        [only] => {
            let Some((whole, part)) = only.comma else { return Ok(only) };
            let figure =
                |digits: &str| crate::physics::parse_decimal(digits).map(|number| said(number, only));
            let mut ways = Vec::new();
            let whole_or_part = matches!(unit, Some(Unit::Clicks | Unit::Turns));
            if !whole_or_part {
                ways.push(said(only.number, only));
            }
            if part.len() == 3 {
                ways.extend(figure(&format!("{whole}{part}")));
            } else if whole_or_part {
                ways.extend(figure(whole).into_iter().chain(figure(part)));
            }
            Err(NotRead::Unclear { text, ways })
        }
        several => {
            let ways = several.iter().map(|value| said(value.number, value)).collect();
            Err(NotRead::OneNumber { text, ways })
        }
    }
}

/// A condition's number, in a unit in which it may be answered.
fn condition_in(group: &Group<'_>, units: &[Unit]) -> Result<(Told, Full), NotRead> {
    let value = only(group, units.first().copied().filter(|_| units.len() == 1))?;
    let Some((times, typed)) = value.unit else {
        if let [unit] = units {
            return Ok((Told::Value(value.number, Some(*unit)), Full::UnitLeftOut));
        }
        let ways = units.iter().map(|unit| Told::Value(value.number, Some(*unit)).to_string()).collect();
        return Err(NotRead::Unclear { text: group.raw.to_owned(), ways });
    };
    if times == Number::from_integer(1) && units.contains(&typed) {
        return Ok((Told::Value(value.number, Some(typed)), Full::AsTyped));
    }
    let quantity = Quantity { number: value.number * times, unit: typed };
    let converted = units.iter().find_map(|unit| Some((quantity.in_unit(*unit)?, *unit)));
    Ok(converted.map_or_else(
        || as_typed(value),
        |(number, unit)| (Told::Value(rounded(number, 1_000_000), Some(unit)), Full::Otherwise),
    ))
}
