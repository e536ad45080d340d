//! Pairs of laps, start against found: what so many can show, what the rider may see, that the order
//! stays.

use std::process::Command;

use clickwise::plan::MOST_LAPS_OF_A_TUNE;
use clickwise::session::{Answer, Ask, OfPair, Session, Truth};
use clickwise::show::{self, Look};

use crate::support::{Field, MOMENT, program, setting, unbroken};
use crate::tables::plan_of;

fn plan(step: &str) -> String {
    format!(
        "plan \"P\"\n  method cross-out\nbike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10\n  compression 0 to 20 clicks, start 10\nsteps\n  ride 2 laps\n  tune fork rebound, try faster first\n  tune fork compression, try softer first\n  {step}\n"
    )
}

/// The answers of the tunes: rebound settles at 9, compression at 11.
const TUNED: &str = "w, w, b\nw, w, w\n";

const LOOK: Look = Look { width: 80, colour: false, unicode: false };

/// A session at the first question about pairs, with rebound found at 9 and compression at 11.
fn at_the_pairs(step: &str, seed: u64) -> Session {
    use clickwise::search::Verdict::{Better, Worse};
    use clickwise::session::Felt;
    let mut verdicts = [Worse, Worse, Better, Worse, Worse, Worse].into_iter();
    let mut session = Session::begin(plan_of(&plan(step)), seed);
    loop {
        let answer = match session.ask().expect("pairs are due") {
            Ask::Pairs { .. } => return session,
            Ask::Lap { .. } => Answer::Felt(Felt::Verdict(verdicts.next().unwrap())),
            _ => Answer::Done,
        };
        session = session.answer(&answer).unwrap();
    }
}

/// Rides all pairs, so many of them for the found setting; what is told then.
fn told(step: &str, for_found: u32) -> String {
    let mut session = at_the_pairs(step, 3);
    let order = session.order();
    let mut pair = 0;
    while let Some(
        ask @ (Ask::Pairs { .. } | Ask::Swap { .. } | Ask::FirstOfPair { .. } | Ask::Which { .. }),
    ) = session.ask()
    {
        let answer = if let Ask::Which { .. } = ask {
            let found_is_second = order[pair];
            pair += 1;
            let is_found = u32::try_from(pair).unwrap() <= for_found;
            Answer::Which(if is_found == found_is_second { OfPair::Second } else { OfPair::First })
        } else {
            Answer::Done
        };
        session = session.answer(&answer).unwrap();
    }
    unbroken(&show::news(&session, 80).join("\n"))
}

/// Sources: ISO 5495:2005, Table A.1, and for fewer than ten ISO 10399, Table A.1; two-sided the
/// binomial distribution, computed with scipy.
#[test]
fn the_least_agreeing_answers_of_the_standards_decide() {
    let one_sided = [
        (6, 6),
        (7, 7),
        (8, 7),
        (9, 8),
        (10, 9),
        (11, 9),
        (12, 10),
        (13, 10),
        (14, 11),
        (15, 12),
        (16, 12),
        (17, 13),
        (18, 13),
        (19, 14),
        (20, 15),
        (21, 15),
        (22, 16),
        (36, 24),
        (40, 26),
        (44, 28),
        (48, 31),
        (52, 33),
        (56, 35),
        (60, 37),
        (64, 40),
    ];
    let decides = |step: &str, agreeing| told(step, agreeing).contains("probably real");
    for (pairs, least) in one_sided {
        let step = format!("confirm fork rebound, blind, {pairs} pairs");
        assert!(decides(&step, least) && !decides(&step, least - 1), "{pairs}");
        assert!(
            told(&step, least)
                .contains(&format!("fork rebound: you chose the new setting in {least} of {pairs} pairs"))
        );
        // the start may have been better, and that is not taken for the found setting
        assert!(told(&step, 0).contains("You chose the start more often"), "{pairs}");
    }
    for (pairs, least) in [(6, 6), (7, 7), (8, 8), (9, 8), (10, 9), (12, 10), (15, 12), (20, 15)] {
        let step = format!("confirm fork rebound, between 4 clicks and 8 clicks, {pairs} pairs");
        assert!(decides(&step, least) && !decides(&step, least - 1), "{pairs}");
        assert!(
            decides(&step, pairs - least) && !decides(&step, pairs - least + 1),
            "{pairs}, the other way"
        );
    }
    assert!(!decides("confirm fork rebound, 4 pairs", 4));
    assert!(told("confirm fork rebound, 4 pairs", 4).contains("That is too few pairs to show anything."));
}

