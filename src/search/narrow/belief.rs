//! Owns what is believed of the best setting after some verdicts: a share for every half position and
//! every rider that is thought possible. It knows nothing of which lap comes next.

use std::ops::Range;
use std::sync::Arc;

use super::felt::{Chances, LEAST, NEVER, SLIP, THRESHOLDS, times_its_log};
use super::rows::{RIDERS, Row, Rows};
use super::{Memory, Terms};
use crate::search::{Direction, Grade, SecondLook, Verdict};

/// What is believed of the best setting. Its places are half positions: 0, 1/2, 1 .. top.
#[derive(Debug, Clone)]
pub struct Belief {
    rows: Arc<Rows>,
    places: usize,
    /// For each possible rider one share for each place; all make 1.
    mass: Vec<f64>,
    /// The same apart for riders who never say much, and for each threshold from which they do; they make `mass`.
    graded: Option<[Vec<f64>; 1 + THRESHOLDS.len()]>,
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
            let never = graded.iter_mut().enumerate();
            for (threshold, mass) in never {
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

    /// The places that could be the best, from the first to the last of them: what lies beyond tells nothing.
    fn near(&self) -> Range<usize> {
        let could_be = |share: &f64| *share > 1e-10;
        let first = self.shares.iter().position(could_be).unwrap_or(0);
        let last = self.shares.iter().rposition(could_be).map_or(0, |last| last + 1);
        first..last.max(first)
    }

    /// What is worked out once for all that may be ridden next.
    pub(super) fn telling(&self) -> Telling<'_> {
        let near = self.near();
        let width = near.len();
        let of_shares = self.shares[near.clone()].iter().map(|share| times_its_log(*share)).sum();
        let empty = || vec![0.0; width];
        Telling {
            belief: self,
            near,
            of_shares,
            lap: None,
            answered: [(); 2].map(|()| vec![0.0; RIDERS * width]),
            first: [(); 2].map(|()| empty()),
            second: [(); 2].map(|()| empty()),
            both: [(); 4].map(|()| empty()),
        }
    }
}

/// How much the answers about a coming lap are expected to tell of the best setting, in nats, whoever the rider is.
pub(super) struct Telling<'a> {
    belief: &'a Belief,
    near: Range<usize>,
    of_shares: f64,
    /// The lap about which the first answer is.
    lap: Option<(u32, u32)>,
    /// The shares with the first answer better, and worse, rider by rider.
    answered: [Vec<f64>; 2],
    /// The same for all riders together; and of the second answer.
    first: [Vec<f64>; 2],
    second: [Vec<f64>; 2],
    /// Better twice, better and worse, worse and better, worse twice.
    both: [Vec<f64>; 4],
}

