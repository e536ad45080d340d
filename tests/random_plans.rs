//! The proof of plans that nobody would think of, each against every ride of it.
//!
//! `CLICKWISE_PLANS=50000` draws more plans than a test can wait for.

use rayon::prelude::*;

use clickwise::walk::{Proof, prove};

use crate::support::drawn_plans::{Drawn, text};
use crate::support::every_ride::{each_moment_once, each_to_its_end, is_true, plan_of};

/// How many plans are ridden in a test that nobody waits for.
const HERE: usize = 3_000;

/// The most answers in the rides of a plan of which each is ridden to its end.
const MOST_ANSWERS: u32 = 3_000;

/// The most moments of a plan; one with more is replaced.
const MOST_MOMENTS: u32 = 8_000;

/// What became of one number.
enum Drew {
    NoPlan,
    TooLarge,
    True { exact: bool, to_its_end: bool },
    Wrong(String),
}

fn draw(number: u64) -> Drew {
    let text = text(&mut Drawn::of(number));
    let Some(plan) = plan_of(&text) else { return Drew::NoPlan };
    let Some(ridden) = each_moment_once(&plan, MOST_MOMENTS) else { return Drew::TooLarge };
    let each = each_to_its_end(&plan, MOST_ANSWERS);
    let proof = prove(&plan);
    if is_true(&proof, ridden) && each.is_none_or(|each| each == ridden) {
        return Drew::True { exact: proof.exact, to_its_end: each.is_some() };
    }
    Drew::Wrong(format!("{text}proven: {proof:?}\nridden: {ridden:?}\neach to its end: {each:?}"))
}

#[test]
fn drawn_plans_are_proven_as_they_are_ridden() {
    let wanted = wanted(HERE);
    let (mut plans, mut exact, mut to_its_end, mut no_plan, mut too_large) = (0, 0, 0, 0, 0);
    let mut wrong = Vec::new();
    let mut numbers = 0..;
    while plans < wanted {
        let batch: Vec<u64> = numbers.by_ref().take((wanted - plans).max(64)).collect();
        let drew: Vec<Drew> = batch.into_par_iter().map(draw).collect();
        for drew in drew {
            match drew {
                Drew::NoPlan => no_plan += 1,
                Drew::TooLarge => too_large += 1,
                Drew::True { exact: walked, to_its_end: each } => {
                    plans += 1;
                    exact += usize::from(walked);
                    to_its_end += usize::from(each);
                }
                Drew::Wrong(text) => {
                    plans += 1;
                    wrong.push(text);
                }
            }
        }
    }
    println!(
        "{plans} plans, {exact} of them walked, {to_its_end} ridden each to its end; {no_plan} no plans and {too_large} too large replaced"
    );
    let shown: Vec<&str> = wrong.iter().take(3).map(String::as_str).collect();
    assert!(wrong.is_empty(), "{} of {plans} plans are wrong:\n{}", wrong.len(), shown.join("\n\n"));
    assert!(exact * 2 > plans && to_its_end * 2 > plans, "{exact} and {to_its_end} of {plans}");
}

/// A drawn plan whose first adjuster has so many positions above its first, or is to be counted.
fn with_count(text: &str, count: Option<u64>) -> String {
    let (before, rest) = text.split_once(" rebound 0 to ").unwrap();
    let (_, after) = rest.split_once(" clicks").unwrap();
    let count = count.map_or("?".to_owned(), |count| format!("0 to {count}"));
    format!("{before} rebound {count} clicks{after}")
}

/// How many plans are drawn: so many, or as many times more as the long run has plans.
fn wanted(here: usize) -> usize {
    std::env::var("CLICKWISE_PLANS").map_or(here, |count| count.parse::<usize>().unwrap() * here / HERE)
}

/// Counts that no step can tell apart are walked once; what comes out is as if each had been by itself.
#[test]
fn drawn_plans_are_proven_for_every_count() {
    let compared = (0..wanted(300) as u64).into_par_iter().map(|number| {
        let text = text(&mut Drawn::of(number ^ 0x5555_0000));
        u32::from(proven_for_every_count(&text).is_some())
    });
    let (compared, wanted): (u32, usize) = (compared.sum(), wanted(300));
    assert!(compared as usize * 2 > wanted, "{compared} of {wanted}");
}

