//! The proof of a plan against a ride of every sequence, one by one.

use std::fmt::Write as _;
use std::sync::Arc;

use clickwise::check::check;
use clickwise::physics::Number;
use clickwise::plan::{Plan, Reading};
use clickwise::problem::Sources;
use clickwise::search::Verdict;
use clickwise::session::{Answer, Ask, Felt, OfPair, Session, Stated};
use clickwise::walk::{Proof, prove, share};

use crate::support::project;

pub(crate) fn plan_of(text: &str) -> Arc<Plan> {
    let mut sources = Sources::default();
    sources.add("set.tune", text);
    let checked = check(&sources);
    Arc::new(checked.plan.unwrap_or_else(|| panic!("{:?}\n{text}", checked.problems)))
}

/// What every sequence together comes to.
#[derive(Debug, Default, PartialEq)]
struct Ridden {
    laps: u32,
    minutes: Option<Number>,
    sequences: u128,
}

/// Rides on in every way, remembering nothing.
fn ride(session: &Session, ridden: &mut Ridden) {
    let Some(ask) = session.ask() else {
        ridden.laps = ridden.laps.max(session.so_far().laps);
        ridden.minutes = ridden.minutes.max(session.minutes());
        ridden.sequences += 1;
        return;
    };
    let answers = match &ask {
        Ask::Way(id) => {
            let rising = session.adjuster(*id).rising();
            vec![Answer::Way(Some(rising)), Answer::Way(Some(rising.opposite()))]
        }
        Ask::Lap { .. } => [Verdict::Better, Verdict::Worse, Verdict::Same]
            .map(|verdict| Answer::Felt(Felt::Verdict(verdict)))
            .to_vec(),
        Ask::Before(_) => vec![Answer::Unknown],
        Ask::Which { .. } => [OfPair::First, OfPair::Second].map(Answer::Which).to_vec(),
        _ => vec![Answer::Done],
    };
    for answer in answers {
        ride(&session.answer(&answer).unwrap(), ridden);
    }
}

/// Proves a plan and rides it in every way; both come to the same.
pub(crate) fn same(text: &str) -> Proof {
    let plan = plan_of(text);
    let proof = prove(&plan);
    let mut ridden = Ridden::default();
    ride(&Session::begin(Arc::new(Plan::clone(&plan).without_budget()), 0), &mut ridden);
    let proven = Ridden {
        laps: proof.worst_laps,
        minutes: proof.worst_minutes,
        sequences: proof.sequences.exact().unwrap().into(),
    };
    assert_eq!(proven, ridden, "{text}");
    assert!(proof.ends && proof.within_range && proof.exact, "{text}");
    proof
}

pub(crate) fn set(adjusters: &[String], steps: &str) -> String {
    const NAMES: [&str; 3] = ["part fork\n rebound", " compression", "part shock\n rebound"];
    let mut text = String::from("plan \"P\"\n change 2 min\nloop \"T\"\n lap 4 min\nbike \"B\"\n");
    for (name, scale) in NAMES.iter().zip(adjusters) {
        writeln!(text, "{name} {scale}").unwrap();
    }
    text + "steps\n" + steps
}

#[test]
fn one_adjuster_is_proven_as_it_is_ridden() {
    for top in 1..=12 {
        for start in 0..=top {
            let adjuster = [format!("0 to {top} clicks, start {start}")];
            for clause in [
                "",
                ", try faster first",
                ", try slower first",
                ", at most 1 lap",
                ", at most 3 laps",
                ", within 1 position",
            ] {
                same(&set(&adjuster, &format!(" tune fork rebound{clause}\n")));
                same(&set(&adjuster, &format!(" ride 2 laps\n tune fork rebound{clause}\n")));
            }
        }
    }
}

#[test]
fn two_adjusters_are_proven_as_they_are_ridden() {
    for top in 1..=8 {
        for (first, second) in [(0, top), (top / 2, top / 2), (1, 0)] {
            let adjusters = [
                format!(
                    "0 to {top} clicks, start {first}, step {}",
                    if top > 4 { "2 clicks" } else { "1 click" }
                ),
                format!(
                    "0 to {top} clicks, start {second}, step {}",
                    if top > 6 { "2 clicks" } else { "1 click" }
                ),
            ];
            for steps in [
                " tune fork rebound\n tune fork compression\n",
                " ride 1 lap\n tune fork rebound, at most 4 laps\n tune fork compression, try firmer first\n",
                " tune fork rebound, try faster first, at most 3 laps\n set fork rebound to start\n tune fork compression\n say \"Done\"\n",
                " tune fork rebound, at most 3 laps\n set fork rebound 1 click slower\n tune fork compression, at most 2 laps\n ride 1 lap\n",
                " tune fork rebound, at most 4 laps\n say \"Now\"\n set fork compression to open\n tune fork compression, at most 3 laps\n tune fork rebound, within 1 click\n",
            ] {
                same(&set(&adjusters, steps));
            }
        }
    }
}

