//! What a rider types is never taken for something else: every question with twelve ways of typing
//! two numbers, the outcomes written by hand; then the same at a terminal and in a list.

use std::process::Command;
use std::sync::Arc;

use clickwise::record::Question;
use clickwise::session::{Answer, Ask, Doubt, Extent, Said, Session, Stated, Typed, What};
use clickwise::show;
use proptest::prelude::*;

use crate::support::{Field, program, unbroken};

const SET: &str = "\
bike \"B\"
part fork
  travel 150 mm
  air 40 to 140 psi, start 77 psi, sag 19 to 21 %
  rebound 0 to 20 clicks, start 10
  compression ? turns
part shock
  rebound ? clicks
part front tyre
  pressure 1 to 3 bar by 0.1 bar
loop \"T\"
steps
  record settings
  record temperature
  record altitude
  record \"load\" in kg
  record \"ground\"
  measure every spring
  say \"Go\"
  tune fork rebound
  confirm fork rebound, between open and closed, 1 pair
";

fn session() -> Session {
    session_of(SET)
}

fn session_of(text: &str) -> Session {
    let mut sources = clickwise::problem::Sources::default();
    sources.add("set.tune", text);
    let checked = clickwise::check::check(&sources);
    let plan = checked.plan.unwrap_or_else(|| panic!("{:?}", checked.problems));
    Session::begin(Arc::new(plan), 1)
}

/// What comes of a line: the answer in full, or why it is refused.
fn outcome(session: &Session, line: &str) -> String {
    match session.hear(line, Extent::One) {
        Ok(None) => "nothing".to_owned(),
        Ok(Some(heard)) => match heard.typed {
            Typed::Said(Said { what: What::Answer(answer), .. }) => match session.answer(&answer) {
                Ok(_) => format!("taken as {answer}"),
                Err(mismatch) => show::mismatch(session, &mismatch),
            },
            other => format!("{other:?}"),
        },
        Err(reason) => show::not_read(session, &reason),
    }
}

const WAYS: [&str; 12] = [
    "31 29",
    "31, 29",
    "31,29",
    "31/29",
    "31 and 29",
    "31 mm and 29 mm",
    "31 mm, 29 mm",
    "31 mm 29",
    "31-29",
    "31 to 29",
    "31 & 29",
    "31; 29",
];

/// The kind of the question that is asked, as a journal has it.
fn kind(session: &Session) -> String {
    Question::of(session, &session.ask().unwrap()).ask
}

/// The session at the first question of a name and, where it is about one, of an adjuster or condition.
fn at(name: &str) -> Session {
    let mut session = session();
    loop {
        let ask = session.ask().unwrap_or_else(|| panic!("{name} is not asked"));
        let about = match &ask {
            Ask::Record(condition) => condition.name().to_owned(),
            ask => ask.adjuster().map_or(String::new(), |id| session.adjuster(id).name()),
        };
        if format!("{} {about}", kind(&session)).trim() == name {
            return session;
        }
        let answers =
            ["done", "unknown", "4 turns", "20 clicks", "2 bar", "30 mm", "proof", "skip", "finish", "first"];
        let answers = answers.map(|text| {
            let heard = session.hear(text, Extent::List).ok().flatten()?;
            let Typed::Said(Said { what: What::Answer(answer), .. }) = heard.typed else { return None };
            session.answer(&answer).ok()
        });
        let keeps = matches!(ask, Ask::Lap { .. });
        let mut fits = answers.into_iter().flatten();
        session = if keeps { fits.next_back() } else { fits.next() }.unwrap_or_else(|| panic!("{ask:?}"));
    }
}

#[track_caller]
fn table(name: &str, expected: [&str; 12]) {
    let session = at(name);
    for (way, expected) in WAYS.iter().zip(expected) {
        let outcome = outcome(&session, way);
        assert!(outcome.contains(expected), "{name}, `{way}`: wanted `{expected}`, got `{outcome}`");
        assert!(!outcome.starts_with("taken") || expected.starts_with("taken"), "{name}, `{way}`: {outcome}");
    }
}

