//! The proof of plans that nobody would think of: drawn from a number, with every kind of step in every
//! order, each against a ride of every sequence, one by one.
//!
//! `CLICKWISE_PLANS=50000` draws more plans than a test can wait for.

use std::sync::Arc;

use rayon::prelude::*;

use clickwise::chance::Lot;
use clickwise::check::check;
use clickwise::physics::{Number, Unit};
use clickwise::plan::{AdjusterId, Measure, Plan, Reading, Step};
use clickwise::problem::Sources;
use clickwise::search::Verdict;
use clickwise::session::{Answer, Ask, Felt, OfPair, Session, Told};
use clickwise::walk::{Proof, prove};

/// The most answers that are given in the rides of one plan; a plan with more is replaced.
const MOST_ANSWERS: u32 = 6_000;

/// Numbers that look drawn and are the same on every run.
struct Drawn(u64);

impl Drawn {
    fn below(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % below
    }

    fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[usize::try_from(self.below(all.len() as u64)).unwrap()]
    }

    fn one_in(&mut self, chances: u64) -> bool {
        self.below(chances) == 0
    }
}

/// An adjuster of a drawn bike.
struct Knob {
    name: &'static str,
    /// Clicks from 0 to this, or a spring's own places.
    top: u64,
    ways: [&'static str; 2],
}

/// A drawn bike: one or two adjusters, sometimes a third, sometimes a spring.
struct Bike {
    text: String,
    knobs: Vec<Knob>,
    spring: Option<Knob>,
}

fn bike(drawn: &mut Drawn) -> Bike {
    let mut text = String::from("bike \"B\"\npart fork\n travel 160 mm\n");
    let mut knobs = Vec::new();
    let mut knob = |text: &mut String, drawn: &mut Drawn, name: &'static str, ways| {
        let top = if drawn.one_in(5) { 10 + drawn.below(5) } else { 1 + drawn.below(6) };
        *text += &format!(" {} 0 to {top} clicks", name.split_once(' ').unwrap().1);
        if !drawn.one_in(4) {
            *text += &format!(", start {}", drawn.below(top + 1));
        }
        if drawn.one_in(3) {
            *text += &format!(", step {} clicks", 1 + drawn.below(top.min(3)));
        }
        *text += "\n";
        knobs.push(Knob { name, top, ways });
    };
    knob(&mut text, drawn, "fork rebound", ["faster", "slower"]);
    if !drawn.one_in(6) {
        knob(&mut text, drawn, "fork low-speed compression", ["softer", "firmer"]);
    }
    let spring = drawn.one_in(3).then(|| {
        let (name, scale, top) = match drawn.below(4) {
            0 => ("fork coil", "400 or 450 or 500 lb/in, start 450 lb/in", 2),
            1 => ("fork coil", "400 or 450 lb/in", 1),
            2 => ("fork air", "60 to 64 psi, step 1 psi, start 61 psi", 4),
            _ => ("fork air", "60 to 62 psi, step 2 psi", 2),
        };
        text += &format!(" {} {scale}, sag 15 to 25 %\n", name.split_once(' ').unwrap().1);
        Knob { name, top, ways: ["firmer", "softer"] }
    });
    if drawn.one_in(3) {
        text += "part shock\n";
        knob(&mut text, drawn, "shock rebound", ["faster", "slower"]);
    }
    Bike { text, knobs, spring }
}

fn place(drawn: &mut Drawn, knob: &Knob, is_spring: bool) -> String {
    let numbered = |number: u64| match knob.name {
        "fork coil" => format!("{} lb/in", 400 + 50 * number),
        "fork air" => format!("{} psi", 60 + number),
        _ => format!("{number} clicks"),
    };
    match drawn.below(7) {
        0 if !is_spring => "start".to_owned(),
        6 => "before".to_owned(),
        1 if !is_spring => drawn.of(&["open", "closed", "middle"]).to_string(),
        _ => numbered(drawn.below(knob.top + 1)),
    }
}

