//! Owns the reading of an entry: its phrases, then its clauses, each along its row in the vocabulary.
//! It knows nothing of lines or headings.

use crate::problem::{Code, Problem, Refuse, Span, Told};
use crate::vocabulary::{Clause, End, EntryRow, Knob, Slot, nearest};

use super::amounts::listed;
use super::parser::Parser;
use super::phrases::read_slot;
use super::reader::{Reader, comma_extra, misspelt};
use super::token::TokenKind;
use super::tree::{ClauseLine, EntryLine, Fields, LineKind};

impl Parser<'_> {
    pub(super) fn entry(
        &mut self,
        reader: &mut Reader<'_>,
        row: &'static EntryRow,
        word: &str,
        is_misspelt: bool,
    ) -> LineKind {
        let span = reader.peek().map_or(reader.here(), |token| token.span);
        let mut broken = None;
        let mut told = self.problems.len();
        if !row.words.is_empty() {
            self.opening_word(reader, word, is_misspelt);
            told = self.problems.len();
            let words = row.entry.words_from(word);
            let more = words.split_once(' ').map(|(_, more)| reader.take_or_guess(more));
            if let Some(Err(problem)) = more {
                broken =
                    Some(self.problems.refuse(problem.help(format!("start the line with `{}`", row.words))));
            }
        }
        let mut entry = EntryLine {
            entry: row.entry,
            under: row.under,
            word: span,
            fields: Fields::default(),
            clauses: Vec::new(),
            broken,
            lost_clause: None,
        };
        if broken.is_none() {
            (entry.fields, entry.broken) = self.phrases(reader, row.form, row.example);
        }
        if entry.broken.is_some() {
            self.to_clause(reader, row.clauses);
        }
        // Of a line whose first word is only guessed, the guess is what there is to say.
        if is_misspelt && entry.broken.is_some() {
            if !row.words.is_empty()
                || reader.noticed.iter().any(|problem| problem.code == Code::WordMisspelt)
            {
                self.problems.truncate(told);
            }
            self.lost = true;
            entry.lost_clause = entry.broken;
            return LineKind::Entry(entry);
        }
        self.clauses(reader, row, &mut entry);
        LineKind::Entry(entry)
    }

    pub(super) fn phrases(
        &mut self,
        reader: &mut Reader<'_>,
        form: &[Slot],
        example: &str,
    ) -> (Fields, Option<Told>) {
        let mut fields = Fields(Vec::with_capacity(form.len()));
        for &slot in form {
            match read_slot(reader, slot) {
                Ok(field) => fields.0.push(field),
                Err(mut problem) => {
                    let own =
                        fields.first::<Knob>().map(|(knob, _)| format!("{} {}", knob.word(), knob.example()));
                    let example = own.unwrap_or_else(|| example.to_owned());
                    if problem.help.is_none() {
                        *problem = Problem {
                            shows_a_line: true,
                            ..problem.help(format!("for example: `{example}`"))
                        };
                    }
                    return (fields, Some(self.problems.refuse(*problem)));
                }
            }
        }
        (fields, None)
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
                            Problem::new(Code::CommaMissing, span, "put a comma before this")
                                .fix_at(before.after(), ","),
                        );
                    }
                    self.clause(reader, clause, span, row, entry);
                }
                None => {
                    entry.lost_clause = self.unexpected(reader, row).or(entry.lost_clause);
                    self.to_clause(reader, row.clauses);
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

    fn clause(
        &mut self,
        reader: &mut Reader<'_>,
        clause: Clause,
        word: Span,
        line: &EntryRow,
        entry: &mut EntryLine,
    ) {
        let row = clause.row();
        let mut span = word;
        let mut broken = None;
        if let Some(more) = row.words.split_once(' ').map(|(_, more)| more) {
            match reader.take_or_guess(more) {
                Ok(end) => span = span.to(end),
                Err(problem) => {
                    broken = Some(self.problems.refuse(*problem));
                }
            }
        }
        let mut fields = Fields::default();
        if broken.is_none() {
            (fields, broken) = self.phrases(reader, row.form, line.example);
        }
        span = fields.0.last().map_or(span, |(_, last)| span.to(*last));
        if broken.is_some() {
            self.to_clause(reader, line.clauses);
        }
        let twice = entry.clause(clause).filter(|_| clause != Clause::Row).map(|first| first.span);
        match twice {
            Some(first) => self.problems.push(
                Problem::new(Code::OptionTwice, span, format!("`{}` is in this line twice", row.words))
                    .also(first, "the first is here")
                    .help("keep one of them"),
            ),
            None => entry.clauses.push(ClauseLine { clause, span, fields, broken }),
        }
    }

    fn unexpected(&mut self, reader: &Reader<'_>, row: &EntryRow) -> Option<Told> {
        let token = reader.peek()?;
        let words: Vec<_> =
            row.clauses.iter().map(|clause| clause.row().words).filter(|words| !words.is_empty()).collect();
        let code = if token.kind == TokenKind::Junk { Code::CharacterUnknown } else { Code::WordUnexpected };
        let problem =
            Problem::new(code, token.span, format!("{} doesn't belong here", reader.describe(token)));
        let counted = row.clauses.contains(&Clause::Counted);
        let way = reader.word().is_some_and(|word| matches!(word.as_ref(), "out" | "in" | "from"));
        Some(self.problems.refuse(if counted && way {
            let from = format!("{} {}", Clause::Counted.row().words, End::Open.word());
            problem.help(format!(
                "take it out: numbers are counted out from fully closed; if you count from open, add `{from}`"
            ))
        } else if words.is_empty() {
            problem.help("this line is complete; take out the rest")
        } else {
            problem.help(format!("you can add {}", listed(words)))
        }))
    }

    /// Passes over what cannot be read: to the next comma behind which a clause opens, else to the end. Where it
    /// is a unit that cannot be read, what follows is as it should be, so a misspelt clause opens there, too.
    fn to_clause(&self, reader: &mut Reader<'_>, clauses: &[Clause]) {
        let guesses = self.problems.last().is_some_and(|problem| problem.code == Code::UnitUnknown);
        let first = |clause: &Clause| clause.row().words.split(' ').next().unwrap_or("");
        let opens = |word: &str| {
            let near = || nearest(word, clauses.iter().map(first).filter(|first| !first.is_empty()));
            clauses.iter().any(|clause| first(clause) == word || Clause::once(word) == Some(*clause))
                || guesses && near().is_some()
        };
        while let Some(token) = reader.peek() {
            let comma = token.kind == TokenKind::Comma;
            if comma && reader.second_word().is_some_and(|word| opens(&word)) {
                return;
            }
            reader.skip();
        }
    }
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
    if let Some(clause) = Clause::once(&word).filter(|clause| clauses.contains(clause)) {
        reader.skip();
        return Some((clause, token.span));
    }
    let meant = nearest(&word, clauses.iter().map(first).filter(|first| !first.is_empty()))?;
    let &clause = clauses.iter().find(|clause| first(clause) == meant)?;
    reader.noticed.push(misspelt(&word, meant, token.span));
    reader.skip();
    Some((clause, token.span))
}
