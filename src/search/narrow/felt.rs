//! Owns what a lap is likely to be called, given where the best setting lies and what the rider can
//! feel: the likelihood, and the riders that are thought possible.
//!
//! Source of the form: Thurstone 1927; with ties Rao and Kupper 1967; Christensen, Lee and Brockhoff
//! 2012 give it for better, same and worse. All numbers of the riders come from simulation; no human
//! data is behind them.

use crate::chance::normal_share;

/// What one rider can feel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sense {
    /// Quality falls off with the square of the distance from the best, not with the distance.
    pub squared: bool,
    /// Positions to a just noticeable difference, where the setting lies below the best.
    pub notice_below: f64,
    /// The same above the best.
    pub notice_above: f64,
    /// The deviation of what is felt, in noticeable differences.
    pub noise: f64,
    /// How much the noise grows with the distance from the best.
    pub web: f64,
    /// The share of answers that are given at random.
    pub lapse: f64,
}

/// No answer is less likely than this.
pub(super) const LEAST: f64 = 1e-9;

/// The chances of the three answers, each from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Chances {
    pub better: f64,
    pub same: f64,
    pub worse: f64,
}

impl Chances {
    /// How open the answer is, in nats.
    pub fn entropy(self) -> f64 {
        -[self.better, self.same, self.worse].into_iter().map(times_its_log).sum::<f64>()
    }
}

/// A number times its logarithm; nothing of next to nothing.
pub(super) fn times_its_log(number: f64) -> f64 {
    if number > 1e-13 { number * libm::log(number) } else { 0.0 }
}

/// From how many noticeable differences on a rider says much, with the share of such riders.
pub(super) const THRESHOLDS: [(f64, f64); 3] = [(1.4, 0.15), (2.3, 0.25), (3.5, 0.30)];

/// The share of riders who never say much.
pub(super) const NEVER: f64 = 0.30;

/// How seldom they do, among the answers better and worse.
pub(super) const SLIP: f64 = 1e-4;

/// So many deviations from the middle the rest is nought beside the answers given at random, to the last digit.
const FAR: f64 = 9.0;

/// The share of a normal distribution below a place. Far off nothing is worked out: over a wide range nearly all
/// places are.
fn share_below(place: f64) -> f64 {
    if place > FAR {
        1.0
    } else if place < -FAR {
        0.0
    } else {
        normal_share(place)
    }
}

/// The chances where a difference of `felt` noticeable differences is felt with a deviation of `noise`.
pub(super) fn chances(felt: f64, noise: f64, lapse: f64) -> Chances {
    let at_random = lapse / 3.0;
    let better = (1.0 - lapse) * share_below((felt - 1.0) / noise) + at_random;
    let worse = (1.0 - lapse) * share_below((-1.0 - felt) / noise) + at_random;
    Chances { better, same: (1.0 - better - worse).max(LEAST), worse }
}

impl Sense {
    /// How much worse than the best a setting is that lies so far above it (below where negative), in
    /// noticeable differences.
    fn fall(&self, above: f64) -> f64 {
        let notice = if above < 0.0 { self.notice_below } else { self.notice_above };
        let distance = above.abs() / notice;
        if self.squared { distance * distance } else { distance }
    }

    /// The difference that a lap so far above the best makes against one so far above it, and its noise.
    fn difference(&self, lap: f64, against: f64) -> (f64, f64) {
        let far = (lap.abs() + against.abs()) / (self.notice_below + self.notice_above);
        (self.fall(against) - self.fall(lap), self.noise * (1.0 + self.web * far))
    }

    /// The chances of the answers about a lap so far above the best, against one so far above it.
    pub(super) fn chances(&self, lap: f64, against: f64) -> Chances {
        let (felt, noise) = self.difference(lap, against);
        chances(felt, noise, self.lapse)
    }

    /// The chances that a rider says much better, and much worse, who says so from `threshold` noticeable differences on;
    /// never above the chances of better and of worse.
    pub(super) fn much(&self, lap: f64, against: f64, threshold: f64) -> [f64; 2] {
        let (felt, noise) = self.difference(lap, against);
        let plain = chances(felt, noise, self.lapse);
        let vague = 0.2 * threshold;
        let noise = libm::sqrt(noise * noise + vague * vague);
        let beyond =
            |felt: f64| (1.0 - self.lapse) * share_below((felt - threshold) / noise) + self.lapse / 12.0;
        [beyond(felt).min(plain.better), beyond(-felt).min(plain.worse)]
    }

