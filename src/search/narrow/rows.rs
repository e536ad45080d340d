//! Owns the likelihoods of all laps of a range, worked out once: how likely each answer is depends only
//! on how far the two laps lie apart and how far the best lies from them.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::felt::{Sense, THRESHOLDS};

/// How many riders are thought possible.
pub(super) const RIDERS: usize = 24;

/// How many bytes of likelihoods are kept once they are worked out; with more all of them are let go. A range of
/// 128 has 75 MB of them at most.
const MOST_KEPT: usize = 128 * 1024 * 1024;

/// The likelihoods of a range of 0 to `top`.
#[derive(Debug)]
pub(super) struct Rows {
    top: u32,
    riders: Vec<(Sense, f64)>,
    /// For laps `top` below the one they are compared with, up to `top` above it.
    by_distance: Vec<OnceLock<Distance>>,
    /// How many bytes were worked out.
    bytes: AtomicUsize,
}

/// The chances of better and worse for laps so far apart, one for each place of the best in half
/// positions from `top` below to `top` above the newer lap, rider by rider.
#[derive(Debug)]
struct Distance {
    better: Vec<f64>,
    worse: Vec<f64>,
    /// How open the answer is: its entropy, in nats.
    open: Vec<f64>,
    /// The chances of much better and of much worse, for each threshold; worked out where they are needed.
    much: OnceLock<[[Vec<f64>; 2]; THRESHOLDS.len()]>,
}

/// The likelihoods of one lap against another.
pub(super) struct Row<'a> {
    rows: &'a Rows,
    apart: f64,
    distance: &'a Distance,
    first: usize,
    length: usize,
}

impl Row<'_> {
    /// The chances of better and of worse for one rider and every place of the best.
    pub fn of_rider(&self, rider: usize, places: usize) -> (&[f64], &[f64]) {
        let first = rider * self.length + self.first;
        (&self.distance.better[first..][..places], &self.distance.worse[first..][..places])
    }

    /// The chances of much better and of much worse for one rider with one threshold and every place of the best.
    pub fn much(&self, threshold: usize, rider: usize, places: usize) -> [&[f64]; 2] {
        let much = self.distance.much.get_or_init(|| self.rows.work_out_much(self.apart));
        let first = rider * self.length + self.first;
        [0, 1].map(|side| &much[threshold][side][first..][..places])
    }

    /// How open the answer of one rider is for every place of the best, in nats.
    pub fn open(&self, rider: usize, places: usize) -> &[f64] {
        &self.distance.open[rider * self.length + self.first..][..places]
    }
}

/// What was worked out so far, by range. It only saves work: what is in it is the same wherever it is made.
#[derive(Debug, Default)]
pub(super) struct Ranges(Mutex<BTreeMap<u32, Arc<Rows>>>);

impl Ranges {
    /// The likelihoods of a range.
    pub fn rows(&self, top: u32) -> Arc<Rows> {
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.values().map(|rows| rows.bytes.load(Ordering::Relaxed)).sum::<usize>() > MOST_KEPT {
            kept.clear();
        }
        Arc::clone(kept.entry(top).or_insert_with(|| Arc::new(Rows::new(top))))
    }
}

impl Rows {
    fn new(top: u32) -> Self {
        let by_distance = (0..=2 * top).map(|_| OnceLock::new()).collect();
        Rows { top, riders: Sense::possible(), by_distance, bytes: AtomicUsize::new(0) }
    }

    /// The share of each rider that is thought possible.
    pub fn riders(&self) -> impl Iterator<Item = f64> + use<'_> {
        self.riders.iter().map(|rider| rider.1)
    }

    /// The likelihoods of a lap at `at` against one at `against`, both within the range.
    pub fn row(&self, at: u32, against: u32) -> Row<'_> {
        let (at, against) = (at.min(self.top), against.min(self.top));
        let index = (at + self.top - against) as usize;
        let apart = f64::from(at) - f64::from(against);
        let distance = self.by_distance[index].get_or_init(|| self.work_out(apart));
        let (top, at) = (self.top as usize, at as usize);
        Row { rows: self, apart, distance, first: 2 * (top - at), length: 4 * top + 1 }
    }

    fn work_out(&self, apart: f64) -> Distance {
        let room = self.riders.len() * (4 * self.top as usize + 1);
        let [mut better, mut worse, mut open] = [(); 3].map(|()| Vec::with_capacity(room));
        for (felt, lap, against) in self.cases(apart) {
            let chances = felt.chances(lap, against);
            better.push(chances.better);
            worse.push(chances.worse);
            open.push(chances.entropy());
        }
        self.bytes.fetch_add(3 * room * size_of::<f64>(), Ordering::Relaxed);
        Distance { better, worse, open, much: OnceLock::new() }
    }

    fn work_out_much(&self, apart: f64) -> [[Vec<f64>; 2]; THRESHOLDS.len()] {
        let much = THRESHOLDS.map(|(threshold, _)| {
            let (better, worse) = self
                .cases(apart)
                .map(|(felt, lap, against)| felt.much(lap, against, threshold))
                .map(|[better, worse]| (better, worse))
                .unzip();
            [better, worse]
        });
        let numbers: usize = much.iter().flatten().map(Vec::len).sum();
        self.bytes.fetch_add(numbers * size_of::<f64>(), Ordering::Relaxed);
        much
    }

    /// Each rider with each place of the best: how far above it the newer lap is, and the one it is compared with.
    fn cases(&self, apart: f64) -> impl Iterator<Item = (&Sense, f64, f64)> {
        let places = 4 * self.top + 1;
        self.riders.iter().flat_map(move |(felt, _)| {
            (0..places).map(move |place| {
                // where the best lies, in positions above the newer lap
                let best = f64::from(place) / 2.0 - f64::from(self.top);
                (felt, -best, -apart - best)
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_is_worked_out_once_and_not_too_much_is_kept() {
        let ranges = Ranges::default();
        let first = ranges.rows(5);
        first.row(2, 3);
        let bytes = first.bytes.load(Ordering::Relaxed);
        first.row(1, 2);
        assert_eq!((bytes > 0, first.bytes.load(Ordering::Relaxed)), (true, bytes), "as far apart");
        assert!(Arc::ptr_eq(&first, &ranges.rows(5)));
        first.bytes.store(MOST_KEPT, Ordering::Relaxed);
        ranges.rows(6);
        assert!(Arc::ptr_eq(&first, &ranges.rows(5)));
        first.bytes.store(MOST_KEPT + 1, Ordering::Relaxed);
        assert!(!Arc::ptr_eq(&first, &ranges.rows(5)));
    }
}
