//! Owns a ride whose answers are given beforehand: what goes without saying is said, the first
//! answer that does not fit ends the ride there.

use crate::session::{Answer, Said, Session};
use crate::show;

use super::Exit;
use super::answers::Answers;
use super::desk::{Desk, NotTaken, words};
use super::screen::Screen;

/// Rides to the end of the plan or of the answers.
pub(super) fn ride(desk: &mut Desk, answers: &mut Answers, screen: Screen) -> Exit {
    let mut warned = false;
    loop {
        let Some(ask) = desk.ask() else { return Exit::Done };
        if !desk.is_repeating() {
            super::ride::put(&desk.session, &ask, screen, &mut warned);
        }
        let said = match answers.peek() {
            Ok(said) => said.cloned(),
            Err(bad) => {
                screen.say(&format!("line {}: {}", bad.line, bad.reason));
                return Exit::Errors;
            }
        };
        let Some((line, said)) = said else { return run_out(desk, screen) };
        let done = Said::answer(Answer::Done);
        let goes_without_saying = !desk.fits(&said) && desk.fits(&done);
        if !goes_without_saying {
            answers.skip();
        }
        let taken = desk.take(if goes_without_saying { done } else { said.clone() });
        if let Some(exit) = not_taken(taken, line, &said, screen) {
            return exit;
        }
        if !desk.is_repeating() {
            screen.lines(&show::news(&desk.session, screen.width()));
        }
    }
}

fn not_taken(taken: Result<(), NotTaken>, line: usize, said: &Said, screen: Screen) -> Option<Exit> {
    match taken {
        Ok(()) => None,
        Err(NotTaken::Unfit(mismatch)) => {
            screen.say(&format!("line {line}: {mismatch}"));
            screen.say("The ride stops here; what came before is kept.");
            Some(Exit::Errors)
        }
        Err(NotTaken::OtherInJournal { recorded }) => {
            screen.say(&format!(
                "line {line}: the journal has `{recorded}` here, not `{}`: the answers must begin with those that are kept",
                words(said)
            ));
            Some(Exit::Errors)
        }
        Err(NotTaken::Unwritten(error)) => {
            screen.say(&format!(
                "The journal cannot be written: {error}. Note this answer down: {}",
                words(said)
            ));
            Some(Exit::Disk)
        }
    }
}

/// No answers are left. What goes without saying is said only where the plan then ends; laps that
/// nobody spoke of are not taken as ridden.
fn run_out(desk: &mut Desk, screen: Screen) -> Exit {
    if let Some(expected) = desk.next_expected() {
        screen.say(&format!(
            "The answers end before the journal does, which goes on with `{}`: they must begin with those that are kept",
            words(expected)
        ));
        return Exit::Errors;
    }
    let mut ahead = desk.session.clone();
    let mut implied = 0;
    while let Some(next) =
        ahead.ask().filter(super::super::session::Ask::implied).and_then(|_| ahead.answer(&Answer::Done).ok())
    {
        ahead = next;
        implied += 1;
    }
    if ahead.ask().is_none() {
        for _ in 0..implied {
            if let Some(exit) =
                not_taken(desk.take(Said::answer(Answer::Done)), 0, &Said::answer(Answer::Done), screen)
            {
                return exit;
            }
        }
        return Exit::Done;
    }
    screen.say("");
    screen.say(&format!("The answers end here. Next is asked: {}", asked(&ahead)));
    Exit::Stopped
}

/// What a session asks, in a sentence.
fn asked(session: &Session) -> String {
    session.ask().map_or(String::new(), |ask| {
        let question = crate::record::Question::of(session, &ask);
        format!("{}; it wants {}", question.said(), session.wanted(&ask))
    })
}
