//! Owns the reading of a whole file: each logical line along its entry in the vocabulary. A broken
//! line costs that line only, a broken clause that clause.
//! It knows nothing of what the lines mean together.

use crate::problem::{Code, Problem, SourceId, Span};
use crate::vocabulary::{Clause, ENTRIES, EntryRow, HEADINGS, Heading, Slot, nearest};

use super::amounts::{listed, misspelt};
use super::lines::{LogicalLine, Opening, logical_lines};
use super::phrases::read_slot;
use super::reader::Reader;
use super::token::{TokenKind, tokens};
use super::tree::{ClauseLine, EntryLine, Fields, HeadingLine, Line, LineKind, Tree};

/// The longest line that is read, in bytes.
const LONGEST_LINE: usize = 10_000;

/// Reads a text. Never fails: what cannot be read is left out of the tree and told as a problem.
/// The lines of the tree together are the whole text.
#[must_use]
pub fn parse(source: SourceId, text: &str) -> (Tree, Vec<Problem>) {
    let mut parser = Parser { source, text, problems: Vec::new(), misplaced: None };
    let lines = logical_lines(text).into_iter().map(|line| parser.line(line)).collect();
    let mut problems = parser.problems;
    problems.sort_by_key(|problem| problem.span.start);
    (Tree { source, lines }, problems)
}

struct Parser<'a> {
    source: SourceId,
    text: &'a str,
    problems: Vec<Problem>,
    /// The heading that entries just above were missing, which is told once for a run of them.
    misplaced: Option<Heading>,
}

