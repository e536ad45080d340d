//! Owns the one way from what a person reads off an adjuster to a position and back.
//! Positions are whole numbers from 0 to the top; both ends are positions.
//! It knows nothing of starts, steps or which adjuster it belongs to.

use num_rational::Ratio;
use num_traits::{Signed, ToPrimitive, Zero};

use crate::physics::{Number, Unit};
use crate::vocabulary::{End, unit_word};

/// The most positions above the first that a scale may have.
const HIGHEST_TOP: u32 = 1000;

/// The positions of an adjuster and what each is called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Scale {
    shape: Shape,
    top: u32,
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Shape {
    /// The value at position 0 and how much each further position adds (below nought where it
    /// counts from open).
    Grid {
        unit: Unit,
        first: Number,
        by: Number,
        counted: Option<End>,
    },
    Names(Vec<String>),
}

/// Why there can be no such scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoScale {
    /// The upper end lies below the lower.
    Inverted,
    /// More than a thousand positions.
    TooManyPositions,
    /// The upper end is not a whole number of positions above the lower; the two nearest are.
    OffGrid(Number, Number),
    /// One position is nothing or less than nothing.
    NoStep,
}

/// Why a value is no position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Off {
    /// Outside the range; the nearest position.
    Outside(u32),
    /// Between two positions.
    Between(u32, u32),
}

/// What a position is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading<'a> {
    Value(Number, Unit),
    Name(&'a str),
}

impl Scale {
    /// Positions from `low` to `high`, `by` apart, both ends among them. Where `counted` is from
    /// open, position 0 still is the closed end, and its number is `high`.
    ///
    /// # Errors
    /// Where the ends or `by` make no positions.
    pub fn grid(
        unit: Unit,
        low: Number,
        high: Number,
        by: Number,
        counted: Option<End>,
    ) -> Result<Self, NoScale> {
        if by <= Number::zero() {
            return Err(NoScale::NoStep);
        }
        if high < low {
            return Err(NoScale::Inverted);
        }
        let steps = (high - low) / by;
        if steps > Ratio::from_integer(HIGHEST_TOP.into()) {
            return Err(NoScale::TooManyPositions);
        }
        if !steps.is_integer() {
            return Err(NoScale::OffGrid(low + steps.floor() * by, low + steps.ceil() * by));
        }
        let top = steps.to_integer().to_u32().unwrap_or(0);
        let (first, by) = if counted == Some(End::Open) { (high, -by) } else { (low, by) };
        Ok(Scale { shape: Shape::Grid { unit, first, by, counted }, top })
    }

    /// Named positions, softest or fastest first; at least one, at most a thousand and one of them.
    ///
    /// # Errors
    /// Where there are none or too many.
    pub fn names(names: Vec<String>) -> Result<Self, NoScale> {
        match names.len().checked_sub(1).and_then(|top| u32::try_from(top).ok()) {
            Some(top) if top <= HIGHEST_TOP => Ok(Scale { shape: Shape::Names(names), top }),
            Some(_) => Err(NoScale::TooManyPositions),
            None => Err(NoScale::NoStep),
        }
    }

    /// The highest position.
    #[must_use]
    pub fn top(&self) -> u32 {
        self.top
    }

    /// The unit of its numbers; `None` where its positions have names.
    #[must_use]
    pub fn unit(&self) -> Option<Unit> {
        match &self.shape {
            Shape::Grid { unit, .. } => Some(*unit),
            Shape::Names(_) => None,
        }
    }

    /// From which end its numbers count, where that is a question.
    #[must_use]
    pub fn counted(&self) -> Option<End> {
        match &self.shape {
            Shape::Grid { counted, .. } => *counted,
            Shape::Names(_) => None,
        }
    }

