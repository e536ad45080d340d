//! Owns a list of answers that is given beforehand: what goes without saying before each of them, and at the end. It
//! knows nothing of files and screens.

use std::convert::Infallible;

use crate::record::DateTime;
use crate::session::{Answer, Ask, Extent, Mismatch, NotRead, Said, Session, Typed, What};

use super::ride::{NotTaken, Ride};

/// Why an answer of a list was not taken; those before it are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotSaid {
    /// It is no answer.
    NotRead(NotRead),
    /// It asks for something that a list cannot have: to stop, for help, for another setting.
    NoAnswer,
    /// It does not fit the question, nor those that need not be answered before it; `None` where the plan ends.
    Unfit(Option<Mismatch>),
    NotTaken(NotTaken<Infallible>),
}

/// A session at its next question that wants more than Enter, or at its end.
#[must_use]
pub fn first_open(session: &Session) -> Session {
    let mut session = session.clone();
    while session.ask().is_some_and(|ask| ask.implied()) {
        match session.answer(&Answer::Done) {
            Ok(next) => session = next,
            Err(_) => break,
        }
    }
    session
}

impl Ride {
    /// How many answers go without saying before this one fits; `None` where it never does. Which way
    /// comes first may be left out only before an answer about a lap.
    #[must_use]
    pub fn unsaid_before(&self, said: &Said) -> Option<usize> {
        if self.fits(said) {
            return Some(0);
        }
        let What::Answer(answer) = &said.what else { return None };
        if *answer == Answer::Baseline {
            return None;
        }
        let about_a_lap = matches!(answer, Answer::Felt(_) | Answer::Void | Answer::Rode(..));
        let mut session = self.session().clone();
        let mut count = 0;
        loop {
            let ask = session.ask()?;
            let may_be_left_out = about_a_lap && matches!(ask, Ask::Way(_));
            if !ask.implied() && !may_be_left_out {
                return None;
            }
            session = session.answer(&Answer::Done).ok()?;
            count += 1;
            if session.answer(answer).is_ok() {
                return Some(count);
            }
        }
    }

    /// Why an answer fits nowhere here, and the moment at which it does not; `None` where the plan ends before
    /// anything is asked.
    #[must_use]
    pub fn misfit_of_list(&self, said: &Said) -> Option<(Session, Mismatch)> {
        let open = first_open(self.session());
        open.ask()?;
        match &said.what {
            What::Answer(answer) if *answer != Answer::Baseline => {
                let why = open.answer(answer).err()?;
                Some((open, why))
            }
            _ => Some((self.session().clone(), self.misfit(said)?)),
        }
    }

    /// Takes the answers of a line, parted by commas, as a list of answers has them: what goes without saying before
    /// one of them is said.
    ///
    /// # Errors
    /// Where one of them is no answer or does not fit; those before it are taken.
    ///
    /// ```
    /// use clickwise::engine::{BeginFrom, DateTime, InMemory, Ride, Set};
    ///
    /// # let text = "bike \"B\"\npart fork\n  rebound 0 to 18 clicks\nsteps\n  tune every rebound\n";
    /// # let files = InMemory::of([("set.tune", text)]);
    /// # let set = Set::gather(&files, &["set.tune"]).unwrap();
    /// # let now: DateTime = "2026-05-16T14:05:00+02:00".parse().unwrap();
    /// let mut ride = Ride::begin(&set, &BeginFrom::default(), &now, 0).unwrap();
    /// ride.say("faster, better", &now).unwrap();
    /// assert_eq!(ride.session().laps().len(), 2);
    /// assert!(ride.say("12 C", &now).is_err());
    /// ```
    pub fn say(&mut self, line: &str, now: &DateTime) -> Result<(), NotSaid> {
        let mut left = line.to_owned();
        loop {
            let heard = first_open(self.session()).hear(&left, Extent::List).map_err(NotSaid::NotRead)?;
            let Some(heard) = heard else { return Ok(()) };
            let Typed::Said(said) = heard.typed else { return Err(NotSaid::NoAnswer) };
            let unsaid = self.unsaid_before(&said);
            let unsaid =
                unsaid.ok_or_else(|| NotSaid::Unfit(self.misfit_of_list(&said).map(|(_, why)| why)))?;
            for _ in 0..unsaid {
                self.take(Said::answer(Answer::Done), now).map_err(NotSaid::NotTaken)?;
            }
            self.take(said, now).map_err(NotSaid::NotTaken)?;
            left = heard.left;
        }
    }

    /// Says what goes without saying, if the ride is over then; otherwise nothing: laps that nobody spoke of are not
    /// taken as ridden.
    ///
    /// # Errors
    /// Where the journal has other answers here.
    pub fn say_the_rest(&mut self, now: &DateTime) -> Result<(), NotTaken<Infallible>> {
        while self.ask().is_some() && first_open(self.session()).ask().is_none() {
            self.take(Said::answer(Answer::Done), now)?;
        }
        Ok(())
    }
}
