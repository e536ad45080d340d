//! Owns a ride under way: its session, its log, what is true of the bike, its journal as a text. Every answer is
//! written down before it counts. It knows nothing of where that is.

use std::collections::VecDeque;
use std::convert::Infallible;
use std::sync::Arc;

use crate::plan::Plan;
use crate::record::{Addition, Book, Change, DateTime, Question, Record};
use crate::session::{Answer, Ask, Mismatch, News, Said, Session, Truth, What, replay, standing};

use super::begin_from::{BeginFrom, FromSettings};

/// Why an answer was not taken. Where it could not be written down there is an `E`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotTaken<E = Infallible> {
    /// It does not fit; nothing has changed.
    Unfit(Mismatch),
    /// The journal already has another answer here: this one, in words.
    OtherInJournal { recorded: String },
    /// It could not be written down; nothing has changed.
    Unwritten(E),
}

/// A ride under way.
#[derive(Debug, Clone)]
pub struct Ride {
    session: Session,
    truth: Truth,
    plan: Arc<Plan>,
    seed: u64,
    /// Everything said, and how many laps had been ridden then.
    log: Vec<What>,
    laps: Vec<u32>,
    /// Its journal; `None` where nothing is to be written down.
    book: Option<Book>,
    begun_from: BeginFrom,
    from_settings: Option<FromSettings>,
    /// When the last answer was given.
    last_time: Option<String>,
    /// What the journal has and the answers, given from the beginning again, must repeat.
    expected: VecDeque<(Said, String)>,
}

impl Ride {
    pub(super) fn new(
        plan: Arc<Plan>,
        seed: u64,
        book: Option<Book>,
        begun_from: BeginFrom,
        from_settings: Option<FromSettings>,
    ) -> Self {
        Ride {
            session: Session::begin(Arc::clone(&plan), seed),
            truth: Truth::default(),
            plan,
            seed,
            log: Vec::new(),
            laps: Vec::new(),
            book,
            begun_from,
            from_settings,
            last_time: None,
            expected: VecDeque::new(),
        }
    }

    /// A ride of which no journal is kept.
    ///
    /// ```
    /// use clickwise::engine::{InMemory, Ride, Set};
    ///
    /// # let text = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// # let files = InMemory::of([("set.tune", text)]);
    /// # let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// let ride = Ride::unrecorded(set.plan().unwrap().clone(), 0);
    /// assert!(ride.ask().is_some() && ride.journal().is_empty());
    /// ```
    #[must_use]
    pub fn unrecorded(plan: Arc<Plan>, seed: u64) -> Self {
        Ride::new(plan, seed, None, BeginFrom::default(), None)
    }

    /// The ride at this moment.
    #[must_use]
    pub fn session(&self) -> &Session {
        &self.session
    }

    /// What is true of the bike, whatever was taken back.
    #[must_use]
    pub fn truth(&self) -> &Truth {
        &self.truth
    }

    /// What is asked now; `None` where the ride is over.
    #[must_use]
    pub fn ask(&self) -> Option<Ask> {
        self.session.ask()
    }

    /// What has come up since the last answer.
    #[must_use]
    pub fn news(&self) -> &[News] {
        self.session.news()
    }

    /// The plan that is ridden, as it begins.
    #[must_use]
    pub fn plan(&self) -> &Arc<Plan> {
        &self.plan
    }

    /// What it began from besides its files.
    #[must_use]
    pub fn begun_from(&self) -> &BeginFrom {
        &self.begun_from
    }

    /// What became of the recorded settings, where it has just begun from such.
    #[must_use]
    pub fn from_settings(&self) -> Option<&FromSettings> {
        self.from_settings.as_ref()
    }

    /// The bytes of its journal, as they are in the file; none where no journal is kept.
    #[must_use]
    pub fn journal(&self) -> &[u8] {
        self.book.as_ref().map_or(&[], Book::bytes)
    }

    /// When the last answer was given.
    #[must_use]
    pub fn last_time(&self) -> Option<&str> {
        self.last_time.as_deref()
    }

