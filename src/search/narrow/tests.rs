//! The worked tables of the narrowing search. Worked out apart from this code from the rule; no outside
//! source.

use super::*;
use Grade::{Better as B, MuchBetter as MB, MuchWorse as MW, Same as S, Worse as W};

fn terms(compare_twice: bool) -> Terms {
    Terms { top: 20, start: 10, hint: None, again: None, effort: Effort::Normal, compare_twice }
}

fn ride(at: u32, against: u32, also: Option<u32>) -> Proposal {
    Proposal::Ride { at, against, also }
}

/// A lap: where it is ridden, its answer, with what it is compared besides and that answer; then the mean, the
/// deviation and the largest share within one.
type Line = (u32, Grade, Option<(u32, Grade)>, f64, f64, f64);

/// From the middle, `effort normal`; the first seven agree with another implementation to the last digit.
const WORKED: [(u32, &[Line], u32); 8] = [
    (20, &[(6, W, None, 12.5776, 3.1459, 0.3052), (14, B, Some((10, W)), 10.9703, 1.1447, 0.8207)], 11),
    (
        20,
        &[
            (6, B, None, 4.5854, 2.7993, 0.3312),
            (2, S, Some((10, B)), 3.7872, 1.2000, 0.7253),
            (0, W, Some((6, W)), 4.3088, 0.6743, 0.8421),
        ],
        4,
    ),
    (
        20,
        &[
            (6, W, None, 12.5776, 3.1459, 0.3052),
            (14, B, Some((10, S)), 12.3947, 1.6739, 0.7308),
            (16, S, Some((10, S)), 12.5585, 1.0486, 0.7160),
            (11, S, Some((14, S)), 12.7060, 0.7110, 0.8252),
        ],
        13,
    ),
    (
        14,
        &[
            (3, W, None, 8.6802, 2.3173, 0.3818),
            (11, B, Some((7, S)), 9.1000, 1.1462, 0.7567),
            (13, W, Some((7, W)), 8.6680, 0.6226, 0.8420),
        ],
        9,
    ),
    (
        30,
        &[
            (11, W, None, 19.1053, 4.5420, 0.2359),
            (19, B, Some((15, B)), 22.2959, 3.7915, 0.2694),
            (23, S, Some((15, B)), 21.6494, 2.1354, 0.7018),
            (25, W, Some((19, W)), 20.7052, 0.6283, 0.8522),
        ],
        21,
    ),
    (
        10,
        &[
            (2, S, None, 4.3101, 1.8539, 0.5607),
            (8, W, Some((5, W)), 3.3140, 0.9741, 0.7032),
            (0, S, Some((5, S)), 3.3298, 0.6501, 0.8238),
        ],
        3,
    ),
    (
        6,
        &[
            (1, W, None, 3.9656, 1.1201, 0.5832),
            (5, B, Some((3, S)), 4.3162, 0.7682, 0.7899),
            (6, W, Some((3, S)), 4.2453, 0.4890, 0.9217),
        ],
        4,
    ),
    (20, &[(6, MW, None, 13.0004, 3.0803, 0.3090), (14, MB, Some((10, W)), 11.6209, 1.4158, 0.8209)], 11),
];

#[test]
fn the_worked_rows_come_out() {
    for (top, lines, settles) in WORKED {
        let begin = Terms { top, start: top / 2, ..terms(true) };
        let mut search = Narrow::begin(begin, &Arc::default());
        let mut last = begin.start;
        for &(at, verdict, second, mean, deviation, surest) in lines {
            assert_eq!(search.next(), ride(at, last, second.map(|second| second.0)), "{top} {at}");
            search = search.hear(at, verdict, second.map(|second| second.1));
            last = at;
            let belief = search.belief();
            let seen = belief.mean_and_deviation();
            let most = belief.within_one(search.settled());
            for (ours, wanted) in [(seen.0, mean), (seen.1, deviation), (most, surest)] {
                assert!((ours - wanted).abs() < 5e-5 + 1e-9, "{top} {at}: {ours} {wanted}");
            }
        }
        assert_eq!(search.next(), Proposal::Settle(settles), "N {top}");
    }
}

/// Without second comparisons no lap has one, and more laps are needed.
#[test]
fn second_comparisons_can_be_left_out() {
    let mut search = Narrow::begin(terms(false), &Arc::default());
    let mut laps = 0;
    while let Proposal::Ride { at, also, .. } = search.next() {
        assert_eq!(also, None);
        search = search.hear(at, if at < 13 { W } else { B }, None);
        laps += 1;
    }
    assert!(laps > 2, "{laps}");
}

#[test]
fn a_range_of_one_or_two_positions_settles() {
    let narrow = |top| Narrow::begin(Terms { top, start: 0, ..terms(true) }, &Arc::default());
    assert_eq!(narrow(0).next(), Proposal::Settle(0));
    let two = narrow(1);
    assert_eq!(two.next(), ride(1, 0, None));
    assert!(matches!(two.hear(1, B, None).next(), Proposal::Settle(_)));
}

#[test]
fn a_hint_is_tried_first() {
    for (hint, at) in [(Direction::Up, 14), (Direction::Down, 6)] {
        assert_eq!(
            Narrow::begin(Terms { hint: Some(hint), ..terms(true) }, &Arc::default()).next(),
            ride(at, 10, None)
        );
    }
}

/// Whoever hands in a memory hands in no answer: with a fresh one for each search, all go the same way.
#[test]
fn a_memory_saves_work_and_changes_nothing() {
    let shared = Arc::default();
    for top in [5, 20, 5] {
        for start in 0..=top {
            let terms = Terms { top, start, ..terms(true) };
            let (mut one, mut other) = (Narrow::begin(terms, &shared), Narrow::begin(terms, &Arc::default()));
            for verdict in [S, B, W, S, B] {
                assert_eq!(one, other);
                let Proposal::Ride { at, also, .. } = one.next() else { break };
                let second = also.map(|_| verdict);
                (one, other) = (one.hear(at, verdict, second), other.hear(at, verdict, second));
            }
        }
    }
}