impl Telling<'_> {
    /// Works out the shares with each answer about a lap at `at` against one at `against`.
    fn ask(&mut self, at: u32, against: u32) {
        if self.lap.replace((at, against)) == Some((at, against)) {
            return;
        }
        let (places, width) = (self.belief.places, self.near.len());
        let row = self.belief.rows.row(at, against);
        let [better, worse] = &mut self.first;
        better.fill(0.0);
        worse.fill(0.0);
        let [all_better, all_worse] = &mut self.answered;
        for rider in 0..RIDERS {
            let (chance_better, chance_worse) = row.of_rider(rider, places);
            let mass = &self.belief.mass[rider * places..][..places][self.near.clone()];
            let of_rider = rider * width..(rider + 1) * width;
            let answers = [
                (chance_better, &mut all_better[of_rider.clone()], &mut *better),
                (chance_worse, &mut all_worse[of_rider], &mut *worse),
            ];
            for (chances, answered, sums) in answers {
                let chances = &chances[self.near.clone()];
                for (((mass, chance), answered), sum) in mass.iter().zip(chances).zip(answered).zip(sums) {
                    *answered = mass * chance;
                    *sum += *answered;
                }
            }
        }
    }

    /// What the one answer about a lap at `at` against one at `against` tells.
    pub fn one(&mut self, at: u32, against: u32) -> f64 {
        self.ask(at, against);
        let shares = &self.belief.shares[self.near.clone()];
        let mut told = Told::default();
        for ((share, better), worse) in shares.iter().zip(&self.first[0]).zip(&self.first[1]) {
            told.add([*better, *worse, share - better - worse]);
        }
        told.ends(self.of_shares)
    }

    /// The most that the answer about a lap at `at` against one at `also` can add to another answer about the same lap:
    /// what it tells of the best and the rider together, if nothing else is known.
    pub fn adds_at_most(&mut self, at: u32, also: u32) -> f64 {
        let (places, width) = (self.belief.places, self.near.len());
        let row = self.belief.rows.row(at, also);
        let [better, worse] = &mut self.second;
        let open = &mut self.both[0];
        for sums in [&mut *better, worse, open] {
            sums.fill(0.0);
        }
        for rider in 0..RIDERS {
            let mass = &self.belief.mass[rider * places..][..places][self.near.clone()][..width];
            let (chance_better, chance_worse) = row.of_rider(rider, places);
            let told = [
                (chance_better, &mut *better),
                (chance_worse, &mut *worse),
                (row.open(rider, places), &mut *open),
            ];
            for (chances, sums) in told {
                let (chances, sums) = (&chances[self.near.clone()][..width], &mut sums[..width]);
                for place in 0..width {
                    sums[place] += mass[place] * chances[place];
                }
            }
        }
        let [better, worse] = [&self.second[0], &self.second[1]].map(|sums| sums.iter().sum::<f64>());
        let same = (1.0 - better - worse).max(0.0);
        Chances { better, same, worse }.entropy() - self.both[0].iter().sum::<f64>()
    }

    /// What that answer and the one about the same lap against `also` tell together.
    pub fn both(&mut self, at: u32, against: u32, also: u32) -> f64 {
        self.ask(at, against);
        let (places, width) = (self.belief.places, self.near.len());
        let row = self.belief.rows.row(at, also);
        let [better, worse] = &mut self.second;
        let [better_better, better_worse, worse_better, worse_worse] = &mut self.both;
        let sums = [&mut *better, worse, better_better, better_worse, worse_better, worse_worse];
        for sums in sums {
            sums.fill(0.0);
        }
        for rider in 0..RIDERS {
            let (chance_better, chance_worse) = row.of_rider(rider, places);
            let mass = &self.belief.mass[rider * places..][..places][self.near.clone()];
            let (chance_better, chance_worse) =
                (&chance_better[self.near.clone()], &chance_worse[self.near.clone()]);
            let [first_better, first_worse] = &self.answered;
            let (first_better, first_worse) =
                (&first_better[rider * width..][..width], &first_worse[rider * width..][..width]);
            let second = [
                (chance_better, &mut *better, &mut *better_better, &mut *worse_better),
                (chance_worse, &mut *worse, &mut *better_worse, &mut *worse_worse),
            ];
            for (chances, sums, after_better, after_worse) in second {
                // all of one length, so that nothing is asked in the loop
                let (sums, after_better, after_worse) =
                    (&mut sums[..width], &mut after_better[..width], &mut after_worse[..width]);
                let (mass, chances) = (&mass[..width], &chances[..width]);
                let (first_better, first_worse) = (&first_better[..width], &first_worse[..width]);
                for place in 0..width {
                    sums[place] += mass[place] * chances[place];
                    after_better[place] += first_better[place] * chances[place];
                    after_worse[place] += first_worse[place] * chances[place];
                }
            }
        }
        let mut told = Told::default();
        let shares = &self.belief.shares[self.near.clone()];
        let [better_better, better_worse, worse_better, worse_worse] = &self.both;
        for place in 0..width {
            let (better, worse) = (self.first[0][place], self.first[1][place]);
            let (bb, bw) = (better_better[place], better_worse[place]);
            let (wb, ww) = (worse_better[place], worse_worse[place]);
            let (same_better, same_worse) =
                (self.second[0][place] - bb - wb, self.second[1][place] - bw - ww);
            let (better_same, worse_same) = (better - bb - bw, worse - wb - ww);
            let same_same = shares[place] - better - worse - same_better - same_worse;
            told.add([bb, bw, better_same, wb, ww, worse_same, same_better, same_worse, same_same]);
        }
        told.ends(self.of_shares)
    }
}

/// What answers tell, place by place.
struct Told<const ANSWERS: usize> {
    sums: [f64; ANSWERS],
    told: f64,
}

impl<const ANSWERS: usize> Default for Told<ANSWERS> {
    fn default() -> Self {
        Told { sums: [0.0; ANSWERS], told: 0.0 }
    }
}

impl<const ANSWERS: usize> Told<ANSWERS> {
    /// The shares of a place with each answer.
    fn add(&mut self, of_place: [f64; ANSWERS]) {
        for (sum, share) in self.sums.iter_mut().zip(of_place) {
            *sum += share.max(0.0);
            self.told += times_its_log(share);
        }
    }

    /// With what the shares tell without any answer.
    fn ends(&self, of_shares: f64) -> f64 {
        self.told - of_shares - self.sums.iter().map(|sum| times_its_log(*sum)).sum::<f64>()
    }
}
