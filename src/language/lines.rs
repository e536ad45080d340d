//! Owns the line rule: which physical lines make one logical line. A line that begins with a
//! heading or with an entry word of the present heading is a new line; one that begins with a
//! clause word, a number or a comma goes on from the line above; any other is a line of its own.

use std::collections::VecDeque;
use std::ops::Range;

use crate::vocabulary::{
    HEADINGS, Heading, NOT_COUNTED, continuers, lower, nearest, openers, opens_no_more, part_named,
};

use super::cut::first_of;
use super::token::TokenKind;

/// A logical line: its bytes and what its first word makes of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct LogicalLine {
    pub bytes: Range<usize>,
    pub opening: Opening,
    /// The heading under which the line above stands.
    pub above: Option<Heading>,
}

impl LogicalLine {
    /// The heading under which the line below stands.
    pub fn below(&self) -> Option<Heading> {
        match self.opening {
            Opening::Heading { heading, .. } => Some(heading),
            Opening::BarePart => Some(Heading::Part),
            _ => self.above,
        }
    }

    /// The heading whose clauses may stand on this line.
    pub fn under(&self) -> Option<Heading> {
        match self.opening {
            Opening::Heading { heading, .. } => Some(heading),
            Opening::BarePart => Some(Heading::Part),
            Opening::Entry { belongs, .. } => Some(belongs),
            Opening::Other { stands } => stands,
            Opening::Blank => self.above,
        }
    }
}

/// What opens a logical line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Opening {
    /// White space and comments only.
    Blank,
    Heading {
        heading: Heading,
        misspelt: bool,
    },
    /// A part's name where `part` was left out before it.
    BarePart,
    /// An entry's first word. `belongs` is the heading under which it may stand, `stands` the one
    /// under which it does.
    Entry {
        word: &'static str,
        belongs: Heading,
        stands: Option<Heading>,
        misspelt: bool,
    },
    /// No word that opens a line.
    Other {
        stands: Option<Heading>,
    },
}

/// How a physical line begins.
enum Beginning<'a> {
    Nothing,
    Word(&'a str),
    /// A number or a comma.
    GoesOn,
    Other,
}

fn beginning(line: &str) -> Beginning<'_> {
    let line = line.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{FEFF}');
    let Some((kind, first)) = first_of(line) else { return Beginning::Nothing };
    match kind {
        TokenKind::Comment => Beginning::Nothing,
        TokenKind::Comma | TokenKind::Number | TokenKind::CommaNumber => Beginning::GoesOn,
        TokenKind::Word if first == NOT_COUNTED => Beginning::GoesOn,
        TokenKind::Word => Beginning::Word(first),
        TokenKind::Hash
        | TokenKind::Text
        | TokenKind::BentText
        | TokenKind::OpenText
        | TokenKind::Colon
        | TokenKind::Dash
        | TokenKind::Junk => Beginning::Other,
    }
}

/// A text, cut into logical lines one after the other.
pub(super) struct LogicalLines<'a> {
    text: &'a str,
    /// The byte from which nothing is cut yet.
    at: usize,
    /// Lines that are cut but may still go on: one that is not blank, and what is blank behind it.
    open: VecDeque<LogicalLine>,
    /// The heading under which the next line stands.
    under: Option<Heading>,
    /// The heading whose clause words may go on from the last line; none where it cannot be gone on
    /// from.
    going_on: Option<Heading>,
}

impl Iterator for LogicalLines<'_> {
    type Item = LogicalLine;

    fn next(&mut self) -> Option<LogicalLine> {
        // with two open lines that are not blank the first is at its end
        while self.open.len() < 3 && !self.is_first_done() {
            let Some(physical) = self.text.get(self.at..).and_then(|rest| rest.split_inclusive('\n').next())
            else {
                break;
            };
            let bytes = self.at..self.at + physical.len();
            self.at = bytes.end;
            self.take(physical, bytes);
        }
        self.open.pop_front()
    }
}

impl<'a> LogicalLines<'a> {
    /// The lines of a text.
    pub fn of(text: &'a str) -> Self {
        LogicalLines::under(text, 0, None)
    }

    /// What stands from byte `at` of a text on, below lines under a heading.
    pub fn under(text: &'a str, at: usize, under: Option<Heading>) -> Self {
        LogicalLines { text, at, open: VecDeque::new(), under, going_on: under }
    }

    /// Whether a line that is not blank, or two lines, stand behind the first open one.
    fn is_first_done(&self) -> bool {
        let is_blank = |line: &LogicalLine| line.opening == Opening::Blank;
        self.open.iter().skip(1).any(|line| !is_blank(line))
    }