    /// What a position is called; one beyond the top counts as the top.
    #[must_use]
    pub fn reading(&self, position: u32) -> Reading<'_> {
        let position = position.min(self.top);
        match &self.shape {
            Shape::Grid { unit, first, by, .. } => {
                Reading::Value(first + by * Ratio::from_integer(i128::from(position)), *unit)
            }
            Shape::Names(names) => Reading::Name(names.get(position as usize).map_or("", String::as_str)),
        }
    }

    /// A position as it is said: `12 clicks`, `1 1/4 turns`, `half`.
    #[must_use]
    pub fn said(&self, position: u32) -> String {
        match self.reading(position) {
            Reading::Value(number, unit) => {
                let one = number.abs() <= Ratio::from_integer(1) && !number.is_zero();
                format!("{} {}", unit.figure(number), unit_word(unit, one))
            }
            Reading::Name(name) => name.to_owned(),
        }
    }

    /// A position with the end it counts from, where that is a question: `12 clicks from closed`.
    #[must_use]
    pub fn said_in_full(&self, position: u32) -> String {
        match self.counted() {
            Some(end) => format!("{} from {}", self.said(position), end.word()),
            None => self.said(position),
        }
    }

    /// So many positions, as an amount: `2 clicks`, `1/2 turn`, `1 position`.
    #[must_use]
    pub fn amount(&self, positions: u32) -> String {
        match &self.shape {
            Shape::Grid { unit, by, .. } => {
                let number = by.abs() * Ratio::from_integer(i128::from(positions));
                let one = number <= Ratio::from_integer(1);
                format!("{} {}", unit.figure(number), unit_word(*unit, one))
            }
            Shape::Names(_) => {
                format!("{positions} {}", if positions == 1 { "position" } else { "positions" })
            }
        }
    }

    /// The position of a value, counted as this scale counts.
    ///
    /// # Errors
    /// Where it lies outside or between two positions.
    pub fn position(&self, value: Number) -> Result<u32, Off> {
        let Shape::Grid { first, by, .. } = &self.shape else { return Err(Off::Outside(0)) };
        let steps = (value - first) / by;
        let top = Ratio::from_integer(i128::from(self.top));
        if steps < Number::zero() {
            return Err(Off::Outside(0));
        }
        if steps > top {
            return Err(Off::Outside(self.top));
        }
        let whole = |number: Number| number.to_integer().to_u32().unwrap_or(0);
        if steps.is_integer() {
            Ok(whole(steps))
        } else {
            Err(Off::Between(whole(steps.floor()), whole(steps.ceil())))
        }
    }

    /// The position nearest to a value; half way between two, the upper or the lower one.
    #[must_use]
    pub fn nearest(&self, value: Number, upper_on_tie: bool) -> u32 {
        let Shape::Grid { first, by, .. } = &self.shape else { return 0 };
        let steps = (value - first) / by;
        let half = Ratio::new(1, 2);
        let rounded = if upper_on_tie { (steps + half).floor() } else { (steps - half).ceil() };
        rounded.to_integer().clamp(0, i128::from(self.top)).to_u32().unwrap_or(0)
    }

    /// The position of a name, in any case.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<u32> {
        let Shape::Names(names) = &self.shape else { return None };
        let at = names.iter().position(|known| known.to_lowercase() == name.to_lowercase())?;
        u32::try_from(at).ok()
    }

    /// The names of its positions; none where it has numbers.
    #[must_use]
    pub fn all_names(&self) -> &[String] {
        match &self.shape {
            Shape::Grid { .. } => &[],
            Shape::Names(names) => names,
        }
    }

    /// The names of its positions for a sentence, in quotes where they are more than one plain word.
    #[must_use]
    pub fn listed_names(&self) -> String {
        let quoted = |name: &String| {
            let plain = name.chars().all(char::is_alphabetic);
            if plain { name.clone() } else { format!("\"{name}\"") }
        };
        self.all_names().iter().map(quoted).collect::<Vec<_>>().join(", ")
    }

    /// How many positions an amount of its unit is; `None` where that is no whole number of them.
    #[must_use]
    pub fn positions_in(&self, amount: Number) -> Option<u32> {
        let count = match &self.shape {
            Shape::Grid { by, .. } => amount / by.abs(),
            Shape::Names(_) => amount,
        };
        if count.is_integer() { count.to_integer().to_u32() } else { None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn whole(number: i128) -> Number {
        Ratio::from_integer(number)
    }

    #[test]
    fn counted_from_open_the_same_position_has_the_other_number() {
        let closed = Scale::grid(Unit::Clicks, whole(0), whole(18), whole(1), Some(End::Closed)).unwrap();
        let open = Scale::grid(Unit::Clicks, whole(0), whole(18), whole(1), Some(End::Open)).unwrap();
        assert_eq!(closed.said_in_full(5), "5 clicks from closed");
        assert_eq!(open.said_in_full(5), "13 clicks from open");
        assert_eq!(open.position(whole(13)), Ok(5));
        assert_eq!(open.position(whole(19)), Err(Off::Outside(0)));
    }

    #[test]
    fn turns_have_quarters_and_a_tie_goes_where_it_is_told() {
        let scale =
            Scale::grid(Unit::Turns, whole(0), whole(3), Ratio::new(1, 4), Some(End::Closed)).unwrap();
        assert_eq!(scale.top(), 12);
        assert_eq!(scale.said(5), "1 1/4 turns");
        assert_eq!(scale.said(2), "1/2 turn");
        assert_eq!(scale.position(Ratio::new(1, 3)), Err(Off::Between(1, 2)));
        assert_eq!(scale.nearest(Ratio::new(3, 8), true), 2);
        assert_eq!(scale.nearest(Ratio::new(3, 8), false), 1);
        assert_eq!(scale.nearest(whole(99), true), 12);
    }

    #[test]
    fn ends_off_the_grid_name_the_two_nearest() {
        let refused = Scale::grid(Unit::Turns, whole(0), Ratio::new(11, 8), Ratio::new(1, 4), None);
        assert_eq!(refused, Err(NoScale::OffGrid(Ratio::new(5, 4), Ratio::new(3, 2))));
        assert_eq!(Scale::grid(Unit::Clicks, whole(9), whole(3), whole(1), None), Err(NoScale::Inverted));
    }
}
