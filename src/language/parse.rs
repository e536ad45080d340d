//! Owns the reading of a whole file: each logical line along its entry in the vocabulary. A broken
//! line costs that line only, a broken clause that clause.
//! It knows nothing of what the lines mean together.

use std::sync::LazyLock;

use crate::problem::{Code, Problem, Refuse, SourceId, Span, Told};
use crate::vocabulary::{ENTRIES, Entry, EntryRow, HEADINGS, Heading, entry_words};

use super::amounts::listed;
use super::cut::{first_piece, tokens};
use super::lines::{LogicalLine, LogicalLines, Opening};
use super::parser::{Earlier, Parser, breaks};
use super::prefixes::{Unmarked, unmarked};
use super::reader::Reader;
use super::strange::strange;
use super::token::TokenKind;
use super::tree::{Line, LineKind, Tree};

/// The longest line that is read, in bytes.
const LONGEST_LINE: usize = 10_000;

/// The most lines of a file that are read, and the most problems after which reading stops. A plan has far
/// fewer: no more than a hundred adjusters and two thousand steps.
const MOST_LINES: usize = 100_000;
const MOST_PROBLEMS: usize = 100_000;

/// Reads a text. Never fails: what cannot be read is left out of the tree and told as a problem.
/// The lines of the tree together are the whole text.
#[must_use]
pub fn parse(source: SourceId, text: &str) -> (Tree, Vec<Problem>) {
    let Some(Unmarked { text, problem }) = unmarked(source, text) else { return parse_lines(source, text) };
    let (tree, mut problems) = parse_lines(source, &text);
    let place = problems.partition_point(|other| other.span.start < problem.span.start);
    problems.insert(place, problem);
    (tree, problems)
}

fn parse_lines(source: SourceId, text: &str) -> (Tree, Vec<Problem>) {
    let mut parser = Parser::new(source, text);
    let mut lines: Vec<Line> = Vec::new();
    let mut earlier: Option<Earlier> = None;
    let text_read = first_lines(text);
    let mut cut = LogicalLines::of(text_read).peekable();
    let (mut end, mut why) = (0, "this file has more than 100,000 lines; the rest is not read");
    while let Some(line) = cut.next() {
        if parser.problems.len() >= MOST_PROBLEMS {
            why = "this file has more than 100,000 problems, so what follows is not read";
            break;
        }
        end = line.bytes.end;
        let before = parser.standing();
        let mut read = parser.line(line.clone());
        if let Some(earlier) = earlier.take() {
            if let Some(mended) = parser.mend(&mut lines, &earlier, (&line, cut.peek()), before.told) {
                end = mended.end;
                while cut.peek().is_some_and(|next| next.bytes.start < mended.end) {
                    cut.next();
                }
                let fits = |next: &LogicalLine| next.bytes.start == mended.end && next.above == mended.under;
                if !cut.peek().is_none_or(fits) {
                    cut = LogicalLines::under(text_read, mended.end, mended.under).peekable();
                }
                continue;
            }
            if parser.pass_over_rest(&earlier, &line, before.told, &mut read)
                && cut.peek().is_some_and(|next| next.above != line.above)
            {
                cut = LogicalLines::under(text_read, line.bytes.end, line.above).peekable();
            }
        }
        if line.opening == Opening::Blank
            && parser.merging.is_none()
            && let Some(told) = parser.look_aside(&line, cut.peek())
        {
            read.kind = LineKind::Unread(told);
        }
        lines.push(read);
        earlier = (line.opening != Opening::Blank).then_some(Earlier { line, before });
    }
    if lines.iter().any(|line| !matches!(line.kind, LineKind::Blank)) {
        parser.told_aside();
    }
    lines.extend(parser.unread_from(end, why));
    let mut problems = parser.problems;
    problems.sort_unstable_by_key(|problem| (problem.span.start, problem.code));
    (Tree { source, lines }, problems)
}

/// The files that a text uses, as they are written, each with the place of its name.
#[must_use]
pub fn uses(source: SourceId, text: &str) -> Vec<(String, Span)> {
    let word = Heading::Use.row().word;
    if !text.to_lowercase().contains(word) {
        return Vec::new();
    }
    let unmarked = unmarked(source, text);
    let text = unmarked.as_ref().map_or(text, |unmarked| &unmarked.text);
    let mut parser = Parser::new(source, text);
    let opens = |line: &LogicalLine| matches!(line.opening, Opening::Heading { heading: Heading::Use, .. });
    let lines = LogicalLines::of(first_lines(text)).filter(opens).map(|line| parser.line(line));
    let used = lines.filter_map(|line| match line.kind {
        LineKind::Heading(heading) => {
            heading.fields.first::<String>().map(|(text, span)| (text.clone(), span))
        }
        _ => None,
    });
    used.collect()
}

/// The lines of a text that are read.
fn first_lines(text: &str) -> &str {
    let end = text.match_indices('\n').nth(MOST_LINES - 1).map_or(text.len(), |(at, _)| at + 1);
    &text[..end]
}

