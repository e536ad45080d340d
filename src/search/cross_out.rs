//! Owns the search by crossing out: a ruler of marks on half positions, and a cross on every mark that
//! a verdict speaks against. It can be done with a pencil. It knows nothing of what the positions are.

use super::{Direction, Proposal, Reason, Verdict, Window};

/// The most laps, the one at the start among them.
const MOST_LAPS: usize = 8;

/// A range of marks that is as wide as this, in half positions, is close enough.
const CLOSE: usize = 6;

/// A search by crossing out. All that its future depends on, and nothing else.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct CrossOut {
    /// The positions are 0 to this.
    top: u32,
    direction: Direction,
    /// What was ridden, in order, the start first.
    ridden: Vec<u32>,
    best: u32,
    former_best: Option<u32>,
    /// Where the present run of steps stands.
    current: u32,
    found: bool,
    turned: bool,
    /// The steps are done; what is left is parted.
    closing: bool,
    /// The crosses on the marks 0, 1/2, 1 .. top.
    crosses: Vec<u8>,
}

impl CrossOut {
    /// A search over the positions 0 to `top`, at least 4, from `start`, which has been ridden, first
    /// in `direction`. A start within a position of the end in that direction turns at once.
    #[must_use]
    pub fn begin(top: u32, start: u32, direction: Direction) -> Self {
        let start = start.min(top);
        let mut search = CrossOut {
            top,
            direction,
            ridden: vec![start],
            best: start,
            former_best: None,
            current: start,
            found: false,
            turned: false,
            closing: false,
            crosses: vec![0; top as usize * 2 + 1],
        };
        if search.ahead().abs_diff(start) < 2 {
            search.direction = direction.opposite();
            search.turned = true;
        }
        search.turned_where_needed()
    }

    fn window(&self) -> Window {
        Window { low: 0, high: self.top }
    }

    /// How far one step goes.
    fn step(&self) -> u32 {
        if self.top <= 7 { 3 } else { 4 }
    }

    fn ahead(&self) -> u32 {
        self.window().step(self.current, self.step(), self.direction)
    }

    fn turned_where_needed(mut self) -> Self {
        while !self.closing && self.ahead().abs_diff(self.current) < 2 {
            self = self.turn();
        }
        self
    }

    fn turn(mut self) -> Self {
        if self.found || self.turned {
            self.closing = true;
        } else {
            self.turned = true;
            self.direction = self.direction.opposite();
            self.current = self.ridden[0];
        }
        self
    }

    fn last(&self) -> u32 {
        self.ridden.last().copied().unwrap_or(self.best)
    }

    /// The first and last mark with the fewest crosses, in half positions.
    fn left(&self) -> (usize, usize) {
        let fewest = self.crosses.iter().min();
        let is_left = |cross: &u8| Some(cross) == fewest;
        let first = self.crosses.iter().position(is_left).unwrap_or(0);
        let last = self.crosses.iter().rposition(is_left).unwrap_or(first);
        (first, last)
    }

    /// What to ride next, or where to settle.
    #[must_use]
    pub fn next(&self) -> Proposal {
        let (low, high) = self.left();
        if self.ridden.len() >= MOST_LAPS || (self.closing && high - low <= CLOSE) {
            return Proposal::Settle(self.settled());
        }
        let last = self.last();
        if self.closing {
            let at = self.parting(low + high);
            // the latest of those ridden that lie nearest to the middle, counted in quarters
            let middle = u32::try_from(low + high).unwrap_or(u32::MAX);
            let nearest = self.ridden.iter().rev().copied().min_by_key(|&place| (4 * place).abs_diff(middle));
            let also = nearest.filter(|&place| place != at && place != last);
            return Proposal::Ride { at, against: last, also };
        }
        let also = if last == self.best { self.former_best } else { Some(last) };
        Proposal::Ride { at: self.ahead(), against: self.best, also }
    }

    /// Where the next lap parts what is left, whose middle is given in quarters of a position.
    fn parting(&self, middle: usize) -> u32 {
        let quarters = |place: u32| i64::from(place) * 4;
        let middle = i64::try_from(middle).unwrap_or(i64::MAX);
        let (last, step) = (self.last(), self.step());
        // twice the middle less the last, in quarters, as a whole position
        let mirrored = self.rounded(2 * middle - quarters(last));
        let from_last = mirrored - i64::from(last);
        let window = self.window();
        let toward = match middle.cmp(&quarters(last)) {
            std::cmp::Ordering::Greater => Direction::Up,
            std::cmp::Ordering::Less => Direction::Down,
            std::cmp::Ordering::Equal => self.direction,
        };
        if from_last.unsigned_abs() < u64::from(step) {
            let direction = if window.room(last, toward) < step { toward.opposite() } else { toward };
            return window.step(last, step, direction);
        }
        let reach = u32::try_from(from_last.unsigned_abs()).unwrap_or(u32::MAX).min(2 * step);
        window.step(last, reach, if from_last > 0 { Direction::Up } else { Direction::Down })
    }

    /// Quarters as whole positions, a half toward the best.
    fn rounded(&self, quarters: i64) -> i64 {
        let (below, rest) = (quarters.div_euclid(4), quarters.rem_euclid(4));
        let up = match rest {
            0 | 1 => false,
            2 => i64::from(self.best) > below,
            _ => true,
        };
        below + i64::from(up)
    }