#[test]
fn two_numbers_at_a_sag_question_are_two_readings() {
    let both = "taken as 31 mm and 29 mm";
    table(
        "sag fork air",
        [
            both,
            both,
            "type `31.29 mm` or `31 mm and 29 mm`",
            both,
            both,
            both,
            both,
            both,
            "type `31 mm and 29 mm` or `30 mm`",
            "type `31 mm and 29 mm` or `30 mm`",
            both,
            both,
        ],
    );
}

#[test]
fn two_numbers_are_refused_where_one_is_asked_for() {
    let one = |unit: &str| format!("type `31 {unit}` or `29 {unit}`.");
    let later = "One answer at a time: type `31` now, and `29` when you are asked for it.";
    // 31 and 29 are both within the air's range only from 40 on, so the numbers themselves do not fit
    let psi = one("psi");
    table(
        "before fork air",
        [
            &psi,
            "can't be `",
            "type `31.29 psi`",
            &psi,
            &psi,
            "`31 mm` or `29 mm`",
            "is the wrong unit for fork air",
            "`31 mm` or `29 psi`",
            &psi,
            &psi,
            &psi,
            &psi,
        ],
    );
    let clicks = one("clicks");
    // how it was found, then the count; the other way about it cannot be
    let beyond = "it can't be at 31 clicks of 29 clicks";
    table(
        "count shock rebound",
        [
            beyond,
            beyond,
            "type `31 clicks` or `29 clicks`",
            beyond,
            beyond,
            "`31 mm and 29 mm` doesn't answer this question",
            "`31 mm and 29 mm` doesn't answer this question",
            "`31 mm and 29 clicks` doesn't answer this question",
            &clicks,
            &clicks,
            beyond,
            beyond,
        ],
    );
    let bar = one("bar");
    table(
        "fitted now front tyre pressure",
        [
            &bar,
            "can't be `",
            "type `31.29 bar`",
            &bar,
            &bar,
            "`31 mm` or `29 mm`",
            "` is the wrong unit for",
            "`31 mm` or `29 bar`",
            &bar,
            &bar,
            &bar,
            &bar,
        ],
    );
    let kg = one("kg");
    table(
        "record load",
        [
            &kg,
            later,
            "type `31.29 kg`",
            &kg,
            &kg,
            "`31 mm` or `29 mm`",
            "` doesn't answer this question: type",
            "`31 mm` or `29 kg`",
            &kg,
            &kg,
            &kg,
            &kg,
        ],
    );
    for (name, units) in
        [("record temperature", "`31 C` or `31 F`"), ("record altitude", "`31 m` or `31 ft`")]
    {
        let numbers = "type `31` or `29`.";
        table(
            name,
            [
                numbers,
                units,
                "type `31.29`",
                numbers,
                numbers,
                "`31 mm` or `29 mm`",
                "` doesn't answer this question: type",
                "`31 mm` or `29`",
                numbers,
                numbers,
                numbers,
                numbers,
            ],
        );
    }
}

/// A fraction is for turns; 31/29 is none of a quarter turn.
#[test]
fn turns_are_the_only_numbers_with_fractions() {
    let turns = "type `31 turns` or `29 turns`.";
    let unfit = "`31 turns and 29 turns` doesn't answer this question";
    table(
        "count fork compression",
        [
            unfit,
            unfit,
            "type `31 turns` or `29 turns`",
            "` can't be right",
            unfit,
            "` doesn't answer this question: type",
            "` doesn't answer this question: type",
            "` doesn't answer this question: type",
            turns,
            turns,
            unfit,
            unfit,
        ],
    );
    assert_eq!(outcome(&at("count fork compression"), "2 1/4"), "taken as 2 1/4 turns");
    assert_eq!(outcome(&at("count fork compression"), "5/4 turns"), "taken as 1 1/4 turns");
    assert_eq!(
        outcome(&at("count fork compression"), "1 1/4, 2 1/2"),
        "taken as 1 1/4 turns and 2 1/2 turns"
    );
}

