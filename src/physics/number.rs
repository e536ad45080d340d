//! Owns exact numbers: read from digits, written as digits, so the same text gives the same positions
//! on every machine; and the way to a float and back for the formulas. It knows nothing of units.

use num_rational::Ratio;
use num_traits::{CheckedMul, FromPrimitive, Signed, ToPrimitive, Zero};

/// An exact number. Every number that is read lies within a million either way and has at most
/// six decimals, so sums and products of a few of them cannot overflow.
pub type Number = Ratio<i128>;

const MOST_DECIMALS: usize = 6;
const LARGEST: i128 = 1_000_000;

/// Reads `12`, `4.5` or `-3`. `None` where it is no such number, is beyond a million, or has more
/// than six decimals.
#[must_use]
pub fn parse_decimal(text: &str) -> Option<Number> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text),
    };
    let (whole, decimals) = digits.split_once('.').unwrap_or((digits, ""));
    let all_digits = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
    let lone_point = digits.contains('.') && decimals.is_empty();
    if lone_point || whole.is_empty() || whole.len() > 7 || decimals.len() > MOST_DECIMALS {
        return None;
    }
    if !all_digits(whole) || !all_digits(decimals) {
        return None;
    }
    let scale = 10_i128.pow(u32::try_from(decimals.len()).ok()?);
    let digits = whole.bytes().chain(decimals.bytes());
    let numerator = digits.fold(0, |number: i128, digit| number * 10 + i128::from(digit - b'0'));
    let number = Ratio::new(sign * numerator, scale);
    (number.abs() <= Ratio::from_integer(LARGEST)).then_some(number)
}

/// Reads `1/4` or `1 1/4`. `None` where it is no such fraction or its lower part is nought or
/// above a thousand.
#[must_use]
pub fn parse_fraction(text: &str) -> Option<Number> {
    let (whole, fraction) = match text.rsplit_once([' ', '\t']) {
        Some((whole, fraction)) => (parse_decimal(whole.trim())?, fraction),
        None => (Number::zero(), text),
    };
    let (upper, lower) = fraction.split_once('/')?;
    let (upper, lower) = (parse_decimal(upper)?, parse_decimal(lower)?);
    let usable = lower > Number::zero() && lower <= Ratio::from_integer(1000);
    let negative = text.starts_with('-');
    (usable && whole.is_integer() && upper.is_integer() && lower.is_integer()).then(|| {
        if negative && whole != Number::zero() { whole - upper / lower } else { whole + upper / lower }
    })
}

/// Writes a number with a point, at most six decimals, no needless noughts.
#[must_use]
pub fn decimal(number: Number) -> String {
    let scale = 10_i128.pow(6);
    let scaled = (number * Ratio::from_integer(scale)).round().to_integer();
    let sign = if scaled < 0 { "-" } else { "" };
    let (whole, part) = (scaled.abs() / scale, scaled.abs() % scale);
    let text = format!("{sign}{whole}.{part:06}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Writes a number as a whole number and a fraction, `1 1/4`, as turns are spoken of.
#[must_use]
pub fn mixed(number: Number) -> String {
    let (whole, rest) = (number.trunc().to_integer(), number.fract().abs());
    let sign = if number < Number::zero() && whole == 0 { "-" } else { "" };
    match (whole, rest.is_zero()) {
        (whole, true) => whole.to_string(),
        (0, false) => format!("{sign}{}/{}", rest.numer(), rest.denom()),
        (whole, false) => format!("{whole} {}/{}", rest.numer(), rest.denom()),
    }
}

/// Writes a number exactly: with a point where six decimals hold it, else as a fraction.
#[must_use]
pub fn mixed_or_decimal(number: Number) -> String {
    let text = decimal(number);
    if parse_decimal(&text) == Some(number) { text } else { mixed(number) }
}

/// A part of a whole in percent, to a tenth; `None` where the whole is nothing.
#[must_use]
pub fn percent(part: Number, whole: Number) -> Option<Number> {
    (!whole.is_zero()).then(|| (part * Ratio::from_integer(1000) / whole).round() / Ratio::from_integer(10))
}

/// The float nearest to a number, for the formulas.
#[must_use]
pub fn float(number: Number) -> Option<f64> {
    Some(number.numer().to_f64()? / number.denom().to_f64()?)
}

/// The number with at most six decimals that is nearest to a float. `None` where it is no number or
/// is beyond a million.
#[must_use]
pub fn nearest(float: f64) -> Option<Number> {
    let millionths = i128::from_f64(libm::round(float * 1e6))?;
    let number = Ratio::new(millionths, 1_000_000);
    (number.abs() <= Ratio::from_integer(LARGEST)).then_some(number)
}

/// The nearest billionth; `None` beyond what a number can hold. Sums of a few fractions with odd lower
/// parts have more digits than one can hold; of billionths they do not.
#[must_use]
pub fn to_billionths(number: Number) -> Option<Number> {
    let billion = Ratio::from_integer(1_000_000_000);
    Some(number.checked_mul(&billion)?.round() / billion)
}

/// Whether a float is a number above 0.
pub(super) fn positive(float: f64) -> bool {
    float.is_finite() && float > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_and_fractions_are_read_and_written() {
        assert_eq!(parse_decimal("4.50").map(decimal).as_deref(), Some("4.5"));
        assert_eq!(parse_decimal("-3").map(decimal).as_deref(), Some("-3"));
        assert_eq!(parse_fraction("1 1/4").map(mixed).as_deref(), Some("1 1/4"));
        assert_eq!(parse_fraction("2/8").map(mixed).as_deref(), Some("1/4"));
        for nonsense in ["", ".", "1.", "1.2.3", "1e3", "99999999", "0.1234567", "1,5"] {
            assert_eq!(parse_decimal(nonsense), None, "{nonsense}");
        }
        let whole = Ratio::from_integer;
        assert_eq!(percent(whole(31), whole(150)).map(decimal).as_deref(), Some("20.7"));
        assert_eq!(percent(whole(31), whole(0)), None);
        assert_eq!(parse_fraction("-1 1/4").map(mixed).as_deref(), Some("-1 1/4"));
        assert_eq!(parse_fraction("-1/4").map(mixed).as_deref(), Some("-1/4"));
        for nonsense in ["1/0", "1/2000", "/4", "1.5/2", "1/2/3"] {
            assert_eq!(parse_fraction(nonsense), None, "{nonsense}");
        }
    }

    #[test]
    fn floats_there_and_back() {
        assert_eq!(nearest(84.318_744_5).map(decimal).as_deref(), Some("84.318745"));
        assert_eq!(parse_decimal("-2.5").and_then(float).and_then(nearest), parse_decimal("-2.5"));
        for nonsense in [f64::NAN, f64::INFINITY, 1e7] {
            assert_eq!(nearest(nonsense), None, "{nonsense}");
        }
    }
}
