//! Owns the one-line picture of a range: where it starts, what is compared, where the next lap is.

use crate::plan::{Dial, Reading};
use crate::search::Direction;

use super::Look;

/// A range as one line of at most the look's width, with what it is at either end: `s` the start, `=` what the lap is compared
/// with, `>` the next lap; where two fall together, the later mark of these is shown.
#[must_use]
pub(super) fn ruler(dial: &Dial, against: u32, next: u32, look: Look) -> String {
    let scale = dial.scale();
    let end = |position| match scale.reading(position) {
        Reading::Value(number, unit) => unit.figure(number),
        Reading::Name(name) => name.to_owned(),
    };
    let word = |toward: Direction| dial.way(toward).end();
    let low = format!("{} {}", word(Direction::Down), end(0));
    let high = format!("{} {}", end(scale.top()), word(Direction::Up));
    let room = look.width.saturating_sub(low.chars().count() + high.chars().count() + 6).clamp(5, 41);
    let top = usize::try_from(scale.top()).unwrap_or(1).max(1);
    let cells = room.min(top + 1).max(2);
    let mut line: Vec<char> = vec![if look.unicode { '·' } else { '.' }; cells];
    let cell = |position: u32| (position as usize * (cells - 1) + top / 2) / top;
    for (position, mark) in [(dial.start(), 's'), (against, '='), (next, '>')] {
        if let Some(place) = line.get_mut(cell(position.min(scale.top()))) {
            *place = mark;
        }
    }
    format!("{low} |{}| {high}", line.into_iter().collect::<String>())
}