    fn take(&mut self, physical: &str, bytes: Range<usize>) {
        let may_go_on = self.open.iter().any(|line| line.opening != Opening::Blank);
        let opening = match beginning(physical) {
            Beginning::Nothing => {
                match self.open.back_mut().filter(|line| line.opening == Opening::Blank) {
                    Some(blank) => blank.bytes.end = bytes.end,
                    None => {
                        let above = self.under;
                        self.open.push_back(LogicalLine { bytes, opening: Opening::Blank, above });
                    }
                }
                return;
            }
            Beginning::GoesOn if may_go_on && self.going_on.is_some() => return self.join(bytes.end),
            Beginning::GoesOn | Beginning::Other => Opening::Other { stands: self.under },
            Beginning::Word(word) => match self.judge(word) {
                Some(opening) => opening,
                None if may_go_on => return self.join(bytes.end),
                None => Opening::Other { stands: self.under },
            },
        };
        let above = self.under;
        match opening {
            Opening::Heading { heading, .. } => {
                self.under = Some(heading);
                self.going_on = Some(heading);
            }
            Opening::BarePart => {
                self.under = Some(Heading::Part);
                self.going_on = Some(Heading::Part);
            }
            Opening::Entry { belongs, .. } => self.going_on = Some(belongs),
            Opening::Other { stands } => self.going_on = stands,
            Opening::Blank => {}
        }
        self.open.push_back(LogicalLine { bytes, opening, above });
    }

    /// What a first word opens; `None` where the line goes on from the one above.
    fn judge(&self, word: &str) -> Option<Opening> {
        let word = lower(word);
        let word = word.as_ref();
        if let Some(opening) = self.opening_of(word, false) {
            return Some(opening);
        }
        let going_on = self.going_on.map(continuers).unwrap_or_default();
        if going_on.contains(&word) {
            return None;
        }
        let elsewhere = HEADINGS.iter().map(|row| row.heading).find_map(|heading| {
            openers(heading).iter().find(|opener| **opener == word).map(|word| (*word, heading))
        });
        if let Some((word, belongs)) = elsewhere {
            let stands = self.under;
            return Some(Opening::Entry { word, belongs, stands, misspelt: false });
        }
        if part_named(word, None).is_some() {
            return Some(Opening::BarePart);
        }
        let here = self.under.map(openers).unwrap_or_default();
        let headings = HEADINGS.iter().map(|row| row.word);
        let words = here.iter().copied().chain(headings).chain(going_on.iter().copied());
        let meant = nearest(word, words.filter(|word| !opens_no_more(word)));
        match meant {
            Some(meant) if going_on.contains(&meant) => None,
            Some(meant) => self.opening_of(meant, true),
            None => Some(Opening::Other { stands: self.under }),
        }
    }

    /// What a word opens under the present heading, where it opens anything.
    fn opening_of(&self, word: &str, misspelt: bool) -> Option<Opening> {
        if let Some(heading) = Heading::named(word) {
            return Some(Opening::Heading { heading, misspelt });
        }
        let belongs = self.under?;
        let word = openers(belongs).iter().copied().find(|opener| *opener == word)?;
        Some(Opening::Entry { word, belongs, stands: self.under, misspelt })
    }

    /// Lengthens the last line that is not blank, taking what is blank between into it.
    fn join(&mut self, end: usize) {
        while self.open.back().is_some_and(|line| line.opening == Opening::Blank) {
            self.open.pop_back();
        }
        if let Some(last) = self.open.back_mut() {
            last.bytes.end = end;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<&str> {
        let lines: Vec<_> = LogicalLines::of(text).collect();
        assert_eq!(lines.iter().map(|line| line.bytes.len()).sum::<usize>(), text.len());
        lines.into_iter().map(|line| text[line.bytes].trim_end()).collect()
    }

    #[test]
    fn clause_words_and_numbers_go_on() {
        let text = "part fork\n rebound 0 to 18\n\n# why\n clicks\n start 3,\n 4 at 60 kg\n lockout a";
        let lines = cut(text);
        // `clicks` is neither a clause word nor a number: a line of its own
        assert_eq!(lines[1], " rebound 0 to 18");
        assert_eq!(lines[3], " clicks\n start 3,\n 4 at 60 kg");
        assert_eq!(lines[4], " lockout a");
    }

    #[test]
    fn a_misspelt_first_word_costs_its_own_line() {
        let lines: Vec<_> =
            LogicalLines::of("steps\nsya \"x\"\nride 2 laps\ntune every rebound\natt most 3 laps").collect();
        assert_eq!(lines.len(), 4);
        let meant = Opening::Entry {
            word: "say",
            belongs: Heading::Steps,
            stands: Some(Heading::Steps),
            misspelt: true,
        };
        assert_eq!(lines[1].opening, meant);
    }

    /// Below a heading that is none after all, what would go on has nothing to go on from.
    #[test]
    fn nothing_is_lost_where_nothing_can_be_gone_on_from() {
        for text in ["start 5\n", " 18 clicks\n", "\n, x\n", "# c\nstart 5\n at 60 kg\n"] {
            let lines = LogicalLines::under(text, 0, Some(Heading::Part));
            assert_eq!(lines.map(|line| line.bytes.len()).sum::<usize>(), text.len(), "{text}");
        }
    }

    #[test]
    fn at_opens_in_a_plan_and_goes_on_in_steps() {
        assert_eq!(cut("plan \"x\"\nat most 3 laps\nat most 4 h").len(), 3);
        assert_eq!(cut("steps\ntune every rebound\nat most 4 laps").len(), 2);
    }
}