impl Parser<'_> {
    /// Whether a line is between the marks of an unfinished merge; both sides are passed over.
    fn in_merge(&mut self, text: &str, line: Span) -> Option<Told> {
        let inside = self.merging;
        if text.starts_with("<<<<<<<") {
            let mark = first_piece(self.source, text, line.start).map_or(line, |piece| piece.span);
            self.merging = self.merge_marker(text, mark);
            return None;
        }
        // a line may go on over the last mark
        if inside.is_some() && text.contains(">>>>>>>") {
            self.merging = None;
        }
        inside
    }

    /// What is left of a file of which so much was read.
    fn unread_from(&mut self, start: usize, why: &'static str) -> Option<Line> {
        let rest = self.text.get(start..).filter(|rest| !rest.is_empty())?;
        let whole = Span { source: self.source, start, end: self.text.len() };
        if rest.trim().is_empty() {
            return Some(Line { span: whole, kind: LineKind::Blank, doubtful_from: None });
        }
        let begin = start + rest.len() - rest.trim_start().len();
        let problem = Problem::new(Code::FileTooLong, Span { start: begin, ..whole }.first(self.text), why);
        let told =
            self.problems.refuse(problem.help("a plan has a few dozen lines; is this the right file?"));
        Some(Line { span: whole, kind: LineKind::Unread(told), doubtful_from: None })
    }

    pub fn line(&mut self, line: LogicalLine) -> Line {
        let (under, bytes) = (line.under(), line.bytes);
        let text = self.text.get(bytes.clone()).unwrap_or("");
        let unmarked = text.trim_start_matches('\u{FEFF}');
        let begin = bytes.end - unmarked.len();
        let begin = if bytes.start == 0 { begin } else { bytes.start };
        let span = Span { source: self.source, start: begin, end: bytes.end };
        if line.opening == Opening::Blank {
            return Line { span, kind: LineKind::Blank, doubtful_from: None };
        }
        if bytes.len() > LONGEST_LINE {
            let problem = Problem::pointing(
                Code::LineTooLong,
                span.first(self.text),
                "this line has more than 10,000 characters and is not read",
            )
            .help("split it into shorter lines");
            let told = self.problems.refuse(problem);
            return Line { span, kind: LineKind::Unread(told), doubtful_from: None };
        }
        let text = self.text.get(begin..bytes.end).unwrap_or("");
        if let Some(told) = self.in_merge(text, span) {
            self.lost = true;
            return Line { span, kind: LineKind::Unread(told), doubtful_from: None };
        }
        if let Some(problem) = (!text.is_ascii()).then(|| strange(self.source, text, begin)).flatten() {
            let told = self.problems.refuse(problem);
            self.lost = true;
            return Line { span, kind: LineKind::Unread(told), doubtful_from: None };
        }
        // of a line that nothing opens only its first piece is told
        let pieces = match line.opening {
            Opening::Other { .. } => first_piece(self.source, text, begin).into_iter().collect(),
            Opening::Blank | Opening::Heading { .. } | Opening::BarePart | Opening::Entry { .. } => {
                tokens(self.source, text, begin)
            }
        };
        let told = self.problems.len();
        let glued = self.told_glued(&pieces, under);
        let mut reader = Reader::new(self.text, span, pieces);
        let mut kind = self.opened(&mut reader, line.opening, told);
        self.problems.append(&mut reader.noticed);
        if let LineKind::Entry(entry) = &mut kind {
            entry.lost_clause = entry.lost_clause.or(glued);
        }
        // What follows a text that is not closed cannot be read, so nothing more is said of it.
        if reader.has_open_quote()
            && self.problems[told..].iter().any(|problem| problem.code == Code::QuoteMissing)
        {
            let mut only = self.problems.split_off(told);
            only.retain(|problem| problem.code == Code::QuoteMissing);
            self.problems.append(&mut only);
        }
        let doubtful_from = self.only_first_break(told, &reader);
        Line { span, kind, doubtful_from }
    }

    /// Reads a line along what opens it; `told` problems come from the lines above.
    fn opened(&mut self, reader: &mut Reader<'_>, opening: Opening, told: usize) -> LineKind {
        match opening {
            Opening::Blank => LineKind::Blank,
            Opening::Heading { heading, misspelt } => {
                (self.misplaced, self.lost) = (None, false);
                self.heading(reader, heading, misspelt)
            }
            Opening::BarePart => {
                (self.misplaced, self.lost) = (None, false);
                self.bare_part(reader)
            }
            Opening::Entry { word, belongs, stands, misspelt } => {
                self.told_misplaced(reader, word, belongs, stands);
                let said = self.problems.len();
                let row = entry_row(belongs, word);
                let kind = match row {
                    Some(row) => self.entry(reader, row, word, misspelt),
                    None => self.other(reader, stands),
                };
                // under another heading it may be another line altogether
                if stands != Some(belongs) && self.problems.len() > said {
                    self.problems.truncate(said.max(told + 1));
                    self.lost = true;
                }
                kind
            }
            Opening::Other { stands } => self.other(reader, stands),
        }
    }

    /// Where a line cannot be read on from some place, what is said of its shape from there on is not to be
    /// trusted and is left out. Says from where: behind the comma before that place.
    fn only_first_break(&mut self, told: usize, reader: &Reader<'_>) -> Option<usize> {
        let own = self.problems.get_mut(told..)?;
        own.sort_unstable_by_key(|problem| (problem.span.start, problem.code));
        let breaking = own.iter().find(|problem| breaks(problem))?.span.start;
        let from = reader.segment_of(breaking);
        // where it goes wrong right after a unit that was guessed, it is the guess that goes wrong
        let is_guess = |problem: &&Problem| problem.code == Code::UnitUnknown && problem.span.start >= from;
        let place = own.iter().find(is_guess).map_or(breaking, |guess| guess.span.start.min(breaking));
        let mut own = self.problems.split_off(told);
        let (mut broken, mut guessed) = (false, false);
        own.retain(|problem| {
            let shape = matches!(problem.code, Code::OptionTwice | Code::CommaMissing | Code::CommaExtra);
            if breaks(problem) || problem.span.start == place {
                return !std::mem::replace(&mut broken, true);
            }
            let guess = problem.span.start >= from && !broken;
            let left_out = (shape && problem.span.start >= from) || (guess && guessed);
            guessed |= guess && !left_out;
            !left_out
        });
        self.problems.append(&mut own);
        Some(from)
    }

    fn told_misplaced(&mut self, reader: &Reader<'_>, word: &str, belongs: Heading, stands: Option<Heading>) {
        if stands == Some(belongs) {
            self.misplaced = None;
            return;
        }
        if self.misplaced.replace(belongs) == Some(belongs) || self.lost {
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
                Code::LineMisplaced,
                span,
                format!("`{word}` belongs under `{heading}`, and there is none above it"),
            )
            .help(format!("put a line `{line}` above it")),
        );
    }

    fn other(&mut self, reader: &Reader<'_>, stands: Option<Heading>) -> LineKind {
        let Some(token) = reader.peek() else { return LineKind::Blank };
        self.lost = true;
        if let Some(told) = self.merge_marker(reader.raw(token.span), token.span) {
            return LineKind::Unread(told);
        }
        let here = stands.map_or(String::new(), |heading| format!(" under `{}`", heading.row().word));
        let (code, message) = match token.kind {
            TokenKind::Text | TokenKind::BentText | TokenKind::OpenText => (
                Code::LineUnknown,
                "there is only text in quotes here; start the line with a word".to_owned(),
            ),
            TokenKind::Junk => {
                (Code::CharacterUnknown, format!("{} means nothing here", reader.describe(token)))
            }
            _ => (Code::LineUnknown, format!("a line{here} can't start with {}", reader.describe(token))),
        };
        let problem = Problem::new(code, token.span, message).help(opening_words(stands));
        LineKind::Unread(self.problems.refuse(problem))
    }

    /// Tells of an unfinished merge at its first marker.
    fn merge_marker(&mut self, raw: &str, span: Span) -> Option<Told> {
        if !["<<<<<<<", "=======", ">>>>>>>", "|||||||"].iter().any(|marker| raw.starts_with(marker)) {
            return None;
        }
        if self.merge_told.is_none() {
            self.merge_told = Some(self.problems.refuse(
                Problem::new(Code::MergeUnfinished, span, "there is an unfinished merge here").help(
                    "keep the lines of one side, and take out the lines with <<<<<<<, ======= and >>>>>>>",
                ),
            ));
        }
        self.merge_told
    }
}