/// How an adjuster was found is counted on the way to its end, so both numbers may be told at once; not where
/// it is known already.
#[test]
fn how_it_was_found_and_its_count_are_two_numbers() {
    let count = at("count shock rebound");
    for line in
        ["7, 18", "7 18", "7/18", "7 and 18", "7; 18", "7 clicks and 18 clicks", "7 clicks, 18 \"stiff\""]
    {
        assert_eq!(outcome(&count, line), "taken as 7 clicks and 18 clicks", "{line}");
    }
    assert_eq!(outcome(&count, "18"), "taken as 18 clicks");
    let counted = count.answer(&Answer::Two(clicks(7), clicks(18))).unwrap();
    let rebound = count.plan().bike().ids().find(|id| count.adjuster(*id).name() == "shock rebound").unwrap();
    assert_eq!((counted.before_at(rebound), counted.dial(rebound).unwrap().scale().top()), (Some(7), 18));
    // in a list of answers a comma ends the answer
    let Typed::Said(said) = count.hear("18, 12 C", Extent::List).unwrap().unwrap().typed else { panic!() };
    assert_eq!(said.what, What::Answer(Answer::Told(clicks(18))));
    let Typed::Said(said) = count.hear("7 and 18, 12 C", Extent::List).unwrap().unwrap().typed else {
        panic!()
    };
    assert_eq!(said.what, What::Answer(Answer::Two(clicks(7), clicks(18))));
    // what was found is known
    let mut session = session();
    while let Some(Ask::Before(id)) = session.ask() {
        let known = session.adjuster(id).name() == "shock rebound";
        let answer = if known { Answer::Told(clicks(7)) } else { Answer::Unknown };
        session = session.answer(&answer).unwrap();
    }
    while session.ask() != Some(Ask::Count(rebound)) {
        session = session.answer(&Answer::Told(Stated::Value(4.into(), None))).unwrap();
    }
    assert!(outcome(&session, "7, 18").starts_with("One answer at a time: type `7` now"));
    assert!(session.answer(&Answer::Two(clicks(7), clicks(18))).is_err());
}

fn clicks(count: i128) -> Stated {
    Stated::Value(count.into(), Some(clickwise::physics::Unit::Clicks))
}

/// How the bike was found is told of all adjusters on one line, up to the first that does not fit.
#[test]
fn how_all_adjusters_were_found_is_one_line() {
    let session = session();
    let said = |line: &str| {
        let all = session.all_found(line)?;
        let said: Vec<String> = all.said.iter().map(|(_, said)| said.what.to_string()).collect();
        let trouble = all.trouble.map_or(String::new(), |trouble| show::trouble(&session, &trouble));
        Some((said.join("; "), trouble, all.too_many))
    };
    let whole = |line: &str| {
        let (said, trouble, too_many) = said(line).unwrap();
        assert_eq!((trouble.as_str(), too_many), ("", 0), "{line}");
        said
    };
    // air, rebound, compression, shock rebound, front tyre
    assert_eq!(whole("77, 9, ?, 7, 1.8"), "77 psi; 9 clicks; unknown; 7 clicks; 1.8 bar");
    assert_eq!(
        whole("77 psi, 9 clicks, 1 1/4, unknown, 26 psi"),
        "77 psi; 9 clicks; 1 1/4 turns; unknown; 1.8 bar"
    );
    assert_eq!(whole("77, 9"), "77 psi; 9 clicks");
    assert_eq!(whole("77 , 9,"), "77 psi; 9 clicks");
    let (kept, trouble, _) = said("77, 90, ?, 7, 1.8").unwrap();
    assert_eq!(kept, "77 psi");
    assert!(trouble.contains("fork rebound can't be `90 clicks`"), "{trouble}");
    let (kept, trouble, _) = said("77, 9 7, ?, 7, 1.8").unwrap();
    assert_eq!(kept, "77 psi");
    assert!(trouble.contains("`9 7`"), "{trouble}");
    assert_eq!(said("77, 9, ?, 7, 1.8, 2, 3").unwrap().2, 2);
    // one value, or something else, is heard as any other line
    for line in ["77", "?", "", "u", "q", "77, u", "# 77, 9"] {
        assert_eq!(said(line), None, "{line}");
    }
}

