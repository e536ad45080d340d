//! The searches through the real program and through the session: worked answer lists, and what holds
//! whatever is answered.

use std::collections::BTreeSet;
use std::sync::Arc;

use clickwise::search::{Direction, Effort, Memory, Method, Proposal, SecondLook, Task, Verdict, Window};
use clickwise::session::{Answer, Ask, Felt, Session, Truth};

use crate::support::{Field, setting};
use crate::tables::plan_of;

/// Where a ride of one adjuster of 20 clicks settles, from 10.
#[track_caller]
fn settles(plan: &str, tune: &str, answers: &str) -> i64 {
    let set = format!(
        "plan \"P\"\n  {plan}\nbike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10\nsteps\n  tune fork rebound{tune}\n"
    );
    let field = Field::with(&[("set.tune", &set)]);
    let ran = field.ride(&["set.tune"], answers).ends(0);
    setting(&ran.out, &["fork", "rebound", "value"]).as_integer().unwrap()
}

/// Worked out apart from the program from the rule; no outside source.
#[test]
fn the_worked_lists_of_crossing_out_settle_where_they_should() {
    let lists = [
        ("w, w, w", 11),
        ("w, w, b", 9),
        ("w, w, s", 10),
        ("s, w, w, w, w", 12),
        ("w, b, b, s, b, w, w", 4),
        ("b, b, b, w, b", 18),
    ];
    for (answers, place) in lists {
        assert_eq!(settles("method cross-out", ", try faster first", answers), place, "{answers}");
        // a mirrored ride has its mirrored end
        assert_eq!(settles("method cross-out", ", try slower first", answers), 20 - place, "{answers}");
    }
}

/// Worked out apart from the program from the rule; no outside source.
#[test]
fn the_worked_lists_of_narrowing_settle_where_they_should() {
    for (answers, at) in [("w, b, w", 11), ("b, s, b, w, w", 4), ("w, b, s, s, s, s, s", 13)] {
        assert_eq!(settles("method narrow", "", answers), at, "{answers}");
        // the method may stand in the tune's own line
        assert_eq!(settles("method cross-out", ", method narrow", answers), at, "{answers}");
    }
}

#[test]
fn a_lap_is_asked_about_twice_with_both_laps_named() {
    let set = "plan \"P\"\n  method narrow\nbike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10\nsteps\n  tune fork rebound\n";
    let field = Field::with(&[("set.tune", set)]);
    let ran = field.ride(&["set.tune"], "b, s, skip").ends(4);
    let screen = crate::support::unbroken(&ran.err);
    for said in [
        "6 clicks from closed, 4 clicks slower than now",
        "Better would point to slower than 4 clicks, worse to faster, the same to close to it.",
        "Was it better or worse than lap 2, at 6 clicks?",
        "Lap 3, one more comparison: fork rebound Don't ride again. Was lap 3 better or worse than lap 1, at 10 clicks?",
    ] {
        assert!(screen.contains(said), "{said}\n{screen}");
    }
}

#[test]
fn who_cannot_tell_the_second_time_leaves_it_out() {
    let (skipped, untold) = ("b, s, skip", "b, s, ?");
    let set = "plan \"P\"\n  method narrow\nbike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10\nsteps\n  tune fork rebound\n";
    let [one, other] = [skipped, untold].map(|answers| {
        let field = Field::with(&[("set.tune", set)]);
        field.ride(&["set.tune"], answers).ends(4).err
    });
    assert_eq!(one.replace("skip", "?"), other.replace("skip", "?"));
    assert!(one.contains("No answers left. The next question is: lap, fork rebound"), "{one}");
}

fn task(top: u32, start: u32, toward: Option<Direction>, effort: Effort) -> Task {
    Task {
        window: Window { low: 0, high: top },
        start,
        step: if top <= 10 { 1 } else { 2 },
        apart: 1,
        toward,
        effort,
        compare_twice: true,
        again: None,
    }
}

/// Numbers that look drawn and are the same on every run.
struct Drawn(u64);

impl Drawn {
    fn verdict(&mut self) -> Verdict {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        [Verdict::Better, Verdict::Worse, Verdict::Same][(self.0 >> 33) as usize % 3]
    }
}

/// Rides one search with drawn verdicts; the laps, the one at the start among them.
fn random_ride(task: &Task, method: Method, drawn: &mut Drawn, memory: &Arc<Memory>) -> u32 {
    let mut search = task.begin(method, memory);
    let (mut laps, mut last) = (1, task.start);
    let mut ridden = BTreeSet::from([task.start]);
    loop {
        let ridden_laps = laps;
        let here = || format!("{method:?} {task:?} after {ridden_laps} laps");
        match search.next() {
            Proposal::Settle(place) => {
                assert!(place <= task.window.high, "{}", here());
                assert_eq!(search.most_laps(), 0, "{}", here());
                assert!(search.reason().is_none());
                return laps;
            }
            Proposal::Ride { at, against, also } => {
                assert!(at <= task.window.high, "{}", here());
                assert_ne!(at, last, "{}: the setting just ridden", here());
                assert!(ridden.contains(&against) && also.is_none_or(|also| ridden.contains(&also)));
                assert!(at != against && Some(at) != also && also != Some(against), "{}", here());
                assert!(search.reason().is_some() && search.most_laps() > 0, "{}", here());
                laps += 1;
                assert!(laps < 70, "{}: no end", here());
                (last, search) =
                    (at, search.hear(at, drawn.verdict().graded(), also.map(|_| drawn.verdict().graded())));
                ridden.insert(at);
            }
        }
    }
}

