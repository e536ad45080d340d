//! Owns how numbers are found in a typed line: with their units, joined or parted in the ways that
//! people write. It knows nothing of which question they answer.

use crate::physics::{Number, Unit, parse_decimal, parse_fraction};
use crate::vocabulary::{foreign_unit, unit_named};

use super::answer::AND;

/// A number to the nearest of so many parts of one.
pub(super) fn rounded(number: Number, parts: i128) -> Number {
    let parts = Number::from_integer(parts);
    (number * parts).round() / parts
}

/// A number in a line.
#[derive(Debug, Clone)]
pub(super) struct Value<'a> {
    pub number: Number,
    /// The two whole numbers of a number with a comma, as they were typed.
    pub comma: Option<(&'a str, &'a str)>,
    /// A unit of the language, and how many of it one of what was typed is.
    pub unit: Option<(Number, Unit)>,
}

/// What is between two numbers of one group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Join {
    /// Nothing but space.
    Space,
    /// `and`, `&`, `+` or `;`.
    And,
    Slash,
    /// A dash, `to` or `or`: not both numbers, or what is between them.
    Other,
}

/// Numbers with no comma between them, and the note behind them.
#[derive(Debug, Clone)]
pub(super) struct Group<'a> {
    pub values: Vec<Value<'a>>,
    pub joins: Vec<Join>,
    pub note: Option<String>,
    /// The numbers as they were typed, without the note.
    pub raw: &'a str,
    /// The byte behind the group and its comma.
    pub end: usize,
}

/// What a slash behind digits is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slash {
    /// It is in a fraction: `1 1/4`.
    InFraction,
    /// It is between two numbers: `31/33`.
    Between,
}

/// The groups of numbers with which a line begins, separated by commas; none where it begins with
/// something else.
pub(super) fn groups(line: &str, slash: Slash) -> Vec<Group<'_>> {
    let mut cursor = Cursor { line, at: 0, slash };
    let mut groups = Vec::new();
    while let Some(group) = cursor.group() {
        cursor.at = group.end;
        groups.push(group);
    }
    groups
}

#[derive(Clone, Copy)]
struct Cursor<'a> {
    line: &'a str,
    at: usize,
    slash: Slash,
}

