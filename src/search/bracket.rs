//! Owns the trade's way of searching: one step at a time, on while it is better or the same, back
//! to the start and the other way when the first way is worse, then the middle of what felt the
//! same as the best. It knows nothing of what the positions are.

use super::few::Few;
use super::{Direction, Proposal, Reason, Verdict, Window};

/// A bracket search. All that its future depends on, and nothing else.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Bracket {
    window: Window,
    start: u32,
    step: u32,
    best: u32,
    /// The positions that felt like the best, `low` to `high` of them.
    alike: Window,
    /// Those of them that were ridden, in order.
    ridden: Few<u32>,
    last: u32,
    direction: Direction,
    found: bool,
    turned: bool,
    done: bool,
}

impl Bracket {
    /// A search over `window` from `start`, which has been ridden, by `step` positions (at least
    /// one), first in `direction`. A start at the end of the window turns at once.
    #[must_use]
    pub fn begin(window: Window, start: u32, step: u32, direction: Direction) -> Self {
        let start = start.clamp(window.low, window.high.max(window.low));
        let mut bracket = Bracket {
            window,
            start,
            step: step.max(1),
            best: start,
            alike: Window { low: start, high: start },
            ridden: Few::of(start, 1),
            last: start,
            direction,
            found: false,
            turned: false,
            done: false,
        };
        bracket.turn_where_needed();
        bracket
    }

    fn ahead(&self) -> u32 {
        self.window.step(self.last, self.step, self.direction)
    }

    /// At the end of the window there is nothing to ride: turn, or be done.
    fn turn_where_needed(&mut self) {
        while !self.done && self.ahead() == self.last {
            self.turn();
        }
    }

    fn turn(&mut self) {
        if self.found || self.turned {
            self.done = true;
        } else {
            self.turned = true;
            self.direction = self.direction.opposite();
            self.last = self.start;
        }
    }

    /// What to ride next, or where to settle.
    #[must_use]
    pub fn next(&self) -> Proposal {
        if self.done {
            Proposal::Settle(self.settled())
        } else {
            Proposal::Ride { at: self.ahead(), against: self.best, also: None }
        }
    }

