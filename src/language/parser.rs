//! Owns the state of reading a file: its problems so far, and what the lines above leave open.
//! It reads nothing itself.

use crate::problem::{Code, Problem, SourceId, Span, Told};
use crate::vocabulary::Heading;

use super::lines::LogicalLine;

/// A file that is being read.
pub(super) struct Parser<'a> {
    pub source: SourceId,
    pub text: &'a str,
    pub problems: Vec<Problem>,
    /// The heading that entries just above were missing, which is told once for a run of them.
    pub misplaced: Option<Heading>,
    /// A line since the last heading could not be read; it may have been a heading.
    pub lost: bool,
    /// Between the marks of an unfinished merge, which is told.
    pub merging: Option<Told>,
    /// An unfinished merge was told of; once is enough.
    pub merge_told: Option<Told>,
    /// In how many places a torn line was looked for.
    pub tried: usize,
    pub aside: Aside,
}

/// How matters stand between two lines.
pub(super) struct Standing {
    /// How many problems are told.
    pub told: usize,
    misplaced: Option<Heading>,
    lost: bool,
    merging: Option<Told>,
}

/// A line that was just read, and how matters stood before it.
pub(super) struct Earlier {
    pub line: LogicalLine,
    pub before: Standing,
}

/// Lines that a `#` sets aside, for the one note about them.
#[derive(Default)]
pub(super) struct Aside {
    pub first: Option<Span>,
    pub count: usize,
}

impl<'a> Parser<'a> {
    pub fn new(source: SourceId, text: &'a str) -> Self {
        Parser {
            source,
            text,
            problems: Vec::new(),
            misplaced: None,
            lost: false,
            merging: None,
            merge_told: None,
            tried: 0,
            aside: Aside::default(),
        }
    }

    pub fn standing(&self) -> Standing {
        Standing {
            told: self.problems.len(),
            misplaced: self.misplaced,
            lost: self.lost,
            merging: self.merging,
        }
    }

    /// Goes back to where matters stood.
    pub fn stand_as(&mut self, before: &Standing) {
        self.problems.truncate(before.told);
        (self.misplaced, self.lost, self.merging) = (before.misplaced, before.lost, before.merging);
    }
}

/// Whether what follows on a line with this problem is not read as it was meant. Of a unit that can be put
/// right it is.
pub(super) fn breaks(problem: &Problem) -> bool {
    match problem.code {
        Code::LineUnfinished | Code::WordUnexpected | Code::CharacterUnknown | Code::CommentNoSpace => true,
        Code::UnitUnknown => problem.fix.is_none(),
        _ => false,
    }
}
