//! Owns how much the answers about a coming lap are expected to tell of the best setting. It knows nothing of which laps
//! may be ridden.

use std::ops::Range;

use super::belief::Belief;
use super::felt::{Chances, times_its_log};
use super::rows::RIDERS;

impl Belief {
    /// The places that could be the best, from the first to the last of them: what lies beyond tells far less than one lap
    /// has to tell more than another.
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
    fn prepare(&mut self, at: u32, against: u32) {
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
        self.prepare(at, against);
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
        self.prepare(at, against);
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