#[test]
fn numbers_are_refused_where_none_is_asked_for() {
    for name in [
        "record ground",
        "say",
        "set",
        "baseline lap fork rebound",
        "which way first fork rebound",
        "lap fork rebound",
        "pairs",
        "helper sets",
        "first lap of a pair",
        "which lap was better",
    ] {
        table(name, ["` doesn't answer this question: "; 12]);
    }
}

/// After these answers, one after the other.
fn after(mut session: Session, answers: &[&str]) -> Session {
    for text in answers {
        let heard = session.hear(text, Extent::List).unwrap().unwrap();
        let Typed::Said(Said { what: What::Answer(answer), .. }) = heard.typed else { panic!("{text}") };
        session = session.answer(&answer).unwrap_or_else(|mismatch| panic!("{text}: {mismatch:?}"));
    }
    session
}

/// The questions that only some rides come to: a second question, a proof lap that is offered and one that
/// is ridden, a spring that is not right.
#[test]
fn numbers_are_refused_at_the_rarer_questions() {
    let narrow = "plan \"P\"\n method narrow\nbike \"B\"\npart fork\n rebound 0 to 20 clicks, start 10\nsteps\n tune fork rebound\n";
    let second = after(session_of(narrow), &["done", "done", "either", "b", "s"]);
    let offered = after(session_of(narrow), &["done", "done", "either", "w", "b", "w"]);
    let air = "bike \"B\"\npart fork\n travel 150 mm\n air 60 to 64 psi by 2 psi, start 62 psi, sag 19 to 21 %\nsteps\n measure every spring\n";
    let stopped = after(session_of(air), &["done", "80 mm", "79 mm"]);
    for (session, word) in [
        (second, "second comparison"),
        (offered.clone(), "trial lap offered"),
        (after(offered, &["trial"]), "trial lap ridden"),
    ] {
        assert_eq!(kind(&session), word);
        for way in WAYS {
            let outcome = outcome(&session, way);
            assert!(outcome.contains("` doesn't answer this question: type"), "{word}, `{way}`: {outcome}");
        }
    }
    assert_eq!(kind(&stopped), "spring not right");
    for way in WAYS {
        // as at the question for a sag: two readings, or what to type
        assert_eq!(outcome(&stopped, way), outcome(&at("sag fork air"), way), "{way}");
    }
}

/// Positions with names have no numbers.
#[test]
fn numbers_are_refused_where_a_name_is_asked_for() {
    let lever =
        "bike \"B\"\npart fork\n lockout open or half or closed\nsteps\n record settings\n say \"Go\"\n";
    let session = session_of(lever);
    assert_eq!(kind(&session), "before");
    for way in WAYS {
        let outcome = outcome(&session, way);
        assert!(!outcome.starts_with("taken"), "`{way}`: {outcome}");
    }
    assert_eq!(outcome(&session, "half"), "taken as half");
    for (line, expected) in [
        ("open or closed", "` is not an answer"),
        ("open and half", "` is not an answer"),
        ("open, closed", "` is not an answer"),
    ] {
        assert!(outcome(&session, line).contains(expected), "`{line}`: {}", outcome(&session, line));
    }
}

