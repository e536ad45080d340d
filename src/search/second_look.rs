//! Owns the numbers of a second look: when there is one, how far it goes, how many laps it takes. Whoever rides
//! it, searches in it or proves what it takes has them from here. It knows nothing of who that is.

/// A short search close by, where something else has moved since the first one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SecondLook {
    /// How many positions it goes to either side at most.
    pub reach: u32,
    /// The most laps of it.
    pub at_most: u32,
}

impl SecondLook {
    /// At an adjuster of few positions.
    pub const CLOSE: SecondLook = SecondLook { reach: 2, at_most: 5 };

    /// At one of many; no second look goes farther or takes more laps.
    pub const WIDE: SecondLook = SecondLook { reach: 3, at_most: 6 };

    /// An adjuster of so many positions above the first, or fewer, has few.
    pub const FEW_POSITIONS: u32 = 11;

    /// Another adjuster has moved where it is at least so many positions from where it was.
    pub const MOVED: u32 = 2;

    /// The second look at an adjuster of so many positions above the first.
    #[must_use]
    pub fn at(top: u32) -> Self {
        if SecondLook::is_close(top) { SecondLook::CLOSE } else { SecondLook::WIDE }
    }

    /// Whether an adjuster of so many positions above the first is looked at closely.
    #[must_use]
    pub fn is_close(top: u32) -> bool {
        top <= SecondLook::FEW_POSITIONS
    }

    /// Whether an adjuster that was at one position and is at another has moved.
    #[must_use]
    pub fn has_moved(then: u32, now: u32) -> bool {
        then.abs_diff(now) >= SecondLook::MOVED
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_positions_are_looked_at_closely_and_one_position_is_no_move() {
        let of = |top: u32| (SecondLook::at(top).reach, SecondLook::at(top).at_most);
        assert_eq!((of(1), of(11), of(12), of(60)), ((2, 5), (2, 5), (3, 6), (3, 6)));
        let moved = [4, 5, 6, 7].map(|now| SecondLook::has_moved(5, now));
        assert_eq!((moved, SecondLook::has_moved(5, 3)), ([false, false, false, true], true));
    }
}