impl Parser<'_> {
    fn line(&mut self, line: LogicalLine) -> Line {
        let bytes = line.bytes;
        let text = self.text.get(bytes.clone()).unwrap_or("");
        let unmarked = text.trim_start_matches('\u{FEFF}');
        let begin = bytes.end - unmarked.len();
        let begin = if bytes.start == 0 { begin } else { bytes.start };
        let span = Span { source: self.source, start: begin, end: bytes.end };
        if bytes.len() > LONGEST_LINE {
            let first = Span { end: begin + 1, ..span };
            let problem = Problem::new(
                Code::LineTooLong,
                first,
                "this line is longer than 10,000 characters, so it is not read",
            )
            .help("break it into lines");
            self.problems.push(problem);
            return Line { span, tokens: Vec::new(), kind: LineKind::Unread };
        }
        let tokens = tokens(self.source, self.text.get(begin..bytes.end).unwrap_or(""), begin);
        let mut reader = Reader::new(self.text, span, &tokens);
        let kind = match line.opening {
            Opening::Blank => LineKind::Blank,
            Opening::Heading { heading, misspelt } => {
                self.misplaced = None;
                self.heading(&mut reader, heading, misspelt)
            }
            Opening::Entry { word, belongs, stands, misspelt } => {
                self.told_misplaced(&reader, word, belongs, stands);
                self.entry(&mut reader, word, belongs, misspelt)
            }
            Opening::Other { stands } => {
                self.other(&reader, stands);
                LineKind::Unread
            }
        };
        self.problems.append(&mut reader.noticed);
        Line { span, tokens, kind }
    }

    fn told_misplaced(&mut self, reader: &Reader<'_>, word: &str, belongs: Heading, stands: Option<Heading>) {
        if stands == Some(belongs) {
            self.misplaced = None;
            return;
        }
        if self.misplaced.replace(belongs) == Some(belongs) {
            return;
        }
        let heading = belongs.row().word;
        let line = match belongs {
            Heading::Steps => "steps".to_owned(),
            Heading::Part => "part fork".to_owned(),
            _ => format!("{heading} \"...\""),
        };
        let span = reader.peek().map_or(reader.here(), |token| token.span);
        self.problems.push(
            Problem::new(
                Code::EntryMisplaced,
                span,
                format!("`{word}` belongs under `{heading}`, which does not stand above it"),
            )
            .help(format!("put a line `{line}` above it")),
        );
    }

    fn other(&mut self, reader: &Reader<'_>, stands: Option<Heading>) {
        let Some(token) = reader.peek() else { return };
        let words = match stands {
            Some(heading) if heading.has_entries() => listed(crate::vocabulary::openers(heading)),
            _ => listed(HEADINGS.iter().map(|row| row.word)),
        };
        let here = stands.map_or(String::new(), |heading| format!(" under `{}`", heading.row().word));
        let (code, message) = match token.kind {
            TokenKind::Text | TokenKind::BentText | TokenKind::OpenText => {
                (Code::LineUnknown, "a text stands alone here; a line begins with a word".to_owned())
            }
            TokenKind::Junk => {
                (Code::CharacterUnknown, format!("{} has no meaning here", reader.describe(token)))
            }
            _ => (Code::LineUnknown, format!("{} begins no line{here}", reader.describe(token))),
        };
        self.problems
            .push(Problem::new(code, token.span, message).help(format!("a line here begins with {words}")));
    }

    fn heading(&mut self, reader: &mut Reader<'_>, heading: Heading, is_misspelt: bool) -> LineKind {
        let row = heading.row();
        let word = self.opening_word(reader, row.word, is_misspelt);
        let (fields, mut broken) = self.phrases(reader, row.form);
        if !broken && !reader.at_end() {
            broken = true;
            let token = reader.peek();
            let span = token.map_or(word, |token| token.span);
            let comma = token.is_some_and(|token| token.kind == TokenKind::Comma);
            reader.skip();
            if comma && reader.at_end() {
                broken = false;
                self.problems.push(comma_extra(span));
            } else {
                self.problems.push(
                    Problem::new(
                        Code::PhraseUnexpected,
                        span,
                        format!("nothing more is wanted after `{} ...`", row.word),
                    )
                    .help("put what follows on a line of its own"),
                );
            }
        }
        LineKind::Heading(HeadingLine { heading, word, fields, broken })
    }

    /// Takes the first word of a line, telling where it is misspelt.
    fn opening_word(&mut self, reader: &mut Reader<'_>, meant: &str, is_misspelt: bool) -> Span {
        let span = reader.peek().map_or(reader.here(), |token| token.span);
        if is_misspelt {
            let word = reader.raw(span).to_owned();
            self.problems.push(misspelt(&word, meant, span));
        }
        reader.skip();
        span
    }

    fn entry(
        &mut self,
        reader: &mut Reader<'_>,
        word: &str,
        belongs: Heading,
        is_misspelt: bool,
    ) -> LineKind {
        let of_word = |row: &&EntryRow| row.under == belongs && row.words.split(' ').next() == Some(word);
        let adjuster = |row: &&EntryRow| row.under == belongs && row.words.is_empty();
        let Some(row) = ENTRIES.iter().find(of_word).or_else(|| ENTRIES.iter().find(adjuster)) else {
            return LineKind::Unread;
        };
        let span = reader.peek().map_or(reader.here(), |token| token.span);
        let mut broken = false;
        if !row.words.is_empty() {
            self.opening_word(reader, word, is_misspelt);
            for more in row.words.split(' ').skip(1) {
                if reader.take_word(more).is_none() {
                    let problem = reader.wants(&format!("`{more}`"));
                    self.problems.push(problem.help(format!("the line begins `{}`", row.words)));
                    broken = true;
                    break;
                }
            }
        }
        let mut entry = EntryLine {
            entry: row.entry,
            under: belongs,
            word: span,
            fields: Fields::default(),
            clauses: Vec::new(),
            broken,
            lost_clause: false,
        };
        if !broken {
            (entry.fields, entry.broken) = self.phrases(reader, row.form);
        }
        if entry.broken {
            to_comma(reader);
        }
        self.clauses(reader, row, &mut entry);
        LineKind::Entry(entry)
    }

    fn phrases(&mut self, reader: &mut Reader<'_>, form: &[Slot]) -> (Fields, bool) {
        let mut fields = Fields::default();
        for &slot in form {
            match read_slot(reader, slot) {
                Ok(field) => fields.0.push(field),
                Err(problem) => {
                    self.problems.push(*problem);
                    return (fields, true);
                }
            }
        }
        (fields, false)
    }

    fn clauses(&mut self, reader: &mut Reader<'_>, row: &EntryRow, entry: &mut EntryLine) {
        while !reader.at_end() {
            let before = reader.here();
            let commas = self.commas(reader);
            if reader.at_end() {
                break;
            }
            match opening_clause(reader, row.clauses) {
                Some((clause, span)) => {
                    if commas == 0 && clause != Clause::IfFitted {
                        self.problems.push(
                            Problem::new(Code::CommaMissing, span, "a comma is missing before this")
                                .fix_at(before.after(), ","),
                        );
                    }
                    self.clause(reader, clause, span, entry);
                }
                None => {
                    entry.lost_clause = true;
                    self.unexpected(reader, row);
                    to_comma(reader);
                }
            }
        }
    }

    /// Takes the commas that come next and tells of those that part nothing.
    fn commas(&mut self, reader: &mut Reader<'_>) -> usize {
        let mut count = 0;
        while let Some(token) = reader.peek().filter(|token| token.kind == TokenKind::Comma) {
            reader.skip();
            count += 1;
            if count > 1 || reader.at_end() {
                self.problems.push(comma_extra(token.span));
            }
        }
        count
    }

    fn clause(&mut self, reader: &mut Reader<'_>, clause: Clause, word: Span, entry: &mut EntryLine) {
        let row = clause.row();
        let mut span = word;
        let mut broken = false;
        if let Some(more) = row.words.split_once(' ').map(|(_, more)| more) {
            match reader.take_words(more) {
                Some(end) => span = span.to(end),
                None => {
                    self.problems.push(*reader.wants(&format!("`{more}`")));
                    broken = true;
                }
            }
        }
        let mut fields = Fields::default();
        if !broken {
            (fields, broken) = self.phrases(reader, row.form);
        }
        span = fields.0.last().map_or(span, |(_, last)| span.to(*last));
        if broken {
            to_comma(reader);
        }
        let twice = entry.clause(clause).filter(|_| clause != Clause::Row).map(|first| first.span);
        match twice {
            Some(first) => self.problems.push(
                Problem::new(Code::ClauseTwice, span, format!("`{}` stands twice in this line", row.words))
                    .also(first, "here first")
                    .help("keep one of them"),
            ),
            None => entry.clauses.push(ClauseLine { clause, span, fields, broken }),
        }
    }

    fn unexpected(&mut self, reader: &Reader<'_>, row: &EntryRow) {
        let Some(token) = reader.peek() else { return };
        let words: Vec<_> =
            row.clauses.iter().map(|clause| clause.row().words).filter(|words| !words.is_empty()).collect();
        let code =
            if token.kind == TokenKind::Junk { Code::CharacterUnknown } else { Code::PhraseUnexpected };
        let problem =
            Problem::new(code, token.span, format!("{} is not expected here", reader.describe(token)));
        self.problems.push(if words.is_empty() {
            problem.help("nothing more is wanted on this line")
        } else {
            problem.help(format!("after this may follow {}", listed(words)))
        });
    }
}

