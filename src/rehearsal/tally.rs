//! Owns what many rehearsed rides come to: laps, minutes, how near the best they end, and whom the plan
//! does not serve. It knows nothing of how that is told.

use std::sync::Arc;

use super::course::Course;
use super::kind::Kind;
use super::rides::{Ridden, Tuned, Wanted, rides};
use crate::plan::{AdjusterId, Plan, Tune};
use crate::search::Method;

/// How some numbers are spread.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spread {
    pub mean: f64,
    /// Nine in ten are at most this.
    pub p90: f64,
    pub most: f64,
}

impl Spread {
    fn of(mut numbers: Vec<f64>) -> Self {
        numbers.sort_unstable_by(f64::total_cmp);
        let Some(&most) = numbers.last() else { return Spread::default() };
        let rank = (numbers.len() * 9).div_ceil(10);
        let p90 = numbers.get(rank.saturating_sub(1)).copied().unwrap_or(most);
        Spread { mean: mean(numbers.iter().copied()), p90, most }
    }
}

fn mean(numbers: impl ExactSizeIterator<Item = f64>) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "a number of rides")]
    let count = numbers.len().max(1) as f64;
    numbers.sum::<f64>() / count
}

/// The share of some adjusters that ended within so many clicks, steps or names of the best.
fn within(tuned: &[&Tuned], far: f64, off: impl Fn(&Tuned) -> f64) -> f64 {
    mean(tuned.iter().map(|tuned| f64::from(u8::from(off(tuned) <= far))))
}

/// How an adjuster came out.
#[derive(Debug, Clone, PartialEq)]
pub struct OfAdjuster {
    pub adjuster: AdjusterId,
    /// How many positions one change of it goes, and how many it has above the first.
    pub step: u32,
    pub top: u32,
    pub laps: Spread,
    pub within_one: f64,
    pub within_two: f64,
    /// The share that had begun within one.
    pub started_within_one: f64,
    /// The share of verdicts that were that it felt the same.
    pub same: f64,
}

/// How the rides with one kind of rider came out.
#[derive(Debug, Clone, PartialEq)]
pub struct OfKind {
    pub kind: Kind,
    pub rides: usize,
    pub laps: Spread,
    /// `None` where the loop does not say how long a lap takes.
    pub minutes: Option<Spread>,
    pub within_one: f64,
    pub within_two: f64,
    pub started_within_one: f64,
    /// The share of rides in which some adjuster did not have its whole turn.
    pub cut: f64,
    pub adjusters: Vec<OfAdjuster>,
    /// The laps of every ride, in order.
    pub all_laps: Vec<u32>,
}

/// What would serve a kind of rider better.
#[derive(Debug, Clone, PartialEq)]
pub enum Advice {
    /// Most laps of these adjusters feel the same to them, and with a step twice as wide they come as near
    /// to the best in fewer laps: each with its wider step, in positions.
    Wider { adjusters: Vec<(AdjusterId, u32)>, laps_saved: f64 },
    /// These end no nearer to the best than they begin.
    NoGain(Vec<AdjusterId>),
    /// So great a share of their rides ends before every adjuster had its turn.
    CutShort(f64),
    /// Crossing out misses them, whose feeling is lopsided.
    CrossOutWeak,
}

/// Everything that a rehearsal found.
#[derive(Debug, Clone, PartialEq)]
pub struct Rehearsal {
    pub kinds: Vec<OfKind>,
    /// What would serve a kind of rider better.
    pub advice: Vec<(Kind, Advice)>,
    /// It was ended before all was ridden: there are fewer rides than wanted, or no advice.
    pub ended: bool,
}

/// Rides with each kind of rider below which shares are mostly chance.
pub const FEW_RIDES: usize = 100;

/// Rehearses a plan with every kind of rider. Of few rides there is no advice. Where its course is ended, it
/// says what the rides so far come to.
#[must_use]
pub fn rehearse(plan: &Arc<Plan>, wanted: &Wanted, course: &Course) -> Rehearsal {
    let ridden = rides(plan, &Kind::ALL, wanted, course);
    let kinds: Vec<OfKind> =
        Kind::ALL.into_iter().zip(&ridden).map(|(kind, ridden)| tally(kind, ridden)).collect();
    let feeling = kinds.iter().filter(|kind| !matches!(kind.kind, Kind::Same | Kind::Random));
    let feeling = feeling.filter(|kind| kind.rides >= FEW_RIDES && !course.is_ended());
    let advice = feeling.flat_map(|of_kind| {
        let advice = advice(plan, wanted, of_kind, &kinds, course);
        advice.into_iter().map(|advice| (of_kind.kind, advice))
    });
    let advice: Vec<(Kind, Advice)> = advice.collect();
    // half of an advice is none
    if course.is_ended() {
        return Rehearsal { kinds, advice: Vec::new(), ended: true };
    }
    Rehearsal { kinds, advice, ended: false }
}