fn tune(drawn: &mut Drawn, knob: &Knob, is_spring: bool) -> String {
    let mut step = format!("tune {}", knob.name);
    if drawn.one_in(2) {
        step += &format!(", begin {}", drawn.of(&knob.ways));
    }
    if !is_spring && drawn.one_in(3) {
        step += &format!(", within {} positions", 1 + drawn.below(knob.top.min(3)));
    }
    if !drawn.one_in(6) {
        step += &format!(", at most {} laps", 1 + drawn.below(4));
    }
    if drawn.one_in(4) {
        step += ", feel \"Does it follow the roots?\"";
    }
    match drawn.below(16) {
        0 if !is_spring => step += ", method cross-out",
        1 if !is_spring => step += ", method narrow",
        2 => step += ", method bracket",
        _ => {}
    }
    step
}

fn confirm(drawn: &mut Drawn, bike: &Bike) -> String {
    let spring = bike.spring.as_ref().filter(|_| drawn.one_in(3));
    let knob = spring.unwrap_or(drawn.of(&bike.knobs));
    let mut step = match drawn.below(6) {
        0 => "confirm everything".to_owned(),
        1 | 2 => format!("confirm {}", knob.name),
        3 => "confirm every rebound".to_owned(),
        _ => {
            let (one, other) = (place(drawn, knob, spring.is_some()), place(drawn, knob, spring.is_some()));
            format!("confirm {}, between {one} and {other}", knob.name)
        }
    };
    if drawn.one_in(3) {
        step += ", blind";
    }
    step + &format!(", {} pairs", 1 + drawn.below(2))
}

fn step(drawn: &mut Drawn, bike: &Bike) -> String {
    let knob = drawn.of(&bike.knobs);
    match drawn.below(19) {
        0 => "say \"Now\"".to_owned(),
        1 => drawn.of(&["record temperature", "record \"ground\"", "record \"tyre\" in psi"]).to_string(),
        2 => drawn.of(&["record settings", "record altitude"]).to_string(),
        3 => drawn.of(&["ride 1 lap", "ride 2 laps", "ride warm-up"]).to_string(),
        4 | 5 => format!("set {} to {}", knob.name, place(drawn, knob, false)),
        6 => {
            let count = 1 + drawn.below(knob.top.min(3));
            format!("set {} {count} clicks {}", knob.name, drawn.of(&knob.ways))
        }
        7 => "set every rebound to start".to_owned(),
        8..=10 => tune(drawn, knob, false),
        11 => "tune every rebound, at most 2 laps".to_owned(),
        12 | 13 => format!("revisit {}", knob.name),
        14 | 15 => confirm(drawn, bike),
        _ => match &bike.spring {
            Some(spring) => match drawn.below(6) {
                0..=2 => "measure every spring".to_owned(),
                3 => tune(drawn, spring, true),
                4 => format!("revisit {}", spring.name),
                _ => format!("set {} to {}", spring.name, place(drawn, spring, true)),
            },
            None => format!("revisit {}", knob.name),
        },
    }
}

/// A plan in the language; not every one of them can be ridden.
fn text(drawn: &mut Drawn) -> String {
    let bike = bike(drawn);
    let mut text = String::from("plan \"P\"\n change 2 min\ntrail \"T\"\n warm-up 1 lap\n");
    if !drawn.one_in(12) {
        text += " lap 4 min\n";
    }
    text += &bike.text;
    text += "steps\n";
    // how the bike was found, which a place may mean
    if drawn.one_in(2) {
        text += " record settings\n";
    }
    for _ in 0..2 + drawn.below(6) {
        text += &format!(" {}\n", step(drawn, &bike));
    }
    text
}

fn plan_of(text: &str) -> Option<Arc<Plan>> {
    let mut sources = Sources::default();
    sources.add("set.tune", text);
    check(&sources).plan.map(Arc::new)
}

/// What rides come to from a moment on, or all of them together.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Ridden {
    laps: u32,
    minutes: Option<Number>,
    sequences: u128,
    within_range: bool,
}

impl Ridden {
    const NONE: Ridden = Ridden { laps: 0, minutes: None, sequences: 0, within_range: true };

    /// Both, each at its worst, with so many sequences.
    fn and(self, other: Ridden, sequences: u128) -> Ridden {
        Ridden {
            laps: self.laps.max(other.laps),
            minutes: self.minutes.max(other.minutes),
            sequences,
            within_range: self.within_range && other.within_range,
        }
    }
}

