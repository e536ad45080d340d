//! Owns the reading of a heading: its word, and what follows it.
//! It knows nothing of lines or entries.

use crate::problem::{Code, Problem, Refuse, Span, Told};
use crate::vocabulary::Heading;

use super::parser::Parser;
use super::reader::{Reader, comma_extra, misspelt};
use super::token::TokenKind;
use super::tree::{HeadingLine, LineKind};

impl Parser<'_> {
    /// A part's name where `part` was left out before it.
    pub(super) fn bare_part(&mut self, reader: &mut Reader<'_>) -> LineKind {
        let word = reader.peek().map_or(reader.here(), |token| token.span);
        let raw = reader.raw(word).to_lowercase();
        self.problems.push(
            Problem::new(Code::WordMissing, word, format!("`part` is missing before `{raw}`"))
                .help(format!("write part {raw}"))
                .fix_at(Span { end: word.start, ..word }, "part "),
        );
        let row = Heading::Part.row();
        let (fields, broken) = self.phrases(reader, row.form, row.example);
        LineKind::Heading(HeadingLine { heading: Heading::Part, word, fields, broken })
    }

    pub(super) fn heading(
        &mut self,
        reader: &mut Reader<'_>,
        heading: Heading,
        is_misspelt: bool,
    ) -> LineKind {
        let row = heading.row();
        let (word, guessed) = self.opening_word(reader, row.word, is_misspelt);
        let told = self.problems.len();
        let (fields, mut broken) = self.phrases(reader, row.form, row.example);
        if broken.is_some() && is_misspelt {
            self.problems.truncate(told);
        }
        if broken.is_none() && !reader.at_end() {
            let token = reader.peek();
            let span = token.map_or(word, |token| token.span);
            let comma = token.is_some_and(|token| token.kind == TokenKind::Comma);
            reader.skip();
            if comma && reader.at_end() {
                self.problems.push(comma_extra(span));
            } else if is_misspelt {
                broken = guessed;
            } else {
                broken = Some(
                    self.problems.refuse(
                        Problem::pointing(
                            Code::WordUnexpected,
                            span,
                            format!("this doesn't belong after `{}`", row.example),
                        )
                        .help("start a new line here"),
                    ),
                );
            }
        }
        LineKind::Heading(HeadingLine { heading, word, fields, broken })
    }

    /// Takes the first word of a line, telling where it is misspelt.
    pub(super) fn opening_word(
        &mut self,
        reader: &mut Reader<'_>,
        meant: &str,
        is_misspelt: bool,
    ) -> (Span, Option<Told>) {
        let span = reader.peek().map_or(reader.here(), |token| token.span);
        let told = is_misspelt.then(|| self.problems.refuse(misspelt(reader.raw(span), meant, span)));
        reader.skip();
        (span, told)
    }
}
