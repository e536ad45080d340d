//! Owns the interview: what is asked next, what an answer gives, taking back. It never changes; an
//! answer gives the next one. How each question takes its answer stands in `taking`.

use std::collections::VecDeque;

use crate::vocabulary::{End, Knob, Part};

use super::Topic;
use super::draft::Draft;
use super::judge::judged;

/// Why an answer was not taken; nothing has changed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Refusal(pub String);

/// An interview about a bike at one moment.
#[derive(Debug, Clone)]
pub struct Interview {
    /// The answers that were taken, in order.
    answers: Vec<String>,
    pub(super) draft: Draft,
    /// What is still to be asked.
    pub(super) agenda: VecDeque<Topic>,
    /// From which end the owner counts, once that was asked.
    pub(super) counted: Option<End>,
    /// What has come up since the last answer.
    pub(super) news: Vec<String>,
}

impl Default for Interview {
    fn default() -> Self {
        Interview::begin()
    }
}

impl Interview {
    /// An interview before its first question.
    #[must_use]
    pub fn begin() -> Self {
        let tyre = |part| Topic::Range(part, Knob::Pressure);
        let agenda = [
            Topic::Name,
            Topic::Travel(Part::Fork),
            Topic::Travel(Part::Shock),
            tyre(Part::FrontTyre),
            tyre(Part::RearTyre),
        ];
        Interview {
            answers: Vec::new(),
            draft: Draft::default(),
            agenda: agenda.into(),
            counted: None,
            news: Vec::new(),
        }
    }

    /// What is asked; `None` where all is answered.
    #[must_use]
    pub fn ask(&self) -> Option<&Topic> {
        self.agenda.front()
    }

    /// Takes an answer, where the bike file that comes of it has no error.
    ///
    /// # Errors
    /// Where it has one; the reason is the checker's own.
    pub fn answer(&self, line: &str) -> Result<Self, Refusal> {
        let mut next = self.clone();
        next.news.clear();
        let ask =
            next.agenda.pop_front().ok_or_else(|| Refusal("There are no more questions.".to_owned()))?;
        next.take(&ask, line)?;
        let (before, now) = (judged(&self.text()), judged(&next.text()));
        if let Some(reason) = now.error {
            return Err(Refusal(reason));
        }
        let warnings = now.warnings.into_iter().filter(|warning| !before.warnings.contains(warning));
        next.news.extend(warnings.map(|warning| format!("OK, but: {warning}")));
        next.answers.push(line.to_owned());
        Ok(next)
    }

    /// The interview without its last answer, and that answer; `None` before the first.
    #[must_use]
    pub fn undo(&self) -> Option<(Self, String)> {
        let (last, earlier) = self.answers.split_last()?;
        let replayed = earlier.iter().try_fold(Interview::begin(), |interview, line| interview.answer(line));
        let mut before = replayed.ok()?;
        before.news.clear();
        Some((before, last.clone()))
    }

    /// The bike file so far; empty before the first answer.
    #[must_use]
    pub fn text(&self) -> String {
        self.draft.text()
    }

    /// The bike's name; empty before the first answer.
    #[must_use]
    pub fn name(&self) -> &str {
        self.draft.name.as_deref().unwrap_or("")
    }

    /// What has come up since the last answer, in sentences.
    #[must_use]
    pub fn news(&self) -> &[String] {
        &self.news
    }

    /// Whether the bike has an adjuster yet.
    #[must_use]
    pub fn has_adjusters(&self) -> bool {
        !self.draft.known().is_empty()
    }
}
