//! Owns how it is asked where the bike is before the first change, and how many positions an adjuster has.

use crate::plan::{AdjusterId, Reading, Scale};
use crate::session::{AllBefore, Answer, Session, What};
use crate::vocabulary::{End, Knob, unit_word};

use super::page::Page;
use super::wanted;

/// Asks how the bike is set: first of all adjusters at once, then of those that are left one by one.
pub(super) fn before(session: &Session, id: AdjusterId, page: &mut Page) {
    let all: Vec<AdjusterId> = session.plan().bike().ids().collect();
    if all.len() == 1 || all.first() != Some(&id) {
        page.head(&format!("Now: {}", session.adjuster(id).name()));
        let printed = session.adjuster(id).knob == Knob::Coil;
        let printed = if printed { " It is printed on the spring." } else { "" };
        let named = session.adjuster(id).setup.unit().is_none();
        let joined = if named { ":" } else { ", in" };
        page.text(&format!("How is it set now{joined} {}?{printed}", in_what(session, id)));
        page.text(&format!("For example: {}. Type ? if you don't know.", example(session, id)));
        return;
    }
    page.head("Now: how is the bike set?");
    let in_what = |id: &AdjusterId| format!("{}: {}", session.adjuster(*id).name(), in_what(session, *id));
    page.items(&all.iter().map(in_what).collect::<Vec<_>>());
    let example: Vec<String> = all.iter().map(|id| example(session, *id)).collect();
    page.text("Type them in this order, with ? where you don't know. For example:");
    page.item(&example.join(", "));
}

/// In what an adjuster is told: `clicks from closed`, `psi`, `open, half or closed`.
fn in_what(session: &Session, id: AdjusterId) -> String {
    let setup = &session.adjuster(id).setup;
    let Some(unit) = setup.unit() else {
        return session.scale(id).map_or(String::new(), Scale::listed_names);
    };
    let from = setup.counted().map_or(String::new(), |end| format!(" from {}", end.word()));
    format!("{}{from}", unit_word(unit))
}

/// A value without its unit, as it could be typed.
fn example(session: &Session, id: AdjusterId) -> String {
    let Some(scale) = session.scale(id) else {
        // not counted yet: what could be found is the first of both
        let [found, _] = wanted::example_of_two(session, id);
        return found.to_owned();
    };
    match scale.reading(scale.top() / 2) {
        Reading::Value(number, unit) => unit.figure(number),
        Reading::Name(name) if name.contains([' ', ',']) => format!("\"{name}\""),
        Reading::Name(name) => name.to_owned(),
    }
}

/// What was read of a line that tells how several adjusters were found, in a sentence.
#[must_use]
pub fn all_read_as(session: &Session, before: &AllBefore) -> String {
    let one = |(id, said): &(AdjusterId, crate::session::Said)| match &said.what {
        What::Answer(Answer::Told(told)) => told_in_full(session, *id, told),
        what => what.to_string(),
    };
    format!("Read as: {}.", before.said.iter().map(one).collect::<Vec<_>>().join(", "))
}

fn told_in_full(session: &Session, id: AdjusterId, told: &crate::session::Stated) -> String {
    match told {
        crate::session::Stated::Value(number, None) => {
            let unit = session.adjuster(id).setup.unit();
            crate::session::Stated::Value(*number, unit).to_string()
        }
        told => told.to_string(),
    }
}

/// Asks for a count, and how the adjuster was found where that is not known: it is counted on the way.
pub(super) fn count(session: &Session, id: AdjusterId, page: &mut Page) {
    page.head(&format!("Count: {}", session.adjuster(id).name()));
    let from_open = session.adjuster(id).setup.counted() == Some(End::Open);
    if session.before(id).is_some() {
        page.text(if from_open {
            "Open it fully, gently, then count in to fully closed. How many are there?"
        } else {
            "Turn it gently to fully closed, then count the clicks to fully open. How many?"
        });
        page.text(&format!("For example: {}", wanted::example(session, id)));
        return;
    }
    page.text(if from_open {
        "Open it gently, counting as you go: that is its setting now. Then count in to fully closed."
    } else {
        "Close it gently, counting: that's where it is now. Then count out to fully open."
    });
    let [found, count] = wanted::example_of_two(session, id);
    let one = count.rsplit(' ').next().unwrap_or(count);
    page.text(&format!("Type both, like `{found}, {count}`, or only the count, `{one}`."));
}
