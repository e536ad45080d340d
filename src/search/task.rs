//! Owns a running search by any method, and the way from its places to an adjuster's positions. It has
//! no rule of its own.

use std::sync::Arc;

use super::narrow::{Memory, Terms};
use super::{
    Bracket, CrossOut, Direction, Effort, Grade, Method, Narrow, Proposal, Reason, SecondLook, Verdict,
    Window,
};

/// What is to be searched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Task {
    /// The positions among which to choose.
    pub window: Window,
    /// Where it begins; ridden already.
    pub start: u32,
    /// How many positions one change goes by the bracket.
    pub step: u32,
    /// How many positions the places lie apart among which the other methods choose, counted from the
    /// start.
    pub apart: u32,
    /// Which way first, where that is said.
    pub toward: Option<Direction>,
    pub effort: Effort,
    pub compare_twice: bool,
    /// It is a second look; `None` for a first one.
    pub again: Option<SecondLook>,
}

/// A running search by any method.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Search {
    running: Running,
    /// The position of the search's first place, and how many positions its places lie apart.
    first: u32,
    apart: u32,
}

#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Running {
    Bracket(Bracket),
    CrossOut(CrossOut),
    Narrow(Narrow),
}

/// Asks whichever method is running.
macro_rules! of_method {
    ($search:expr, $method:ident => $then:expr) => {
        match &$search.running {
            Running::Bracket($method) => $then,
            Running::CrossOut($method) => $then,
            Running::Narrow($method) => $then,
        }
    };
}

impl Task {
    /// The places from which crossing out and narrowing choose: the first one's position, how many there
    /// are above it, and which of them is the start.
    fn places(&self) -> (u32, u32, u32) {
        let apart = self.apart.max(1);
        let below = self.window.room(self.start, Direction::Down) / apart;
        let above = self.window.room(self.start, Direction::Up) / apart;
        (self.start - below * apart, below + above, below)
    }

    /// The method by which it is searched: crossing out needs more than four places and looks but once.
    #[must_use]
    pub fn method(&self, wanted: Method) -> Method {
        match wanted {
            Method::CrossOut if self.places().1 <= 3 || self.again.is_some() => Method::Bracket,
            wanted => wanted,
        }
    }

    /// Begins the search, which remembers there what it works out. Where a way first is needed and not said, it
    /// goes up.
    #[must_use]
    pub fn begin(&self, wanted: Method, memory: &Arc<Memory>) -> Search {
        let toward = self.toward.unwrap_or(Direction::Up);
        let (first, top, start) = self.places();
        match self.method(wanted) {
            Method::Bracket => {
                let step = self.again.map_or(self.step, |look| look.reach);
                let bracket = Bracket::begin(self.window, self.start, step, toward);
                Search { running: Running::Bracket(bracket), first: 0, apart: 1 }
            }
            Method::CrossOut => Search {
                running: Running::CrossOut(CrossOut::begin(top, start, toward)),
                first,
                apart: self.apart.max(1),
            },
            Method::Narrow => {
                let terms = Terms {
                    top,
                    start,
                    hint: self.toward,
                    again: self.again,
                    effort: self.effort,
                    compare_twice: self.compare_twice,
                };
                let running = Running::Narrow(Narrow::begin(terms, memory));
                Search { running, first, apart: self.apart.max(1) }
            }
        }
    }
}

impl Search {
    /// A place of the method as a position of the adjuster.
    fn position(&self, place: u32) -> u32 {
        self.first + place * self.apart
    }

    /// A position of the adjuster as a place of the method, where it is one.
    fn place(&self, position: u32) -> Option<u32> {
        let above = position.checked_sub(self.first)?;
        above.is_multiple_of(self.apart).then_some(above / self.apart)
    }

    /// Which method it is.
    #[must_use]
    pub fn method(&self) -> Method {
        match self.running {
            Running::Bracket(_) => Method::Bracket,
            Running::CrossOut(_) => Method::CrossOut,
            Running::Narrow(_) => Method::Narrow,
        }
    }

    /// What it wants next.
    #[must_use]
    pub fn next(&self) -> Proposal {
        match of_method!(self, method => method.next()) {
            Proposal::Ride { at, against, also } => Proposal::Ride {
                at: self.position(at),
                against: self.position(against),
                also: also.map(|also| self.position(also)),
            },
            Proposal::Settle(place) => Proposal::Settle(self.position(place)),
        }
    }

    /// Why it wants that; `None` where it wants nothing more.
    #[must_use]
    pub fn reason(&self) -> Option<Reason> {
        let reason = of_method!(self, method => method.reason())?;
        Some(match reason {
            Reason::Left(left) => {
                Reason::Left(Window { low: self.position(left.low), high: self.position(left.high) })
            }
            Reason::Telling { at, against } => {
                Reason::Telling { at: self.position(at), against: self.position(against) }
            }
            other => other,
        })
    }

    /// Where it would settle if no further lap were ridden.
    #[must_use]
    pub fn settled(&self) -> u32 {
        self.position(of_method!(self, method => method.settled()))
    }

    /// The best of what was ridden.
    #[must_use]
    pub fn best_ridden(&self) -> u32 {
        self.position(of_method!(self, method => method.best_ridden()))
    }

    /// Whether the place where it would settle was ridden.
    #[must_use]
    pub fn has_ridden_it(&self) -> bool {
        of_method!(self, method => method.has_ridden(method.settled()))
    }

    /// The search after a lap at `rode` with the answers of its one or two comparisons.
    #[must_use]
    pub fn hear(&self, rode: u32, grade: Grade, second: Option<Grade>) -> Self {
        let Some(rode) = self.place(rode) else { return self.clone() };
        let verdict = grade.verdict();
        let running = match &self.running {
            Running::Bracket(bracket) => Running::Bracket(bracket.hear(rode, verdict)),
            Running::CrossOut(cross_out) => {
                Running::CrossOut(cross_out.hear(rode, verdict, second.map(Grade::verdict)))
            }
            Running::Narrow(narrow) => Running::Narrow(narrow.hear(rode, grade, second)),
        };
        Search { running, ..*self }
    }

    /// Where to settle after a proof lap at the place where it settled, compared with the best ridden.
    #[must_use]
    pub fn proven(&self, grade: Grade) -> u32 {
        match &self.running {
            Running::Narrow(narrow) => self.position(narrow.proven(grade)),
            _ if grade.verdict() == Verdict::Worse => self.best_ridden(),
            _ => self.settled(),
        }
    }

    /// Whether a lap at `rode`, which was not the setting asked for, may count: it lies within the
    /// window, on the side that is searched, beyond the last setting. Never in a narrowing search.
    #[must_use]
    pub fn takes(&self, rode: u32) -> bool {
        let Some(rode) = self.place(rode) else { return false };
        match &self.running {
            Running::Bracket(bracket) => bracket.takes(rode),
            Running::CrossOut(cross_out) => cross_out.takes(rode),
            Running::Narrow(_) => false,
        }
    }

    /// The most laps that may still be asked for.
    #[must_use]
    pub fn most_laps(&self) -> u32 {
        of_method!(self, method => method.most_laps())
    }
}
