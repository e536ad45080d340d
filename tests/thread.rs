//! A ride keeps its thread: what a rider is told of where the knob is, how far the ride is, why a lap is ridden.
//! Worked by hand; no outside source.

use crate::springs::{holds, ride};
use crate::support::{setting, unbroken};

/// What a ride says, to the last answer.
fn screen(text: &str, answers: &str) -> String {
    unbroken(&ride(text, answers).err)
}

fn tuned(budget: &str, most: &str) -> String {
    format!(
        "plan \"P\"\n{budget}bike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10, step 2 clicks\nsteps\n  tune fork rebound, try faster first{most}\n"
    )
}

/// A void lap took one of the few laps of its adjuster, so a flat tyre ended its search.
#[test]
fn a_void_lap_counts_for_the_day_and_not_for_its_adjuster() {
    let ran = ride(&tuned("", ", at most 4 laps"), "done\nbetter\nvoid\nvoid\nvoid\nbetter\nbetter").ends(0);
    // the first lap, and three with a verdict
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(16));
    assert_eq!(setting(&ran.out, &["fork", "rebound", "laps"]).as_array().unwrap().len(), 4);
    let said = unbroken(&ran.err);
    holds(
        &said,
        &[
            "Lap 3: fork rebound, up to 1 more",
            "Lap 4: fork rebound, up to 1 more",
            "Lap 7: fork rebound, the last one",
        ],
    );
    // void before the first lap, too
    let ran = ride(&tuned("", ", at most 2 laps"), "void\nvoid\ndone\nbetter").ends(0);
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(12));
    // the day has 4 laps of every kind
    let ran = ride(&tuned("  at most 4 laps\n", ", at most 4 laps"), "done\nvoid\nvoid\nbetter").ends(0);
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(12));
    assert_eq!(setting(&ran.out, &["fork", "rebound", "how"]).as_str(), Some("stopped early"));
    // 24 laps of every kind end any tune
    let void = "void\n".repeat(23);
    let ran = ride(&tuned("", ""), &format!("done\n{void}")).ends(0);
    assert_eq!(setting(&ran.out, &["fork", "rebound", "how"]).as_str(), Some("stopped early"));
    assert!(unbroken(&ran.err).contains("B: 24 laps"), "{}", ran.err);
}

#[test]
fn the_range_says_which_way_is_which() {
    let ruler = |adjuster: &str, tune: &str| {
        let text = format!("bike \"B\"\npart fork\n  {adjuster}\nsteps\n  tune {tune}\n");
        let ran = ride(&text, "done\ncannot tell").err;
        ran.lines().find(|line| line.contains(" |")).unwrap().trim().to_owned()
    };
    let rebound = ruler("rebound 0 to 8 clicks, start 4", "every rebound, try faster first");
    assert_eq!(rebound, "slow 0 |....=>...| 8 fast");
    let open = ruler("rebound 0 to 8 clicks, counted from open, start 4", "every rebound, try faster first");
    assert_eq!(open, "slow 8 |....=>...| 0 fast");
    let compression = ruler("compression 0 to 8 clicks, start 4", "every compression, try softer first");
    assert_eq!(compression, "firm 0 |....=>...| 8 soft");
    let air = ruler("air 60 to 64 psi, start 62 psi, step 1 psi", "fork air, try firmer first");
    assert_eq!(air, "soft 60 |..=>.| 64 firm");
    let names = ruler("lockout open or half or closed, start half", "every lockout, try firmer first");
    assert_eq!(names, "soft open |.=>| closed firm");
}

const AGAIN: &str = "bike \"B\"\npart fork\n  rebound 0 to 8 clicks, start 4\n  compression 0 to 8 clicks, start 4\nsteps\n  ride 2 laps\n  tune fork rebound, try faster first\n  tune fork compression, try firmer first\n  revisit fork rebound\n";

