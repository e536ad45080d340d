//! The worked tables of the narrowing search. Worked out apart from this code from the rule; no outside
//! source.

use super::*;
use Verdict::{Better as B, Same as S, Worse as W};

fn terms(compare_twice: bool) -> Terms {
    Terms { top: 20, start: 10, hint: None, again: None, effort: Effort::Normal, compare_twice }
}

/// Mean, deviation, the largest share within one, and what comes next.
type Line = (f64, f64, f64, Proposal);

fn follow(mut search: Narrow, answers: &[&[Verdict]], lines: &[Line]) {
    for (index, &(mean, deviation, surest, proposal)) in lines.iter().enumerate() {
        let belief = search.belief();
        let seen = belief.mean_and_deviation();
        let most = belief.within_one(search.settled());
        for (ours, wanted) in [(seen.0, mean), (seen.1, deviation), (most, surest)] {
            assert!((ours - wanted).abs() < 5e-5 + 1e-9, "after {index}: {ours}, not {wanted}");
        }
        assert_eq!(search.next(), proposal, "after {index}");
        if let (Proposal::Ride { at, .. }, Some(verdicts)) = (proposal, answers.get(index)) {
            search = search.hear(at, verdicts[0], verdicts.get(1).copied());
        }
    }
}

fn ride(at: u32, against: u32, also: Option<u32>) -> Proposal {
    Proposal::Ride { at, against, also }
}

#[test]
fn the_worked_tables_without_second_comparisons_come_out() {
    let begin = Narrow::begin(terms(false), &Arc::default());
    follow(
        begin.clone(),
        &[&[W], &[B], &[S], &[W]],
        &[
            (10.0000, 4.5546, 0.2075, ride(6, 10, None)),
            (12.5143, 3.1919, 0.3025, ride(14, 6, None)),
            (13.7990, 2.8940, 0.3196, ride(11, 14, None)),
            (12.9071, 2.0677, 0.5628, ride(16, 11, None)),
            (11.9026, 1.0126, 0.7253, Proposal::Settle(12)),
        ],
    );
    follow(
        begin,
        &[&[B], &[W], &[S], &[B]],
        &[
            (10.0000, 4.5546, 0.2075, ride(6, 10, None)),
            (4.8294, 3.0945, 0.3179, ride(2, 6, None)),
            (6.8017, 2.3572, 0.5402, ride(10, 2, None)),
            (6.2673, 1.1727, 0.6909, ride(4, 10, None)),
            (5.9485, 0.8520, 0.7342, Proposal::Settle(6)),
        ],
    );
}

#[test]
fn the_worked_table_with_second_comparisons_comes_out() {
    follow(
        Narrow::begin(terms(true), &Arc::default()),
        &[&[B], &[W], &[B, S], &[S]],
        &[
            (10.0000, 4.5546, 0.2075, ride(6, 10, None)),
            (4.8294, 3.0945, 0.3179, ride(2, 6, None)),
            (6.8017, 2.3572, 0.5402, ride(10, 2, Some(6))),
            (7.7957, 1.9160, 0.6680, ride(6, 10, None)),
            (7.7577, 1.3946, 0.7368, Proposal::Settle(8)),
        ],
    );
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
