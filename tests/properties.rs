//! What holds for every plan and every ride, tried on thousands of drawn ones.

use std::sync::Arc;

use clickwise::physics::Unit;
use clickwise::plan::{AdjusterId, Measure, Plan, Reading, Step};
use clickwise::search::Verdict;
use clickwise::session::{Answer, Ask, Felt, OfPair, Round, Session, Stated, What, Why, replay, standing};
use proptest::prelude::*;

/// A drawn set, as text.
fn set() -> impl Strategy<Value = String> {
    let scale = prop_oneof![
        (1_u32..40).prop_map(|top| format!("0 to {top} clicks")),
        (1_u32..40).prop_map(|top| format!("0 to {top} clicks, counted from open")),
        (1_u32..5).prop_map(|top| format!("0 to {top} turns")),
        Just("? clicks".to_owned()),
        Just("? turns, counted from open".to_owned()),
        Just("soft or mid or hard".to_owned()),
        (0_u32..15, 15_u32..30)
            .prop_map(|(start, top)| format!("0 to {top} clicks, start {start}, step 3 clicks")),
    ];
    let steps = prop::collection::vec(
        prop_oneof![
            Just("tune every rebound".to_owned()),
            Just("tune every compression, try firmer first".to_owned()),
            (1_u32..10).prop_map(|laps| format!("tune every rebound, at most {laps} laps")),
            Just("tune shock compression, within 2 clicks, if fitted".to_owned()),
            Just("tune every rebound, method cross-out".to_owned()),
            Just("tune every rebound, method narrow".to_owned()),
            Just("tune fork air, method narrow, at most 7 laps, if fitted".to_owned()),
            Just("tune every compression, method narrow, within 1 position".to_owned()),
            Just("revisit every rebound".to_owned()),
            Just("revisit every compression".to_owned()),
            Just("confirm everything, blind, 2 pairs".to_owned()),
            Just("confirm every rebound".to_owned()),
            Just("confirm every compression, between open and closed, 3 pairs".to_owned()),
            Just("set every compression to closed".to_owned()),
            Just("set every rebound to middle".to_owned()),
            Just("set every rebound to start".to_owned()),
            (1_u32..4).prop_map(|laps| format!("ride {laps} laps")),
            Just("record settings".to_owned()),
            Just("measure every spring".to_owned()),
            Just("tune fork air, at most 6 laps, if fitted".to_owned()),
            Just("record temperature".to_owned()),
            Just("record \"ground\"".to_owned()),
            Just("say \"Go\"".to_owned()),
        ],
        1..7,
    );
    let budget =
        prop_oneof![Just(String::new()), (1_u32..30).prop_map(|laps| format!("  at most {laps} laps\n"))];
    let spring = prop_oneof![
        Just(" air 44 to 120 psi, sag 18 to 22 %\n".to_owned()),
        (44_u32..120).prop_map(|start| format!(" air 44 to 120 psi, start {start} psi\n")),
        Just(" air 3 to 8 bar, start 5 bar, sag 25 to 33 mm\n".to_owned()),
        Just(" air 300 to 800 kPa by 10 kPa, start 450 kPa at 60 kg, 650 kPa at 90 kg\n".to_owned()),
        Just(" coil 300 or 350 or 425 or 500 lb/in, sag 19 to 21 %\n preload 0 to 4 mm\n".to_owned()),
        Just(" coil 70 or 80 or 90 N/mm, start 80 N/mm\n".to_owned()),
        Just(String::new()),
    ];
    let scales = (scale.clone(), scale.clone(), scale);
    (scales, spring, steps, budget).prop_map(|((first, second, third), spring, mut steps, budget)| {
        // what is recorded may be recorded once
        let mut seen = Vec::new();
        steps.retain(|step: &String| {
            let again = step.starts_with("record") && seen.contains(step);
            seen.push(step.clone());
            !again
        });
        steps.push("say \"Done\"".to_owned());
        format!(
            "plan \"P\"\n{budget}rider \"R\"\n weight 70 kg\nbike \"B\"\npart fork\n travel 160 mm\n{spring} rebound {first}\n compression {second}\npart shock\n rebound {third}\n compression 0 to 12 clicks\nsteps\n  {}\n",
            steps.join("\n  ")
        )
    })
}

fn plan_of(text: &str) -> Arc<Plan> {
    let mut sources = clickwise::problem::Sources::default();
    sources.add("set.tune", text);
    let checked = clickwise::check::check(&sources);
    Arc::new(checked.plan.unwrap_or_else(|| panic!("{:?}\n{text}", checked.problems)))
}

