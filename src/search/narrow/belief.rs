//! Owns what is believed of the best setting after some verdicts: a share for every half position and
//! every rider that is thought possible. It knows nothing of which lap comes next.

use std::sync::Arc;

use super::felt::{LEAST, NEVER, SLIP, THRESHOLDS};
use super::rows::{Row, Rows};
use super::{Memory, Terms};
use crate::search::{Direction, Grade, SecondLook, Verdict};

/// What is believed of the best setting. Its places are half positions: 0, 1/2, 1 .. top.
#[derive(Debug, Clone)]
pub struct Belief {
    pub(super) rows: Arc<Rows>,
    pub(super) places: usize,
    /// For each possible rider one share for each place; all make 1.
    pub(super) mass: Vec<f64>,
    /// The same apart for riders who never say much, and for each threshold from which they do; they make `mass`.
    graded: Option<[Vec<f64>; 1 + THRESHOLDS.len()]>,
    /// The shares of the places, whoever the rider is.
    pub(super) shares: Vec<f64>,
}

/// How the shares begin: `peaked` of them about the start, falling off over `scale` positions, the rest
/// evenly.
fn prior(terms: &Terms) -> Vec<f64> {
    let top = f64::from(terms.top);
    let (peaked, scale) = match terms.again {
        None => (0.7, 0.12 * top + 0.4),
        Some(SecondLook::CLOSE) => (0.9, 1.2),
        Some(_) => (0.9, 1.8),
    };
    let last = i64::from(terms.top) * 2;
    let fall = |place: i64| {
        #[allow(clippy::cast_precision_loss, reason = "a place of the range")]
        let distance = place as f64 / 2.0 - f64::from(terms.start);
        let width = distance / scale;
        let inner = 1.0 + width * width / 3.0;
        1.0 / (inner * inner)
    };
    let mut shares: Vec<f64> = (0..=last).map(fall).collect();
    // what lies beyond the range is at its ends
    let below: f64 = (1..400).map(|beyond| fall(-beyond)).sum();
    let above: f64 = (1..400).map(|beyond| fall(last + beyond)).sum();
    shares[0] += below;
    let end = shares.len() - 1;
    shares[end] += above;
    let sum: f64 = shares.iter().sum();
    #[allow(clippy::cast_precision_loss, reason = "a number of places")]
    let even = (1.0 - peaked) / shares.len() as f64;
    for share in &mut shares {
        *share = peaked * *share / sum + even;
    }
    if let Some(hint) = terms.hint {
        let start = terms.start as usize * 2;
        for (place, share) in shares.iter_mut().enumerate() {
            let toward = match hint {
                Direction::Up => place > start,
                Direction::Down => place < start,
            };
            if place != start {
                *share *= 2.0 * if toward { 0.65 } else { 0.35 };
            }
        }
        let sum: f64 = shares.iter().sum();
        for share in &mut shares {
            *share /= sum;
        }
    }
    shares
}

/// How an answer changes the shares.
fn hear_plain(mass: &mut [f64], places: usize, row: &Row<'_>, verdict: Verdict) {
    for (rider, mass) in mass.chunks_exact_mut(places).enumerate() {
        let (better, worse) = row.of_rider(rider, places);
        match verdict {
            Verdict::Better => mass.iter_mut().zip(better).for_each(|(mass, better)| *mass *= better),
            Verdict::Worse => mass.iter_mut().zip(worse).for_each(|(mass, worse)| *mass *= worse),
            Verdict::Same => {
                let both = better.iter().zip(worse);
                let same = both.map(|(better, worse)| (1.0 - better - worse).max(LEAST));
                mass.iter_mut().zip(same).for_each(|(mass, same)| *mass *= same);
            }
        }
    }
}

