//! Owns how problems look in full: place, code, reason, the lines of the file, the repair. It knows nothing of what
//! is wrong with which line.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents,
    SourceCode, SourceSpan, SpanContents, ThemeCharacters, ThemeStyles,
};

use crate::problem::{Problem, Severity, Source, SourceId, Sources, Span, Text};

use super::Look;
use super::wrap::{clean, cleaned, wrapped};

/// How many problems are shown whole; the others are counted.
const MOST: usize = 50;

/// How many bytes of a line are shown before and behind a place, and of a place itself.
const AROUND: usize = 160;

/// A screen narrower than this shows of a line only what fits beside its number.
const NARROW: usize = 60;

/// Problems in full, the first fifty of them, and a count of the rest.
#[must_use]
pub fn problems(sources: &Sources, problems: &[Problem], look: Look) -> String {
    let handler = handler(look);
    let mut out = String::new();
    let mut texts: BTreeMap<SourceId, Cow<'_, str>> = BTreeMap::new();
    for problem in problems.iter().take(MOST) {
        let source = sources.get(problem.span.source);
        let place = source.place(problem.span.start);
        let name = clean(source.name()).replace('\n', "?");
        let (severity, code) = (problem.severity.word(), problem.code.name());
        let first = format!("{name}:{}:{}: {severity} {code}", place.line, place.column);
        out += &format!("{}\n", wrapped(&first, look.width, "", "  ").join("\n"));
        let text = texts.entry(problem.span.source).or_insert_with(|| cleaned(source.text()));
        let room = room(look.width);
        let report = Report::of(problem, source, text, room);
        if handler.render_report(&mut out, &report).is_err() {
            out += &format!("{}\n", clean(&problem.message));
        }
        let apart = |other: &&(Span, Text)| room.is_some() || other.0.source != problem.span.source;
        if let Some((span, label)) = problem.other.as_deref().filter(apart) {
            let other = sources.get(span.source);
            let place = other.place(span.start);
            let line = format!("{label}: {}:{}:{}", other.name(), place.line, place.column);
            out += &format!("{}\n", wrapped(&line, look.width, "  ", "  ").join("\n"));
        }
        out.push('\n');
    }
    if problems.len() > MOST {
        out += &format!("and {} more\n\n", problems.len() - MOST);
    }
    out
}

fn handler(look: Look) -> GraphicalReportHandler {
    let theme = GraphicalTheme {
        characters: if look.unicode { ThemeCharacters::unicode() } else { ThemeCharacters::ascii() },
        styles: if look.colour { ThemeStyles::ansi() } else { ThemeStyles::none() },
    };
    GraphicalReportHandler::new_themed(theme).with_links(false).with_width(look.width).with_context_lines(0)
}

/// One problem as the renderer wants it.
struct Report<'a> {
    problem: &'a Problem,
    message: String,
    text: Lines<'a>,
    labels: Vec<LabeledSpan>,
}

impl<'a> Report<'a> {
    fn of(problem: &'a Problem, source: &'a Source, text: &'a str, room: Option<usize>) -> Self {
        let label = |span: Span, words: Option<String>| {
            let range = shown(text, span.start..span.end, room.unwrap_or(AROUND));
            LabeledSpan::new(words, range.start, range.len())
        };
        let mut labels = vec![label(problem.span, None)];
        let drawn = |other: &&(Span, Text)| room.is_none() && other.0.source == problem.span.source;
        if let Some((span, words)) = problem.other.as_deref().filter(drawn) {
            labels.push(label(*span, Some(words.to_string())));
        }
        Report {
            problem,
            message: clean(&problem.message),
            text: Lines { source, cleaned: text, room },
            labels,
        }
    }
}

/// How many bytes of a line fit on a narrow screen, beside its number and the frame.
fn room(width: usize) -> Option<usize> {
    (width < NARROW).then(|| width.saturating_sub(8).max(12))
}

/// A span that can be drawn: inside the text, and where it stands at the end, on the last character
/// of a line rather than behind it.
fn shown(text: &str, range: Range<usize>, most: usize) -> Range<usize> {
    let end = text.trim_end().len();
    let start =
        text.floor_char_boundary(range.start.min(end.saturating_sub(usize::from(range.start >= end))));
    let stop = text.ceil_char_boundary(range.end.min(end).min(start + most).max(start));
    start..stop
}

impl fmt::Debug for Report<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl fmt::Display for Report<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Report<'_> {}

impl Diagnostic for Report<'_> {
    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.problem.severity {
            Severity::Error => miette::Severity::Error,
            Severity::Warning => miette::Severity::Warning,
            Severity::Note => miette::Severity::Advice,
        })
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        let help = self.problem.help.as_ref()?;
        Some(Box::new(clean(help)))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.text)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.labels.iter().cloned()))
    }
}

/// A cleaned text. Its columns count characters, as everywhere.
struct Lines<'t> {
    source: &'t Source,
    cleaned: &'t str,
    /// How many bytes of a line fit; none where all do.
    room: Option<usize>,
}

impl SourceCode for Lines<'_> {
    /// The whole lines that a span touches, and nothing around them.
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        _before: usize,
        _after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let (first, last) = (span.offset(), span.offset() + span.len());
        let begin = self.cleaned[..first].rfind('\n').map_or(0, |at| at + 1);
        let end = self.cleaned[last..].find('\n').map_or(self.cleaned.len(), |at| last + at);
        let (begin, end) = match self.room.filter(|_| !self.cleaned[begin..end].contains('\n')) {
            Some(room) if end - begin > room => {
                let begin = begin.max(last.saturating_sub(room));
                (begin, end.min(begin + room))
            }
            _ => (begin, end),
        };
        // of an endless line only what stands about the place
        let begin = self.cleaned.ceil_char_boundary(begin.max(first.saturating_sub(AROUND)));
        let end = self.cleaned.floor_char_boundary(end.min(last + AROUND));
        let line = self.source.place(begin).line;
        let data = &self.cleaned.as_bytes()[begin..end];
        let lines = self.cleaned[begin..end].matches('\n').count() + 1;
        let whole = SourceSpan::new(begin.into(), end - begin);
        let column = self.source.place(span.offset()).column;
        Ok(Box::new(MietteSpanContents::new(data, whole, line - 1, column - 1, lines)))
    }
}
