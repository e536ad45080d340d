//! Owns what a `#` takes out of a file that may not have been meant as a comment: lines set aside, and
//! comments that begin in the middle of a piece.
//! It knows nothing of what the lines mean.

use crate::problem::{Code, Problem, Refuse, Span, Told};
use crate::vocabulary::{FIRST, HEADINGS, Heading, UNITS, continuers, openers};

use super::lines::{LogicalLine, LogicalLines, Opening};
use super::parser::Parser;
use super::reader::brief;
use super::token::{Token, TokenKind};

impl Parser<'_> {
    /// Looks for lines set aside among blank ones. Tells where the last of them is a heading and `next`, right
    /// below, is not set aside with it.
    pub(super) fn look_aside(&mut self, blank: &LogicalLine, next: Option<&LogicalLine>) -> Option<Told> {
        let text = self.text.get(blank.bytes.clone()).unwrap_or("");
        let mut at = blank.bytes.start;
        let mut heading = None;
        for line in text.split_inclusive('\n') {
            let content = line.trim_start();
            let place = at + line.len() - content.len();
            at += line.len();
            let Some(content) = content.strip_prefix('#').map(str::trim_end) else { continue };
            let Some(opening) = self.would_read(content, blank.above) else { continue };
            let span = Span { source: self.source, start: place, end: place + 1 + content.len() };
            let is_heading = matches!(opening, Opening::Heading { .. });
            heading = is_heading.then(|| (span, content.trim().to_owned()));
            self.aside.count += 1;
            self.aside.first.get_or_insert(span);
        }
        let goes_on = next.is_some_and(|next| matches!(next.opening, Opening::Entry { .. }));
        let (span, heading) = heading.filter(|_| goes_on)?;
        self.aside.count -= 1;
        self.aside.first = self.aside.first.filter(|_| self.aside.count > 0);
        self.lost = true;
        let message = format!("`{}` is switched off by #, but the lines below it are not", brief(&heading));
        Some(
            self.problems.refuse(
                Problem::new(Code::HeadingOff, span, message)
                    .help("take out the #, or put # in front of its lines too"),
            ),
        )
    }

    /// Tells of the lines that are set aside, once for a file.
    pub(super) fn told_aside(&mut self) {
        let Some(span) = self.aside.first else { return };
        let problem = match self.aside.count {
            1 => Problem::new(Code::LineOff, span, "# switches this line off"),
            count => {
                let message = format!("{count} lines are switched off by #; this is the first");
                Problem::new(Code::LineOff, span, message)
            }
        };
        self.problems.push(problem.help("take out the # to use the line again"));
    }

    /// What a comment would open if it were a line, where it can be read as one, or could with a first
    /// letter in the place of the `#`.
    fn would_read(&self, content: &str, above: Option<Heading>) -> Option<Opening> {
        let word = content.split_whitespace().next().unwrap_or("").to_lowercase();
        let glued = content.starts_with(|c: char| c.is_alphabetic());
        let words = || {
            HEADINGS.iter().map(|row| row.word).chain(above.map(openers).unwrap_or_default().iter().copied())
        };
        if words().any(|opener| opener == word) {
            return self.opens(content, above);
        }
        let mut whole = words().filter(|opener| glued && opener.get(1..) == Some(&word));
        whole.find_map(|opener| self.opens(&format!("{}{content}", opener.get(..1)?), above))
    }

    fn opens(&self, text: &str, above: Option<Heading>) -> Option<Opening> {
        let mut cut = LogicalLines::under(text, 0, above);
        let line = cut.next().filter(|line| line.bytes.end == text.len())?;
        let opening = line.opening;
        if !matches!(
            opening,
            Opening::Heading { misspelt: false, .. } | Opening::Entry { misspelt: false, .. }
        ) {
            return None;
        }
        let mut parser = Parser::new(self.source, text);
        parser.line(line);
        let usable = |problem: &Problem| problem.code == Code::CommaExtra;
        parser.problems.iter().all(usable).then_some(opening)
    }

    /// Tells of the first comment of a line that begins where a piece goes on or in the place of a letter.
    pub(super) fn told_glued(&mut self, tokens: &[Token], under: Option<Heading>) -> Option<Told> {
        let glued = tokens.windows(2).find(|pair| match pair {
            [piece, comment] if comment.kind == TokenKind::Comment => {
                piece.span.end == comment.span.start || self.hides_a_clause(*piece, comment.span, under)
            }
            _ => false,
        });
        let [_, comment] = glued? else { return None };
        let span = Span { end: comment.span.start + 1, ..comment.span };
        Some(
            self.problems.refuse(
                Problem::new(Code::CommentNoSpace, span, "everything after this # is ignored")
                    .help("if you meant that, put a space before and after the #; if not, take it out"),
            ),
        )
    }

    /// Whether a comment behind a piece of a line takes a clause away: one that stands behind its comma, or a
    /// word that the `#` may have cost its first letter.
    fn hides_a_clause(&self, piece: Token, comment: Span, under: Option<Heading>) -> bool {
        let between = self.text.get(piece.span.end..comment.start).unwrap_or("");
        let content = self.text.get(comment.start + 1..comment.end).unwrap_or("");
        let word = content.split(|c: char| !(c.is_alphanumeric() || "-/".contains(c))).next().unwrap_or("");
        if between.contains('\n') || word.is_empty() {
            return false;
        }
        let clauses = under.map(continuers).unwrap_or_default();
        let units = UNITS.iter().map(|row| row.word).filter(|unit| unit.len() > 2);
        (piece.kind == TokenKind::Comma && clauses.contains(&word))
            || clauses.iter().copied().chain(units).chain([FIRST]).any(|whole| whole.get(1..) == Some(word))
    }
}