#[test]
fn before_the_first_pair_it_is_said_what_so_many_can_show() {
    let begin = |step: &str| {
        let session = at_the_pairs(step, 0);
        unbroken(&show::question(&session, &Truth::default(), &session.ask().unwrap(), LOOK).join("\n"))
    };
    let five = begin("confirm everything, blind");
    assert!(five.contains("fork rebound: 10 clicks or 9 clicks from closed"), "{five}");
    assert!(five.contains("fork compression: 10 clicks or 11 clicks from closed"), "{five}");
    assert!(five.contains("5 pairs, 10 laps."), "{five}");
    assert!(five.contains("It takes 5 of 5 for the new setting to show a difference: guessing alone gets there about 3 times in 100."), "{five}");
    assert!(
        five.contains(
            "prefer the new setting 7, 8 or 9 times in 10, you get there about 17, 33 or 59 times in 100."
        ),
        "{five}"
    );
    assert!(five.contains("8 pairs would be better."), "{five}");
    let eight = begin("confirm everything, blind, 8 pairs");
    assert!(eight.contains("It takes 7 of 8") && !eight.contains("would be better"), "{eight}");
    let four = begin("confirm everything, 4 pairs");
    assert!(
        four.contains("That is too few pairs to show anything: guessing alone would give 4 of 4"),
        "{four}"
    );
    let between = begin("confirm every rebound, between 4 clicks and 8 clicks, 5 pairs");
    assert!(
        between.contains("guessing alone would give 5 of 5 one way or the other about 6 times in 100"),
        "{between}"
    );
    // where the plan does not say how many: the fewest that can show something
    let silent = begin("confirm every rebound, between 4 clicks and 8 clicks");
    assert!(silent.contains("It takes 6 of 6 for one of the two settings to show a difference"), "{silent}");
}

/// All that a rider sees of a blind comparison: every question, what is told, help, and the screens of
/// leaving and going on at every moment. The second person's lines are apart.
fn seen_by_the_rider(seed: u64) -> (Vec<bool>, String, String) {
    let mut session = at_the_pairs("confirm everything, blind, 6 pairs", seed);
    let order = session.order();
    let (mut seen, mut second) = (String::new(), String::new());
    let mut count = 0;
    while let Some(ask) = session.ask() {
        if matches!(ask, Ask::Fit { .. }) {
            break;
        }
        for lines in [
            show::question(&session, &Truth::default(), &ask, LOOK),
            show::help(&ask, 80),
            show::standing(&session, 80),
            show::parting(&session, &Truth::default(), 80),
            show::settings(session.plan(), &session.so_far(), 80),
            vec![
                show::recorded(&clickwise::record::Question::of(&session, &ask)),
                show::asked(&session, &ask),
                show::what_to_do(&session, &session.wanted(&ask)),
            ],
        ] {
            seen += &(lines.join("\n") + "\n");
        }
        second += &show::for_the_second_person(&session, &ask, 80).join("\n");
        let answer = match ask {
            Ask::Which { .. } => {
                count += 1;
                Answer::Which(if count % 2 == 0 { OfPair::First } else { OfPair::Second })
            }
            _ => Answer::Done,
        };
        session = session.answer(&answer).unwrap();
        if count < 6 {
            seen += &(show::news(&session, 80).join("\n") + "\n");
        }
    }
    (order, seen, second)
}

#[test]
fn nothing_that_the_rider_sees_tells_the_order() {
    let rides: Vec<_> = (0..40).map(seen_by_the_rider).collect();
    let (order, seen, second) = &rides[0];
    assert!(seen.contains("pair 3 of 6") && second.contains("fork rebound: 9 clicks from closed"));
    let other = rides.iter().filter(|ride| ride.0 != *order);
    let opposite = rides.iter().any(|ride| ride.0.iter().zip(order).all(|(one, other)| one != other));
    assert!(other.count() > 30 && opposite, "the orders differ");
    for (other, seen_then, second_then) in &rides {
        assert_eq!(seen_then, seen);
        assert_eq!(second_then == second, other == order);
        // as many pairs begin with one as with the other
        assert_eq!(other.iter().filter(|first| **first).count(), 3);
    }
}