#[test]
fn a_second_look_says_why_it_is_held() {
    // rebound stays at 4, compression goes to 2
    let said = screen(AGAIN, "worse\nworse\nbetter\nbetter\nworse\nworse");
    holds(&said, &[", second look", "Why again: since you tuned it, fork compression is 2 clicks firmer."]);
    assert_eq!(said.matches("Why again").count(), 1, "{said}");
    assert!(said.rfind("Step 4 of 4.").unwrap() < said.find("Why again").unwrap(), "{said}");
    // told where it begins, and not with each of its laps
    let said = screen(AGAIN, "worse\nworse\nbetter\nbetter\nworse\nbetter\nworse");
    assert_eq!((said.matches(", second look").count(), said.matches("Why again").count()), (2, 1), "{said}");
}

/// Every step in which something is ridden or read, with its first question and no other.
#[test]
fn each_step_says_which_it_is() {
    let said = screen(AGAIN, "worse\nworse\nbetter\nbetter\nworse\nworse\nworse");
    for step in ["Step 1 of 4. Ride: 2 laps", "Step 2 of 4. Lap 3", "Step 3 of 4. Lap", "Step 4 of 4. Lap"] {
        assert_eq!(said.matches(step).count(), 1, "{step}: {said}");
    }
    assert_eq!(said.matches("Step ").count(), 4, "{said}");
    // where the way is asked for, the step is told there
    let asked = AGAIN.replace(", try faster first", "").replace("ride 2 laps", "say \"Go\"");
    let said = screen(&asked, "done\ndone\nfaster\nworse");
    holds(&said, &["Step 1 of 3. Lap 1", "fork rebound: which way first?"]);
    assert_eq!(said.matches("Step ").count(), 1, "{said}");
    let measured = "bike \"B\"\npart fork\n  travel 150 mm\n  air 40 to 140 psi, start 77 psi\nloop \"T\"\n  lap 4 min\nsteps\n  measure every spring\n  ride 3 laps\n";
    let said = screen(measured, "60 mm\n");
    assert_eq!(said.matches("Step 1 of 2, about").count(), 1, "{said}");
    // the time is what is left: three laps, with nothing else to do
    let said = screen(measured, "30 mm\n");
    holds(&said, &["Step 2 of 2, about 12 min left. Ride: 3 laps"]);
    // so it is where a wide range is narrowed down
    for (positions, told) in [(100, "Step 1 of 1, about"), (400, "Step 1 of 1, about")] {
        let wide = format!(
            "bike \"B\"\npart fork\n  adjuster \"x\" 0 to {positions} psi, step 1 psi, start 50 psi\nloop \"T\"\n  lap 4 min\nsteps\n  tune fork \"x\", method narrow\n"
        );
        holds(&screen(&wide, "done\ndone"), &[told]);
    }
}

/// Where the knob is in truth, after an answer is taken back: it was asked for at 14 clicks by then.
#[test]
fn undo_says_where_the_knob_is_and_never_to_ride_a_lap_again() {
    let text = tuned("", "");
    // lap 2 at 12 was better, so 14 is asked for
    let said = screen(&text, "done\nbetter\nundo\nworse\nsame");
    let after = &said[said.find("Lap 3: fork").unwrap() + 10..];
    let again = &after[after.find("Lap 2: fork").unwrap()..];
    let (again, next) = again.split_at(again.find("Lap 3: fork").unwrap());
    holds(
        again,
        &[
            "It was at 12 clicks from closed.",
            "You have ridden it already. Was it better or worse than lap 1, at 10 clicks?",
        ],
    );
    assert!(!again.contains("Ride it") && !again.contains("than now"), "{again}");
    // worse: back beyond the first, whose way is told from where the knob may be
    holds(
        next,
        &[
            "8 clicks from closed; if it is at 14 clicks, that is 6 clicks slower",
            "Ride it. Was it better or worse than lap 1",
        ],
    );
    // once that is ridden, the knob is where the answers say
    let last = &next[next.find("Lap 4: fork").unwrap()..];
    holds(last, &["6 clicks from closed, 2 clicks slower than now", "Ride it."]);
    // the same answer again asks for what was asked for before
    let said = screen(&text, "done\nbetter\nundo\nbetter\nworse");
    let next = &said[said.rfind("Lap 3: fork").unwrap()..];
    holds(next, &["14 clicks from closed, if it is not there yet", "Ride it."]);
    // several back: the laps were ridden as long as nothing else is asked for
    let said = screen(&text, "done\nbetter\nbetter\nundo\nundo\nbetter\nworse\nworse");
    assert_eq!(said.matches("You have ridden it already.").count(), 3, "{said}");
    let said = screen(&text, "done\nbetter\nbetter\nundo\nundo\nworse\nworse");
    assert_eq!(said.matches("You have ridden it already.").count(), 2, "{said}");
    holds(
        &said[said.rfind("Lap 3: fork").unwrap()..],
        &["8 clicks from closed; if it is at 16 clicks, that is 8 clicks slower", "Ride it."],
    );
    // a void lap was ridden, too
    let said = screen(&text, "done\ndone\nvoid\nundo\nbetter\nworse");
    let (_, after) = said.split_at(said.rfind("Lap 2: fork").unwrap());
    holds(after, &["It was at 12 clicks from closed.", "You have ridden it already."]);
}

