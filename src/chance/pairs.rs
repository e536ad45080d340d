//! Owns what a number of pairs can show: how often chance alone would give so clear an outcome. It is
//! the exact binomial test (the sign test) with one half.

/// Whether only one outcome of a comparison was expected, or either.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sides {
    /// The found setting is thought to be the better one.
    One,
    /// Either of the two could be.
    Two,
}

/// The most pairs that can be counted exactly.
const MOST: u32 = 120;

/// How often chance alone gives `agreeing` or more of `pairs` the same way, from 0 to 1; with two
/// sides, either way. Pairs beyond 120 count as 120.
#[must_use]
pub fn by_chance(agreeing: u32, pairs: u32, sides: Sides) -> f64 {
    let pairs = pairs.min(MOST);
    let agreeing = agreeing.min(pairs);
    let counted = match sides {
        Sides::One => agreeing,
        Sides::Two => agreeing.max(pairs - agreeing),
    };
    // every row of the triangle is exact in 128 bits up to here
    let (mut ways, mut upper): (u128, u128) = (1, 0);
    for outcome in (counted..=pairs).rev() {
        upper += ways;
        ways = ways * u128::from(outcome) / u128::from(pairs - outcome + 1);
    }
    #[allow(clippy::cast_precision_loss, reason = "a share is told to a few digits")]
    let one = upper as f64 / libm::exp2(f64::from(pairs));
    match sides {
        Sides::One => one,
        Sides::Two => (2.0 * one).min(1.0),
    }
}

/// The fewest of `pairs` that must agree for chance alone to give as many in at most 5 of 100 tries;
/// `None` where even all of them are too few. Source of the check: ISO 5495:2005, Table A.1, and ISO
/// 10399, Table A.1.
#[must_use]
pub fn fewest_agreeing(pairs: u32, sides: Sides) -> Option<u32> {
    (pairs.div_ceil(2)..=pairs).find(|&agreeing| by_chance(agreeing, pairs, sides) <= 0.05)
}

/// How often so many pairs show a difference, as many agreeing as `fewest_agreeing` wants, to a rider who in truth prefers
/// one setting in a share `preference` of all pairs: the power of the test, from 0 to 1. The preference is from 0 to 1;
/// with two sides either setting may come out. Pairs beyond 120 count as 120. Source of the check: scipy's binomial
/// distribution.
#[must_use]
pub fn power(pairs: u32, sides: Sides, preference: f64) -> f64 {
    let pairs = pairs.min(MOST);
    let Some(least) = fewest_agreeing(pairs, sides) else { return 0.0 };
    let upper = |preference: f64| {
        let (mut all, mut ways) = (0.0, 1.0);
        for outcome in (least..=pairs).rev() {
            let other = pairs - outcome;
            all += ways * libm::pow(preference, outcome.into()) * libm::pow(1.0 - preference, other.into());
            ways *= f64::from(outcome) / f64::from(other + 1);
        }
        all
    };
    match sides {
        Sides::One => upper(preference),
        Sides::Two => upper(preference) + upper(1.0 - preference),
    }
}

/// A share as so many of a hundred, in words: `about 19`, `fewer than 1`.
#[must_use]
pub fn in_hundred(share: f64) -> String {
    let hundredths = libm::round(share * 100.0);
    if hundredths < 1.0 { "fewer than 1".to_owned() } else { format!("about {hundredths}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_agreeing_are_those_of_the_standards() {
        // ISO 5495:2005, Table A.1 (paired comparison, one-sided, 5 %)
        let small = [9, 9, 10, 10, 11, 12, 12, 13, 13, 14, 15, 15, 16];
        for (pairs, least) in (10..=22).zip(small) {
            assert_eq!(fewest_agreeing(pairs, Sides::One), Some(least), "{pairs}");
        }
        let large = [(36, 24), (40, 26), (44, 28), (48, 31), (52, 33), (56, 35), (60, 37), (64, 40)];
        for (pairs, least) in large {
            assert_eq!(fewest_agreeing(pairs, Sides::One), Some(least), "{pairs}");
        }
        // ISO 10399, Table A.1 (small numbers)
        for (pairs, least) in [(6, 6), (7, 7), (8, 7), (9, 8), (10, 9)] {
            assert_eq!(fewest_agreeing(pairs, Sides::One), Some(least), "{pairs}");
        }
        // two-sided: the binomial distribution, computed with scipy
        let two = [(6, 6), (7, 7), (8, 8), (9, 8), (10, 9), (12, 10), (15, 12), (20, 15)];
        for (pairs, least) in two {
            assert_eq!(fewest_agreeing(pairs, Sides::Two), Some(least), "{pairs}");
        }
    }

    #[test]
    fn too_few_pairs_can_show_nothing() {
        for pairs in 0..=4 {
            assert_eq!(fewest_agreeing(pairs, Sides::One), None);
        }
        assert_eq!(fewest_agreeing(5, Sides::One), Some(5));
        assert_eq!(fewest_agreeing(5, Sides::Two), None);
    }

    #[test]
    fn chance_is_that_of_the_sign_test() {
        // scipy.stats.binomtest(k, n, alternative="greater")
        let cases = [(7, 8, 0.035_156), (8, 10, 0.054_688), (9, 10, 0.010_742), (15, 20, 0.020_695)];
        for (agreeing, pairs, share) in cases {
            assert!((by_chance(agreeing, pairs, Sides::One) - share).abs() < 1e-6);
        }
        assert!((by_chance(0, 9, Sides::One) - 1.0).abs() < 1e-12);
        assert!((by_chance(5, 10, Sides::Two) - 1.0).abs() < 1e-12);
        assert!((by_chance(1, 10, Sides::Two) - by_chance(9, 10, Sides::Two)).abs() < 1e-15);
        assert!((by_chance(120, 120, Sides::One) - libm::exp2(-120.0)).abs() < 1e-40);
    }

    #[test]
    fn a_share_is_told_in_words() {
        assert_eq!(in_hundred(0.1875), "about 19");
        assert_eq!(in_hundred(0.001), "fewer than 1");
    }
}