#[test]
fn a_sheet_keeps_the_order_off_the_screen_and_a_resumed_ride_keeps_the_order() {
    let field = Field::with(&[("set.tune", &plan("confirm everything, blind, 6 pairs"))]);
    let mut screens = Vec::new();
    let mut sheets = Vec::new();
    for seed in ["1", "2", "3"] {
        let _ = std::fs::remove_file(field.path("j.ride.toml"));
        let arguments =
            ["ride", "set.tune", "--journal", "j.ride.toml", "--settings", "s.toml", "--sheet", "order.txt"];
        let seeded = [&arguments[..], &["--seed", seed, "--as-of", MOMENT]].concat();
        let first = field.run_with(&seeded, format!("{TUNED}first\nsecond\n")).ends(4);
        let sheet = field.read("order.txt");
        assert!(sheet.starts_with("For your helper only.") && sheet.contains("Pair 6, second lap"));
        // the seed is the journal's, whatever is named later
        let again = [&arguments[..], &["--seed", "99", "--as-of", MOMENT]].concat();
        let rest = field.run_with(&again, "first\nfirst\nsecond\nsecond\n").ends(0);
        assert_eq!(field.read("order.txt"), sheet);
        assert!(!first.err.contains("Helper only. Pair") && !first.err.contains("confirmed"));
        let told = rest.err.find("you chose the new setting").unwrap();
        screens.push((first.err, rest.err[..told - 60].to_owned()));
        sheets.push(sheet);
    }
    assert!(screens.iter().all(|screen| *screen == screens[0]), "{screens:?}");
    assert!(sheets.iter().any(|sheet| *sheet != sheets[0]));
}

#[test]
fn what_came_out_stands_in_the_settings_of_all_that_was_compared() {
    let field = Field::with(&[("set.tune", &plan("confirm everything, blind, 5 pairs"))]);
    let ran = field.ride(&["set.tune"], &format!("{TUNED}first, second, 1, 2, first")).ends(0);
    let confirmed = |knob: &str| setting(&ran.out, &["fork", knob, "confirmed"]);
    assert_eq!(confirmed("rebound"), confirmed("compression"));
    assert_eq!(confirmed("rebound").as_array().unwrap()[1].as_integer(), Some(5));
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(9));
    assert!(ran.err.contains("of 5 pairs"), "{}", ran.err);
}

#[test]
fn pairs_that_cannot_be_ridden_are_left_out_and_said() {
    let field = Field::with(&[("set.tune", &plan("confirm fork rebound"))]);
    // crossing out settles at the start
    let ran = field.ride(&["set.tune"], "w, w, s\nw, w, w").ends(0);
    assert!(unbroken(&ran.err).contains("No pairs for fork rebound"), "{}", ran.err);
    let short =
        plan("confirm fork rebound").replace("method cross-out", "method cross-out\n  at most 12 laps");
    let field = Field::with(&[("set.tune", &short)]);
    let ran = field.ride(&["set.tune"], TUNED).ends(0);
    let said = "5 pairs need 10 laps and the plan has only 5 left, so skip the pairs.";
    assert!(unbroken(&ran.err).contains(said), "{}", ran.err);
    // a void lap has its pair begun again
    let session = at_the_pairs("confirm fork rebound, 2 pairs", 1);
    let steps = [Answer::Done, Answer::Done, Answer::Done, Answer::Done, Answer::Void];
    let voided = steps.iter().fold(session, |session, answer| session.answer(answer).unwrap());
    assert!(
        matches!(voided.ask(), Some(Ask::Swap { pair: 1, lap: OfPair::First, .. })),
        "{:?}",
        voided.ask()
    );
}

