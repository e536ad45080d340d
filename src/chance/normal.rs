//! Owns the normal distribution.

/// The share of a normal distribution of mean 0 and deviation 1 that lies below `x`: from 0 to 1, to
/// about 2e-13 of itself. Source of the check: NIST/SEMATECH e-Handbook of Statistical Methods,
/// 1.3.6.7.1.
#[must_use]
pub fn normal_share(x: f64) -> f64 {
    0.5 * libm::erfc(-x / std::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_gives_the_handbooks_values() {
        // NIST/SEMATECH e-Handbook 1.3.6.7.1: the table's value at 1.53, and its worked example
        assert!((normal_share(1.53) - 0.93699).abs() < 5e-6);
        assert!((normal_share(0.5) - normal_share(-1.0) - 0.5328).abs() < 5e-5);
        // symmetry, and far tails that are not lost
        assert!((normal_share(2.0) + normal_share(-2.0) - 1.0).abs() < 1e-15);
        assert!(normal_share(-8.0) > 6.2e-16 && normal_share(-8.0) < 6.3e-16);
    }
}
