//! Owns the names of the files that are written. It knows nothing of disks.

use std::path::{Path, PathBuf};

/// The longest piece of a name, in characters.
const LONGEST: usize = 40;

/// A name for a file: letters and digits in lower case, all else becomes one `-`.
fn plain(name: &str) -> String {
    let mut plain = String::new();
    for c in name.chars().flat_map(char::to_lowercase).take(LONGEST) {
        if c.is_alphanumeric() {
            plain.push(c);
        } else if !plain.ends_with('-') {
            plain.push('-');
        }
    }
    plain.trim_matches('-').to_owned()
}

fn joined(parts: &[&str]) -> String {
    let parts: Vec<_> = parts.iter().map(|part| plain(part)).filter(|part| !part.is_empty()).collect();
    if parts.is_empty() { "bike".to_owned() } else { parts.join("-") }
}

/// The name of a journal without its ending: date, bike and rider.
#[must_use]
pub fn journal_stem(date: &str, bike: &str, rider: Option<&str>) -> String {
    joined(&[date, bike, rider.unwrap_or("")])
}

/// The name of a settings file without its ending: bike and rider.
#[must_use]
pub fn settings_stem(bike: &str, rider: Option<&str>) -> String {
    joined(&[bike, rider.unwrap_or("")])
}

/// The settings file of one ride: beside its journal, and called like it.
#[must_use]
pub fn settings_beside(journal: &Path) -> PathBuf {
    let name = journal.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
    let stem = [".ride.toml", ".toml"].into_iter().find_map(|ending| name.strip_suffix(ending));
    journal.with_file_name(format!("{}.settings.toml", stem.unwrap_or(&name)))
}

/// The name of a bike's file without its ending.
#[must_use]
pub fn bike_stem(bike: &str) -> String {
    joined(&[bike])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_and_digits_stay_and_nothing_else() {
        assert_eq!(
            journal_stem("2026-05-16", "Green trail bike", Some("Mo")),
            "2026-05-16-green-trail-bike-mo"
        );
        assert_eq!(settings_stem("../../etc/passwd", Some("Żaneta")), "etc-passwd-żaneta");
        assert_eq!(settings_stem("!!", None), "bike");
        assert!(settings_stem(&"x".repeat(999), None).len() <= 40);
    }

    #[test]
    fn a_ride_has_its_settings_beside_its_journal() {
        for (journal, settings) in [
            ("rides/2026-05-16-b.ride.toml", "rides/2026-05-16-b.settings.toml"),
            ("mine.toml", "mine.settings.toml"),
            ("mine", "mine.settings.toml"),
        ] {
            assert_eq!(settings_beside(Path::new(journal)), Path::new(settings));
        }
    }
}