/// Second looks and pairs depend on where everything stands and stood; all of it is ridden here.
#[test]
fn second_looks_and_pairs_are_proven_as_they_are_ridden() {
    for (top, first, second) in [(3, 1, 2), (5, 2, 5), (12, 6, 11), (12, 1, 6), (14, 7, 7)] {
        let adjusters = [
            format!("0 to {top} clicks, start {first}"),
            format!("0 to {top} clicks, start {second}"),
            "0 to 2 clicks, start 0".to_owned(),
        ];
        for steps in [
            " tune fork rebound, at most 4 laps\n tune fork compression, at most 4 laps\n revisit fork rebound\n",
            " tune fork rebound, at most 3 laps\n set fork compression 2 clicks firmer\n revisit every rebound\n ride 1 lap\n",
            " tune fork rebound, at most 4 laps\n tune fork compression, at most 3 laps\n revisit fork rebound\n revisit fork compression\n",
            " tune fork rebound, at most 3 laps\n confirm fork rebound, 2 pairs\n tune fork compression, at most 3 laps\n",
            " tune fork rebound, at most 3 laps\n tune fork compression, at most 3 laps\n revisit fork rebound\n confirm everything, blind, 2 pairs\n",
            " tune fork rebound, at most 3 laps\n confirm every compression, between open and closed, 2 pairs\n revisit fork rebound\n set fork rebound to start\n confirm fork rebound, 1 pair\n",
        ] {
            same(&set(&adjusters, steps));
        }
    }
}

#[test]
fn three_adjusters_are_proven_as_they_are_ridden() {
    for top in 1..=4 {
        for start in 0..=top {
            let adjusters =
                [start, top - start, top / 2].map(|start| format!("0 to {top} clicks, start {start}"));
            for steps in [
                " tune every rebound, at most 4 laps\n tune fork compression, try softer first, at most 3 laps\n",
                " ride 1 lap\n tune fork rebound\n say \"Now\"\n tune shock rebound, at most 4 laps\n tune fork compression, at most 3 laps\n",
                " record settings\n tune every rebound, at most 3 laps\n set every rebound to start\n tune fork compression, try firmer first\n set fork compression 1 click softer\n",
            ] {
                same(&set(&adjusters, steps));
            }
        }
    }
}

#[test]
fn a_count_made_in_the_ride_has_a_table() {
    let proof = prove(&plan_of(
        "bike \"B\"\npart fork\n rebound ? clicks\nsteps\n tune fork rebound, at most 20 laps\n",
    ));
    assert_eq!(proof.by_count.len(), 60);
    // ten clicks one at a time, eleven by two, sixty cut by the clause
    let laps = |count: u32| proof.by_count.iter().find(|row| row.0 == count).unwrap().1;
    assert_eq!((laps(1), laps(10), laps(11), laps(60)), (2, 11, 7, 20));
    for (count, laps) in &proof.by_count {
        let text = format!(
            "bike \"B\"\npart fork\n rebound 0 to {count} clicks\nsteps\n tune fork rebound, at most 20 laps\n"
        );
        assert_eq!(prove(&plan_of(&text)).worst_laps, *laps, "{count}");
    }
    assert_eq!((proof.worst_laps, proof.worst_minutes), (20, None));
}

/// A plan that comes back to many adjusters is bounded: never below what walking it finds.
#[test]
fn a_plan_beyond_walking_is_bounded() {
    let steps = |times: usize| " tune every rebound\n tune every compression\n".repeat(times);
    let adjusters = ["0 to 30 clicks".to_owned(), "0 to 30 clicks".to_owned(), "0 to 30 clicks".to_owned()];
    let once = prove(&plan_of(&set(&adjusters, &steps(1))));
    let thrice = prove(&plan_of(&set(&adjusters, &steps(3))));
    assert!(once.exact && !thrice.exact);
    assert!(thrice.ends && thrice.within_range && thrice.worst_laps >= 3 * once.worst_laps - 9);
}

/// Twelve adjusters of thirty clicks are walked one after the other, not all at once.
#[test]
fn many_adjusters_are_walked() {
    let parts: String = ["fork", "shock"]
        .map(|part| {
            let knobs = [
                "low-speed rebound",
                "high-speed rebound",
                "low-speed compression",
                "high-speed compression",
                "adjuster \"one\"",
                "adjuster \"two\"",
            ];
            format!("part {part}\n{}", knobs.map(|knob| format!(" {knob} 0 to 30 clicks\n")).concat())
        })
        .concat();
    let steps = "tune every rebound\n tune every compression\n tune every \"one\"\n tune every \"two\"\n";
    let plan = plan_of(&format!("bike \"B\"\n{parts}steps\n {steps}"));
    let proof = prove(&plan);
    assert!(proof.ends && proof.within_range && proof.exact);
    assert_eq!((proof.worst_laps, proof.sequences.to_string().as_str()), (200, "about 10^51"));
}

