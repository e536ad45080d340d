//! What chance does, and what is believed of the best setting, against libraries that are not ours. The
//! scripts that run them stand in `tests/outside/`, its README lists them with their standing.

use std::process::Command;
use std::sync::Arc;

use clickwise::chance::{Lot, Sides, by_chance, fewest_agreeing, normal_share, power};
use clickwise::search::{
    Direction, Effort, Grade, Memory, Narrow, Proposal, SecondLook, Terms, Verdict, share_of,
};
use serde_json::{Value, json};

use crate::physics::{python, said};
use crate::support::{program, project};

/// What a script says of our values.
fn judged(script: &str, ours: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("ours.json");
    std::fs::write(&file, ours).unwrap();
    said(Command::new(python()).arg(project().join("tests/outside").join(script)).arg(file))
}

#[test]
fn chance_is_that_of_scipy() {
    let normal: Vec<_> = (0..=200).map(|step| -37.0 + 0.23 * f64::from(step)).collect();
    let normal: Vec<_> = normal.into_iter().map(|x| json!([x, normal_share(x)])).collect();
    let chances = |sides| {
        let of = move |pairs| (0..=pairs).map(|agreeing| by_chance(agreeing, pairs, sides)).collect();
        (1..=64).map(of).collect::<Vec<Vec<f64>>>()
    };
    let least = |sides| (1..=64).map(|pairs| fewest_agreeing(pairs, sides)).collect::<Vec<_>>();
    let powers = |sides: Sides| {
        let of_pairs = |pairs: u32| [0.7, 0.8, 0.9].map(|preference| power(pairs, sides, preference));
        (1..=64).map(of_pairs).collect::<Vec<_>>()
    };
    let ours = json!({
        "normal": normal,
        "one": chances(Sides::One),
        "two": chances(Sides::Two),
        "least_one": least(Sides::One),
        "least_two": least(Sides::Two),
        "power_one": powers(Sides::One),
        "power_two": powers(Sides::Two),
    });
    assert_eq!(
        judged("chance.py", &ours.to_string()).trim(),
        "201 shares, 4288 chances, 128 least numbers and 384 powers are those of scipy"
    );
}

#[test]
fn the_published_example_of_better_same_and_worse_is_reproduced() {
    let mut rows = Vec::new();
    let mut add = |d: f64, tau: f64| {
        let [better, same, worse] = share_of(d / tau, std::f64::consts::SQRT_2 / tau, 0.0);
        rows.push([d, tau, better, same, worse]);
    };
    add(0.774_259_5, 0.415_972_6);
    for d in [-3.0, -1.2, -0.4, 0.0, 0.3, 0.9, 2.5] {
        for tau in [0.1, 0.4, 0.8, 1.5, 2.5] {
            add(d, tau);
        }
    }
    assert_eq!(
        judged("better_same_worse.py", &json!(rows).to_string()).trim(),
        "the example comes out; 36 likelihoods are those of the model"
    );
}

const VERDICTS: [Verdict; 3] = [Verdict::Better, Verdict::Same, Verdict::Worse];

/// As they are asked of `posterior.py`; the middle three are plain.
const GRADES: [Grade; 5] = [Grade::MuchBetter, Grade::Better, Grade::Same, Grade::Worse, Grade::MuchWorse];

fn word(grade: Grade) -> &'static str {
    match grade {
        Grade::MuchBetter => "much better",
        Grade::Better => "better",
        Grade::Same => "same",
        Grade::Worse => "worse",
        Grade::MuchWorse => "much worse",
    }
}

/// How a lap is called against another by a rider whose best setting is hidden, and who now and then
/// says anything.
fn called(lot: &mut Lot, best: f64, lap: u32, against: u32) -> Verdict {
    if lot.share() < 0.25 {
        return VERDICTS[lot.below(3) as usize];
    }
    let nearer = (f64::from(against) - best).abs() - (f64::from(lap) - best).abs();
    match nearer + lot.normal() {
        nearer if nearer > 1.5 => Verdict::Better,
        nearer if nearer < -1.5 => Verdict::Worse,
        _ => Verdict::Same,
    }
}

