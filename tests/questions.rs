//! When the question that a journal has is the one that is asked now: another wording is no other question, another
//! adjuster, position or number is.

use std::sync::Arc;

use clickwise::record::{Entry, Question, read_journal, write_head, write_record};
use clickwise::session::{Answer, Ask, Extent, QuestionKind, Said, Session, Typed, What};

use crate::support::{Field, MOMENT, unbroken};

/// A ride that asks nearly everything.
const SET: &str = "bike \"B\"
part fork
  travel 160 mm
  air 60 to 90 psi, start 70 psi, sag 19 to 21 %
  rebound 0 to 18 clicks, start 9
  compression ? turns
part shock
  lockout open or \"half way\" or closed, start open
part front tyre
  pressure 1.5 to 2.5 bar by 0.1 bar
steps
  record settings
  record temperature
  record \"ground\"
  say \"Pump it up\"
  ride 1 lap
  measure fork air
  set shock lockout to closed
  tune fork rebound
  confirm fork rebound, between open and closed, 2 pairs
";

fn session() -> Session {
    let mut sources = clickwise::problem::Sources::default();
    sources.add("set.tune", SET);
    let checked = clickwise::check::check(&sources);
    Session::begin(Arc::new(checked.plan.unwrap_or_else(|| panic!("{:?}", checked.problems))), 1)
}

/// Every moment of a ride with the question that is asked then.
fn moments() -> Vec<(Session, Ask)> {
    let answers = ["unknown", "done", "either", "better", "first", "31 mm", "30 mm", "4 turns", "2 bar"];
    let (mut session, mut moments) = (session(), Vec::new());
    while let Some(ask) = session.ask() {
        let taken = answers.iter().find_map(|text| {
            let heard = session.hear(text, Extent::List).ok().flatten()?;
            let Typed::Said(Said { what: What::Answer(answer), .. }) = heard.typed else { return None };
            // laps that are asked for to the end go on for long
            let answer = if matches!(answer, Answer::Felt(_)) && session.laps().len() > 4 {
                Answer::Finish
            } else {
                answer
            };
            session.answer(&answer).ok()
        });
        let next = taken.unwrap_or_else(|| panic!("{ask:?}"));
        moments.push((std::mem::replace(&mut session, next), ask));
    }
    moments
}

/// A text with every whole number one more.
fn one_more(text: &str) -> String {
    let more = |piece: &str| piece.parse::<u32>().map_or(piece.to_owned(), |number| (number + 1).to_string());
    text.split_inclusive(|c: char| !c.is_ascii_digit())
        .map(|piece| {
            let digits = piece.trim_end_matches(|c: char| !c.is_ascii_digit());
            more(digits) + &piece[digits.len()..]
        })
        .collect()
}

#[test]
fn another_wording_is_no_other_question() {
    let mut kinds = Vec::new();
    for (session, ask) in moments() {
        let written = Question::of(&session, &ask);
        assert!(written.is(&session, &ask), "{written:?}");
        let capitals = |text: &Option<String>| text.as_deref().map(str::to_uppercase);
        let mut others = vec![
            Question { ask: capitals(&Some(written.ask.clone())).unwrap(), ..written.clone() },
            Question {
                adjuster: capitals(&written.adjuster),
                ask: format!("{} ", written.ask),
                ..written.clone()
            },
            Question {
                ask: written.ask.to_uppercase(),
                from: capitals(&written.from),
                to: capitals(&written.to),
                against: capitals(&written.against),
                ..written.clone()
            },
        ];
        match ask.kind() {
            QuestionKind::Baseline => {
                others.push(Question { ask: "baseline lap".to_owned(), ..written.clone() });
            }
            QuestionKind::Lap => others.push(Question { ask: "trial lap".to_owned(), ..written.clone() }),
            QuestionKind::Say => {
                others.push(Question { about: Some("Pump it".to_owned()), ..written.clone() });
            }
            QuestionKind::Ride => {
                assert_eq!(written.about.as_deref(), Some("1 laps"));
                others.push(Question { about: Some("1 lap".to_owned()), ..written.clone() });
            }
            QuestionKind::Pairs => {
                others.push(Question { about: Some("pairs: 2".to_owned()), ..written.clone() });
            }
            QuestionKind::Fit => {
                let list = written.about.as_deref().unwrap();
                others.push(Question { about: Some(list.to_uppercase()), ..written.clone() });
                let mut items: Vec<&str> = list.split(", ").collect();
                items.reverse();
                others.push(Question { about: Some(items.join(", ")), ..written.clone() });
            }
            _ => {}
        }
        for other in others {
            assert!(other.is(&session, &ask), "{other:?} is not taken for {written:?}");
        }
        if !kinds.contains(&ask.kind()) {
            kinds.push(ask.kind());
        }
    }
    assert!(kinds.len() >= 15, "{kinds:?}");
}