#[test]
fn each_further_way_of_typing_two_readings_is_decided() {
    let sag = at("sag fork air");
    for line in [
        "31, 29 mm",
        "31mm,29mm",
        "31 mm 29 mm",
        "31 + 29",
        "31mm/29mm",
        "31 mm / 29 mm",
        "3.1 cm and 29",
        "31 ,29",
        "31 mm and 29 mm \"seated\"",
        "31 mm; 29 mm",
        "31mm29mm",
        "31 AND 29",
        "31 mm and 29 mm # twice",
    ] {
        assert_eq!(outcome(&sag, line), "taken as 31 mm and 29 mm", "{line}");
    }
    for (line, expected) in [
        ("26/24 mm", "taken as 26 mm and 24 mm"),
        ("26/24", "taken as 26 mm and 24 mm"),
        ("20/21 %", "taken as 20 % and 21 %"),
        ("22", "taken as 22 mm"),
        ("1.2 in", "taken as 30.48 mm"),
        ("1.2\"", "taken as 30.48 mm"),
        ("31,5 mm", "`31,5 mm` is not clear here: type `31.5 mm`."),
        ("31 1/2 mm", "`31 1/2 mm` is not clear here: type `31.5 mm`."),
        ("31 or 29", "type `31 mm and 29 mm` or `30 mm`"),
        ("31 29 30", "Type `31 mm and 29 mm`, not `31 29 30`"),
        ("31, 29, 30", "Type `31 mm and 29 mm`, not `31, 29, 30`"),
        ("31 mm and 29 mm, 30 mm and 28 mm", "One answer at a time"),
        ("38 mm, finish", "One answer at a time: type `38 mm` now, and `finish` when"),
        ("rode 80: 31/29", "taken as at 80 psi: 31 mm and 29 mm"),
        ("rode 5.5 bar: 31, 29", "taken as at 80 psi: 31 mm and 29 mm"),
        ("r 80 psi: 30 mm", "taken as at 80 psi: 30 mm"),
    ] {
        let outcome = outcome(&sag, line);
        assert!(outcome.contains(expected), "`{line}`: wanted `{expected}`, got `{outcome}`");
    }
}

#[test]
fn every_other_unit_of_the_same_kind_is_converted() {
    for (question, line, expected) in [
        ("fitted now front tyre pressure", "28 psi", "taken as 1.9 bar"),
        ("fitted now front tyre pressure", "190 kPa", "taken as 1.9 bar"),
        ("fitted now front tyre pressure", "90 psi", "can't be `"),
        ("before fork air", "5.5 bar", "taken as 80 psi"),
        ("before fork rebound", "9", "taken as 9 clicks"),
        ("record temperature", "68 F", "taken as 68 F"),
        ("record temperature", "20 °C", "taken as 20 C"),
        ("record altitude", "1.2 km", "taken as 1200 m"),
        ("record altitude", "3900 ft", "taken as 3900 ft"),
        ("record altitude", "1,200 m", "type `1.2 m` or `1200 m`"),
        ("record load", "10 lb", "taken as 4.535924 kg"),
        ("record load", "12", "taken as 12 kg"),
        ("lap fork rebound", "rode 6: better", "taken as rode 6 clicks: better"),
    ] {
        let outcome = outcome(&at(question), line);
        assert!(outcome.contains(expected), "{question}, `{line}`: wanted `{expected}`, got `{outcome}`");
    }
}

#[test]
fn one_line_is_one_answer() {
    let lap = at("lap fork rebound");
    for line in ["b, w", "b w", "b,w", "b, quit", "worse ?", "rode 6: b, w"] {
        assert!(outcome(&lap, line).contains("One answer at a time"), "{line}: {}", outcome(&lap, line));
    }
    assert_eq!(outcome(&lap, "b \"grips, but not in the wet\""), "taken as better");
    assert_eq!(outcome(&lap, "cannot tell"), "taken as cannot tell");
}