    /// Why that is ridden next; `None` where nothing is.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        if self.done {
            return None;
        }
        Some(match (self.last == self.start, self.last == self.best) {
            (true, _) if self.turned => Reason::Turned(self.direction),
            (true, _) => Reason::First(self.direction),
            (false, true) => Reason::Onward(self.direction),
            (false, false) => Reason::Plateau(self.direction),
        })
    }

    /// The middle of what felt alike, half a position rounded toward the best.
    #[must_use]
    pub fn settled(&self) -> u32 {
        let sum = self.alike.low + self.alike.high;
        let (below, above) = (sum / 2, sum.div_ceil(2));
        if self.best <= below { below } else { above }
    }

    /// The best of what was ridden.
    #[must_use]
    pub fn best_ridden(&self) -> u32 {
        self.best
    }

    /// The search after a lap at `rode`, compared with the best so far.
    #[must_use]
    pub fn hear(&self, rode: u32, verdict: Verdict) -> Self {
        let mut next = self.clone();
        match verdict {
            Verdict::Better => {
                next.best = rode;
                next.last = rode;
                next.alike = Window { low: rode, high: rode };
                next.ridden = Few::of(rode, 1);
                next.found = true;
            }
            Verdict::Same => {
                next.last = rode;
                next.alike.low = next.alike.low.min(rode);
                next.alike.high = next.alike.high.max(rode);
                next.ridden.push(rode);
            }
            Verdict::Worse => next.turn(),
        }
        next.turn_where_needed();
        next
    }

    /// Whether a position that felt like the best was ridden.
    #[must_use]
    pub fn has_ridden(&self, position: u32) -> bool {
        self.ridden.contains(&position)
    }

    /// Whether a lap at `rode` lies beyond the last setting on the side that is searched.
    #[must_use]
    pub fn takes(&self, rode: u32) -> bool {
        let beyond = match self.direction {
            Direction::Up => rode > self.last,
            Direction::Down => rode < self.last,
        };
        beyond && rode >= self.window.low && rode <= self.window.high
    }

    /// The most laps that may still be asked for: every step ahead to the end, and, while nothing
    /// was found and nothing turned, every step from the start to the other end.
    #[must_use]
    pub fn most_laps(&self) -> u32 {
        if self.done {
            return 0;
        }
        let steps = |from, direction| self.window.room(from, direction).div_ceil(self.step);
        let ahead = steps(self.last, self.direction);
        if self.found || self.turned { ahead } else { ahead + steps(self.start, self.direction.opposite()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_lap_has_its_reason() {
        use Direction::{Down, Up};
        let search = Bracket::begin(Window { low: 0, high: 20 }, 10, 2, Up);
        assert_eq!(search.reason(), Some(Reason::First(Up)));
        let same = search.hear(12, Verdict::Same);
        assert_eq!(same.reason(), Some(Reason::Plateau(Up)));
        let turned = same.hear(14, Verdict::Worse);
        assert_eq!(turned.reason(), Some(Reason::Turned(Down)));
        let better = turned.hear(8, Verdict::Better);
        assert_eq!(better.reason(), Some(Reason::Onward(Down)));
        assert_eq!(better.hear(6, Verdict::Worse).reason(), None);
    }
    use Verdict::{Better as B, Same as S, Worse as W};

    fn ridden(direction: Direction, verdicts: &[Verdict]) -> (Vec<u32>, u32) {
        let mut search = Bracket::begin(Window { low: 0, high: 20 }, 10, 2, direction);
        let mut laps = Vec::new();
        for &verdict in verdicts {
            let Proposal::Ride { at, .. } = search.next() else { panic!("settled too soon") };
            laps.push(at);
            search = search.hear(at, verdict);
        }
        let Proposal::Settle(place) = search.next() else { panic!("not settled") };
        (laps, place)
    }

    #[test]
    fn the_worked_examples_settle_where_they_should() {
        // Check values worked out by hand from the rule; no outside source.
        let cases: [(&[Verdict], &[u32], u32, u32); 5] = [
            (&[S, W, W], &[12, 14, 8], 11, 9),
            (&[W, B, B, B, S, W], &[12, 8, 6, 4, 2, 0], 3, 17),
            (&[B, B, B, B, S], &[12, 14, 16, 18, 20], 19, 1),
            (&[W, B, S, W], &[12, 8, 6, 4], 7, 13),
            (&[W, B, B, S, S, W], &[12, 8, 6, 4, 2, 0], 4, 16),
        ];
        for (verdicts, laps, up, down) in cases {
            assert_eq!(ridden(Direction::Up, verdicts), (laps.to_vec(), up));
            let mirrored: Vec<u32> = laps.iter().map(|lap| 20 - lap).collect();
            assert_eq!(ridden(Direction::Down, verdicts), (mirrored, down));
        }
    }

    #[test]
    fn a_window_of_one_position_settles_without_a_lap() {
        let search = Bracket::begin(Window { low: 4, high: 4 }, 4, 2, Direction::Up);
        assert_eq!(search.next(), Proposal::Settle(4));
        assert_eq!(search.most_laps(), 0);
    }

    #[test]
    fn the_most_laps_are_those_of_the_longest_ride() {
        fn longest(search: &Bracket) -> u32 {
            let Proposal::Ride { at, .. } = search.next() else { return 0 };
            1 + [B, S, W].map(|verdict| longest(&search.hear(at, verdict))).into_iter().max().unwrap_or(0)
        }
        for high in 0..=9 {
            for start in 0..=high {
                for step in 1..=3 {
                    for direction in [Direction::Up, Direction::Down] {
                        let search = Bracket::begin(Window { low: 0, high }, start, step, direction);
                        assert_eq!(search.most_laps(), longest(&search), "{high} {start} {step}");
                    }
                }
            }
        }
    }
}
