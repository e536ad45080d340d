//! Owns numbers that may be far too large to write out. It knows nothing of rides.

use std::fmt;

/// From here on a count is told by its size only.
const TOLD_BY_SIZE: u64 = 1_000_000_000_000_000;

/// How many of something: exact below 10^15, else its size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Count {
    /// Exact, where it is small enough to be told so.
    exact: Option<u64>,
    /// The same number is about `figure` times 10 to the `power`; the figure is below 10.
    figure: f64,
    power: u32,
}

impl Count {
    /// None.
    pub const NONE: Count = Count { exact: Some(0), figure: 0.0, power: 0 };
    /// One.
    pub const ONE: Count = Count { exact: Some(1), figure: 1.0, power: 0 };

    fn of(exact: Option<u64>, mut figure: f64, mut power: u32) -> Self {
        while figure >= 10.0 {
            figure /= 10.0;
            power = power.saturating_add(1);
        }
        Count { exact: exact.filter(|exact| *exact < TOLD_BY_SIZE), figure, power }
    }

    /// Both together.
    #[must_use]
    pub fn plus(self, other: Count) -> Self {
        let (more, less) = if self.power >= other.power { (self, other) } else { (other, self) };
        let mut shifted = less.figure;
        for _ in 0..(more.power - less.power).min(40) {
            shifted /= 10.0;
        }
        let exact = self.exact.zip(other.exact).and_then(|(one, two)| one.checked_add(two));
        Count::of(exact, more.figure + shifted, more.power)
    }

    /// Each of these with each of those.
    #[must_use]
    pub fn times(self, other: Count) -> Self {
        let exact = self.exact.zip(other.exact).and_then(|(one, two)| one.checked_mul(two));
        Count::of(exact, self.figure * other.figure, self.power.saturating_add(other.power))
    }

    /// The larger of two.
    #[must_use]
    pub fn max(self, other: Count) -> Self {
        let larger = match (self.exact, other.exact) {
            (Some(one), Some(two)) => one >= two,
            (one, two) if one.is_some() != two.is_some() => one.is_none(),
            _ => (self.power, self.figure) >= (other.power, other.figure),
        };
        if larger { self } else { other }
    }

    /// The number itself, where it is below 10^15.
    #[must_use]
    pub fn exact(self) -> Option<u64> {
        self.exact
    }
}

impl fmt::Display for Count {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.exact {
            Some(exact) => write!(f, "{exact}"),
            // the nearest power: half a power of ten is its square root
            None => write!(f, "about 10^{}", self.power + u32::from(self.figure * self.figure >= 10.0)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_is_exact_while_it_is_small() {
        let ten = (0..10).fold(Count::NONE, |sum, _| sum.plus(Count::ONE));
        let power = |power: u32| (0..power).fold(Count::ONE, |product, _| product.times(ten));
        assert_eq!(ten.to_string(), "10");
        assert_eq!(power(14).to_string(), "100000000000000");
        assert_eq!(power(15).to_string(), "about 10^15");
        assert_eq!(power(400).to_string(), "about 10^400");
        let four = power(20).plus(power(20)).plus(power(20)).plus(power(20));
        assert_eq!(four.to_string(), "about 10^21");
        assert_eq!(power(20).plus(Count::ONE).to_string(), "about 10^20");
        assert_eq!(power(3).max(power(20)).to_string(), "about 10^20");
    }
}