#[test]
fn odd_sags_are_doubted_and_usual_ones_are_not() {
    let sag = at("sag fork air");
    let doubt = |line: &str| {
        let Typed::Said(Said { what: What::Answer(answer), .. }) =
            sag.hear(line, Extent::One).unwrap().unwrap().typed
        else {
            panic!("{line}")
        };
        sag.doubt(&answer)
    };
    assert_eq!(doubt("30 mm"), None);
    assert_eq!(doubt("31 and 29"), None);
    assert_eq!(doubt("2.9 mm"), Some(Doubt::Little));
    assert_eq!(doubt("91 mm"), Some(Doubt::Much));
    // a tenth of 150 mm is 15
    assert_eq!(doubt("38 and 23"), None);
    assert!(matches!(doubt("38 and 22.9"), Some(Doubt::Apart(_))));
}

/// From the soft end of 60 to 80 psi more than ten of the twenty positions are more than half of the range.
#[test]
fn a_change_of_more_than_half_the_range_is_doubted() {
    let text = "bike \"B\"\npart fork\n  travel 150 mm\n  air 60 to 80 psi by 1 psi, start 60 psi, sag 19 to 21 %\nsteps\n  measure every spring\n";
    let sag = session_of(text).answer(&Answer::Done).unwrap();
    let far = |millimetres: i128| {
        let told =
            clickwise::session::Stated::Value(millimetres.into(), Some(clickwise::physics::Unit::Millimetre));
        sag.doubt(&Answer::Told(told))
    };
    assert!(matches!(far(40), Some(Doubt::Far { from: 0, to: 11.., .. })), "{:?}", far(40));
    assert_eq!(far(33), None);
    // of a few listed coils the next is soon half of the list away
    let coils = text.replace(
        "air 60 to 80 psi by 1 psi, start 60 psi",
        "coil 30 or 35 or 40 or 45 or 50 lb/in, start 30 lb/in",
    );
    let sag = session_of(&coils).answer(&Answer::Done).unwrap();
    let told = clickwise::session::Stated::Value(55.into(), Some(clickwise::physics::Unit::Millimetre));
    let next = sag.answer(&Answer::Told(told.clone())).unwrap().ask();
    assert!(matches!(next, Some(Ask::Sag { fit, .. }) if fit.to == 4), "{next:?}");
    assert_eq!(sag.doubt(&Answer::Told(told)), None);
}

const SPRING: &str = "\
bike \"B\"
part fork
  travel 160 mm
  air 40 to 120 psi, start 77 psi, sag 19 to 21 %
steps
  measure every spring
";

#[test]
fn a_list_is_read_by_its_question() {
    let journal = |answers: &str, status: i32| {
        let field = Field::with(&[("set.tune", SPRING), ("a.txt", answers)]);
        let ran = field
            .run(&["ride", "set.tune", "--answers", "a.txt", "--journal", "j.toml", "--settings", "s.toml"])
            .ends(status);
        let kept: Vec<String> = field
            .read("j.toml")
            .lines()
            .filter(|line| line.starts_with("answer = "))
            .map(str::to_owned)
            .collect();
        (kept.last().cloned().unwrap_or_default(), unbroken(&ran.err))
    };
    let (kept, screen) = journal("38 mm, 36 mm\n", 4);
    assert_eq!(kept, "answer = \"38 mm and 36 mm\"");
    assert!(screen.contains("line 1: Understood as 38 mm and 36 mm, so 37 mm (23.1 %)."), "{screen}");
    let (kept, _) = journal("38 mm\n36 mm\n", 4);
    assert_eq!(kept, "answer = \"36 mm\"");
    let (kept, screen) = journal("38 mm, 20 mm\n", 1);
    assert_eq!(kept, "", "nothing of it is taken");
    assert!(screen.contains("give one sag reading, or two at the same setting."), "{screen}");
    assert!(screen.contains("line 1: Type `38 mm and 20 mm`, not `38 mm, 20 mm`"), "{screen}");
    let (kept, screen) = journal("26/24 mm\n", 4);
    assert_eq!(kept, "answer = \"26 mm and 24 mm\"");
    assert!(!screen.contains("53 psi"), "{screen}");
    let (_, screen) = journal("2.5 mm\n", 4);
    assert!(
        screen.contains("line 1: Understood as 2.5 mm (1.6 %). That is less than 2 % of the travel."),
        "{screen}"
    );
}