/// An answer that fits a question, chosen by a number.
fn fitting(session: &Session, ask: &Ask, choice: u8) -> Answer {
    let number = |number: u32| Answer::Told(Stated::Value(i128::from(number).into(), None));
    let felt = |choice: u8| match choice % 4 {
        0 => Felt::Verdict(Verdict::Better),
        1 => Felt::Verdict(Verdict::Worse),
        2 => Felt::Verdict(Verdict::Same),
        _ => Felt::CannotTell,
    };
    match ask {
        Ask::Before(_) => Answer::Unknown,
        Ask::Count(_) => number(u32::from(choice % 15) + 1),
        Ask::InNow(id) => told(session, *id, u32::from(choice)),
        Ask::Sag { fit, .. } => {
            let sag = |mm: u8| Stated::Value(i128::from(mm).into(), Some(Unit::Millimetre));
            match choice {
                0..=160 => Answer::Told(sag(choice)),
                161..=200 => Answer::Two(sag(choice - 130), sag(choice - 120)),
                201..=240 => {
                    let Answer::Told(other) = told(session, fit.adjuster, u32::from(choice)) else {
                        panic!()
                    };
                    Answer::SagAt(other, sag(choice - 190), None)
                }
                _ => Answer::Finish,
            }
        }
        Ask::Stop { .. } if choice < 100 => {
            Answer::Told(Stated::Value(i128::from(choice).into(), Some(Unit::Millimetre)))
        }
        Ask::Stop { .. } => Answer::RideAnyway,
        Ask::Record(_) => Answer::Unknown,
        Ask::Say(_) | Ask::Fit { .. } | Ask::Ride { .. } => Answer::Done,
        Ask::Trial { .. } if choice < 120 => Answer::Trial,
        Ask::Pairs { .. } | Ask::Trial { .. } if choice > 230 => Answer::Skip,
        Ask::FirstOfPair { .. } | Ask::Which { .. } if choice > 240 => Answer::Void,
        Ask::Which { .. } if choice < 120 => Answer::Which(OfPair::First),
        Ask::Which { .. } => Answer::Which(OfPair::Second),
        Ask::Swap { .. } if choice > 250 => Answer::Finish,
        Ask::Trial { .. } | Ask::Pairs { .. } | Ask::Swap { .. } | Ask::FirstOfPair { .. } => Answer::Done,
        Ask::Lap { round: Round::Second, .. } => match choice {
            0..=230 => Answer::Felt(felt(choice)),
            231..=250 => Answer::Skip,
            _ => Answer::Finish,
        },
        Ask::Lap { round: Round::Trial, .. } => match choice {
            0..=230 => Answer::Felt(felt(choice)),
            231..=250 => Answer::Void,
            _ => Answer::Finish,
        },
        Ask::Baseline(_) if choice > 240 => Answer::Finish,
        Ask::Baseline(_) if choice > 200 => Answer::Void,
        Ask::Baseline(_) => Answer::Done,
        Ask::Way(id) => match choice % 3 {
            0 => Answer::Way(None),
            1 => Answer::Way(Some(session.adjuster(*id).rising())),
            _ => Answer::Way(Some(session.adjuster(*id).rising().opposite())),
        },
        Ask::Lap { fit, .. } => {
            let Answer::Told(told) = told(session, fit.adjuster, u32::from(choice)) else { panic!() };
            match choice {
                0..=199 => Answer::Felt(felt(choice)),
                200..=219 => Answer::Void,
                220..=250 => Answer::Rode(told, Some(felt(choice))),
                _ => Answer::Finish,
            }
        }
    }
}

/// A position of an adjuster as a person tells it.
fn told(session: &Session, id: AdjusterId, choice: u32) -> Answer {
    let scale = session.scale(id).unwrap();
    Answer::Told(match scale.reading(choice % (scale.top() + 1)) {
        Reading::Value(number, _) => Stated::Value(number, None),
        Reading::Name(name) => Stated::Name(name.to_owned()),
    })
}

fn can_undo(log: &[What]) -> bool {
    standing(log).into_iter().any(|index| matches!(&log[index], What::Answer(answer) if answer.informs()))
}

