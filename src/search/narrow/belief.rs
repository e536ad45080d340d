//! Owns what is believed of the best setting after some verdicts: a share for every half position and
//! every rider that is thought possible. It knows nothing of which lap comes next.

use std::sync::Arc;

use super::rows::{RIDERS, Rows};
use super::{Memory, Terms};
use crate::search::{Direction, SecondLook, Verdict};

/// What is believed of the best setting. Its places are half positions: 0, 1/2, 1 .. top.
#[derive(Debug, Clone)]
pub struct Belief {
    rows: Arc<Rows>,
    places: usize,
    /// For each possible rider one share for each place; all make 1.
    mass: Vec<f64>,
    /// The shares of the places, whoever the rider is.
    shares: Vec<f64>,
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

impl Belief {
    /// What is believed before the first verdict.
    pub(super) fn begin(terms: &Terms, memory: &Memory) -> Self {
        let shares = prior(terms);
        let rows = memory.rows(terms.top);
        let mass = rows.riders().flat_map(|of_rider| shares.iter().map(move |share| share * of_rider));
        let mass = mass.collect();
        Belief { rows, places: shares.len(), mass, shares }
    }

    /// After a verdict about a lap at `at` against one at `against`.
    pub fn hear(&mut self, at: u32, against: u32, verdict: Verdict) {
        let rows = Arc::clone(&self.rows);
        let row = rows.row(at, against);
        let mut sum = 0.0;
        for rider in 0..RIDERS {
            let mass = &mut self.mass[rider * self.places..][..self.places];
            let (better, worse) = row.of_rider(rider, self.places);
            match verdict {
                Verdict::Better => mass.iter_mut().zip(better).for_each(|(mass, better)| *mass *= better),
                Verdict::Worse => mass.iter_mut().zip(worse).for_each(|(mass, worse)| *mass *= worse),
                Verdict::Same => {
                    let both = better.iter().zip(worse);
                    let same = both.map(|(better, worse)| (1.0 - better - worse).max(1e-12));
                    mass.iter_mut().zip(same).for_each(|(mass, same)| *mass *= same);
                }
            }
            sum += mass.iter().sum::<f64>();
        }
        self.shares.fill(0.0);
        for rider in 0..RIDERS {
            let mass = &mut self.mass[rider * self.places..][..self.places];
            for (mass, share) in mass.iter_mut().zip(&mut self.shares) {
                *mass /= sum;
                *share += *mass;
            }
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

    /// How far the best setting is from a position, on average.
    #[must_use]
    pub fn distance(&self, position: u32) -> f64 {
        let position = f64::from(position);
        self.expected(|place| (place - position).abs())
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

    /// How much the verdict about a lap at `at` against one at `against` is expected to tell of the
    /// best setting, in nats; `room` is for working in.
    pub(super) fn telling(&self, at: u32, against: u32, room: &mut Room) -> f64 {
        let row = self.rows.row(at, against);
        let (better, worse) = (&mut room.better[..self.places], &mut room.worse[..self.places]);
        better.fill(0.0);
        worse.fill(0.0);
        for rider in 0..RIDERS {
            let mass = &self.mass[rider * self.places..][..self.places];
            let (chance_better, chance_worse) = row.of_rider(rider, self.places);
            for place in 0..self.places {
                better[place] += mass[place] * chance_better[place];
                worse[place] += mass[place] * chance_worse[place];
            }
        }
        let (mut sums, mut told) = ([0.0; 3], 0.0);
        for place in 0..self.places {
            let share = self.shares[place];
            let same = (share - better[place] - worse[place]).max(0.0);
            for (sum, part) in sums.iter_mut().zip([better[place], same, worse[place]]) {
                *sum += part;
                if part > 0.0 {
                    told += part * libm::log(part / share);
                }
            }
        }
        for sum in sums {
            if sum > 0.0 {
                told -= sum * libm::log(sum);
            }
        }
        told
    }

    /// Room for as many places as this belief has.
    pub(super) fn room(&self) -> Room {
        Room { better: vec![0.0; self.places], worse: vec![0.0; self.places] }
    }
}

/// What one sum after another is worked out in.
pub(super) struct Room {
    better: Vec<f64>,
    worse: Vec<f64>,
}
