//! The ends of a range in a ride: told once when a lap is proposed there, and what it may mean that a
//! damper settles there. Worked by hand; no outside source.

use crate::springs::ride;
use crate::support::unbroken;

/// What a ride of one tune says, to the last answer.
fn screen(adjuster: &str, tune: &str, answers: &str) -> String {
    let text = format!("bike \"B\"\npart fork\n  {adjuster}\nsteps\n  ride 1 lap\n  tune {tune}\n");
    unbroken(&ride(&text, answers).err)
}

#[test]
fn a_lap_at_an_end_or_next_to_it_is_told_once() {
    let slower = "every rebound, try slower first";
    // 5, 3, 1, then the end: both are near the closed end, and only the first is told
    let said = screen("rebound 0 to 18 clicks, start 5, step 2 clicks", slower, "better, better, better");
    assert_eq!(said.matches("That is 1 click from fully closed.").count(), 1, "{said}");
    assert_eq!(said.matches("fully closed.").count(), 1, "{said}");
    // a lap that is ridden once more, or void, is not told again
    let said = screen("rebound 0 to 18 clicks, start 3, step 2 clicks", slower, "?, void, worse");
    assert_eq!(said.matches("That is 1 click from fully closed.").count(), 1, "{said}");
    // counted from open, the same end has another number
    let open = "rebound 0 to 18 clicks, counted from open, start 15, step 2 clicks";
    assert_eq!(screen(open, slower, "better").matches("That is 1 click from fully closed.").count(), 1);
    // both ends, each once
    let faster =
        screen("rebound 0 to 8 clicks, start 4, step 4 clicks", "every rebound, try faster first", "worse");
    assert_eq!(faster.matches("That is fully open.").count(), 1, "{faster}");
    assert_eq!(faster.matches("That is fully closed.").count(), 1, "{faster}");
    // a range of which 0 is no part does not say that the knob ends there
    let part = screen("rebound 4 to 18 clicks, start 6, step 2 clicks", slower, "worse");
    assert!(part.contains("That is the end of its range."), "{part}");
    // the middle and positions with names are not told
    let middle = screen("rebound 0 to 18 clicks, start 9, step 2 clicks", slower, "better");
    assert!(!middle.contains("That is "), "{middle}");
    let names = screen("lockout open or half or closed", "every lockout, try firmer first", "better");
    assert!(!names.contains("That is "), "{names}");
    // a start at an end is no proposal
    let start = screen("rebound 0 to 18 clicks, start open, step 2 clicks", slower, "worse");
    assert!(!start.contains("fully open."), "{start}");
    let turns = screen("rebound 0 to 3 turns, start 1/2 turn, step 1/4 turn", slower, "better");
    assert_eq!(turns.matches("That is 1/4 turn from fully closed.").count(), 1, "{turns}");
    let air = screen("air 60 to 90 psi, start 87 psi, step 2 psi", "fork air, try firmer first", "worse");
    assert!(air.contains("That is 1 psi from the end of its range."), "{air}");
}

#[test]
fn a_damper_that_settles_at_an_end_is_told_what_it_may_mean() {
    for (knob, way, start, better, meaning) in [
        (
            "rebound",
            "slower",
            1,
            true,
            "That is its slowest setting. If it still feels too fast, the spring may be too firm",
        ),
        (
            "rebound",
            "faster",
            9,
            true,
            "That is its fastest setting. If it still feels too slow, the spring may be too soft",
        ),
        (
            "compression",
            "firmer",
            1,
            true,
            "That is its firmest setting. If it still feels too soft, the spring may be too soft",
        ),
        (
            "compression",
            "softer",
            9,
            true,
            "That is its softest setting. If it still feels harsh, the spring may be too firm",
        ),
        ("rebound", "slower", 5, false, "is done: 5 clicks from closed."),
    ] {
        let answers = if better { "better" } else { "worse, worse" };
        let said = screen(
            &format!("{knob} 0 to 10 clicks, start {start}"),
            &format!("every {knob}, begin {way}"),
            answers,
        );
        assert!(said.contains(meaning), "{knob} {way}: {said}");
        assert_eq!(said.contains("If it still feels"), better, "{said}");
        assert!(!said.contains("widen its range"), "{said}");
    }
    // of a part of a knob's range, the file may be what ends
    let part = screen("rebound 4 to 14 clicks, start 5", "every rebound, try slower first", "better");
    assert!(part.contains("If the knob turns further, widen its range in the file."), "{part}");
    // names and springs have no such meaning
    let air = screen("air 60 to 90 psi, start 88 psi", "fork air, try firmer first", "better");
    assert!(air.contains("is done: 90 psi") && !air.contains("If it still feels"), "{air}");
}
