//! Owns a ride whose answers are given beforehand: what goes without saying is said, the first
//! answer that does not fit ends the ride there.

use crate::engine::{first_open, in_words};
use crate::session::{Answer, Full, Heard, Said, Typed, What};
use crate::show;
use crate::vocabulary::capital;

use super::Exit;
use super::answers::Answers;
use super::desk::{Desk, tell};
use super::screen::{Cautions, Screen};
use super::second::SecondPerson;

/// A ride with answers given beforehand.
pub(super) struct Scripted<'a> {
    pub desk: &'a mut Desk,
    pub answers: Answers,
    pub screen: Screen,
    pub cautions: Cautions,
    pub second: SecondPerson,
}

impl Scripted<'_> {
    /// Rides to the end of the plan or of the answers.
    pub fn ride(&mut self) -> Exit {
        loop {
            let heard = match self.answers.peek(&first_open(self.desk.session())) {
                Ok(heard) => heard,
                Err(bad) => {
                    self.put();
                    self.screen.say(&format!(
                        "line {}: {}",
                        bad.line,
                        show::refused(&show::not_read(&first_open(self.desk.session()), &bad.reason))
                    ));
                    return self.stop(bad.line);
                }
            };
            let going_on = self.desk.ride.ask().is_some();
            let (full, typed) = match heard {
                Some((line, Heard { typed, full, .. })) => (full, Some((line, typed))),
                None => (Full::AsTyped, None),
            };
            let end = match typed {
                None if going_on => self.run_out(),
                None => Some(Exit::Done),
                Some((_, Typed::Quit)) if !going_on => Some(Exit::Done),
                Some((line, _)) if !going_on => {
                    self.screen.say(&format!(
                        "line {line}: the session has already finished. This answer and the rest were not \
                            used."
                    ));
                    Some(Exit::Errors)
                }
                Some((_, Typed::Quit)) => {
                    self.put();
                    Some(self.behind_the_journal().unwrap_or(Exit::Stopped))
                }
                Some((line, Typed::Said(said))) => self.one(line, &said, full),
                Some((line, Typed::Help | Typed::Another)) => {
                    self.put();
                    self.screen.say(&format!(
                        "line {line}: this doesn't work in a list. For another setting, write `rode 6: \
                            better`"
                    ));
                    Some(self.stop(line))
                }
            };
            if let Some(exit) = end {
                return exit;
            }
        }
    }

    /// Puts the question; gives how the run ends where that cannot be.
    fn put(&mut self) -> Option<Exit> {
        let ask = self.desk.ride.ask().filter(|_| !self.desk.ride.is_repeating())?;
        self.cautions.before(&ask, self.screen);
        if let Err(exit) = self.second.write_sheet(self.desk.session(), &ask, self.screen) {
            return Some(exit);
        }
        self.screen.question(self.desk.session(), self.desk.ride.truth(), &ask);
        self.second.tell(self.desk.session(), &ask, false, self.screen);
        None
    }

    /// Puts the question and takes an answer to it, or what goes without saying before that answer.
    fn one(&mut self, line: usize, said: &Said, full: Full) -> Option<Exit> {
        if let Some(exit) = self.put() {
            return Some(exit);
        }
        match self.desk.ride.unsaid_before(said) {
            Some(0) => {
                self.answers.skip();
                self.understood(line, said, full);
                self.take(line, said)
            }
            Some(_) => self.take(line, &Said::answer(Answer::Done)),
            None => {
                let reason = match self.desk.ride.misfit_of_list(said) {
                    Some((open, why)) => show::refused(&show::mismatch(&open, &why)),
                    None => {
                        let words = show::refused(&format!("`{}`", in_words(said)));
                        format!("{words} is one answer too many: no question is left that needs one.")
                    }
                };
                self.screen.say(&format!("line {line}: {reason}"));
                Some(self.stop(line))
            }
        }
    }

    /// Says what was understood where that is not what was typed, and why it is odd: nobody can be asked.
    fn understood(&self, line: usize, said: &Said, full: Full) {
        let What::Answer(answer) = &said.what else { return };
        if self.desk.ride.is_repeating() {
            return;
        }
        let session = self.desk.session();
        let doubt = session.doubt(answer);
        if doubt.is_some() || matches!(full, Full::Otherwise | Full::Nearest(_)) {
            let odd = doubt.map_or(String::new(), |doubt| format!(" {}", show::odd(session, doubt)));
            self.screen.say(&format!("line {line}: {}{odd}", show::read_as(session, answer, full)));
        }
    }

    fn take(&mut self, line: usize, said: &Said) -> Option<Exit> {
        let repeating = self.desk.ride.is_repeating();
        if let Err(not_taken) = self.desk.take(said.clone()) {
            self.screen.say(&format!("line {line}:"));
            return Some(tell(&not_taken, self.desk.session(), said, self.screen));
        }
        if !repeating {
            self.screen.news(self.desk.session());
        }
        None
    }

    fn stop(&self, line: usize) -> Exit {
        self.screen.say(&format!(
            "Stopped at line {line}; earlier answers are saved. Correct that line, then give the rest on \
                standard input or the whole list with --answers."
        ));
        Exit::Errors
    }

    /// Refuses answers that end before those of the journal do.
    fn behind_the_journal(&self) -> Option<Exit> {
        let words = in_words(self.desk.ride.next_expected()?);
        self.screen.say(&format!(
            "Your list is too short: the journal's next answer is `{words}`. Start your list with all the \
                answers already saved."
        ));
        Some(Exit::Errors)
    }

    /// No answers are left. What goes without saying is said only where the plan then ends; laps that
    /// nobody spoke of are not taken as ridden.
    fn run_out(&mut self) -> Option<Exit> {
        let done = Said::answer(Answer::Done);
        match self.desk.ride.next_expected() {
            Some(expected) if *expected == done => return self.take(0, &done),
            Some(_) => return self.behind_the_journal(),
            None => {}
        }
        let open = first_open(self.desk.session());
        if let Some(exit) = self.put() {
            return Some(exit);
        }
        match open.ask() {
            None => self.take(0, &done),
            Some(ask) => {
                let next = show::asked(&open, &ask);
                self.screen.say("");
                self.screen.say(&format!(
                    "No answers left. The next question is: {next}. {}.",
                    capital(&show::what_to_do(&open, &open.wanted(&ask)))
                ));
                Some(Exit::Stopped)
            }
        }
    }
}
