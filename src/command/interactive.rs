//! Owns a ride at a terminal: plain lines with Enter, asked again until they fit. A text that is no
//! answer is offered as a note, so that it is never lost.

use crate::engine::{Line, in_words};
use crate::session::{AllBefore, Answer, Ask, Extent, Full, News, Said, Typed, What};
use crate::show;
use crate::vocabulary::{AnswerWord, answer_word, capital};

use super::Exit;
use super::desk::{Desk, tell};
use super::keys::{self, is_yes, read_line};
use super::pause;
use super::screen::{Cautions, Screen};
use super::second::SecondPerson;

/// A ride at a terminal.
pub(super) struct Interactive<'a> {
    desk: &'a mut Desk,
    screen: Screen,
    cautions: Cautions,
    /// A line that was typed where only Enter was asked for: the next one to be heard.
    ahead: Option<String>,
    /// A text that was no answer and may become a note.
    held: Option<String>,
    /// An odd answer that was not taken yet.
    doubted: Option<Said>,
    /// When the last answer was given before a pause after which a new baseline was offered.
    offered: Option<String>,
    second: SecondPerson,
}

/// What comes of a typed line.
enum Next {
    /// The question was answered, or something was taken back: the next is put.
    Question,
    /// The same question stands.
    Again,
    End(Exit),
}

impl<'a> Interactive<'a> {
    pub fn new(desk: &'a mut Desk, screen: Screen, cautions: Cautions, second: SecondPerson) -> Self {
        Interactive { desk, screen, cautions, ahead: None, held: None, doubted: None, offered: None, second }
    }

    /// Rides to the end of the plan or until the rider stops.
    pub fn ride(&mut self) -> Exit {
        match self.offer_baseline(None) {
            Ok(ahead) => self.ahead = ahead,
            Err(Next::End(exit)) => return exit,
            Err(_) => {}
        }
        while let Some(ask) = self.desk.ride.ask() {
            if self.cautions.before(&ask, self.screen) {
                self.screen.say("Press Enter when you have read this.");
                let Some(line) = self.read() else { return Exit::Stopped };
                self.ahead = self.ahead.take().or(Some(line).filter(|line| !line.trim().is_empty()));
            }
            if let Err(exit) = self.second.write_sheet(self.desk.session(), &ask, self.screen) {
                return exit;
            }
            self.screen.question(self.desk.session(), self.desk.ride.truth(), &ask);
            self.doubted = None;
            loop {
                let Some(line) = self.line() else { return Exit::Stopped };
                let next = match self.offer_baseline(Some(line)) {
                    Ok(line) => self.hear(&ask, line.unwrap_or_default().trim()),
                    Err(next) => next,
                };
                match next {
                    Next::Question => break,
                    Next::Again => {}
                    Next::End(exit) => return exit,
                }
            }
        }
        Exit::Done
    }

    /// Offers a new baseline, once, where the ride goes on after a long pause. Gives the line that is to be heard
    /// then: what was typed before, or what was typed instead.
    fn offer_baseline(&mut self, typed: Option<String>) -> Result<Option<String>, Next> {
        let last_time = self.desk.ride.last_time().map(str::to_owned);
        let pause = self.desk.pause().filter(|_| self.offered != last_time);
        let Some(pause) = pause else { return Ok(typed) };
        self.offered = last_time;
        self.screen.say("");
        self.screen.say(&pause);
        self.screen.say(pause::OFFER);
        let Some(line) = self.read() else { return Err(Next::End(Exit::Stopped)) };
        if is_yes(&line) || answer_word(line.trim()) == Some(AnswerWord::Baseline) {
            if let Some(typed) = typed.filter(|typed| !typed.trim().is_empty()) {
                self.screen.say(&format!("`{}` is not saved: you will be asked again.", typed.trim()));
            }
            return Err(self.take(&Said::answer(Answer::Baseline)));
        }
        Ok(if line.trim().is_empty() { typed } else { Some(line) })
    }

    /// The next line. What was typed before the question was put counts where Enter says so.
    fn line(&mut self) -> Option<String> {
        let Some(ahead) = self.ahead.take().or_else(keys::typed_ahead) else { return self.read() };
        let ahead = ahead.trim();
        self.screen.say(&format!(
            "You typed `{ahead}` before you were asked this. Press Enter to answer with it, or type your \
                answer."
        ));
        let line = self.read()?;
        Some(if line.trim().is_empty() { ahead.to_owned() } else { line })
    }

    fn read(&self) -> Option<String> {
        self.screen.raw("> ");
        let line = read_line();
        if line.is_none() {
            self.screen.raw("\n");
        }
        line
    }

    fn hear(&mut self, ask: &Ask, line: &str) -> Next {
        let held = self.held.take();
        if let Some(note) = held.filter(|_| is_yes(line)) {
            let note = Said { what: What::Note, note: Some(note) };
            return match self.desk.take(note.clone()) {
                Ok(()) => {
                    self.screen.say("Saved as a note. Now your answer:");
                    Next::Again
                }
                Err(not_taken) => Next::End(tell(&not_taken, self.desk.session(), &note, self.screen)),
            };
        }
        let doubted = self.doubted.take();
        if let Some(said) = doubted.as_ref().filter(|_| line.is_empty()) {
            return self.take(said);
        }
        let read = self.desk.ride.read(line);
        self.hear_read(ask, read, doubted.as_ref())
    }

