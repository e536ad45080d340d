//! Owns the log of a ride, which is its truth: everything that was said, and the answers that stand.
//! It knows nothing of the file in which it is kept.

use std::fmt;
use std::sync::Arc;

use crate::plan::Plan;
use crate::vocabulary::AnswerWord;

use super::answer::NOTE;
use super::{Answer, Mismatch, Session};

/// What was said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    Answer(Answer),
    /// Takes back the last answer that carried information, and the implied ones after it.
    Undo,
    /// A note without an answer.
    Note,
}

/// Writes it as it stands in a journal.
impl fmt::Display for What {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            What::Answer(answer) => answer.fmt(f),
            What::Undo => f.write_str(AnswerWord::Undo.word()),
            What::Note => f.write_str(NOTE),
        }
    }
}

/// One thing said, with the note that came with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    pub what: What,
    pub note: Option<String>,
}

impl Said {
    /// An answer without a note.
    #[must_use]
    pub fn answer(answer: Answer) -> Self {
        Said { what: What::Answer(answer), note: None }
    }
}

/// The places in a log of the answers that stand, in order: what was undone is left out. Notes are
/// no answers.
#[must_use]
pub fn standing<'a>(log: impl IntoIterator<Item = &'a What>) -> Vec<usize> {
    let mut standing: Vec<(usize, &Answer)> = Vec::new();
    for (index, what) in log.into_iter().enumerate() {
        match what {
            What::Answer(answer) => standing.push((index, answer)),
            What::Undo => {
                if let Some(last) = standing.iter().rposition(|(_, answer)| answer.informs()) {
                    standing.truncate(last);
                }
            }
            What::Note => {}
        }
    }
    standing.into_iter().map(|(index, _)| index).collect()
}

/// The session after a whole log.
///
/// # Errors
/// The place in the log of the first answer that stands but does not fit its question, and why.
pub fn replay(plan: &Arc<Plan>, seed: u64, log: &[What]) -> Result<Session, (usize, Mismatch)> {
    let mut session = Session::begin(Arc::clone(plan), seed);
    for index in standing(log) {
        if let Some(What::Answer(answer)) = log.get(index) {
            session = session.answer(answer).map_err(|mismatch| (index, mismatch))?;
        }
    }
    Ok(session)
}