    /// Goes on where a journal is: takes its answers. What there is to tell of them has been told.
    ///
    /// # Errors
    /// Where an answer of the journal does not fit its question.
    pub fn go_on(&mut self, recorded: Vec<(Said, String)>) -> Result<(), Mismatch> {
        self.expected = recorded.into();
        while let Some((said, time)) = self.expected.pop_front() {
            let next = self.asked().and_then(|_| self.after(&said))?;
            self.last_time = Some(time);
            self.count(said.what, next);
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
    #[must_use]
    pub fn is_repeating(&self) -> bool {
        !self.expected.is_empty()
    }

    /// The next answer of the journal that was not repeated yet.
    #[must_use]
    pub fn next_expected(&self) -> Option<&Said> {
        self.expected.front().map(|(said, _)| said)
    }

    fn ridden(&self) -> u32 {
        u32::try_from(self.session.laps().len()).unwrap_or(u32::MAX)
    }

    /// The answer that undo would take back, in words; `None` where there is none.
    #[must_use]
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
    #[must_use]
    pub fn fits(&self, said: &Said) -> bool {
        self.after(said).is_ok()
    }

    /// Why an answer would not be taken; `None` where it would.
    #[must_use]
    pub fn misfit(&self, said: &Said) -> Option<Mismatch> {
        self.after(said).err()
    }

    /// Takes an answer, an undo or a note.
    ///
    /// # Errors
    /// Where it does not fit; the ride is then as it was.
    ///
    /// ```
    /// use clickwise::engine::{Answer, BeginFrom, DateTime, InMemory, Ride, Said, Set};
    ///
    /// # let text = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// # let files = InMemory::of([("set.tune", text)]);
    /// # let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// # let now: DateTime = "2026-05-16T14:05:00+02:00".parse().unwrap();
    /// let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, 0).unwrap();
    /// ride.take(Said::answer(Answer::Done), &now).unwrap();
    /// let journal = ride.journal().to_vec();
    /// assert!(ride.take(Said::answer(Answer::Trial), &now).is_err());
    /// assert_eq!(ride.journal(), journal);
    /// ```
    pub fn take(&mut self, said: Said, now: &DateTime) -> Result<(), NotTaken> {
        self.take_written(said, now, |_, _| Ok(()))
    }

    /// The same, written down with `write` first: what the journal has so far, and what is added. The answer counts
    /// only once that is done. What the journal has already is not written again.
    ///
    /// # Errors
    /// Where it does not fit or cannot be written down; the ride is then as it was.
    pub fn take_written<E>(
        &mut self,
        said: Said,
        now: &DateTime,
        write: impl FnOnce(&Book, &Addition) -> Result<(), E>,
    ) -> Result<(), NotTaken<E>> {
        let (ask, mut said, next) = self.next(said).map_err(NotTaken::Unfit)?;
        if let Some((recorded, time)) = self.expected.pop_front() {
            // the journal may have it in other words: `6` for what is read as `6 clicks` today
            let same = || {
                let kept = self.after(&recorded).ok();
                recorded.note == said.note && kept.is_some_and(|kept| kept == next)
            };
            if recorded != said && !same() {
                return Err(NotTaken::OtherInJournal { recorded: in_words(&recorded) });
            }
            said = recorded;
            self.last_time = Some(time);
        } else {
            let time = now.to_string();
            if let Some(book) = &mut self.book {
                let addition = book.record(&Record {
                    number: u32::try_from(self.log.len()).unwrap_or(u32::MAX).saturating_add(1),
                    lap: u32::try_from(next.laps().len()).unwrap_or(u32::MAX),
                    time: time.clone(),
                    question: Question::of(&self.session, &ask),
                    said: said.clone(),
                });
                write(book, &addition).map_err(NotTaken::Unwritten)?;
                book.add(addition);
            }
            self.last_time = Some(time);
        }
        self.count(said.what, next);
        Ok(())
    }

    fn asked(&self) -> Result<Ask, Mismatch> {
        self.ask().ok_or(Mismatch::Over)
    }

    /// What is asked, what is said to it in full, and the session that follows.
    fn next(&self, mut said: Said) -> Result<(Ask, Said, Session), Mismatch> {
        let ask = self.asked()?;
        if matches!(ask, Ask::Way(_)) && said.what == What::Answer(Answer::Done) {
            said.what = What::Answer(Answer::Way(None));
        }
        let next = self.after(&said)?;
        Ok((ask, said, next))
    }

    fn count(&mut self, what: What, next: Session) {
        self.truth.follow(&self.session, &what, &next);
        self.log.push(what);
        self.session = next;
        self.laps.push(self.ridden());
        self.pass_over_notes();
    }

    /// Writes down that the files have changed, with `write` first.
    ///
    /// # Errors
    /// Where that cannot be written down; the journal is then as it was.
    pub fn change<E>(
        &mut self,
        change: &Change,
        write: impl FnOnce(&Book, &Addition) -> Result<(), E>,
    ) -> Result<(), E> {
        let Some(book) = &mut self.book else { return Ok(()) };
        let addition = book.change(change);
        write(book, &addition)?;
        book.add(addition);
        Ok(())
    }

    /// The journal as it grows; `None` where none is kept.
    #[must_use]
    pub fn book(&self) -> Option<&Book> {
        self.book.as_ref()
    }
}

/// What was said, in words, with its note.
#[must_use]
pub fn in_words(said: &Said) -> String {
    let what = said.what.to_string();
    said.note.as_ref().map_or(what.clone(), |note| format!("{what} \"{note}\""))
}
