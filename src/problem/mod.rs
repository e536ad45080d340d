//! Owns what is said about a text: the place, the code, the reason, the repair.
//! It knows nothing of the language that is checked nor of how a problem is shown.

use std::borrow::Cow;

mod code;
mod explanation;
mod repairs;
mod source;
mod told;
mod unseen;

pub use code::Code;
pub use explanation::{Explanation, explanations};
pub use repairs::{Made, Repaired, repaired};
pub use source::{Columns, Place, Source, SourceId, Sources, Span};
pub use told::{Findings, Refuse, Told};
pub use unseen::{is_harmful, odd_space, unseen};

/// How much a problem matters. Errors stop a ride; warnings and notes do not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    Error,
    Warning,
    Note,
}

impl Severity {
    /// The word that is printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Note => "note",
        }
    }
}

/// One repair that a machine can apply: replace the bytes of `span` by `text`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fix {
    pub span: Span,
    pub text: String,
}

/// One thing found in a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    pub code: Code,
    pub severity: Severity,
    pub span: Span,
    /// What was read and why it cannot be used, in the user's words.
    pub message: Text,
    /// The message only points at its place, as in `this range ...`: whoever tells it without the place has to quote
    /// what is there.
    pub points: bool,
    /// What to do; often a line to paste.
    pub help: Option<Text>,
    /// The help is no more than an example of such a line: whoever asks for a part of it has a better one.
    pub shows_a_line: bool,
    /// A second place that belongs to the same problem, with what stands there.
    pub other: Option<Box<(Span, Text)>>,
    pub fix: Option<Box<Fix>>,
}

/// A text that is the same for every problem of its kind, or one of its own. A file may have very many
/// problems.
pub type Text = Cow<'static, str>;

impl Problem {
    /// A problem of the severity that belongs to its code.
    pub fn new(code: Code, span: Span, message: impl Into<Text>) -> Self {
        Problem {
            code,
            severity: code.severity(),
            span,
            message: message.into(),
            points: false,
            help: None,
            shows_a_line: false,
            other: None,
            fix: None,
        }
    }

    /// A problem whose message only points at its place.
    pub fn pointing(code: Code, span: Span, message: impl Into<Text>) -> Self {
        Problem { points: true, ..Problem::new(code, span, message) }
    }

    /// Adds what to do about it.
    #[must_use]
    pub fn help(mut self, help: impl Into<Text>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Adds a second place.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<Text>) -> Self {
        self.other = Some(Box::new((span, label.into())));
        self
    }

    /// Adds a repair of these very bytes.
    #[must_use]
    pub fn fix(self, text: impl Into<String>) -> Self {
        let span = self.span;
        self.fix_at(span, text)
    }

    /// Adds a repair of other bytes than those complained about.
    #[must_use]
    pub fn fix_at(mut self, span: Span, text: impl Into<String>) -> Self {
        self.fix = Some(Box::new(Fix { span, text: text.into() }));
        self
    }

    /// Whether this problem stops a ride.
    #[must_use]
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}