/// Taken back beyond the adjuster: what was turned since is turned back before the next lap is ridden.
#[test]
fn undo_beyond_an_adjuster_has_the_other_one_set_back() {
    // rebound settles at 4, compression is asked for at 3; then its lap and the last of rebound are taken back
    let said = screen(AGAIN, "worse\nworse\ndone\ndone\nbetter\nundo\nundo\nbetter\nworse");
    let after = &said[said.rfind("You have ridden it already.").unwrap()..];
    holds(
        after,
        &[
            "2 clicks from closed",
            "Set fork compression back: 4 clicks from closed; if it is at 2 clicks, that is 2 clicks softer",
        ],
    );
    // ridden on, it is told no more
    assert_eq!(said.matches("Set fork compression back").count(), 1, "{said}");
}

/// A ride that is gone on with has the bike checked first, so nothing is told of what was taken back; the laps
/// that were ridden stay ridden.
#[test]
fn a_ride_that_goes_on_after_an_undo_knows_what_was_ridden() {
    let field = crate::support::Field::with(&[("set.tune", &tuned("", ""))]);
    let arguments = [
        "ride",
        "set.tune",
        "--journal",
        "a.ride.toml",
        "--settings",
        "-",
        "--as-of",
        crate::support::MOMENT,
    ];
    field.run_with(&arguments, "done\nbetter\nundo\nquit\n").ends(4);
    let said = unbroken(&field.run_with(&arguments, "worse\nworse\n").ends(0).err);
    holds(
        &said,
        &[
            "Before you carry on",
            "It was at 12 clicks from closed.",
            "You have ridden it already.",
            "8 clicks from closed; if it is at 10 clicks, that is 2 clicks slower",
        ],
    );
}

const DAY: &str = "\
plan \"P\"
bike \"B\"
part fork
  rebound 0 to 20 clicks, start 10, step 2 clicks
part front tyre
  pressure 1.4 to 2.2 bar, start 1.8 bar
loop \"T\"
  warm-up 2 laps
steps
  record temperature
  ride warm-up
  tune fork rebound, try faster first, at most 5 laps
";

#[track_caller]
fn in_order(said: &str, parts: &[&str]) {
    let mut at = 0;
    for part in parts {
        at += said[at..].find(part).unwrap_or_else(|| panic!("`{part}` is not in order in: {said}"));
    }
}

/// What a ride says of which these are all answers, without what comes before the new baseline.
fn since_baseline(text: &str, answers: &str) -> String {
    let said = screen(text, answers);
    said[said.rfind("Note down: temperature").unwrap()..].to_owned()
}