/// Every ride of one plan with one order of its pairs.
struct Rides {
    /// How many answers may still be given.
    left: u32,
}

impl Rides {
    /// Rides on in every way, remembering nothing; `None` where that takes too long. The readings of a
    /// spring are bounded, so their time is added.
    fn ride(&mut self, session: &Session, readings: Number) -> Option<Ridden> {
        self.left = self.left.checked_sub(1)?;
        let Some(ask) = session.ask() else {
            let minutes = session.minutes().map(|minutes| minutes + readings);
            return Some(Ridden {
                laps: u32::try_from(session.laps().len()).unwrap(),
                minutes,
                sequences: 1,
                within_range: true,
            });
        };
        let (answers, chance) = answers(session, &ask);
        let mut ridden = Ridden { within_range: is_within_range(session, &ask), ..Ridden::NONE };
        for answer in answers {
            let next = session.answer(&answer).unwrap();
            let mut readings = readings;
            if let (Ask::Sag { fit, .. }, Some(before), Some(after)) =
                (&ask, session.minutes(), next.minutes())
            {
                let most = Number::from_integer(Measure::MOST_READINGS as i128);
                readings += session.plan().change_of(fit.adjuster) * most - (after - before);
            }
            let rest = self.ride(&next, readings)?;
            let sequences =
                if chance { ridden.sequences.max(rest.sequences) } else { ridden.sequences + rest.sequences };
            ridden = ridden.and(rest, sequences);
        }
        Some(ridden)
    }
}

/// A position as it can be told.
fn told(session: &Session, id: AdjusterId, position: u32) -> Told {
    match session.scale(id).unwrap().reading(position) {
        Reading::Value(number, _) => Told::Value(number, None),
        Reading::Name(name) => Told::Name(name.to_owned()),
    }
}

/// All answers, and whether the bike gives them and not the rider: then the worst of them counts.
fn answers(session: &Session, ask: &Ask) -> (Vec<Answer>, bool) {
    let everywhere = |id| 0..=session.scale(id).unwrap().top();
    match ask {
        Ask::Way(id) => {
            let rising = session.adjuster(*id).rising();
            (vec![Answer::Way(Some(rising)), Answer::Way(Some(rising.opposite()))], false)
        }
        Ask::Lap { .. } => {
            let verdicts = [Verdict::Better, Verdict::Worse, Verdict::Same];
            (verdicts.map(|verdict| Answer::Felt(Felt::Verdict(verdict))).to_vec(), false)
        }
        Ask::Which { .. } => ([OfPair::First, OfPair::Second].map(Answer::Which).to_vec(), false),
        Ask::Found(id) if goes_back(session.plan(), *id) => {
            let found = everywhere(*id).map(|position| Answer::Told(told(session, *id, position)));
            (found.chain([Answer::Unknown]).collect(), true)
        }
        Ask::Found(_) | Ask::Record(_) => (vec![Answer::Unknown], false),
        Ask::InNow(id) => {
            (everywhere(*id).map(|position| Answer::Told(told(session, *id, position))).collect(), true)
        }
        Ask::Sag { fit, .. } => {
            let right = || Told::Value(session.measuring().unwrap().aim(), Some(Unit::Millimetre));
            let read = |position| Answer::UsedSag(told(session, fit.adjuster, position), right(), None);
            (everywhere(fit.adjuster).map(read).chain([Answer::Keep]).collect(), true)
        }
        _ => (vec![Answer::Done], false),
    }
}

/// Whether a plan goes back to how an adjuster was found.
fn goes_back(plan: &Plan, id: AdjusterId) -> bool {
    plan.steps().iter().any(|step| {
        step.goes_back()
            && match step {
                Step::Set { adjuster, .. } => *adjuster == id,
                Step::Confirm(confirm) => confirm.adjusters.contains(&id),
                _ => false,
            }
    })
}