    /// Does what a typed line comes to. An odd answer is taken once it is typed again.
    fn hear_read(&mut self, ask: &Ask, read: Line, doubted: Option<&Said>) -> Next {
        match read {
            Line::Blank => {
                self.screen.say(&format!("{}, or type h for help.", capital(&self.what_to_do(ask))));
                Next::Again
            }
            Line::Enter if self.second.tell(self.desk.session(), ask, true, self.screen) => {
                self.take(&Said::answer(Answer::Done))
            }
            Line::Enter | Line::Quit => Next::End(Exit::Stopped),
            Line::Text(said) => self.take(&said),
            Line::Before(before) => self.hear_before(&before),
            Line::Answer { said, .. } if doubted == Some(&said) => self.take(&said),
            Line::Answer { said, full } => self.take_unless_odd(&said, full),
            Line::Noted(said) => {
                self.screen.say(&format!("Understood as: {}", in_words(&said)));
                self.take(&said)
            }
            Line::Unfit { why, note } => self.refuse(&show::mismatch(self.desk.session(), &why), note),
            Line::NotRead { why, note } => self.refuse(&show::not_read(self.desk.session(), &why), note),
            Line::Help => {
                self.screen.help(self.desk.session(), self.desk.ride.truth(), ask);
                Next::Again
            }
            Line::Another => self.another(),
        }
    }

    /// Takes how several adjusters were found, up to the first that does not fit.
    fn hear_before(&mut self, before: &AllBefore) -> Next {
        if before.too_many > 0 {
            let (typed, asked) = (before.said.len() + before.too_many, before.said.len());
            self.screen.say(&format!(
                "Type them again: you gave {typed} values for {asked} adjusters, so none were saved."
            ));
            return Next::Again;
        }
        self.screen.say(&show::all_read_as(self.desk.session(), before));
        for (_, said) in &before.said {
            if let Err(not_taken) = self.desk.take(said.clone()) {
                return Next::End(tell(&not_taken, self.desk.session(), said, self.screen));
            }
        }
        if let Some(trouble) = &before.trouble {
            self.screen.say(&show::trouble(self.desk.session(), trouble));
        }
        Next::Question
    }

    fn take_unless_odd(&mut self, said: &Said, full: Full) -> Next {
        let What::Answer(answer) = &said.what else { return self.take(said) };
        let doubt = self.desk.session().doubt(answer);
        if doubt.is_some() || full != Full::AsTyped && !self.is_told_anyway(answer) {
            self.screen.say(&show::read_as(self.desk.session(), answer, full));
        }
        let Some(doubt) = doubt else { return self.take(said) };
        self.screen.say(&show::odd(self.desk.session(), doubt));
        self.screen.say("Press Enter if that is right, or type the answer again.");
        self.doubted = Some(said.clone());
        Next::Again
    }

    /// Whether what comes of one sag says it, with its unit.
    fn is_told_anyway(&self, answer: &Answer) -> bool {
        if !matches!(answer, Answer::Told(_)) {
            return false;
        }
        let next = self.desk.session().answer(answer);
        next.is_ok_and(|next| {
            next.news().iter().any(|news| matches!(news, News::Measured { sag: Some(_), .. }))
        })
    }

    fn what_to_do(&self, ask: &Ask) -> String {
        show::what_to_do(self.desk.session(), &self.desk.session().wanted(ask))
    }

    /// Says why a line is not taken; what may be kept as a note is offered as one.
    fn refuse(&mut self, reason: &str, note: Option<String>) -> Next {
        self.screen.say(&show::refused(reason));
        if note.is_some() {
            self.screen.say("Type your answer, or y to save that as a note.");
        }
        self.held = note;
        Next::Again
    }

    fn take(&mut self, said: &Said) -> Next {
        let taken_back = if said.what == What::Undo { self.desk.ride.last_answer() } else { None };
        match self.desk.take(said.clone()) {
            Ok(()) => {
                if let Some(answer) = taken_back {
                    self.screen.say(&format!("Undone: {answer}, and everything after it."));
                }
                self.screen.news(self.desk.session());
                Next::Question
            }
            Err(not_taken) => Next::End(tell(&not_taken, self.desk.session(), said, self.screen)),
        }
    }

    /// Another setting was fitted: which, and what was felt or read at it.
    fn another(&mut self) -> Next {
        let Some(ask @ (Ask::Baseline(_) | Ask::Lap { .. } | Ask::Sag { .. } | Ask::Stop { .. })) =
            self.desk.ride.ask()
        else {
            self.screen.say("There is no setting to change here.");
            return Next::Again;
        };
        self.screen.say("Which setting did you ride? Type a number or a name, or press Enter to go back.");
        let Some(which) = self.read() else { return Next::End(Exit::Stopped) };
        if which.trim().is_empty() {
            return Next::Again;
        }
        let mut line = format!("{} {}", AnswerWord::Rode.word(), which.trim());
        if !matches!(ask, Ask::Baseline(_)) {
            self.screen.say(&format!("And how was it? {}.", capital(&self.what_to_do(&ask))));
            let Some(felt) = self.read() else { return Next::End(Exit::Stopped) };
            line = format!("{line}: {}", felt.trim());
        }
        match self.desk.session().hear(&line, Extent::One) {
            Ok(Some(heard)) if matches!(heard.typed, Typed::Said(_)) => {
                let read = self.desk.ride.heard(heard, &line);
                return self.hear_read(&ask, read, None);
            }
            Ok(_) => {
                self.screen.say("That is not a setting of this adjuster. Type r to try again, or answer.");
            }
            Err(reason) => self.screen.say(&show::not_read(self.desk.session(), &reason)),
        }
        Next::Again
    }
}
