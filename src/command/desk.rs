//! Owns a ride that is under way: its session, its log, and the journal in which every answer is
//! flushed before the next question is put.

use std::collections::VecDeque;
use std::io;
use std::path::PathBuf;
use std::sync::Arc;

use crate::plan::Plan;
use crate::record::{Question, Record, files};
use crate::session::{Answer, Ask, Mismatch, Said, Session, Truth, What, replay, standing};
use crate::show;

use super::Exit;
use super::clock::Clock;
use super::pause;
use super::pen::Pen;
use super::screen::Screen;

/// Why an answer was not taken.
pub(super) enum NotTaken {
    /// It does not fit; nothing has changed.
    Unfit(Mismatch),
    /// The journal already has another answer here.
    OtherInJournal { recorded: String },
    /// It could not be written down.
    Unwritten(io::Error),
}

impl NotTaken {
    /// Tells why at this moment of a ride, and gives how the run ends if it ends here.
    pub fn tell(&self, session: &Session, said: &Said, screen: Screen) -> Exit {
        match self {
            NotTaken::Unfit(mismatch) => {
                screen.say(&show::mismatch(session, mismatch));
                Exit::Errors
            }
            NotTaken::OtherInJournal { recorded } => {
                screen.say(&format!(
                    "The journal has `{recorded}` here, not `{}`: the answers must begin with those that are kept.",
                    words(said)
                ));
                Exit::Errors
            }
            NotTaken::Unwritten(error) => {
                screen.say(&format!(
                    "Write this answer down: {}. The journal can't be saved: {}.",
                    words(said),
                    files::in_words(error)
                ));
                Exit::Disk
            }
        }
    }
}

