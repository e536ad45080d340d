//! Owns how it is said what became of recorded settings from which a plan begins again. It knows nothing of
//! which of them fit.

use crate::engine::{BeginNote, FromSettings, NotBegun};
use crate::plan::{Converted, Kept, NotHere, Plan, Refused, Scale, Unfit};
use crate::vocabulary::{End, unit_word_behind};

use super::unusable::not_settings;

/// Why a ride cannot begin from recorded settings, a sentence each; nothing where that is not why.
#[must_use]
pub fn not_begun(why: &NotBegun) -> Vec<String> {
    match why {
        NotBegun::NoPlan | NotBegun::NeedsSettings => Vec::new(),
        NotBegun::NotSettings { name, why } => vec![format!("{name}: {}", not_settings(why))],
        NotBegun::Refused { name, plan, refused } => {
            refused.iter().map(|refused| format!("{name}: {}.", not_taken(plan, refused))).collect()
        }
    }
}

/// What a person is to know of the recorded settings from which a ride begins, a sentence each.
#[must_use]
pub fn begun(from: &FromSettings) -> Vec<String> {
    let said = |note: &BeginNote| match note {
        BeginNote::OtherBike(other) => {
            let other = other.as_deref().unwrap_or("its file gives no name");
            format!("these settings are for another bike ({other})")
        }
        BeginNote::OtherRider(other) => {
            let other = other.as_deref().unwrap_or("the file gives no name");
            format!("these settings are for another rider ({other})")
        }
        BeginNote::Converted(converted) => self::converted(&from.plan, converted),
        BeginNote::Stranger(stranger) => format!("this bike has no {stranger}, so that setting is ignored"),
        BeginNote::Silent(id) => {
            let adjuster = from.plan.bike().get(*id).name();
            format!("no setting for {adjuster}, so it starts as in the bike's file")
        }
    };
    from.notes.iter().map(|note| format!("{}: {}.", from.name, said(note))).collect()
}

/// Why a plan cannot begin from a recorded setting, with its adjuster.
fn not_taken(plan: &Plan, refused: &Refused) -> String {
    let adjuster = plan.bike().get(refused.adjuster);
    let figure = |number| adjuster.setup.unit().map_or(String::new(), |unit| unit.figure(number));
    let why = match &refused.why {
        Unfit::NoRange => {
            "was saved without its range, so its clicks are unknown; write the count in the bike's file"
                .to_owned()
        }
        Unfit::NoCount { high } => {
            format!("was saved with a range up to {}, which can't be a count", figure(*high))
        }
        Unfit::BelowPlan { high, wanted } => {
            let (high, wanted) = (figure(*high), figure(*wanted));
            format!("only goes up to {high}, but the plan sets it to {wanted}")
        }
        Unfit::NotHere { scale, why } => not_here(scale, &refused.kept, *why),
    };
    format!("{} {why}", adjuster.name())
}

fn not_here(scale: &Scale, kept: &Kept, why: NotHere) -> String {
    let then = said(kept);
    match (why, kept) {
        (NotHere::Outside, _) => {
            format!("was saved at {then}, but its range in this bike's file is {}", scale.said_range())
        }
        (NotHere::NoPosition, Kept::Name(name)) => {
            let named = !scale.all_names().is_empty();
            let positions = if named { scale.listed_names() } else { scale.said_range() };
            format!("was saved at `{name}`, but its positions in this bike's file are {positions}")
        }
        (NotHere::NoPosition, Kept::Value { .. }) => {
            format!("was saved at {then}, but its positions in this bike's file are {}", scale.listed_names())
        }
        (NotHere::Between(below, above), _) => format!(
            "was saved at {then}, which falls between {} and {} in this bike's file",
            scale.said(below),
            scale.said(above)
        ),
        (NotHere::RangeUnknown, _) => {
            let now = scale.counted().map_or("", End::word);
            format!(
                "was saved at {then} without its range, but this bike's file counts from {now}; write its \
                    range in the settings file"
            )
        }
    }
}

/// How a recorded setting is told on the bike of a plan that begins from it, with its adjuster.
fn converted(plan: &Plan, converted: &Converted) -> String {
    let adjuster = plan.bike().get(converted.adjuster);
    let now = adjuster.setup.scale().map_or(String::new(), |scale| scale.said_in_full(converted.at));
    format!("{}: {} is {now} in this bike's file", adjuster.name(), said(&converted.kept))
}

/// A recorded setting as it was told then.
fn said(kept: &Kept) -> String {
    match kept {
        Kept::Name(name) => name.clone(),
        Kept::Value { number, unit, counted, .. } => {
            let from = counted.map_or(String::new(), |end| format!(" from {}", end.word()));
            format!("{} {}{from}", unit.figure(*number), unit_word_behind(*number, *unit))
        }
    }
}