/// The entry under a heading that opens with a word; where none does, it is an adjuster's name.
fn entry_row(under: Heading, word: &str) -> Option<&'static EntryRow> {
    let of_word = |row: &&EntryRow| row.under == under && row.words.split(' ').next() == Some(word);
    let adjuster = |row: &&EntryRow| row.under == under && row.words.is_empty();
    let once = || Entry::once(under, word).map(Entry::row);
    ENTRIES.iter().find(of_word).or_else(once).or_else(|| ENTRIES.iter().find(adjuster))
}

/// What a line under a heading begins with, for a message; long, and the same for many problems.
fn opening_words(stands: Option<Heading>) -> &'static str {
    static WORDS: LazyLock<Vec<(Option<Heading>, String)>> = LazyLock::new(|| {
        let begins = |words: String| format!("start the line with {words}");
        let headings = HEADINGS.iter().filter(|row| row.heading.has_entries());
        let mut words: Vec<_> =
            headings.map(|row| (Some(row.heading), begins(listed(entry_words(row.heading))))).collect();
        words.push((None, begins(listed(HEADINGS.iter().map(|row| row.word)))));
        words
    });
    let found = WORDS.iter().find(|(heading, _)| *heading == stands).or(WORDS.last());
    found.map_or("", |(_, words)| words)
}
