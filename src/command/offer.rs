//! Owns the offer to write what was counted in a ride into the bike's file. Comments stay; a file
//! that has changed since, or would no longer be right, is left as it is.

use std::path::Path;

use crate::check::check;
use crate::disk;
use crate::plan::{Reading, Scale, Setup};
use crate::problem::{Sources, Span};
use crate::session::Session;
use crate::set::Set;
use crate::vocabulary::unit_word;

use super::keys::{is_yes, read_line};
use super::screen::Screen;

/// One count and the place where it would stand.
struct Count {
    name: String,
    span: Span,
    now: String,
}

/// Offers the counts of a ride, where there are any.
pub(super) fn counts(set: &Set, session: &Session, screen: Screen) {
    let counts = counted(set, session);
    let Some(first) = counts.first() else { return };
    let source = set.sources().get(first.span.source);
    screen.say("");
    for count in &counts {
        screen.say(&format!("You counted {}: {}.", count.name, count.now));
    }
    screen.say(&format!(
        "Save this in {}? Type y to save it, or press Enter to leave the file alone.",
        source.name()
    ));
    screen.raw("> ");
    let Some(line) = read_line() else { return };
    if !is_yes(&line) {
        return;
    }
    match write(set, &counts) {
        Ok(()) => screen.say(&format!("Saved: {}", source.name())),
        Err(reason) => screen.say(&format!("{} was not changed: {reason}", source.name())),
    }
}

/// What was counted and does not stand in the file so. All of it stands in one file, the bike's.
fn counted(set: &Set, session: &Session) -> Vec<Count> {
    let bike = session.plan().bike();
    let known = set.plan().map(|plan| plan.bike());
    let same = known.is_some_and(|known| {
        known.len() == bike.len() && known.ids().all(|id| known.get(id).name() == bike.get(id).name())
    });
    if !same || set.scales().len() != bike.len() {
        return Vec::new();
    }
    let mut counts = Vec::new();
    for (id, span) in bike.ids().zip(set.scales()) {
        let (Setup::Uncounted(_), Some(dial)) = (&bike.get(id).setup, session.dial(id)) else { continue };
        let ends = [dial.scale().reading(0), dial.scale().reading(dial.scale().top())];
        let most = ends.iter().filter_map(|end| match end {
            Reading::Value(number, unit) => Some((*number, *unit)),
            Reading::Name(_) => None,
        });
        let Some((number, unit)) = most.max_by_key(|(number, _)| *number) else { continue };
        let now = format!("0 to {} {}", unit.figure(number), unit_word(unit));
        let written = known
            .and_then(|known| known.get(id).setup.scale().map(Scale::top))
            .is_some_and(|top| top == dial.scale().top());
        if !written && Some(span.source) == set.bike_source() {
            counts.push(Count { name: bike.get(id).name(), span: *span, now });
        }
    }
    counts
}

fn write(set: &Set, counts: &[Count]) -> Result<(), String> {
    let Some(id) = set.bike_source() else { return Err("the bike's file can't be found".to_owned()) };
    let source = set.sources().get(id);
    let path = Path::new(source.name());
    let before = disk::read(path).map_err(|error| disk::in_words(&error))?;
    let mut text = String::from_utf8(before).map_err(|_| "it is no longer plain text".to_owned())?;
    if text != source.text() {
        return Err("it has changed since you started".to_owned());
    }
    let mut counts: Vec<&Count> = counts.iter().collect();
    counts.sort_by_key(|count| std::cmp::Reverse(count.span.start));
    for count in counts {
        text.replace_range(count.span.start..count.span.end, &count.now);
    }
    let mut sources = Sources::default();
    for (other, known) in set.sources().iter() {
        sources.add(known.name(), if other == id { text.as_str() } else { known.text() });
    }
    let checked = check(&sources);
    if let Some(problem) = checked.problems.iter().find(|problem| problem.is_error()) {
        let line = sources.get(problem.span.source).place(problem.span.start).line;
        return Err(format!("line {line} would no longer work: {}. Change it by hand", problem.message));
    }
    disk::write_whole(path, text.as_bytes()).map_err(|error| disk::in_words(&error))
}