#[test]
fn random_answers_end_within_the_cap_and_the_range() {
    let (mut drawn, memory) = (Drawn(5), Arc::default());
    for top in 0..=60 {
        for start in 0..=top {
            for method in Method::ALL {
                let ways: &[_] = match method {
                    Method::Narrow => &[None],
                    _ => &[Some(Direction::Up), Some(Direction::Down)],
                };
                for &toward in ways {
                    let efforts: &[_] = match (method, start % 7) {
                        (Method::Narrow, 0) => &[Effort::Quick, Effort::Normal, Effort::Thorough],
                        _ => &[Effort::Normal],
                    };
                    for &effort in efforts {
                        let task = task(top, start, toward, effort);
                        let laps = random_ride(&task, method, &mut drawn, &memory);
                        let most = match (task.method(method), effort) {
                            (Method::Bracket, _) => top.div_ceil(task.step) + 2,
                            (Method::Narrow, Effort::Thorough) => 10,
                            _ => 8,
                        };
                        assert!(laps <= most, "{method:?} {task:?}: {laps} laps");
                    }
                }
            }
            // a second look
            for method in Method::ALL {
                let reach = if top <= 11 { 2 } else { 3 };
                let look = SecondLook::at(top);
                assert_eq!(look.reach, reach);
                let window = Window { low: start.saturating_sub(reach), high: (start + reach).min(top) };
                let again = Task { window, again: Some(look), ..task(top, start, None, Effort::Normal) };
                assert!(random_ride(&again, method, &mut drawn, &memory) <= if reach == 2 { 5 } else { 6 });
            }
        }
    }
}

/// The same through the session, where proof laps, void laps and budgets come on top.
#[test]
fn random_rides_of_every_count_end() {
    let mut drawn = Drawn(9);
    for top in 1..=60 {
        for method in Method::ALL.map(Method::word) {
            let start = top * 2 / 3;
            let plan = plan_of(&format!(
                "plan \"P\"\n method {method}\nbike \"B\"\npart fork\n rebound 0 to {top} clicks, start {start}\nsteps\n tune fork rebound\n"
            ));
            let mut session = Session::begin(Arc::clone(&plan), 0);
            let mut answers = 0;
            while let Some(ask) = session.ask() {
                answers += 1;
                assert!(answers < 120, "{method} {top}");
                let answer = match ask {
                    Ask::Lap { fit, against, .. } => {
                        assert!(fit.to <= top && fit.to != against, "{method} {top}");
                        match (answers % 9, drawn.verdict()) {
                            (4, Verdict::Same) => Answer::Felt(Felt::CannotTell),
                            (_, verdict) => Answer::Felt(Felt::Verdict(verdict)),
                        }
                    }
                    Ask::Trial { .. } => Answer::Trial,
                    Ask::Way(_) => Answer::Way(None),
                    _ => Answer::Done,
                };
                session = session.answer(&answer).unwrap_or_else(|mismatch| panic!("{mismatch:?}"));
            }
            assert!(session.laps().len() <= 24, "{method} {top}");
        }
    }
}

#[test]
fn a_quantity_is_searched_in_whole_steps_from_where_it_stands() {
    let task = Task { apart: 5, ..task(22, 7, None, Effort::Normal) };
    for method in [Method::CrossOut, Method::Narrow] {
        let mut search = task.begin(method, &Arc::default());
        let mut drawn = Drawn(3);
        while let Proposal::Ride { at, also, .. } = search.next() {
            assert!([2, 7, 12, 17, 22].contains(&at), "{method:?}: {at}");
            assert!(!search.takes(at + 1), "{method:?}: between two steps");
            search = search.hear(at, drawn.verdict().graded(), also.map(|_| drawn.verdict().graded()));
        }
        assert_eq!(search.settled() % 5, 2);
    }
}

#[test]
fn too_few_places_for_crossing_out_go_by_the_bracket() {
    let set = "plan \"P\"\n  method cross-out\nbike \"B\"\npart fork\n  rebound 0 to 3 clicks, start 1\nsteps\n  tune fork rebound, try faster first\n";
    let field = Field::with(&[("set.tune", set)]);
    let ran = field.ride(&["set.tune"], "b, w").ends(0);
    assert!(
        crate::support::unbroken(&ran.err).contains("has too few positions for cross-out"),
        "{}",
        ran.err
    );
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(2));
}

/// A model's shares are no promise: no screen of a search or of its settings names one.
#[test]
fn no_screen_of_a_search_promises_anything() {
    use clickwise::show::{self, Look};
    let look = Look { width: 80, colour: false, unicode: false };
    let mut drawn = Drawn(11);
    for method in Method::ALL.map(Method::word) {
        for round in 0..20 {
            let plan = plan_of(&format!(
                "plan \"P\"\n method {method}\nbike \"B\"\npart fork\n rebound 0 to 20 clicks, start {round}\n compression 0 to 9 clicks\nsteps\n tune fork rebound\n tune fork compression\n revisit fork rebound\n"
            ));
            let mut session = Session::begin(plan, 0);
            while let Some(ask) = session.ask() {
                let mut lines = show::question(&session, &Truth::default(), &ask, look);
                lines.extend(show::news(&session, 80));
                lines.extend(show::settings(session.plan(), &session.so_far(), 80));
                for line in lines {
                    for promise in ["%", "0.", "certain", "sure", "guarantee", "probab", "definitely"] {
                        assert!(!line.contains(promise), "{line}");
                    }
                }
                let answer = match ask {
                    Ask::Lap { .. } => Answer::Felt(Felt::Verdict(drawn.verdict())),
                    Ask::Trial { .. } => Answer::Trial,
                    _ => Answer::Done,
                };
                session = session.answer(&answer).unwrap();
            }
        }
    }
}