/// Laps of another day are compared with no more: conditions and tyres again, a warm-up, the best so far.
#[test]
fn a_new_baseline_is_ridden_before_the_next_lap_is_compared() {
    // lap 3 at 12 was better than lap 2, and 14 is asked for
    let said = since_baseline(DAY, "12 C\ndone\ndone\nbetter\nbaseline\n20 C\nworse\nworse");
    let order = [
        "Note down: temperature",
        "Now set front tyre pressure: 1.8 bar, check the gauge",
        "Warm-up: 2 laps",
        "Lap 6: fork rebound, up to 3 more 12 clicks from closed, no change Ride a baseline lap: you compare the next laps with this one.",
        "Lap 7: fork rebound, up to 3 more 14 clicks from closed, 2 clicks faster than now",
        "Was it better or worse than lap 6, at 12 clicks?",
        "fork rebound is done: 12 clicks",
    ];
    in_order(&said, &order);
    // the settings have the latest conditions, and its laps
    let ran = ride(DAY, "12 C\ndone\ndone\nbetter\nbaseline\n20 C\nworse");
    assert_eq!(setting(&ran.out, &["conditions", "temperature", "value"]).as_integer(), Some(20));
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(12));
    let laps = setting(&ran.out, &["fork", "rebound", "laps"]).to_string();
    assert_eq!(laps, "[2, 3, 6, 7]");
    // before any lap there is nothing to compare with
    let ran = ride(DAY, "12 C\nbaseline").ends(1);
    assert!(unbroken(&ran.err).contains("you have not ridden a lap yet"), "{}", ran.err);
    // it is an answer, and is taken back like one
    let said = screen(DAY, "12 C\ndone\ndone\nbetter\nbaseline\nundo\nworse\nworse");
    assert_eq!(said.matches("Lap 4: fork rebound, up to 3 more 14 clicks from closed").count(), 2, "{said}");
    assert!(!said.contains("Lap 6"), "{said}");
}

/// The baseline is no lap of the adjuster's own, and one of the day's.
#[test]
fn a_new_baseline_counts_for_the_day_alone() {
    let ran = ride(DAY, "12 C\ndone\ndone\nbetter\nbaseline\n20 C\nbetter\nbetter\nbetter\nbetter").ends(0);
    // the lap before and four with a verdict, as without a pause
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(20));
    let few = DAY.replace("bike", "  at most 7 laps\nbike");
    let ran = ride(&few, "12 C\ndone\ndone\nbetter\nbaseline\n20 C\nbetter").ends(0);
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(14));
    assert!(unbroken(&ran.err).contains("B: 7 laps"), "{}", ran.err);
    // too few laps are left for one
    let few = DAY.replace("bike", "  at most 6 laps\nbike");
    let ran = ride(&few, "12 C\ndone\ndone\nbetter\nbaseline\n20 C").ends(1);
    assert!(unbroken(&ran.err).contains("a new baseline takes 4 laps"), "{}", ran.err);
    let few = DAY
        .replace("bike", "  at most 6 laps\nbike")
        .replace("  warm-up 2 laps\n", "")
        .replace("ride warm-up", "ride 2 laps");
    ride(&few, "12 C\ndone\ndone\nbetter\nbaseline\n20 C\nbetter").ends(0);
}

/// In a search that compares with any earlier lap, each is ridden again before it is compared with.
#[test]
fn every_lap_after_a_new_baseline_is_compared_with_one_that_came_after_it() {
    for method in ["narrow", "cross-out"] {
        let text = DAY.replace("at most 5 laps", &format!("method {method}, at most 12 laps"));
        let begin = "12 C\ndone\ndone\nbetter\nbaseline\n20 C\n";
        let said =
            since_baseline(&text, &format!("{begin}worse\nbetter\nworse\nworse\nbetter\nworse\nworse\n"));
        let first = said.find("Lap ").unwrap();
        let number =
            |text: &str| text.split(|c: char| !c.is_ascii_digit()).next().unwrap().parse::<u32>().unwrap();
        let baseline = number(&said[first + 4..]);
        let against: Vec<u32> = said
            .match_indices("worse than lap ")
            .map(|(at, found)| number(&said[at + found.len()..]))
            .collect();
        assert!(against.len() > 1, "{method}: {said}");
        assert!(against.iter().all(|lap| *lap >= baseline), "{baseline} {against:?}: {said}");
    }
}