    /// Why that is ridden next; `None` where nothing is.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        if matches!(self.next(), Proposal::Settle(_)) {
            return None;
        }
        if self.closing {
            let (low, high) = self.left();
            let place = |mark: usize| u32::try_from(mark / 2).unwrap_or(u32::MAX);
            return Some(Reason::Left(Window { low: place(low), high: place(high + 1).min(self.top) }));
        }
        let start = self.ridden[0];
        Some(match (self.current == start, self.current == self.best) {
            (true, _) if self.turned && self.ridden.len() > 1 => Reason::Turned(self.direction),
            (true, _) => Reason::First(self.direction),
            (false, true) => Reason::Onward(self.direction),
            (false, false) => Reason::Plateau(self.direction),
        })
    }

    /// The middle of the marks with the fewest crosses, a half toward the best.
    #[must_use]
    pub fn settled(&self) -> u32 {
        let (low, high) = self.left();
        let middle = self.rounded(i64::try_from(low + high).unwrap_or(0));
        u32::try_from(middle).unwrap_or(0).min(self.top)
    }

    /// The best of what was ridden.
    #[must_use]
    pub fn best_ridden(&self) -> u32 {
        self.best
    }

    /// Whether a position was ridden.
    #[must_use]
    pub fn has_ridden(&self, position: u32) -> bool {
        self.ridden.contains(&position)
    }

    /// Crosses out what a verdict of `newer` against `older` speaks against.
    fn cross(&mut self, newer: u32, older: u32, verdict: Verdict) {
        if newer.abs_diff(older) < 2 {
            return;
        }
        // the middle of the two as a mark
        let middle = newer as usize + older as usize;
        let worse_is_above = match verdict {
            Verdict::Better => older > newer,
            Verdict::Worse => newer > older,
            Verdict::Same => {
                let far = self.crosses.iter_mut().enumerate().filter(|(mark, _)| mark.abs_diff(middle) > 2);
                far.for_each(|(_, cross)| *cross = cross.saturating_add(1));
                return;
            }
        };
        let losing = |mark: usize| if worse_is_above { mark > middle } else { mark < middle };
        for (_, cross) in self.crosses.iter_mut().enumerate().filter(|(mark, _)| losing(*mark)) {
            *cross = cross.saturating_add(1);
        }
    }

    /// The search after a lap at `rode` with the verdicts of its one or two comparisons.
    #[must_use]
    pub fn hear(&self, rode: u32, verdict: Verdict, second: Option<Verdict>) -> Self {
        let Proposal::Ride { against, also, .. } = self.next() else { return self.clone() };
        let mut next = self.clone();
        next.cross(rode, against, verdict);
        if let (Some(also), Some(second)) = (also, second) {
            next.cross(rode, also, second);
        }
        next.ridden.push(rode);
        if next.closing {
            return next;
        }
        match verdict {
            Verdict::Better => {
                next.former_best = Some(next.best);
                next.best = rode;
                next.current = rode;
                next.found = true;
            }
            Verdict::Same => next.current = rode,
            Verdict::Worse => next = next.turn(),
        }
        next.turned_where_needed()
    }

    /// Whether a lap at `rode` lies beyond the last setting on the side that is searched; never where
    /// what is left is parted.
    #[must_use]
    pub fn takes(&self, rode: u32) -> bool {
        let beyond = match self.direction {
            Direction::Up => rode > self.current,
            Direction::Down => rode < self.current,
        };
        !self.closing && beyond && rode <= self.top
    }

    /// The most laps that may still be asked for.
    #[must_use]
    pub fn most_laps(&self) -> u32 {
        match self.next() {
            Proposal::Settle(_) => 0,
            Proposal::Ride { .. } => u32::try_from(MOST_LAPS.saturating_sub(self.ridden.len())).unwrap_or(0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use Verdict::{Better as B, Same as S, Worse as W};

    /// Rides a list of laps, each with the position that is expected and its one or two verdicts.
    fn ridden(laps: &[(u32, &[Verdict])]) -> u32 {
        let mut search = CrossOut::begin(20, 10, Direction::Up);
        for (expected, verdicts) in laps {
            let Proposal::Ride { at, also, .. } = search.next() else { panic!("settled before {expected}") };
            assert_eq!(at, *expected);
            assert_eq!(verdicts.len(), 1 + usize::from(also.is_some()), "at {at}");
            search = search.hear(at, verdicts[0], verdicts.get(1).copied());
        }
        let Proposal::Settle(place) = search.next() else { panic!("not settled: {:?}", search.next()) };
        place
    }

    #[test]
    fn the_worked_examples_settle_where_they_should() {
        // Check values worked out by hand from the rule; no outside source.
        assert_eq!(ridden(&[(14, &[W]), (6, &[W, W])]), 11);
        assert_eq!(ridden(&[(14, &[W]), (6, &[W, B])]), 9);
        assert_eq!(ridden(&[(14, &[W]), (6, &[W, S])]), 10);
        assert_eq!(ridden(&[(14, &[S]), (18, &[W, W]), (6, &[W, W])]), 12);
        assert_eq!(ridden(&[(14, &[W]), (6, &[B, B]), (2, &[S, B]), (0, &[W, W])]), 4);
        assert_eq!(ridden(&[(14, &[B]), (18, &[B, B]), (20, &[W, B])]), 18);
    }
}