#[test]
fn a_share_fits_the_budget() {
    let adjusters = ["0 to 18 clicks".to_owned(), "0 to 12 clicks".to_owned(), "0 to 8 clicks".to_owned()];
    let steps = " ride 2 laps\n tune every rebound\n tune fork compression\n";
    let text = set(&adjusters, steps).replace("plan \"P\"", "plan \"P\"\n at most 14 laps");
    let plan = plan_of(&text);
    assert!(prove(&plan).is_beyond_laps(&plan));
    let laps = share(&plan).unwrap();
    let worst = |laps: u32| prove(&Arc::new(Plan::clone(&plan).with_share(laps))).worst_laps;
    assert!(worst(laps) <= 14 && worst(laps + 1) > 14);
}

#[test]
fn the_plan_of_the_flagship_is_finite() {
    let text = ["first-setup", "green-trail", "mo"]
        .map(|name| std::fs::read_to_string(project().join(format!("plans/{name}.tune"))).unwrap())
        .concat();
    let plan = plan_of(&text);
    let proof = prove(&plan);
    assert!(proof.ends && proof.within_range && proof.exact);
    // warm-up, two rebounds, one compression, two second looks, five pairs
    assert_eq!(proof.worst_laps, 2 + 6 + 6 + 5 + 2 * 3 + 2 * 5);
    assert_eq!(
        (proof.worst_minutes, proof.sequences.exact()),
        (Some(Number::from_integer(312)), Some(5_348_863_424))
    );
    for (count, laps) in &proof.by_count {
        assert!(*laps <= 35 && (*count < 6 || *laps == 35), "{count}: {laps}");
    }
    assert_eq!(proof.by_count.len(), 60);
    assert!(!proof.is_beyond_laps(&plan) && !proof.is_beyond_time(&plan));
}

/// The proof of every plan in `plans/` on every bike, for the first rider whom the bike's table fits.
#[test]
fn the_proof_of_every_plan() {
    let mut files: Vec<(String, String)> = std::fs::read_dir(project().join("plans"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    files.sort();
    let with = |heading: &'static str| {
        files.iter().filter(move |(_, text)| text.lines().any(|line| line.starts_with(heading)))
    };
    let mut shown = String::new();
    for (plan, steps) in with("plan ") {
        for (bike, parts) in with("bike ") {
            let fitting = with("rider ").find_map(|(rider, weight)| {
                let mut sources = Sources::default();
                sources.add("set", format!("{steps}{parts}{weight}"));
                Some((rider, check(&sources).plan?))
            });
            let Some((rider, found)) = fitting else {
                shown += &format!("{plan} {bike}: no rider\n");
                continue;
            };
            let proof = prove(&Arc::new(found));
            assert!(proof.ends && proof.within_range, "{plan} {bike}");
            shown += &format!("{plan} {bike} {rider}:\n  {}\n", clickwise::show::proof(&proof).join("\n  "));
        }
    }
    insta::with_settings!({
        snapshot_path => project().join("tests/check"),
        prepend_module_to_snapshot => false,
        omit_expression => true,
    }, {
        insta::assert_snapshot!("proofs", shown);
    });
}

/// Rides the longest ride of a proof, with the highest count that takes the most laps; it has as many as are proven.
pub(crate) fn longest_can_be_ridden(plan: &Arc<Plan>) {
    let proof = prove(plan);
    let count = proof.by_count.iter().max_by_key(|row| (row.1, row.0)).map_or(60, |row| row.0);
    let mut told = proof.longest.iter().flat_map(|(_, answers)| answers).filter(|answer| answer.informs());
    let mut session = Session::begin(Arc::new(Plan::clone(plan).without_budget()), 0);
    while let Some(ask) = session.ask() {
        let answer = match ask {
            Ask::Way(_) | Ask::Lap { .. } => told.next().unwrap().clone(),
            Ask::Which { .. } => Answer::Which(OfPair::First),
            Ask::Sag { .. } => Answer::Finish,
            Ask::Count(_) => Answer::Told(Stated::Value(Number::from_integer(count.into()), None)),
            Ask::InNow(id) => Answer::Told(match session.scale(id).unwrap().reading(0) {
                Reading::Value(number, _) => Stated::Value(number, None),
                Reading::Name(name) => Stated::Name(name.to_owned()),
            }),
            Ask::Before(_) | Ask::Record(_) => Answer::Unknown,
            _ => Answer::Done,
        };
        session = session.answer(&answer).unwrap();
    }
    assert!(told.next().is_none(), "{proof:?}");
    assert_eq!(session.laps().len(), proof.worst_laps as usize, "{proof:?}");
}

/// The answers of a longest ride, given to the session, take as many laps as the proof says.
#[test]
fn the_longest_ride_can_be_ridden() {
    for names in [
        ["first-setup", "hill-hardtail", "ana"],
        ["first-setup", "green-trail", "mo"],
        ["first-look", "hill-hardtail", "mo"],
    ] {
        let text =
            names.map(|name| std::fs::read_to_string(project().join(format!("plans/{name}.tune"))).unwrap());
        let plan = plan_of(&text.concat());
        longest_can_be_ridden(&plan);
    }
}