impl<'a> Cursor<'a> {
    fn rest(&self) -> &'a str {
        self.line.get(self.at..).unwrap_or("")
    }

    fn space(&mut self) {
        self.at = self.line.len() - self.rest().trim_start().len();
    }

    fn take(&mut self, mark: impl Fn(char) -> bool) -> bool {
        let found = self.rest().chars().next().filter(|c| mark(*c));
        self.at += found.map_or(0, char::len_utf8);
        found.is_some()
    }

    fn digits(&mut self) -> &'a str {
        let rest = self.rest();
        let digits = &rest[..rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len())];
        self.at += digits.len();
        digits
    }

    /// Takes a mark and the digits right behind it, where both are there.
    fn mark_and_digits(&mut self, mark: char) -> Option<&'a str> {
        let mut ahead = *self;
        if !ahead.take(|c| c == mark) {
            return None;
        }
        let digits = ahead.digits();
        (!digits.is_empty()).then(|| {
            self.at = ahead.at;
            digits
        })
    }

    fn number(&mut self) -> Option<(Number, Option<(&'a str, &'a str)>)> {
        let sign = if self.take(is_dash) { "-" } else { "" };
        let begin = self.at;
        let whole = self.digits();
        if whole.is_empty() {
            return None;
        }
        if let Some(part) = self.mark_and_digits(',') {
            let number = parse_decimal(&format!("{sign}{whole}.{part}"))?;
            return Some((number, Some((whole, part))));
        }
        while self.mark_and_digits('.').is_some() {}
        if self.slash == Slash::InFraction && self.mark_and_digits('/').is_none() {
            let mut ahead = *self;
            ahead.space();
            if ahead.at > self.at && !ahead.digits().is_empty() && ahead.mark_and_digits('/').is_some() {
                self.at = ahead.at;
            }
        }
        let text = format!("{sign}{}", self.line.get(begin..self.at)?);
        Some((parse_decimal(&text).or_else(|| parse_fraction(&text))?, None))
    }

    /// A word; one behind a number ends where the next number begins.
    fn word(&mut self) -> &'a str {
        let rest = self.rest();
        if rest.starts_with('%') {
            self.at += 1;
            return &rest[..1];
        }
        let mut end = 0;
        for (at, c) in rest.char_indices() {
            let next_is_digit = rest[at + c.len_utf8()..].starts_with(|c: char| c.is_ascii_digit());
            let goes_on = match c {
                '/' | '-' => at > 0 && !next_is_digit,
                '0'..='9' => at > 0 && unit_of(&rest[..at]).is_none(),
                c => c.is_alphanumeric() || matches!(c, '°' | '_' | '\''),
            };
            if !goes_on {
                break;
            }
            end = at + c.len_utf8();
        }
        self.at += end;
        &rest[..end]
    }

    fn value(&mut self) -> Option<Value<'a>> {
        self.space();
        let (number, comma) = self.number()?;
        let mut ahead = *self;
        // a mark of inches, where no text opens with it
        let inches = ahead.take(|c| c == '"') && !ahead.rest().contains('"');
        if !inches {
            ahead = *self;
            ahead.space();
        }
        let unit = if inches { unit_of("\"") } else { unit_of(ahead.word()) };
        if unit.is_some() {
            self.at = ahead.at;
        }
        Some(Value { number, comma, unit })
    }

    fn note(&mut self) -> Option<String> {
        let text = self.rest().strip_prefix('"')?;
        let (note, _) = text.split_once('"')?;
        self.at += note.len() + 2;
        Some(note.to_owned())
    }

    /// What joins the next number to the last; `None` where nothing does.
    fn join(&mut self) -> Option<Join> {
        let rest = self.rest();
        if rest.starts_with(|c: char| c.is_ascii_digit()) {
            return Some(Join::Space);
        }
        if self.take(|c| matches!(c, '&' | '+' | ';')) {
            return Some(Join::And);
        }
        if self.take(|c| c == '/') {
            return Some(Join::Slash);
        }
        if self.take(is_dash) {
            return Some(Join::Other);
        }
        let word = self.word();
        if word.eq_ignore_ascii_case(AND) {
            return Some(Join::And);
        }
        ["to", "or"].iter().any(|other| word.eq_ignore_ascii_case(other)).then_some(Join::Other)
    }

    fn group(mut self) -> Option<Group<'a>> {
        self.space();
        let begin = self.at;
        let (mut values, mut joins) = (vec![self.value()?], Vec::new());
        loop {
            let raw = self.line.get(begin..self.at)?;
            let glued = self.at;
            self.space();
            let note = self.note();
            self.space();
            let rest = self.rest();
            let comment = rest.starts_with('#') && self.at > glued;
            if rest.is_empty() || comment || self.take(|c| c == ',') {
                let end = if comment { self.line.len() } else { self.at };
                return Some(Group { values, joins, note, raw, end });
            }
            if note.is_some() {
                return None;
            }
            joins.push(self.join()?);
            values.push(self.value()?);
        }
    }
}

fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

fn unit_of(word: &str) -> Option<(Number, Unit)> {
    unit_named(word).map(|unit| (Number::from_integer(1), unit)).or_else(|| foreign_unit(word))
}

/// Whether nothing more is said in what is left of a line.
pub(super) fn is_blank(line: &str) -> bool {
    let line = line.trim_start_matches([' ', '\t', ',']);
    line.is_empty() || line.starts_with('#')
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The numbers of a line: a comma parts groups, a bar the numbers of one.
    fn found(line: &str) -> String {
        let group = |group: &Group<'_>| {
            let value = |value: &Value<'_>| {
                let unit = value.unit.map_or(String::new(), |(times, unit)| format!(" x{times} {unit:?}"));
                format!("{}{unit}", value.number)
            };
            group.values.iter().map(value).collect::<Vec<_>>().join("|")
        };
        groups(line, Slash::Between).iter().map(group).collect::<Vec<_>>().join(",")
    }

    #[test]
    fn numbers_are_found_however_they_are_glued() {
        assert_eq!(found("31mm29mm"), "31 x1 Millimetre|29 x1 Millimetre");
        assert_eq!(found("31mm/29mm"), "31 x1 Millimetre|29 x1 Millimetre");
        assert_eq!(found("31mm-29mm"), "31 x1 Millimetre|29 x1 Millimetre");
        assert_eq!(found("400 lb/in/450lb/in"), "400 x1 PoundPerInch|450 x1 PoundPerInch");
        assert_eq!(found("31mm,29mm"), "31 x1 Millimetre,29 x1 Millimetre");
        assert_eq!(found("1.2\""), "6/5 x127/5 Millimetre");
        assert_eq!(found("3 cm # held"), "3 x10 Millimetre");
        assert_eq!(found("-5 C, -3 C"), "-5 x1 Celsius,-3 x1 Celsius");
        assert_eq!(found("38 mm, keep"), "38 x1 Millimetre");
        for none in ["", "keep", "31 and", "31 mm harsh", "450#", "1.2.3", "31 mm \"note\" 29", "31 x 29"] {
            assert_eq!(found(none), "", "{none}");
        }
    }
}