fn tally(kind: Kind, rides: &[Ridden]) -> OfKind {
    let all: Vec<&Tuned> = rides.iter().flat_map(|ride| &ride.tuned).collect();
    let mut ids: Vec<AdjusterId> = Vec::new();
    for tuned in rides.first().map_or(&[][..], |ride| &ride.tuned) {
        ids.push(tuned.adjuster);
    }
    let adjusters = ids.into_iter().map(|adjuster| {
        let of_it: Vec<&Tuned> = all.iter().filter(|tuned| tuned.adjuster == adjuster).copied().collect();
        let verdicts: u32 = of_it.iter().map(|tuned| tuned.verdicts).sum();
        let same: u32 = of_it.iter().map(|tuned| tuned.same).sum();
        OfAdjuster {
            adjuster,
            step: of_it.first().map_or(1, |tuned| tuned.step),
            top: of_it.first().map_or(0, |tuned| tuned.top),
            laps: Spread::of(of_it.iter().map(|tuned| f64::from(tuned.laps)).collect()),
            within_one: within(&of_it, 1.0, |tuned| tuned.off),
            within_two: within(&of_it, 2.0, |tuned| tuned.off),
            started_within_one: within(&of_it, 1.0, |tuned| tuned.started_off),
            same: f64::from(same) / f64::from(verdicts.max(1)),
        }
    });
    let minutes: Option<Vec<f64>> = rides.iter().map(|ride| ride.minutes).collect();
    OfKind {
        kind,
        rides: rides.len(),
        laps: Spread::of(rides.iter().map(|ride| f64::from(ride.laps)).collect()),
        minutes: minutes.map(Spread::of),
        within_one: within(&all, 1.0, |tuned| tuned.off),
        within_two: within(&all, 2.0, |tuned| tuned.off),
        started_within_one: within(&all, 1.0, |tuned| tuned.started_off),
        cut: mean(rides.iter().map(|ride| f64::from(u8::from(ride.cut)))),
        adjusters: adjusters.collect(),
        all_laps: rides.iter().map(|ride| ride.laps).collect(),
    }
}

fn advice(
    plan: &Arc<Plan>,
    wanted: &Wanted,
    of_kind: &OfKind,
    kinds: &[OfKind],
    course: &Course,
) -> Vec<Advice> {
    let mut advice = Vec::new();
    advice.extend(wider(plan, wanted, of_kind, course));
    // where nearly all begin there, there is nothing to gain
    let could_gain = of_kind.adjusters.iter().filter(|of_it| of_it.started_within_one < 0.95);
    let no_gain = could_gain.filter(|of_it| of_it.within_one < of_it.started_within_one + 0.02);
    let no_gain: Vec<AdjusterId> = no_gain.map(|of_it| of_it.adjuster).collect();
    if !no_gain.is_empty() {
        advice.push(Advice::NoGain(no_gain));
    }
    if of_kind.cut > 0.1 {
        advice.push(Advice::CutShort(of_kind.cut));
    }
    let crosses_out = |tune: &Tune| tune.method == Method::CrossOut;
    let steady = kinds.iter().find(|other| other.kind == Kind::Steady).map_or(0.0, |other| other.within_one);
    if of_kind.kind == Kind::Uneven && plan.tunes().any(crosses_out) && of_kind.within_one < steady - 0.1 {
        advice.push(Advice::CrossOutWeak);
    }
    advice
}

/// Whether steps twice as wide serve a kind of rider better: tried, not guessed.
fn wider(plan: &Arc<Plan>, wanted: &Wanted, of_kind: &OfKind, course: &Course) -> Option<Advice> {
    let by_steps = |id: AdjusterId| {
        let mut tunes = plan.tunes().filter(|tune| tune.adjuster == id);
        tunes.all(|tune| tune.method == Method::Bracket && tune.within.is_none())
    };
    let dull = of_kind
        .adjusters
        .iter()
        .filter(|of_it| of_it.same > 0.5 && of_it.step * 4 <= of_it.top && by_steps(of_it.adjuster));
    let dull: Vec<&OfAdjuster> = dull.collect();
    if dull.is_empty() {
        return None;
    }
    let tried =
        dull.iter().fold(Plan::clone(plan), |plan, of_it| plan.with_step(of_it.adjuster, of_it.step * 2));
    let ridden = rides(&Arc::new(tried), &[of_kind.kind], wanted, course);
    let tried = tally(of_kind.kind, ridden.first()?);
    let mut saved = 0.0;
    let mut adjusters = Vec::new();
    for of_it in dull {
        let then = tried.adjusters.iter().find(|then| then.adjuster == of_it.adjuster)?;
        if then.within_one >= of_it.within_one - 0.01 && then.laps.mean < of_it.laps.mean - 0.1 {
            saved += of_it.laps.mean - then.laps.mean;
            adjusters.push((of_it.adjuster, of_it.step * 2));
        }
    }
    (!adjusters.is_empty()).then_some(Advice::Wider { adjusters, laps_saved: saved })
}