#[test]
fn another_adjuster_position_or_number_is_another_question() {
    for (session, ask) in moments() {
        let written = Question::of(&session, &ask);
        let mut others = Vec::new();
        let kind = if ask.kind() == QuestionKind::Lap { "baseline lap" } else { "lap" };
        others.push(Question { ask: kind.to_owned(), ..written.clone() });
        others.push(Question { ask: "a word of a later program".to_owned(), ..written.clone() });
        if let Some(id) = ask.adjuster() {
            let bike = session.plan().bike();
            for other in bike.ids().filter(|other| *other != id) {
                others.push(Question { adjuster: Some(bike.get(other).name()), ..written.clone() });
            }
            for other in [None, Some("fork high-speed rebound".to_owned()), Some(String::new())] {
                others.push(Question { adjuster: other, ..written.clone() });
            }
            let dial = session.dial(id).filter(|_| written.to.is_some());
            for position in dial.map_or(0..0, |dial| 0..dial.scale().top() + 1) {
                let said = dial.map(|dial| dial.scale().said(position));
                if said != written.to {
                    others.push(Question { to: said.clone(), ..written.clone() });
                }
                if said != written.from {
                    others.push(Question { from: said.clone(), ..written.clone() });
                }
                if said != written.against {
                    others.push(Question { against: said, ..written.clone() });
                }
            }
            if written.to.is_some() {
                others.push(Question { to: None, ..written.clone() });
                others.push(Question { to: Some("9 turns".to_owned()), ..written.clone() });
            }
        }
        if let Some(about) = written.about.as_deref().filter(|_| ask.kind() != QuestionKind::Say) {
            others.push(Question { about: None, ..written.clone() });
            others.push(Question { about: Some(String::new()), ..written.clone() });
            let more = one_more(about).replace("lockout closed", "lockout open");
            assert!(more != about || ask.kind() == QuestionKind::Record, "{about}");
            others.push(Question { about: Some(format!("{more} 7")), ..written.clone() });
            others.extend((more != about).then(|| Question { about: Some(more), ..written.clone() }));
        }
        for other in others {
            assert!(!other.is(&session, &ask), "{other:?} is taken for {written:?}");
        }
    }
}

/// An open ride of this set with these answers, its field and the name of its journal.
fn ridden(set: &str, answers: &str) -> (Field, String) {
    let field = Field::with(&[("set.tune", set)]);
    field.run_with(&["ride", "set.tune", "--as-of", MOMENT], answers).ends(4);
    let [journal] = &field.journals("rides")[..] else { panic!() };
    (field, format!("rides/{journal}"))
}

const RIDE: &str = "bike \"B\"\npart fork\n rebound 0 to 20 clicks, start 10\nsteps\n ride 1 lap\n say \"Pmup it, then go\"\n tune every rebound\n";