fn comma_extra(span: Span) -> Problem {
    Problem::new(Code::CommaExtra, span, "this comma parts nothing").fix("")
}

/// The clause that opens here, taking its first word where it has one.
fn opening_clause(reader: &mut Reader<'_>, clauses: &[Clause]) -> Option<(Clause, Span)> {
    let token = reader.peek()?;
    if matches!(token.kind, TokenKind::Number | TokenKind::CommaNumber) {
        let numbered = clauses.iter().find(|clause| clause.row().words.is_empty())?;
        return Some((*numbered, token.span));
    }
    let word = reader.word()?;
    let first = |clause: &Clause| clause.row().words.split(' ').next().unwrap_or("");
    if let Some(&clause) = clauses.iter().find(|clause| first(clause) == word) {
        reader.skip();
        return Some((clause, token.span));
    }
    let meant = nearest(&word, clauses.iter().map(first).filter(|first| !first.is_empty()))?;
    let &clause = clauses.iter().find(|clause| first(clause) == meant)?;
    reader.noticed.push(misspelt(&word, meant, token.span));
    reader.skip();
    Some((clause, token.span))
}

fn to_comma(reader: &mut Reader<'_>) {
    while reader.peek().is_some_and(|token| token.kind != TokenKind::Comma) {
        reader.skip();
    }
}