/// Holds the proof of a plan whose first adjuster is counted against the proof for each count by itself; `None` where
/// the plan cannot be ridden or is not walked.
pub(crate) fn proven_for_every_count(text: &str) -> Option<()> {
    let proof = prove(&plan_of(&with_count(text, None))?);
    if !proof.exact {
        return None;
    }
    let each = (1..=60).filter_map(|count| Some((count, plan_of(&with_count(text, Some(count)))?)));
    let each: Vec<(u32, Proof)> =
        each.map(|(count, plan)| (u32::try_from(count).unwrap(), prove(&plan))).collect();
    for (count, alone) in &each {
        // without a table, every count takes the same
        let row = proof.by_count.iter().find(|row| row.0 == *count).map(|row| row.1);
        assert_eq!(row.unwrap_or(proof.worst_laps), alone.worst_laps, "{count}: {text}");
        assert!(row.is_some() || proof.by_count.is_empty(), "{count}: {text}");
    }
    // a step that is too large for a count is refused where the count is written, not where it is told
    if each.len() == 60 {
        let minutes = each.iter().map(|each| each.1.worst_minutes).max().unwrap();
        assert_eq!(proof.worst_minutes, minutes, "{text}");
        let sequences = each.iter().map(|each| each.1.sequences.exact()).max().unwrap();
        assert_eq!(proof.sequences.exact(), sequences, "{text}");
    }
    Some(())
}

/// The same plan with its first two adjusters counted, or with so many positions above their first; `None`
/// where there is one adjuster only.
fn with_two_counts(text: &str, counts: Option<[u64; 2]>) -> Option<String> {
    let rebound = with_count(text, counts.map(|counts| counts[0]));
    let (before, rest) = rebound.split_once(" low-speed compression 0 to ")?;
    let (_, after) = rest.split_once(" clicks")?;
    let count = counts.map_or("?".to_owned(), |counts| format!("0 to {}", counts[1]));
    Some(format!("{before} low-speed compression {count} clicks{after}"))
}

/// Two adjusters that are counted: no two counts, equal or not, take more than is proven, and nearly always some of
/// those that are tried take as much.
#[test]
fn drawn_plans_are_proven_for_every_two_counts() {
    let compared = (0..wanted(400) as u64).into_par_iter().map(|number| {
        let text = text(&mut Drawn::of(number ^ 0x7777_0000));
        proven_for_two_counts(&text).map_or([0, 0], |as_much| [1, u32::from(as_much)])
    });
    let [compared, as_much] = compared.reduce(|| [0, 0], |one, other| [one[0] + other[0], one[1] + other[1]]);
    assert!(compared as usize * 4 > wanted(400), "{compared}");
    assert!(as_much * 20 > compared * 19, "{as_much} of {compared}");
}

/// Whether some two counts take as much as is proven; `None` where the plan cannot be ridden or is not walked.
pub(crate) fn proven_for_two_counts(text: &str) -> Option<bool> {
    let proof = prove(&with_two_counts(text, None).and_then(|text| plan_of(&text))?);
    if !proof.exact {
        return None;
    }
    let takes = |proof: &Proof| {
        let sequences = proof.sequences.exact().unwrap_or(u64::MAX);
        (proof.worst_laps, proof.worst_minutes, sequences)
    };
    let proven = takes(&proof);
    let few: Vec<u64> = (1..=12).chain([60]).collect();
    let mut worst = (0, None, 0);
    for counts in few.iter().flat_map(|one| few.iter().map(move |other| [*one, *other])) {
        let Some(plan) = with_two_counts(text, Some(counts)).and_then(|text| plan_of(&text)) else {
            continue;
        };
        let takes = takes(&prove(&plan));
        let is_proven = takes.0 <= proven.0 && takes.1 <= proven.1 && takes.2 <= proven.2;
        assert!(is_proven, "{counts:?} take {takes:?}, proven is {proven:?}: {text}");
        worst = (takes.0.max(worst.0), takes.1.max(worst.1), takes.2.max(worst.2));
    }
    // a step that no count can do is refused where counts are written, not where they are told
    (worst.0 > 0).then_some((worst.0, worst.1) == (proven.0, proven.1))
}