/// A corrected text that is only read refuses no open ride; the ride goes on, and the journal has the new text.
#[test]
fn a_corrected_text_refuses_no_open_ride() {
    let (field, journal) = ridden(RIDE, "faster\nbetter\n");
    let before = field.read(&journal);
    assert!(before.contains("Pmup it, then go"));
    field.write("set.tune", RIDE.replace("Pmup it, then go", "Pump it up. Then ride"));
    let ran = field.run_with(&["ride", "set.tune", "--as-of", MOMENT], "same\nworse\n").ends(0);
    let said = unbroken(&ran.err);
    assert!(said.contains("Your files have changed since last time, but every answer still fits."), "{said}");
    assert!(said.contains(&format!("Carrying on with {journal}:")), "{said}");
    assert!(field.read(&journal).starts_with(&before));
    assert_eq!(field.journals("rides").len(), 1);
}

/// A step that is another one refuses it.
#[test]
fn a_changed_step_refuses_an_open_ride() {
    let (field, journal) = ridden(RIDE, "faster\nbetter\n");
    let before = field.read(&journal);
    for (one, other, recorded, now) in [
        (
            "ride 1 lap",
            "ride 2 laps",
            "It asked: lap 1: ride, 1 laps; you said done",
            "It would now ask: ride, 2 laps",
        ),
        (
            "start 10",
            "start 12",
            "It asked: lap 0: set, fork rebound 10 clicks; you said done",
            "It would now ask: set, fork rebound 12 clicks",
        ),
        (
            " say \"Pmup it, then go\"\n",
            "",
            "It asked: lap 1: say, Pmup it, then go; you said done",
            "It would now ask: which way first, fork rebound",
        ),
        (
            "rebound 0",
            "compression 0",
            "It asked: lap 0: set, fork rebound 10 clicks; you said done",
            "It would now ask: set, fork compression 10 clicks",
        ),
    ] {
        let set = RIDE
            .replace(one, other)
            .replace("every rebound", if one == "rebound 0" { "every compression" } else { "every rebound" });
        field.write("set.tune", set);
        let ran = field.run_with(&["ride", "set.tune", "--as-of", MOMENT], "same\n").ends(1);
        let said = unbroken(&ran.err);
        assert!(said.contains(recorded) && said.contains(now), "{other}: {said}");
        assert_eq!(field.read(&journal), before);
    }
}

/// The same journal with every question put through a change, and every checksum made again.
fn spelt(text: &str, change: impl Fn(&mut Question)) -> String {
    let journal = read_journal(text.as_bytes()).unwrap();
    let (mut out, mut check) = write_head(&journal.head);
    for entry in journal.entries {
        let Entry::Answer(mut record) = entry else { panic!() };
        change(&mut record.question);
        let (text, next) = write_record(&record, &check);
        out += &text;
        check = next;
    }
    out
}

/// What a question is called in a file may change: one that was written in other words is gone on with.
#[test]
fn a_journal_in_other_words_is_gone_on_with() {
    let (field, journal) = ridden(RIDE, "faster\nbetter\n");
    let text = field.read(&journal);
    assert_eq!(spelt(&text, |_| {}), text);
    let changed = spelt(&text, |question| {
        question.about = question.about.as_ref().map(|about| about.replace("1 laps", "1 lap"));
        question.ask = question.ask.replace("baseline lap", "reference lap");
        question.to = question.to.as_ref().map(|to| to.replace("clicks", "click"));
    });
    assert!(changed != text && changed.contains("1 lap\""));
    field.write(&journal, &changed);
    let ran = field.run_with(&["ride", "set.tune", "--as-of", MOMENT], "same\nworse\n").ends(0);
    assert!(ran.err.contains(&format!("Carrying on with {journal}:")), "{}", ran.err);
    assert!(!ran.err.contains("have changed since"), "{}", ran.err);
    // and what is not the same is seen all the same
    for (from, to) in [("1 laps", "2 laps"), ("fork rebound 10", "fork rebound 11")] {
        let (field, journal) = ridden(RIDE, "faster\nbetter\n");
        let other = |about: &String| about.replace(from, to);
        let changed =
            spelt(&field.read(&journal), |question| question.about = question.about.as_ref().map(other));
        field.write(&journal, changed);
        let ran = field.run_with(&["ride", "set.tune", "--as-of", MOMENT], "same\nworse\n").ends(1);
        assert!(ran.err.contains(to), "{}", ran.err);
    }
}
