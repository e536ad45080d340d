//! Owns a ride that is under way: its session, its log, and the journal in which every answer is
//! flushed before the next question is put.

use std::collections::VecDeque;
use std::io;
use std::sync::Arc;

use crate::plan::Plan;
use crate::record::files::Appender;
use crate::record::{Question, Record, write_record};
use crate::session::{Ask, Mismatch, Said, Session, What, can_undo, replay};

use super::clock::Clock;

/// The journal as it is written to.
pub(super) struct Pen {
    pub appender: Appender,
    /// The last checksum.
    pub check: String,
}

/// Why an answer was not taken.
pub(super) enum NotTaken {
    /// It does not fit; nothing has changed.
    Unfit(Mismatch),
    /// The journal already has another answer here.
    OtherInJournal { recorded: String },
    /// It could not be written down.
    Unwritten(io::Error),
}

/// A ride under way.
pub(super) struct Desk {
    pub session: Session,
    plan: Arc<Plan>,
    seed: u64,
    log: Vec<What>,
    pen: Option<Pen>,
    clock: Clock,
    /// When the last answer was given.
    pub last_time: Option<String>,
    /// What the journal has and the answers, given from the beginning again, must repeat.
    expected: VecDeque<(Said, String)>,
}

impl Desk {
    /// A ride from its first question, written down with a pen where there is one.
    pub fn new(plan: Arc<Plan>, seed: u64, pen: Option<Pen>, clock: Clock) -> Self {
        let session = Session::begin(Arc::clone(&plan), seed);
        Desk { session, plan, seed, log: Vec::new(), pen, clock, last_time: None, expected: VecDeque::new() }
    }

    /// Goes on where a journal stands.
    ///
    /// # Errors
    /// Where an answer of the journal does not fit its question.
    pub fn go_on(&mut self, recorded: Vec<(Said, String)>) -> Result<(), Mismatch> {
        let log: Vec<What> = recorded.iter().map(|(said, _)| said.what.clone()).collect();
        self.session = replay(&self.plan, self.seed, &log).map_err(|(_, mismatch)| mismatch)?;
        self.log = log;
        self.last_time = recorded.into_iter().next_back().map(|(_, time)| time);
        Ok(())
    }

    /// Begins again from the first question; the answers given must repeat the journal's.
    pub fn expect(&mut self, recorded: Vec<(Said, String)>) {
        self.expected = recorded.into();
    }

    /// Whether the journal has answers that were not repeated yet.
    pub fn is_repeating(&self) -> bool {
        !self.expected.is_empty()
    }

    /// The next answer of the journal that was not repeated yet.
    pub fn next_expected(&self) -> Option<&Said> {
        self.expected.front().map(|(said, _)| said)
    }

    /// What is asked now.
    pub fn ask(&self) -> Option<Ask> {
        self.session.ask()
    }

    fn after(&self, said: &Said) -> Result<Session, Mismatch> {
        match &said.what {
            What::Answer(answer) => self.session.answer(answer),
            What::Note => Ok(self.session.clone()),
            What::Undo if !can_undo(&self.log) => Err(Mismatch("there is no answer to take back".to_owned())),
            What::Undo => {
                let mut log = self.log.clone();
                log.push(What::Undo);
                replay(&self.plan, self.seed, &log).map_err(|(_, mismatch)| mismatch)
            }
        }
    }

    /// Whether an answer would be taken.
    pub fn fits(&self, said: &Said) -> bool {
        self.after(said).is_ok()
    }

    /// Takes an answer: written down and flushed first, then counted.
    ///
    /// # Errors
    /// Where it does not fit or cannot be written down; the ride then stands where it stood.
    pub fn take(&mut self, said: Said) -> Result<(), NotTaken> {
        let Some(ask) = self.ask() else {
            return Err(NotTaken::Unfit(Mismatch("the ride is over".to_owned())));
        };
        let next = self.after(&said).map_err(NotTaken::Unfit)?;
        if let Some((recorded, time)) = self.expected.pop_front() {
            if recorded != said {
                return Err(NotTaken::OtherInJournal { recorded: words(&recorded) });
            }
            self.last_time = Some(time);
        } else {
            let time = self.clock.now().to_string();
            if let Some(pen) = &mut self.pen {
                let record = Record {
                    number: u32::try_from(self.log.len()).unwrap_or(u32::MAX).saturating_add(1),
                    lap: u32::try_from(next.laps().len()).unwrap_or(u32::MAX),
                    time: time.clone(),
                    question: Question::of(&self.session, &ask),
                    said: said.clone(),
                };
                let (text, check) = write_record(&record, &pen.check);
                pen.appender.append(&text).map_err(NotTaken::Unwritten)?;
                pen.check = check;
            }
            self.last_time = Some(time);
        }
        self.log.push(said.what);
        self.session = next;
        Ok(())
    }
}

/// An answer in words.
pub(super) fn words(said: &Said) -> String {
    let what = match &said.what {
        What::Answer(answer) => answer.to_string(),
        What::Undo => "undo".to_owned(),
        What::Note => "a note".to_owned(),
    };
    said.note.as_ref().map_or(what.clone(), |note| format!("{what} \"{note}\""))
}