fn is_within_range(session: &Session, ask: &Ask) -> bool {
    let fits = match ask {
        Ask::Fit { fits, .. } | Ask::Swap { fits, .. } => fits.clone(),
        Ask::Reference(fit) | Ask::Lap { fit, .. } | Ask::Sag { fit, .. } | Ask::Proof { fit, .. } => {
            vec![*fit]
        }
        _ => Vec::new(),
    };
    fits.iter().all(|fit| fit.to <= session.scale(fit.adjuster).unwrap().top())
}

/// Seeds with which the pairs of a plan end in every way: for each step of pairs on the one setting or
/// the other.
fn seeds(plan: &Plan) -> Vec<u64> {
    let pairs = plan.steps().iter().enumerate().filter_map(|(index, step)| match step {
        Step::Confirm(confirm) => Some((index as u64, confirm.pairs)),
        _ => None,
    });
    let pairs: Vec<(u64, u32)> = pairs.collect();
    let mut known: Vec<Vec<bool>> = Vec::new();
    let mut seeds = Vec::new();
    for seed in 0.. {
        let ends =
            pairs.iter().map(|(step, pairs)| *Lot::stream(seed, *step).balanced(*pairs).last().unwrap());
        let ends: Vec<bool> = ends.collect();
        if !known.contains(&ends) {
            known.push(ends);
            seeds.push(seed);
        }
        if known.len() == 1 << pairs.len() {
            return seeds;
        }
    }
    seeds
}

/// Every ride of a plan; `None` where that takes too long.
fn ridden(plan: &Arc<Plan>) -> Option<Ridden> {
    let plan = Arc::new(Plan::clone(plan).without_budget());
    let seeds = seeds(&plan);
    let mut rides = Rides { left: MOST_ANSWERS };
    let mut ridden = Ridden::NONE;
    for seed in seeds {
        let rest = rides.ride(&Session::begin(Arc::clone(&plan), seed), Number::from_integer(0))?;
        ridden = ridden.and(rest, ridden.sequences.max(rest.sequences));
    }
    Some(ridden)
}

/// Whether a proof says what was ridden; where it only bounds, whether no ride has more.
fn is_true(proof: &Proof, ridden: Ridden) -> bool {
    let proven = Ridden {
        laps: proof.worst_laps,
        minutes: proof.worst_minutes,
        sequences: proof.sequences.exact().map_or(u128::MAX, u128::from),
        within_range: proof.within_range,
    };
    let bounds = proven.laps >= ridden.laps
        && proven.minutes >= ridden.minutes
        && proven.sequences >= ridden.sequences
        && proven.within_range == ridden.within_range;
    proof.ends && if proof.exact { proven == ridden } else { bounds }
}

/// What became of one number.
enum Drew {
    NoPlan,
    TooLarge,
    True { exact: bool },
    Wrong(String),
}

fn draw(number: u64) -> Drew {
    let mut drawn = Drawn(number.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5bf0_3635);
    let text = text(&mut drawn);
    let Some(plan) = plan_of(&text) else { return Drew::NoPlan };
    let Some(ridden) = ridden(&plan) else { return Drew::TooLarge };
    let proof = prove(&plan);
    if is_true(&proof, ridden) {
        return Drew::True { exact: proof.exact };
    }
    Drew::Wrong(format!("{text}proven: {proof:?}\nridden: {ridden:?}"))
}

#[test]
fn drawn_plans_are_proven_as_they_are_ridden() {
    let wanted: usize = std::env::var("CLICKWISE_PLANS").map_or(3000, |count| count.parse().unwrap());
    let (mut plans, mut exact, mut no_plan, mut too_large) = (0, 0, 0, 0);
    let mut wrong = Vec::new();
    let mut numbers = 0..;
    while plans < wanted {
        let batch: Vec<u64> = numbers.by_ref().take((wanted - plans).max(64)).collect();
        let drew: Vec<Drew> = batch.into_par_iter().map(draw).collect();
        for drew in drew {
            match drew {
                Drew::NoPlan => no_plan += 1,
                Drew::TooLarge => too_large += 1,
                Drew::True { exact: walked } => {
                    plans += 1;
                    exact += usize::from(walked);
                }
                Drew::Wrong(text) => {
                    plans += 1;
                    wrong.push(text);
                }
            }
        }
    }
    println!("{plans} plans, {exact} of them walked; {no_plan} no plans and {too_large} too large replaced");
    let shown: Vec<&str> = wrong.iter().take(3).map(String::as_str).collect();
    assert!(wrong.is_empty(), "{} of {plans} plans are wrong:\n{}", wrong.len(), shown.join("\n\n"));
    assert!(exact * 2 > plans, "{exact} of {plans}");
}