/// A search on these terms with drawn answers, moment by moment, for `posterior.py` to follow.
fn searched(terms: Terms, grades: bool, lot: &mut Lot, memory: &Arc<Memory>) -> Value {
    // what is felt strongly is now and then said so
    let graded = |verdict: Verdict, lot: &mut Lot| match verdict {
        Verdict::Better if grades && lot.share() < 0.4 => Grade::MuchBetter,
        Verdict::Worse if grades && lot.share() < 0.4 => Grade::MuchWorse,
        plain => plain.graded(),
    };
    let best = lot.between(0.0, f64::from(terms.top));
    let (mut search, mut moments) = (Narrow::begin(terms, memory), Vec::new());
    loop {
        let shares = search.belief().shares().to_vec();
        match search.next() {
            Proposal::Settle(at) => {
                let told = if grades { &GRADES[..] } else { &GRADES[1..4] };
                let proven: Vec<u32> = told.iter().map(|grade| search.proven(*grade)).collect();
                moments.push(json!({
                    "shares": shares, "decision": { "settle": at }, "proven": proven, "answers": [],
                }));
                break;
            }
            Proposal::Ride { at, against, also } => {
                let verdict = called(lot, best, at, against);
                let grade = graded(verdict, lot);
                // now and then the second question is skipped
                let also_asked = also.filter(|_| lot.share() < 0.9);
                let second = also_asked.map(|also| called(lot, best, at, also));
                let second = second.map(|verdict| graded(verdict, lot));
                moments.push(json!({
                    "shares": shares,
                    "decision": { "at": at, "against": against, "also": also },
                    "answers": [word(grade), second.map(word)],
                }));
                search = search.hear(at, grade, second);
            }
        }
    }
    let hint = terms.hint.map(|hint| if hint == Direction::Up { "up" } else { "down" });
    let effort = match terms.effort {
        Effort::Quick => "quick",
        Effort::Normal => "normal",
        Effort::Thorough => "thorough",
    };
    json!({
        "terms": {
            "top": terms.top, "start": terms.start, "hint": hint, "again": terms.again.is_some(),
            "close": terms.again == Some(SecondLook::CLOSE), "effort": effort, "second": terms.compare_twice,
            "grades": grades,
        },
        "moments": moments,
    })
}

#[test]
fn what_is_believed_and_decided_is_that_of_another_implementation() {
    let (mut lot, memory) = (Lot::new(2026), Arc::default());
    let mut lines = Vec::new();
    for compare_twice in [true, false] {
        let begins =
            Terms { top: 0, start: 0, hint: None, again: None, effort: Effort::Normal, compare_twice };
        for top in [1, 2, 3, 5, 6, 7, 8, 10, 14, 20, 24, 25, 30] {
            for hint in [None, Some(Direction::Up), Some(Direction::Down)] {
                for effort in [Effort::Quick, Effort::Normal, Effort::Thorough] {
                    let start = if lot.share() < 0.5 { top / 2 } else { lot.below(top + 1) };
                    let grades = top <= 14 && lot.share() < 0.5;
                    let terms = Terms { top, start, hint, effort, ..begins };
                    lines.push(searched(terms, grades, &mut lot, &memory));
                }
            }
        }
        // a second look, in the middle of its window or near an end of the range
        for (look, reach) in [(SecondLook::WIDE, 3), (SecondLook::CLOSE, 2)] {
            for below in 0..=reach {
                for above in [0, reach - 1, reach].into_iter().filter(|above| below + above > 0) {
                    let terms = Terms { top: below + above, start: below, again: Some(look), ..begins };
                    lines.push(searched(terms, lot.share() < 0.5, &mut lot, &memory));
                }
            }
        }
    }
    let lines: Vec<_> = lines.iter().map(Value::to_string).collect();
    let said = judged("posterior.py", &lines.join("\n"));
    assert!(said.contains(&format!("{} searches, ", lines.len())), "{said}");
    assert!(said.contains(" moments: the same shares and decisions"), "{said}");
}

#[test]
fn a_hundred_random_rides_narrow_as_another_implementation_does() {
    let script = project().join("tests/outside/narrowing.py");
    let said = said(Command::new(python()).arg("-B").arg(script).arg(program()).arg("100"));
    assert!(said.contains("100 rides settle alike"), "{said}");
}