    /// The riders that are thought possible, each with its share; the shares make 1. There are two kinds: plain ones,
    /// and lopsided ones, who notice one side of the best sooner, slip more often and are less sure far from it.
    pub(super) fn possible() -> Vec<(Sense, f64)> {
        const PLAIN: f64 = 0.6;
        const LOPSIDED: f64 = 0.4;
        let mut riders = Vec::new();
        for squared in [false, true] {
            for notice in [1.4, 2.6] {
                for noise in [0.45, 0.85] {
                    let plain = Sense {
                        squared,
                        notice_below: notice,
                        notice_above: notice,
                        noise,
                        web: 0.0,
                        lapse: 0.01,
                    };
                    riders.push((plain, PLAIN / 8.0));
                    for lopsided in [1.0 / 1.5, 1.5] {
                        let side = libm::sqrt(lopsided);
                        let lopsided = Sense {
                            notice_below: notice / side,
                            notice_above: notice * side,
                            web: 0.15,
                            lapse: 0.06,
                            ..plain
                        };
                        riders.push((lopsided, LOPSIDED / 16.0));
                    }
                }
            }
        }
        riders
    }
}

/// The chances of better, same and worse where a difference of `felt` thresholds is felt with a
/// deviation of `noise` and a share of `lapse` answers is given at random.
#[must_use]
pub fn share_of(felt: f64, noise: f64, lapse: f64) -> [f64; 3] {
    let Chances { better, same, worse } = chances(felt, noise, lapse);
    [better, same, worse]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A plain rider: the distance counts once, 1.4 positions to a noticeable difference.
    const PLAIN: Sense =
        Sense { squared: false, notice_below: 1.4, notice_above: 1.4, noise: 0.45, web: 0.0, lapse: 0.01 };

    #[test]
    fn the_likelihood_has_its_check_values() {
        // Check values worked out apart from the formulas; no outside source.
        let lopsided =
            Sense { notice_below: 1.143_095, notice_above: 1.714_643, web: 0.15, lapse: 0.06, ..PLAIN };
        let cases = [
            (PLAIN, 11.5, 14.0, 6.0, [0.987_841, 0.008_826, 0.003_333]),
            (lopsided, 8.5, 6.0, 10.0, [0.020_010, 0.286_173, 0.693_817]),
        ];
        for (felt, best, lap, against, [better, same, worse]) in cases {
            let chances = felt.chances(lap - best, against - best);
            for (ours, wanted) in [(chances.better, better), (chances.same, same), (chances.worse, worse)] {
                assert!((ours - wanted).abs() < 1e-6, "{ours} {wanted}");
            }
        }
        let [much_better, _] = PLAIN.much(14.0 - 11.5, 6.0 - 11.5, 2.3);
        assert!((much_better - 0.400_337).abs() < 1e-6, "{much_better}");
        let [_, much_worse] = lopsided.much(6.0 - 8.5, 10.0 - 8.5, 1.4);
        assert!((much_worse - 0.421_423).abs() < 1e-6, "{much_worse}");
        assert!((NEVER + THRESHOLDS.iter().map(|(_, share)| share).sum::<f64>() - 1.0).abs() < 1e-12);
        assert!(Sense::possible().iter().any(|(sense, _)| *sense == PLAIN));
    }

    /// What is not worked out would change no digit.
    #[test]
    fn far_off_the_share_is_what_it_would_be() {
        for hundredths in 900..4_000 {
            let place = f64::from(hundredths) / 100.0;
            let with = |below: f64| 0.99 * below + 0.01 / 3.0;
            for place in [place, -place] {
                assert_eq!(
                    with(share_below(place)).to_bits(),
                    with(normal_share(place)).to_bits(),
                    "{place}"
                );
            }
        }
    }

    #[test]
    fn the_possible_riders_make_one() {
        let riders = Sense::possible();
        assert_eq!(riders.len(), 24);
        assert!((riders.iter().map(|rider| rider.1).sum::<f64>() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_published_example_of_better_same_and_worse_comes_out() {
        // Christensen, Lee and Brockhoff 2012 (Thurstonian 2-AC), Example 1, as worked in the companion
        // of the sensR package: 2 worse, 2 same, 6 better: tau 0.4159726, d' 0.7742595, root of the
        // likelihood ratio 1.446718, p .14798. There no answer is given at random.
        let counts = [6.0, 2.0, 2.0];
        let (tau, d) = (0.415_972_6, 0.774_259_5);
        let fit = |d: f64, tau: f64| {
            let shares = share_of(d / tau, std::f64::consts::SQRT_2 / tau, 0.0);
            counts.iter().zip(shares).map(|(count, share)| count * libm::log(share)).sum::<f64>()
        };
        for (share, wanted) in
            share_of(d / tau, std::f64::consts::SQRT_2 / tau, 0.0).iter().zip([0.6, 0.2, 0.2])
        {
            assert!((share - wanted).abs() < 1e-6, "{share}");
        }
        // without a difference the best threshold is the one that gives a fifth the same answer
        let best_tau = (1..40_000).map(|step| f64::from(step) / 40_000.0 * 2.0);
        let without = best_tau.map(|tau| fit(0.0, tau)).fold(f64::NEG_INFINITY, f64::max);
        let root = libm::sqrt(2.0 * (fit(d, tau) - without));
        assert!((root - 1.446_718).abs() < 1e-4, "{root}");
        assert!((2.0 * normal_share(-root) - 0.14798).abs() < 1e-4);
    }
}
