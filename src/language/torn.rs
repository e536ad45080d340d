//! Owns lines that are torn in two: where two neighbouring lines read badly apart and well together, and
//! where the second is likely the rest of the first.
//! It knows nothing of what the lines mean.

use crate::problem::{Code, Problem, Refuse, Span, Told};
use crate::vocabulary::Heading;

use super::cut::tokens;
use super::lines::{LogicalLine, LogicalLines, Opening};
use super::parser::{Earlier, Parser, breaks};
use super::token::TokenKind;
use super::tree::{Line, LineKind};

/// In how many places of a file a torn line is looked for; a file with more has another trouble.
const MOST_TRIED: usize = 200;

/// How many physical lines below a torn one may belong to it.
const MOST_BELOW: usize = 12;

/// Two lines put together and read as one.
struct Whole {
    opening: Opening,
    /// Its bytes in the text put together.
    length: usize,
    /// The heading under which the lines below stand.
    under: Option<Heading>,
    /// The word that is misspelt where the two meet, and how it is spelt.
    misspelt: Option<(Span, String)>,
}

/// What was found to be one line: where it ends, and under which heading the next one stands.
pub(super) struct Mended {
    pub end: usize,
    pub under: Option<Heading>,
}

impl Parser<'_> {
    /// Reads the last line of `lines` together with `line`, which stands right below it and has been
    /// read, where that is what was meant.
    pub(super) fn mend(
        &mut self,
        lines: &mut Vec<Line>,
        earlier: &Earlier,
        (line, next): (&LogicalLine, Option<&LogicalLine>),
        told_above: usize,
    ) -> Option<Mended> {
        let above_is_bad = told_above > earlier.before.told;
        let (inner, own) = (self.indent(earlier.line.bytes.start), self.indent(line.bytes.start));
        let unknown = matches!(line.opening, Opening::Other { .. }) || misplaced(line.opening);
        let strange = (unknown && (own != inner || next.is_none_or(|next| !begins_badly(next.opening))))
            || (guessed(line.opening) && own < inner);
        let bad = above_is_bad || (strange && self.problems.len() > told_above);
        if !bad || self.merging.is_some() || self.tried >= MOST_TRIED || self.ends_in_comment(&earlier.line) {
            return None;
        }
        self.tried += 1;
        let start = earlier.line.bytes.start;
        let upper = self.text.get(earlier.line.bytes.clone())?.trim_end();
        let gap_start = start + upper.len();
        let below = self.text.get(line.bytes.start..)?;
        let gap_end = line.bytes.start + (below.len() - below.trim_start().len());
        let below: usize = below.split_inclusive('\n').take(MOST_BELOW).map(str::len).sum();
        let lower = self.text.get(gap_end..line.bytes.start + below)?;
        let between: &[&str] = if own > 0 { &[" "] } else { &[" ", ""] };
        let mut read = Vec::new();
        for between in between {
            read.extend(self.whole(&earlier.line, upper, between, lower).map(|whole| (*between, whole)));
        }
        let clean = read.iter().position(|(_, whole)| whole.misspelt.is_none());
        let (between, whole) = read.into_iter().nth(clean.unwrap_or(0))?;
        // a first word that is misspelt by itself is no line that breaks off
        let by_itself = whole.misspelt.as_ref().is_some_and(|(span, _)| span.end <= upper.len());
        if by_itself && matches!(earlier.line.opening, Opening::Heading { misspelt: true, .. }) {
            return None;
        }
        let end = gap_end + whole.length.checked_sub(upper.len() + between.len())?;
        self.stand_as(&earlier.before);
        let together = LogicalLine { bytes: start..end, opening: whole.opening, above: earlier.line.above };
        let mut read = self.line(together);
        let is_bad = self.problems.len() > earlier.before.told;
        if is_bad {
            self.stand_as(&earlier.before);
            self.lost = true;
        }
        let gap = Span { source: self.source, start: gap_start, end: gap_end };
        let torn = self.torn(start, gap, between, &whole);
        let told = self.problems.refuse(torn);
        if is_bad {
            read.kind = LineKind::Unread(told);
        }
        // read as one, it is still written as two
        read.doubtful_from = Some(end);
        lines.pop();
        lines.push(read);
        Some(Mended { end, under: whole.under })
    }

    fn ends_in_comment(&self, line: &LogicalLine) -> bool {
        let text = self.text.get(line.bytes.clone()).unwrap_or("");
        text.contains('#')
            && tokens(self.source, text, 0).last().is_some_and(|token| token.kind == TokenKind::Comment)
    }

    /// How far a line is indented, in bytes.
    fn indent(&self, start: usize) -> usize {
        let line = self.text.get(start..).unwrap_or("");
        line.len() - line.trim_start_matches([' ', '\t']).len()
    }

    /// Two lines as one, where that reads without any problem, but for a word misspelt where they meet.
    fn whole(&self, above: &LogicalLine, upper: &str, between: &str, lower: &str) -> Option<Whole> {
        let text = format!("{upper}{between}{lower}");
        let meets = upper.len()..=upper.len() + between.len();
        let first = LogicalLines::under(&text, 0, above.above).next();
        let line = first.filter(|line| line.bytes.end > *meets.end())?;
        let (length, under, opening) = (line.bytes.end, line.below(), line.opening);
        if misplaced(opening) || matches!(opening, Opening::Blank | Opening::BarePart | Opening::Other { .. })
        {
            return None;
        }
        let mut parser = Parser::new(self.source, &text);
        parser.line(line);
        let misspelt = match &parser.problems[..] {
            [] => None,
            [one] if matches!(one.code, Code::WordMisspelt | Code::UnitUnknown) => {
                let meets_here = one.span.start <= *meets.end() && one.span.end >= *meets.start();
                // a unit that is wrong above is wrong by itself
                let below = one.span.end > *meets.end();
                let touches = meets_here && (below || one.code == Code::WordMisspelt);
                let fix = one.fix.as_ref().filter(|_| touches)?;
                Some((one.span, fix.text.clone()))
            }
            _ => return None,
        };
        Some(Whole { opening, length, under, misspelt })
    }

    fn torn(&self, start: usize, gap: Span, between: &str, whole: &Whole) -> Problem {
        let below = self.text.get(gap.end..).unwrap_or("");
        let word = below.split_whitespace().next().unwrap_or("");
        let first = Span { start: gap.end, end: gap.end + word.len(), ..gap };
        let above = self.text.get(..gap.start).unwrap_or("");
        let line = above.rsplit('\n').next().unwrap_or(above);
        let last = tokens(self.source, line, 0).pop();
        let in_text = last.is_some_and(|token| token.kind == TokenKind::OpenText);
        let problem = Problem::new(Code::LineSplit, first, "the line above is cut off and carries on here")
            .also(Span { end: gap.start, ..gap }, "cut off here");
        if in_text {
            return problem.help("join the two lines: text in quotes must be on one line");
        }
        let problem = problem.help("join the two lines");
        let Some((span, meant)) = &whole.misspelt else { return problem.fix_at(gap, between) };
        // from the text put together back to the file
        let place = |at: usize| {
            if at <= gap.start - start {
                start + at
            } else {
                at + gap.end + start - gap.start - between.len()
            }
        };
        let word = Span { start: place(span.start).min(gap.start), end: place(span.end).max(gap.end), ..gap };
        let text = match (span.end <= gap.start - start, span.start >= gap.start - start + between.len()) {
            (true, _) => format!("{meant}{between}"),
            (_, true) if !between.is_empty() => format!("{between}{meant}"),
            _ => meant.clone(),
        };
        problem.fix_at(word, text)
    }

    /// Where the line above breaks off at its end, a line right below it that cannot be read by itself is
    /// likely its rest: nothing is said of it, and `true` is given. `told_above` is how many problems stood
    /// before it was read.
    pub(super) fn pass_over_rest(
        &mut self,
        earlier: &Earlier,
        line: &LogicalLine,
        told_above: usize,
        read: &mut Line,
    ) -> bool {
        let own = &self.problems[told_above..];
        let heading = matches!(line.opening, Opening::Heading { .. });
        let unreadable =
            begins_badly(line.opening) || misplaced(line.opening) || (heading && own.iter().any(breaks));
        if own.is_empty() || !unreadable {
            return false;
        }
        let upper = self.text.get(earlier.line.bytes.clone()).map_or(0, |upper| upper.trim_end().len());
        let end = earlier.line.bytes.start + upper;
        let above = earlier.before.told..told_above;
        let breaks_off = |problem: &Problem| problem.span.end == end && ends_early(problem.code);
        let ends = self.problems.get(above.clone()).unwrap_or_default().iter().find(|one| breaks_off(one));
        if let Some(told) = ends.and_then(|one| Told::among(std::slice::from_ref(one))) {
            self.problems.truncate(told_above);
            self.lost = true;
            read.kind = LineKind::Unread(told);
            return true;
        }
        let comma = |problem: &Problem| problem.code == Code::CommaExtra && problem.span.end == end;
        if let Some(index) = self.problems[above.clone()].iter().position(comma) {
            self.problems.remove(above.start + index);
        }
        false
    }
}

fn misplaced(opening: Opening) -> bool {
    matches!(opening, Opening::Entry { belongs, stands, .. } if stands != Some(belongs))
}

fn ends_early(code: Code) -> bool {
    matches!(code, Code::LineUnfinished | Code::WordUnexpected)
}

fn begins_badly(opening: Opening) -> bool {
    matches!(opening, Opening::Other { .. }) || guessed(opening)
}

fn guessed(opening: Opening) -> bool {
    matches!(opening, Opening::Entry { misspelt: true, .. } | Opening::Heading { misspelt: true, .. })
}