/// Everything that is promised of a proposal.
fn keeps_to_the_range(session: &Session, ask: &Ask) {
    let fits = match ask {
        Ask::Fit { fits, .. } | Ask::Swap { fits, .. } => fits.clone(),
        Ask::Baseline(fit)
        | Ask::Lap { fit, .. }
        | Ask::Sag { fit, .. }
        | Ask::Stop { fit, .. }
        | Ask::Trial { fit, .. } => vec![*fit],
        _ => Vec::new(),
    };
    if let Ask::Sag { fit, why } = ask {
        let readings = session.sag_readings();
        assert!((1..=Measure::MOST_READINGS).contains(&session.readings_to_go()));
        // from a single reading it never goes the wrong way
        if let ([(at, sag)], true) = (&readings[..], *why != Why::Contradiction) {
            let measure = session.measuring().unwrap();
            assert!(*sag <= measure.high || fit.to >= *at, "too soft at {at}, then {}", fit.to);
            assert!(*sag >= measure.low || fit.to <= *at, "too firm at {at}, then {}", fit.to);
        }
    }
    for fit in fits {
        assert!(fit.to <= session.dial(fit.adjuster).unwrap().scale().top());
    }
    if let Ask::Lap { fit, against, .. } = ask {
        assert_ne!(fit.to, *against, "nothing is compared with itself");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_ride_ends_within_its_bounds(text in set(), choices in prop::collection::vec(any::<u8>(), 400)) {
        let plan = plan_of(&text);
        let mut session = Session::begin(Arc::clone(&plan), 1);
        let mut log: Vec<What> = Vec::new();
        let mut choices = choices.into_iter().cycle();
        let mut asked = 0;
        while let Some(ask) = session.ask() {
            asked += 1;
            prop_assert!(asked < 2000, "no end: {text}");
            keeps_to_the_range(&session, &ask);
            let choice = choices.next().unwrap();
            if choice % 16 == 15 && can_undo(&log) && asked < 300 {
                // taking the last answer back and giving it again changes nothing
                let last = log.iter().rposition(|what| matches!(what, What::Answer(answer) if answer.informs()));
                let before = session.clone();
                let mut undone = log.clone();
                undone.push(What::Undo);
                if let Some(What::Answer(answer)) = last.map(|last| &log[last]) && !log.contains(&What::Undo) {
                    let mut again = replay(&plan, 1, &undone).unwrap().answer(answer).unwrap();
                    for what in &log[last.unwrap() + 1..] {
                        if let What::Answer(answer) = what { again = again.answer(answer).unwrap(); }
                    }
                    prop_assert_eq!(again.state(), before.state());
                    prop_assert_eq!(again.so_far(), before.so_far());
                }
                log = undone;
                session = replay(&plan, 1, &log).unwrap();
                continue;
            }
            let answer = fitting(&session, &ask, choice);
            session = session.answer(&answer).unwrap();
            log.push(What::Answer(answer));
        }
        let outcome = session.so_far();
        prop_assert!(outcome.finished);
        if let Some(most) = plan.parts().laps { prop_assert!(outcome.laps <= most); }
        for settled in &outcome.adjusters {
            let tuned = session.laps().iter().filter(|lap| lap.tuned.is_some_and(|tuned| tuned.0 == settled.adjuster)).count();
            let tunes = plan.steps().iter().filter(|step| match step {
                Step::Tune(tune) => tune.adjuster == settled.adjuster,
                Step::Revisit { adjuster, .. } => *adjuster == settled.adjuster,
                _ => false,
            }).count();
            prop_assert!(tuned <= 24 * tunes);
        }
    }

    #[test]
    fn any_beginning_of_a_log_asks_the_same_again(text in set(), choices in prop::collection::vec(any::<u8>(), 60)) {
        let plan = plan_of(&text);
        let mut session = Session::begin(Arc::clone(&plan), 1);
        let mut log: Vec<What> = Vec::new();
        let mut turns = vec![(session.ask(), session.so_far())];
        for choice in choices {
            let Some(ask) = session.ask() else { break };
            let what = if choice % 11 == 10 && can_undo(&log) { What::Undo } else { What::Answer(fitting(&session, &ask, choice)) };
            session = match &what {
                What::Answer(answer) => session.answer(answer).unwrap(),
                What::Undo | What::Note => replay(&plan, 1, &[&log[..], &[What::Undo]].concat()).unwrap(),
            };
            log.push(what);
            turns.push((session.ask(), session.so_far()));
        }
        for (count, turn) in turns.iter().enumerate() {
            let again = replay(&plan, 1, &log[..count]).unwrap();
            prop_assert_eq!(&(again.ask(), again.so_far()), turn);
        }
    }
}