#[test]
fn a_terminal_echoes_asks_again_and_takes_one_answer() {
    let field = Field::with(&[("set.tune", SPRING)]);
    let script = format!(
        "stty cols 38 rows 20 -echo; exec '{}' ride set.tune --journal j.toml --settings s.toml",
        program().display()
    );
    let mut command = Command::new("sh");
    command.args(["-c", &script]).current_dir(field.path(".")).env("LANG", "C").env("NO_COLOR", "1");
    let mut session = rexpect::session::spawn_command(command, Some(20_000)).unwrap();
    let mut screen = session.exp_string("> ").unwrap();
    for (typed, expected) in [
        ("", "Set the bike"),
        ("", "Sag, reading 1"),
        ("40 mm, finish", "One answer at a time: type `40 mm` now, and `finish`"),
        ("31-29", "type `31 mm and 29 mm` or `30 mm`."),
        ("2.6 mm", "That is less than 2 % of the travel. Press Enter if that is right"),
        ("110", "Understood as 110 mm (68.8 %). That is more than 60 % of the travel."),
        ("38, 36", "Understood as 38 mm and 36 mm, so 37 mm (23.1 %)."),
        ("u", "Undone: 38 mm and 36 mm"),
        ("100", "more than 60 %"),
        ("", "Sag, reading 2"),
    ] {
        session.send_line(typed).unwrap();
        let before = std::mem::replace(&mut screen, session.exp_string("> ").unwrap());
        if typed.is_empty() && !unbroken(&screen).contains(expected) && unbroken(&before).contains(expected) {
            continue;
        }
        assert!(unbroken(&screen).contains(expected), "{typed:?} should show {expected:?}:\n{screen}");
        for line in screen.lines() {
            assert!(line.trim_end_matches('\r').chars().count() <= 38, "too long: {line}");
        }
    }
    session.send_line("q").unwrap();
    session.exp_eof().unwrap();
    let journal = field.read("j.toml");
    assert!(journal.contains("answer = \"38 mm and 36 mm\"") && journal.contains("answer = \"100 mm\""));
    assert!(!journal.contains("2.6 mm") && !journal.contains("110 mm"), "what is doubted is not taken");
}

/// A journal from before has a bare number; the whole list given again is still the same ride.
#[test]
fn a_journal_with_bare_numbers_is_still_repeated() {
    let session = at("before fork rebound");
    let told = |unit| Answer::Told(clickwise::session::Stated::Value(9.into(), unit));
    let (bare, full) = (told(None), told(Some(clickwise::physics::Unit::Clicks)));
    assert_eq!(session.answer(&bare), session.answer(&full));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_line_is_read_without_harm_and_read_back_as_it_is_written(
        line in "(used |r |b|w|[0-9]{1,4}|31|29| |, |,|/|-|;|&|\\+|:|\"|#| mm| psi| %| and | to |in|\\.|°|é|.){0,9}",
        extent in prop_oneof![Just(Extent::One), Just(Extent::List)],
    ) {
        for name in ["before fork air", "count fork compression", "fitted now front tyre pressure", "record altitude", "sag fork air", "lap fork rebound"] {
            let session = at(name);
            let Ok(Some(heard)) = session.hear(&line, extent) else { continue };
            prop_assert!(line.ends_with(&heard.left) || heard.left.is_empty());
            let Typed::Said(Said { what: What::Answer(answer), .. }) = heard.typed else { continue };
            let _ = session.doubt(&answer);
            if session.answer(&answer).is_err() { continue; }
            let written = answer.to_string();
            if written.starts_with('"') { continue; }
            let back = clickwise::session::read_answers(&written);
            prop_assert_eq!(back.ok(), Some(vec![Typed::Said(Said::answer(answer))]), "{}", written);
        }
    }
}
