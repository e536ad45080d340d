//! Owns the names that stand in a settings file: its format, its tables and keys.

use toml_edit::{Key, Table};

use crate::vocabulary::{Knob, Part};

/// The format of the settings that this program writes and reads.
pub const FORMAT: u32 = 1;

/// The key that names the ride whose laps these are, where it is not the file's own.
pub(super) const SESSION: &str = "session";

/// Keys at the top of the file that were called otherwise once, with their names of today.
pub(super) const TOP_ONCE: [(&str, &str); 1] = [("settled", "saved")];

/// Keys of an adjuster's table that were called otherwise once.
pub(super) const OURS_ONCE: [(&str, &str); 2] =
    [("found", "before"), ("start-beyond-count", "start-above-count")];

/// Gives the keys of a table their names of today; a person's comments at them stay.
pub(super) fn rename(table: &mut Table, once: &[(&str, &str)]) {
    for (once, today) in once {
        let Some((key, item)) = table.remove_entry(once) else { continue };
        if !table.contains_key(today) {
            let key = Key::new(*today).with_leaf_decor(key.leaf_decor().clone());
            table.insert_formatted(&key, item);
        }
    }
}

/// The key of a part's table: `front-tyre`.
pub(super) fn part_key(part: Part) -> String {
    part.word().replace(' ', "-")
}

/// The key of an adjuster's table within its part: `low-speed-rebound`, or an own name as it is.
pub(super) fn knob_key(knob: &Knob) -> String {
    match knob {
        Knob::Own(name) => name.clone(),
        known => known.word().replace(' ', "-"),
    }
}

/// Whether a text has the marks that git leaves where two sides do not go together.
pub(super) fn is_unmerged(text: &str) -> bool {
    let begins = |mark: &str| text.lines().any(|line| line.starts_with(mark));
    begins("<<<<<<<") && begins(">>>>>>>")
}