/// A pair is ridden again from its first lap; where the plan rides anyway, there is no other warm-up.
#[test]
fn a_new_baseline_is_asked_for_anywhere() {
    let pairs = DAY.replace(
        "  tune fork rebound, try faster first, at most 5 laps\n",
        "  confirm fork rebound, between 8 clicks and 12 clicks, 2 pairs\n",
    );
    let said = since_baseline(&pairs, "12 C\ndone\ndone\ndone\ndone\ndone\nbaseline\n20 C\nfirst\nsecond");
    let order = [
        "Warm-up: 2 laps",
        "Pair 1, first lap: set the bike",
        "Lap 6: pair 1 of 2, first lap",
        "pair 1 of 2, second lap",
        "Pair 2",
    ];
    in_order(&said, &order);
    let rides = DAY.replace(
        "  tune fork rebound, try faster first, at most 5 laps\n",
        "  say \"Go\"\n  ride 1 lap\n  ride 3 laps\n",
    );
    let said = since_baseline(&rides, "12 C\ndone\ndone\ndone\ndone\nbaseline\n20 C\ndone\ndone");
    assert!(!said.contains("Warm-up") && said.contains("Ride: 3 laps"), "{said}");
    // a setting that is not fitted yet is fitted before the warm-up
    let said = since_baseline(DAY, "12 C\ndone\ndone\nworse\nworse\nbaseline\n20 C\ndone\ndone");
    assert!(
        said.contains(
            "Now set fork rebound: 10 clicks from closed, 2 clicks faster than now front tyre pressure: 1.8 bar"
        ),
        "{said}"
    );
}

/// `before` is where the rider's bike was: it can be gone back to, and compared with.
#[test]
fn what_was_found_is_a_place() {
    let text = "bike \"B\"\npart fork\n  rebound 0 to 20 clicks, start 10, step 2 clicks\npart shock\n  rebound ? clicks\nsteps\n  record settings\n  ride 2 laps\n  tune fork rebound, try faster first, at most 3 laps\n  confirm fork rebound, between before and 12 clicks, 1 pair\n  set every rebound to before\n";
    let ran =
        ride(text, "7, ?, 3 and 14, done, done, better, worse, done, done, done, done, first, done").ends(0);
    let said = unbroken(&ran.err);
    holds(
        &said,
        &[
            "fork rebound: 7 clicks or 12 clicks from closed",
            "fork rebound: you chose 12 clicks in 0 of 1 pairs.",
        ],
    );
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(7));
    assert_eq!(setting(&ran.out, &["shock", "rebound", "value"]).as_integer(), Some(3));
    assert_eq!(setting(&ran.out, &["shock", "rebound", "before"]).as_integer(), Some(3));
    // what nobody knows is the start, and that is said
    let ran = ride(text, "?, ?, 14, done, done, better, worse, done, done, done, done, first, done").ends(0);
    holds(
        &unbroken(&ran.err),
        &[
            "10 clicks or 12 clicks",
            "You don't know where fork rebound was before, so it goes to its start, 10 clicks from closed.",
        ],
    );
    assert_eq!(setting(&ran.out, &["fork", "rebound", "value"]).as_integer(), Some(10));
    assert_eq!(setting(&ran.out, &["shock", "rebound", "value"]).as_integer(), Some(7));
    // it is no place to start from, and nothing where nobody asks
    let field = crate::support::Field::with(&[
        ("start.tune", &text.replace("start 10", "start before")),
        ("asks.tune", &text.replace("  record settings\n", "")),
    ]);
    assert!(unbroken(&field.run(&["check", "start.tune"]).ends(1).err).contains("setting-unknown"));
    let asks = field.run(&["check", "asks.tune"]).ends(1);
    assert_eq!(asks.err.matches("before-unknown").count(), 2, "{}", asks.err);
}