/// How it changes those of riders who say much from a threshold on, or never: a plain better is one that is not much.
fn hear_graded(mass: &mut [f64], places: usize, row: &Row<'_>, threshold: Option<usize>, grade: Grade) {
    for (rider, mass) in mass.chunks_exact_mut(places).enumerate() {
        let (better, worse) = row.of_rider(rider, places);
        let much = threshold.map(|threshold| row.much(threshold, rider, places));
        for (place, mass) in mass.iter_mut().enumerate() {
            let (better, worse) = (better[place], worse[place]);
            let [much_better, much_worse] =
                much.map_or([SLIP * better, SLIP * worse], |much| much.map(|side| side[place]));
            let chance = match grade {
                Grade::MuchBetter => much_better,
                Grade::Better => better - much_better,
                Grade::Same => 1.0 - better - worse,
                Grade::Worse => worse - much_worse,
                Grade::MuchWorse => much_worse,
            };
            *mass *= chance.max(LEAST);
        }
    }
}

impl Belief {
    /// What is believed before the first answer. Only where `graded`, as some answer says much, is it asked from when on
    /// a rider says so: a rider who never does is believed as if there were no such answers.
    pub(super) fn begin(terms: &Terms, graded: bool, memory: &Memory) -> Self {
        let shares = prior(terms);
        let rows = memory.rows(terms.top);
        let mass = rows.riders().flat_map(|of_rider| shares.iter().map(move |share| share * of_rider));
        let mass: Vec<f64> = mass.collect();
        let of_threshold = |share: f64| mass.iter().map(|mass| mass * share).collect();
        let graded = graded.then(|| {
            let [one, two, three] = THRESHOLDS.map(|(_, share)| of_threshold(share));
            [of_threshold(NEVER), one, two, three]
        });
        Belief { rows, places: shares.len(), mass, graded, shares }
    }

    /// After an answer about a lap at `at` against one at `against`.
    pub fn hear(&mut self, at: u32, against: u32, grade: Grade) {
        let rows = Arc::clone(&self.rows);
        let row = rows.row(at, against);
        if let Some(graded) = &mut self.graded {
            for (threshold, mass) in graded.iter_mut().enumerate() {
                // the first are those who never do
                hear_graded(mass, self.places, &row, threshold.checked_sub(1), grade);
            }
            self.mass.fill(0.0);
            for mass in graded.iter() {
                self.mass.iter_mut().zip(mass).for_each(|(sum, mass)| *sum += mass);
            }
        } else {
            hear_plain(&mut self.mass, self.places, &row, grade.verdict());
        }
        let sum: f64 = self.mass.iter().sum();
        let all = self.graded.iter_mut().flatten().chain([&mut self.mass]).flatten();
        all.for_each(|mass| *mass /= sum);
        self.shares.fill(0.0);
        for mass in self.mass.chunks_exact(self.places) {
            self.shares.iter_mut().zip(mass).for_each(|(share, mass)| *share += mass);
        }
    }

    /// The share of every half position, from the first; they make 1. What simulated riders bear out
    /// less than it says: never a promise.
    #[must_use]
    pub fn shares(&self) -> &[f64] {
        &self.shares
    }

    /// The mean of the best setting and its deviation, in positions.
    #[must_use]
    pub fn mean_and_deviation(&self) -> (f64, f64) {
        let mean = self.expected(|place| place);
        let square = self.expected(|place| (place - mean) * (place - mean));
        (mean, libm::sqrt(square))
    }

    /// What something of the best setting is on average.
    fn expected(&self, of: impl Fn(f64) -> f64) -> f64 {
        #[allow(clippy::cast_precision_loss, reason = "a place of the range")]
        let all = self.shares.iter().enumerate().map(|(place, share)| share * of(place as f64 / 2.0));
        all.sum()
    }

    /// How much of the shares lies within about one position of a position.
    #[must_use]
    pub fn within_one(&self, position: u32) -> f64 {
        let middle = i64::from(position) * 2;
        let share = |place: i64| {
            usize::try_from(place).ok().and_then(|place| self.shares.get(place)).copied().unwrap_or(0.0)
        };
        share(middle - 1)
            + share(middle)
            + share(middle + 1)
            + f64::midpoint(share(middle - 2), share(middle + 2))
    }
}