/// A ride under way.
pub(super) struct Desk {
    pub session: Session,
    /// What is true of the bike, whatever was taken back.
    pub truth: Truth,
    plan: Arc<Plan>,
    seed: u64,
    /// Everything said, and how many laps had been ridden then.
    log: Vec<What>,
    laps: Vec<u32>,
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
        Desk {
            session,
            truth: Truth::default(),
            plan,
            seed,
            log: Vec::new(),
            laps: Vec::new(),
            pen,
            clock,
            last_time: None,
            expected: VecDeque::new(),
        }
    }

    /// Goes on where a journal stands.
    ///
    /// # Errors
    /// Where an answer of the journal does not fit its question.
    pub fn go_on(&mut self, recorded: Vec<(Said, String)>) -> Result<(), NotTaken> {
        self.expected = recorded.into();
        while let Some((said, _)) = self.expected.front().cloned() {
            self.take(said)?;
        }
        self.session = self.session.clone().quiet();
        // where the bike must be is told, so that it is checked
        self.truth.checked();
        Ok(())
    }

    /// Begins again from the first question; the answers given must repeat the journal's.
    pub fn expect(&mut self, recorded: Vec<(Said, String)>) {
        self.expected = recorded.into();
        self.pass_over_notes();
    }

    /// Notes are no answers: they need not be given again.
    fn pass_over_notes(&mut self) {
        while let Some((said, time)) = self.expected.pop_front_if(|(said, _)| said.what == What::Note) {
            self.log.push(said.what);
            self.laps.push(self.ridden());
            self.last_time = Some(time);
        }
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

    /// What is said of a pause since the last answer, if it is so long that laps can't be compared.
    pub fn pause(&self) -> Option<String> {
        pause::told(&self.session, self.last_time.as_deref(), &self.clock.now())
    }

    fn ridden(&self) -> u32 {
        u32::try_from(self.session.laps().len()).unwrap_or(u32::MAX)
    }

    /// The answer that undo would take back, in words; `None` where there is none.
    pub fn last_answer(&self) -> Option<String> {
        let informs = |index: &usize| matches!(&self.log[*index], What::Answer(answer) if answer.informs());
        let last = standing(&self.log).into_iter().rfind(informs)?;
        let What::Answer(answer) = &self.log[last] else { return None };
        let before = last.checked_sub(1).map_or(0, |index| self.laps[index]);
        let lap = self.laps[last];
        Some(if lap > before { format!("{answer} (lap {lap})") } else { answer.to_string() })
    }

    fn after(&self, said: &Said) -> Result<Session, Mismatch> {
        match &said.what {
            What::Answer(answer) => self.session.answer(answer),
            What::Note => Ok(self.session.clone().quiet()),
            What::Undo if self.last_answer().is_none() => Err(Mismatch::NothingToTakeBack),
            What::Undo => {
                let mut log = self.log.clone();
                log.push(What::Undo);
                replay(&self.plan, self.seed, &log).map(Session::quiet).map_err(|(_, mismatch)| mismatch)
            }
        }
    }

    /// Whether an answer would be taken.
    pub fn fits(&self, said: &Said) -> bool {
        self.after(said).is_ok()
    }

    /// Why an answer would not be taken; `None` where it would.
    pub fn misfit(&self, said: &Said) -> Option<Mismatch> {
        self.after(said).err()
    }

    /// Takes an answer: written down and flushed first, then counted.
    ///
    /// # Errors
    /// Where it does not fit or cannot be written down; the ride then stands where it stood.
    pub fn take(&mut self, mut said: Said) -> Result<(), NotTaken> {
        let ask = self.ask().ok_or(NotTaken::Unfit(Mismatch::Over))?;
        if matches!(ask, Ask::Way(_)) && said.what == What::Answer(Answer::Done) {
            said.what = What::Answer(Answer::Way(None));
        }
        let next = self.after(&said).map_err(NotTaken::Unfit)?;
        if let Some((recorded, time)) = self.expected.pop_front() {
            // the journal may have it in other words: `6` for what is read as `6 clicks` today
            let same = || {
                let kept = self.after(&recorded).ok();
                recorded.note == said.note && kept.is_some_and(|kept| kept == next)
            };
            if recorded != said && !same() {
                return Err(NotTaken::OtherInJournal { recorded: words(&recorded) });
            }
            said = recorded;
            self.last_time = Some(time);
        } else {
            let time = self.clock.now().to_string();
            self.write(&said, &ask, &next, &time).map_err(NotTaken::Unwritten)?;
            self.last_time = Some(time);
        }
        self.truth.follow(&self.session, &said.what, &next);
        self.log.push(said.what);
        self.session = next;
        self.laps.push(self.ridden());
        self.pass_over_notes();
        Ok(())
    }

    fn write(&mut self, said: &Said, ask: &Ask, next: &Session, time: &str) -> io::Result<()> {
        let Some(pen) = &mut self.pen else { return Ok(()) };
        let record = Record {
            number: u32::try_from(self.log.len()).unwrap_or(u32::MAX).saturating_add(1),
            lap: u32::try_from(next.laps().len()).unwrap_or(u32::MAX),
            time: time.to_owned(),
            question: Question::of(&self.session, ask),
            said: said.clone(),
        };
        pen.record(&record)
    }

    /// Makes sure that the journal still has every answer, and gives where it is; `None` if there is none.
    ///
    /// # Errors
    /// If it is gone and cannot be written again; that is said.
    pub fn keep_all(&mut self, screen: Screen) -> Result<Option<PathBuf>, Exit> {
        let Some(pen) = &mut self.pen else { return Ok(None) };
        pen.keep_all().map_err(|error| {
            let path = pen.path().display();
            screen.say(&format!("{path}: the journal can't be saved: {}.", files::in_words(&error)));
            Exit::Disk
        })?;
        Ok(Some(pen.path().to_owned()))
    }
}

/// An answer in words.
pub(super) fn words(said: &Said) -> String {
    let what = said.what.to_string();
    said.note.as_ref().map_or(what.clone(), |note| format!("{what} \"{note}\""))
}
