//! Owns a ride at a terminal: plain lines with Enter, asked again until they fit.

use crate::plan::Condition;
use crate::session::{Answer, Ask, Said, What, read_answers};
use crate::show;
use crate::vocabulary::{AnswerWord, answer_word};

use super::Exit;
use super::answers::read_line;
use super::desk::{Desk, NotTaken, words};
use super::screen::Screen;

/// What a typed line is.
enum Typed {
    Said(Vec<Said>),
    Help,
    Quit,
    /// Another setting was ridden; which and how is asked next.
    Another,
    /// Nothing was typed and that is no answer here.
    Nothing,
    /// No answer: why, and what stands there.
    Strange(String),
}

/// Rides to the end of the plan or until the rider stops.
pub(super) fn ride(desk: &mut Desk, screen: Screen) -> Exit {
    let mut warned = false;
    while let Some(ask) = desk.ask() {
        super::ride::put(&desk.session, &ask, screen, &mut warned);
        let before = desk.session.clone();
        // The same question stands until an answer fits, a note is kept or the rider stops.
        while desk.session == before {
            screen.raw("> ");
            let Some(line) = read_line() else {
                screen.raw("\n");
                return Exit::Stopped;
            };
            match read(desk, &ask, &line) {
                Typed::Quit => return Exit::Stopped,
                Typed::Help => screen.lines(&show::help(screen.width())),
                Typed::Nothing => screen.say(&format!("Type {}. h helps.", desk.session.wanted(&ask))),
                Typed::Another => {
                    if let Some(exit) = another(desk, screen) {
                        return exit;
                    }
                }
                Typed::Strange(reason) => {
                    screen.say(&reason);
                    if let Some(exit) = offer_note(desk, &line, screen) {
                        return exit;
                    }
                }
                Typed::Said(all) => {
                    if let Some(exit) = take_all(desk, all, &line, screen) {
                        return exit;
                    }
                    break;
                }
            }
        }
    }
    Exit::Done
}

fn read(desk: &Desk, ask: &Ask, line: &str) -> Typed {
    let word = answer_word(line.trim());
    match word {
        Some(AnswerWord::Quit) => return Typed::Quit,
        Some(AnswerWord::Help) => return Typed::Help,
        Some(AnswerWord::Used) => return Typed::Another,
        _ => {}
    }
    let done = Said::answer(Answer::Done);
    if line.trim().is_empty() {
        return if desk.fits(&done) { Typed::Said(vec![done]) } else { Typed::Nothing };
    }
    let wants_text = matches!(ask, Ask::Record(Condition::Own { unit: None, .. }));
    if wants_text && word.is_none() && !line.contains('"') {
        return Typed::Said(vec![Said::answer(Answer::Text(line.trim().to_owned()))]);
    }
    match read_answers(line) {
        Ok(all) if all.is_empty() => Typed::Nothing,
        Ok(all) if desk.fits(&all[0]) => Typed::Said(all),
        Ok(all) => Typed::Strange(match &all[0].what {
            What::Answer(answer) => {
                desk.session.answer(answer).err().map_or(String::new(), |mismatch| mismatch.to_string())
            }
            _ => "there is no answer to take back".to_owned(),
        }),
        Err(reason) => Typed::Strange(reason.to_string()),
    }
}

/// Takes the answers of a line, as far as they fit.
fn take_all(desk: &mut Desk, all: Vec<Said>, line: &str, screen: Screen) -> Option<Exit> {
    for said in all {
        match desk.take(said.clone()) {
            Ok(()) => screen.lines(&show::news(&desk.session, screen.width())),
            Err(NotTaken::Unfit(mismatch)) => {
                screen.say(&format!("Taken up to here, then: {mismatch}"));
                return offer_note(desk, line, screen);
            }
            Err(NotTaken::OtherInJournal { recorded }) => {
                screen.say(&format!("The journal has `{recorded}` here."));
                return Some(Exit::Errors);
            }
            Err(NotTaken::Unwritten(error)) => {
                screen.say(&format!(
                    "The journal cannot be written: {error}. Note this answer down: {}",
                    words(&said)
                ));
                return Some(Exit::Disk);
            }
        }
    }
    None
}

/// A text that is no answer is offered as a note, so that it is never lost.
fn offer_note(desk: &mut Desk, line: &str, screen: Screen) -> Option<Exit> {
    let note = line.trim().replace('"', "'");
    screen.say("Keep what you typed as a note? y keeps it; Enter goes back to the question.");
    screen.raw("> ");
    let answer = read_line().unwrap_or_default();
    if !matches!(answer.trim().to_lowercase().as_str(), "y" | "yes") {
        return None;
    }
    let note: String = note.chars().filter(|c| !c.is_control()).collect();
    let kept = take_all(desk, vec![Said { what: What::Note, note: Some(note) }], line, screen);
    if kept.is_none() {
        screen.say("Kept as a note. Now the answer:");
    }
    kept
}

/// The rider rode another setting: which, and how it was.
fn another(desk: &mut Desk, screen: Screen) -> Option<Exit> {
    screen.say("Which setting did you ride? A number or a name; Enter goes back.");
    screen.raw("> ");
    let which = read_line().unwrap_or_default();
    if which.trim().is_empty() {
        return None;
    }
    let reference = matches!(desk.ask(), Some(Ask::Reference(_)));
    let mut line = format!("{} {}", AnswerWord::Used.word(), which.trim());
    if !reference {
        screen.say("And how was it: better, worse, same or cannot tell?");
        screen.raw("> ");
        line = format!("{line}: {}", read_line().unwrap_or_default().trim());
    }
    match read_answers(&line) {
        Ok(all) if all.len() == 1 && desk.fits(&all[0]) => take_all(desk, all, &line, screen),
        Ok(all) => {
            let reason = all.first().and_then(|said| match &said.what {
                What::Answer(answer) => desk.session.answer(answer).err(),
                _ => None,
            });
            screen.say(&reason.map_or("That is no setting.".to_owned(), |reason| reason.to_string()));
            None
        }
        Err(reason) => {
            screen.say(&reason.to_string());
            None
        }
    }
}
