//! Owns the one way from what a person reads off an adjuster to a position and back.
//! Positions are whole numbers from 0 to the top; both ends are positions.
//! It knows nothing of starts, steps or which adjuster it belongs to.

use num_rational::Ratio;
use num_traits::{Signed, ToPrimitive, Zero};

use crate::physics::{Number, Unit};
use crate::search::Direction;
use crate::vocabulary::End;

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
    /// Values that need not be evenly spaced, rising.
    List {
        unit: Unit,
        values: Vec<Number>,
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
    /// A list of values that does not rise.
    NotRising,
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
    /// The most positions above the first that a scale may have.
    pub const HIGHEST_TOP: u32 = 1000;

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
        if steps > Ratio::from_integer(Scale::HIGHEST_TOP.into()) {
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
            Some(top) if top <= Scale::HIGHEST_TOP => Ok(Scale { shape: Shape::Names(names), top }),
            Some(_) => Err(NoScale::TooManyPositions),
            None => Err(NoScale::NoStep),
        }
    }

    /// Listed values, the lowest first; at least one, at most a thousand and one of them.
    ///
    /// # Errors
    /// Where there are none or too many, or one is not above the one before it.
    pub fn list(unit: Unit, values: Vec<Number>) -> Result<Self, NoScale> {
        if values.iter().zip(values.iter().skip(1)).any(|(one, next)| next <= one) {
            return Err(NoScale::NotRising);
        }
        match values.len().checked_sub(1).and_then(|top| u32::try_from(top).ok()) {
            Some(top) if top <= Scale::HIGHEST_TOP => Ok(Scale { shape: Shape::List { unit, values }, top }),
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
            Shape::Grid { unit, .. } | Shape::List { unit, .. } => Some(*unit),
            Shape::Names(_) => None,
        }
    }

    /// From which end its numbers count, where that is a question.
    #[must_use]
    pub fn counted(&self) -> Option<End> {
        match &self.shape {
            Shape::Grid { counted, .. } => *counted,
            Shape::List { .. } | Shape::Names(_) => None,
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
            Shape::List { unit, values } => {
                Reading::Value(values.get(position as usize).copied().unwrap_or_default(), *unit)
            }
            Shape::Names(names) => Reading::Name(names.get(position as usize).map_or("", String::as_str)),
        }
    }

    /// The position of a value, counted as this scale counts.
    ///
    /// # Errors
    /// Where it lies outside or between two positions.
    pub fn position(&self, value: Number) -> Result<u32, Off> {
        if let Shape::List { values, .. } = &self.shape {
            let below = values.partition_point(|listed| *listed < value);
            let position = u32::try_from(below).unwrap_or(self.top);
            return match values.get(below) {
                Some(listed) if *listed == value => Ok(position),
                Some(_) if below > 0 => Err(Off::Between(position - 1, position)),
                _ => Err(Off::Outside(position.min(self.top))),
            };
        }
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

    /// The position nearest to a value; half way between two, the one this way.
    #[must_use]
    pub fn nearest(&self, value: Number, halves: Direction) -> u32 {
        let up_on_tie = halves == Direction::Up;
        if let Shape::List { values, .. } = &self.shape {
            return match self.position(value) {
                Ok(position) | Err(Off::Outside(position)) => position,
                Err(Off::Between(below, above)) => {
                    let at = |position: u32| values.get(position as usize).copied().unwrap_or(value);
                    let (down, up) = (value - at(below), at(above) - value);
                    if up < down || (up == down && up_on_tie) { above } else { below }
                }
            };
        }
        let Shape::Grid { first, by, .. } = &self.shape else { return 0 };
        let steps = (value - first) / by;
        let half = Ratio::new(1, 2);
        let rounded = if up_on_tie { (steps + half).floor() } else { (steps - half).ceil() };
        rounded.to_integer().clamp(0, i128::from(self.top)).to_u32().unwrap_or(0)
    }

    /// The position of a name, in any case.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<u32> {
        let Shape::Names(names) = &self.shape else { return None };
        let at = names.iter().position(|known| known.to_lowercase() == name.to_lowercase())?;
        u32::try_from(at).ok()
    }

    /// Whether its positions are listed values that need not be evenly spaced.
    #[must_use]
    pub fn is_list(&self) -> bool {
        matches!(self.shape, Shape::List { .. })
    }

    /// The names of its positions; none where it has numbers.
    #[must_use]
    pub fn all_names(&self) -> &[String] {
        match &self.shape {
            Shape::Grid { .. } | Shape::List { .. } => &[],
            Shape::Names(names) => names,
        }
    }

    /// How many positions an amount of its unit is; `None` where that is no whole number of them, or
    /// where listed values are not evenly spaced.
    #[must_use]
    pub fn positions_in(&self, amount: Number) -> Option<u32> {
        let count = match &self.shape {
            Shape::Grid { by, .. } => amount / by.abs(),
            Shape::List { values, .. } => {
                let mut spaces = values.iter().zip(values.iter().skip(1)).map(|(one, next)| next - one);
                let space = spaces.next()?;
                if spaces.any(|other| other != space) {
                    return None;
                }
                amount / space
            }
            Shape::Names(_) => amount,
        };
        if count.is_integer() { count.to_integer().to_u32() } else { None }
    }

    /// How many positions come nearest to an amount of its unit, at least one; half way the fewer.
    #[must_use]
    pub fn positions_nearest(&self, amount: Number) -> u32 {
        let Shape::Grid { by, .. } = &self.shape else { return 1 };
        let count = (amount / by.abs() - Ratio::new(1, 2)).ceil();
        count.to_integer().to_u32().unwrap_or(1).max(1)
    }

    /// Its unit and how much one position is, where positions are evenly spaced.
    pub(super) fn spacing(&self) -> Option<(Unit, Number)> {
        match &self.shape {
            Shape::Grid { unit, by, .. } => Some((*unit, by.abs())),
            Shape::List { .. } | Shape::Names(_) => None,
        }
    }

    /// How much one position is, where positions are evenly counted from nought; `None` elsewhere.
    #[must_use]
    pub fn grid_by(&self) -> Option<Number> {
        let Shape::Grid { by, .. } = &self.shape else { return None };
        let ends = [self.reading(0), self.reading(self.top)];
        let from_nought = ends.iter().any(|end| matches!(end, Reading::Value(number, _) if number.is_zero()));
        from_nought.then(|| by.abs())
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
        assert_eq!(scale.nearest(Ratio::new(3, 8), Direction::Up), 2);
        assert_eq!(scale.nearest(Ratio::new(3, 8), Direction::Down), 1);
        assert_eq!(scale.nearest(whole(99), Direction::Up), 12);
    }

    #[test]
    fn listed_values_need_not_be_even() {
        let rates = [400, 450, 525].map(whole).to_vec();
        let scale = Scale::list(Unit::PoundPerInch, rates).unwrap();
        assert_eq!((scale.top(), scale.said(2).as_str()), (2, "525 lb/in"));
        assert_eq!(scale.position(whole(450)), Ok(1));
        assert_eq!(scale.position(whole(460)), Err(Off::Between(1, 2)));
        assert_eq!(scale.position(whole(390)), Err(Off::Outside(0)));
        assert_eq!(scale.position(whole(600)), Err(Off::Outside(2)));
        assert_eq!(
            (scale.nearest(whole(425), Direction::Down), scale.nearest(whole(425), Direction::Up)),
            (0, 1)
        );
        assert_eq!(scale.distance(2, 0), "125 lb/in");
        assert_eq!(scale.positions_in(whole(50)), None);
        let wrong = Scale::list(Unit::PoundPerInch, [450, 400].map(whole).to_vec());
        assert_eq!(wrong, Err(NoScale::NotRising));
    }

    #[test]
    fn ends_off_the_grid_name_the_two_nearest() {
        let refused = Scale::grid(Unit::Turns, whole(0), Ratio::new(11, 8), Ratio::new(1, 4), None);
        assert_eq!(refused, Err(NoScale::OffGrid(Ratio::new(5, 4), Ratio::new(3, 2))));
        assert_eq!(Scale::grid(Unit::Clicks, whole(9), whole(3), whole(1), None), Err(NoScale::Inverted));
    }
}