#[test]
fn at_a_terminal_the_second_persons_lines_are_on_a_screen_of_their_own() {
    let field = Field::with(&[("set.tune", &plan("confirm fork rebound, blind, 5 pairs"))]);
    let script = format!(
        "stty cols 38 rows 30 -echo; exec '{}' ride set.tune --settings s.toml --seed 4",
        program().display()
    );
    let mut command = Command::new("sh");
    command.args(["-c", &script]).current_dir(field.path(".")).envs([
        ("NO_COLOR", "1"),
        ("LANG", "C"),
        ("TERM", "xterm"),
    ]);
    let mut session = rexpect::session::spawn_command(command, Some(20_000)).unwrap();
    let mut tuned =
        TUNED.split_whitespace().map(|word| word.trim_end_matches(',')).collect::<Vec<_>>().into_iter();
    let mut rider = String::new();
    let mut handed = 0;
    loop {
        let screen = session.exp_string("> ").unwrap();
        let plain = unbroken(&screen);
        if plain.contains("Helper only. Pair") {
            let (before, hidden) = screen.split_once("\u{1b}[?1049h").unwrap();
            assert!(before.trim().is_empty() && hidden.contains("fork rebound:"), "{screen:?}");
            handed += 1;
            session.send_line("").unwrap();
            continue;
        }
        // what was shown to the second person is gone before anything else is written
        let mine = screen.strip_prefix("\u{1b}[?1049l").unwrap_or(&screen);
        assert!(!mine.contains('\u{1b}'), "{screen:?}");
        assert!(mine.lines().all(|line| line.trim_end_matches('\r').chars().count() <= 38), "{mine}");
        rider += mine;
        if plain.contains("the setting The second person") {
            session.send_line("").unwrap();
        } else if plain.contains("1 first 2 second") {
            session.send_line("1").unwrap();
            if plain.contains("pair 5 of 5") {
                break;
            }
        } else if plain.contains("b better") {
            session.send_line(tuned.next().unwrap()).unwrap();
        } else {
            session.send_line("").unwrap();
        }
    }
    let rest = session.exp_eof().unwrap();
    assert!(unbroken(&rest).contains("of 5 pairs"), "{rest}");
    assert_eq!(handed, 10);
    let pairs = &rider[rider.find("Back-to-back test").unwrap()..];
    assert!(!pairs[pairs.find("Pair 1,").unwrap()..].contains("clicks from"), "{pairs}");
}

#[test]
fn a_void_second_lap_costs_both_laps_of_its_pair() {
    let mut session = at_the_pairs("confirm fork rebound, 8 pairs", 0);
    let before = session.taken().laps;
    while let Some(ask) = session.ask() {
        let answer = if matches!(ask, Ask::Which { .. }) { Answer::Void } else { Answer::Done };
        session = session.answer(&answer).unwrap();
    }
    // after as many void laps as a tune may have at most, the pairs end
    assert_eq!(session.taken().laps - before, MOST_LAPS_OF_A_TUNE);
}

#[test]
fn a_void_first_lap_costs_only_itself() {
    let mut session = at_the_pairs("confirm fork rebound, 8 pairs", 0);
    let before = session.taken().laps;
    while let Some(ask) = session.ask() {
        let answer = if matches!(ask, Ask::FirstOfPair { .. }) { Answer::Void } else { Answer::Done };
        session = session.answer(&answer).unwrap();
    }
    assert_eq!(session.taken().laps - before, MOST_LAPS_OF_A_TUNE);
}

/// What pairs have confirmed is confirmed no more once it is changed, by whatever step.
#[test]
fn what_is_changed_is_confirmed_no_more() {
    use clickwise::search::Verdict;
    use clickwise::session::Felt;
    let confirmed_after = |step: &str| {
        let mut session = at_the_pairs(&format!("confirm fork rebound, 2 pairs\n  {step}"), 0);
        while let Some(ask) = session.ask() {
            let answer = match ask {
                Ask::Which { .. } => Answer::Which(OfPair::First),
                Ask::Lap { .. } => Answer::Felt(Felt::Verdict(Verdict::Worse)),
                _ => Answer::Done,
            };
            session = session.answer(&answer).unwrap();
        }
        session.so_far().adjusters[0].confirmed.map(|confirmed| confirmed.1)
    };
    assert_eq!(confirmed_after("say \"Done\""), Some(2));
    assert_eq!(confirmed_after("set fork compression to 3 clicks"), Some(2));
    assert_eq!(confirmed_after("set fork rebound to 3 clicks"), None);
    assert_eq!(confirmed_after("tune fork rebound, within 1 click"), None);
    assert_eq!(confirmed_after("set fork compression to 3 clicks\n  revisit fork rebound"), None);
}