/// A drawn plan whose first adjuster has so many positions above its first, or is to be counted.
fn with_count(text: &str, count: Option<u64>) -> String {
    let (before, rest) = text.split_once(" rebound 0 to ").unwrap();
    let (_, after) = rest.split_once(" clicks").unwrap();
    let count = count.map_or("?".to_owned(), |count| format!("0 to {count}"));
    format!("{before} rebound {count} clicks{after}")
}

/// Counts that no step can tell apart are walked once; what comes out is as if each had been by itself.
#[test]
fn drawn_plans_are_proven_for_every_count() {
    let compared = (0..60_u64).into_par_iter().map(|number| {
        let text = text(&mut Drawn(number.wrapping_mul(0x9E37_79B9_7F4A_7C15)));
        let Some(plan) = plan_of(&with_count(&text, None)) else { return 0 };
        let proof = prove(&plan);
        if !proof.exact || proof.by_count.is_empty() {
            return 0;
        }
        let each = (1..=60).filter_map(|count| Some((count, plan_of(&with_count(&text, Some(count)))?)));
        let each: Vec<(u32, Proof)> =
            each.map(|(count, plan)| (u32::try_from(count).unwrap(), prove(&plan))).collect();
        for (count, alone) in &each {
            let row = proof.by_count.iter().find(|row| row.0 == *count);
            assert_eq!(row.map(|row| row.1), Some(alone.worst_laps), "{count}: {text}");
        }
        // a step that is too large for a count is refused where the count is written, not where it is told
        if each.len() == proof.by_count.len() {
            assert_eq!(
                proof.worst_minutes,
                each.iter().map(|each| each.1.worst_minutes).max().unwrap(),
                "{text}"
            );
            let sequences = each.iter().filter_map(|each| each.1.sequences.exact()).max();
            assert_eq!(proof.sequences.exact(), sequences, "{text}");
        }
        1
    });
    let compared: u32 = compared.sum();
    assert!(compared > 15, "{compared}");
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

/// Two adjusters that are counted: no two counts, equal or not, take more than is proven, and some take
/// as much.
#[test]
fn drawn_plans_are_proven_for_every_two_counts() {
    let few: Vec<u64> = (1..=9).chain([60]).collect();
    let compared = (0..400_u64).into_par_iter().map(|number| {
        let text = text(&mut Drawn(number.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x77));
        let Some(plan) = with_two_counts(&text, None).and_then(|text| plan_of(&text)) else { return 0 };
        let proof = prove(&plan);
        if !proof.exact {
            return 0;
        }
        let counts = few.iter().flat_map(|one| few.iter().map(move |other| [*one, *other]));
        let plans = counts.filter_map(|counts| {
            let plan = with_two_counts(&text, Some(counts)).and_then(|text| plan_of(&text))?;
            Some((counts, prove(&plan)))
        });
        let mut worst = (0, None, None);
        for (counts, alone) in plans {
            let takes = (alone.worst_laps, alone.worst_minutes, alone.sequences.exact());
            let proven = (proof.worst_laps, proof.worst_minutes, proof.sequences.exact());
            let is_proven = takes.0 <= proven.0 && takes.1 <= proven.1 && takes.2 <= proven.2;
            assert!(is_proven, "{counts:?} take {takes:?}, proven is {proven:?}: {text}");
            worst = (takes.0.max(worst.0), takes.1.max(worst.1), takes.2.max(worst.2));
        }
        // a step that no count can do is refused where counts are written, not where they are told
        let is_refused = worst == (0, None, None);
        assert!(is_refused || (worst.0, worst.1) == (proof.worst_laps, proof.worst_minutes), "{text}");
        u32::from(!is_refused)
    });
    let compared: u32 = compared.sum();
    assert!(compared > 150, "{compared}");
}
