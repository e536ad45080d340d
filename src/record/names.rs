//! Owns the names of the files that are written. It knows nothing of disks.

use std::path::{Path, PathBuf};

/// The longest piece of a name, in characters.
const LONGEST: usize = 40;

/// The same in bytes: two of them, with the date and all endings, are a name on any disk.
const LONGEST_BYTES: usize = 100;

/// A name for a file: letters and digits in lower case, all else becomes one `-`.
fn plain(name: &str) -> String {
    let mut plain = String::new();
    for c in name.chars().flat_map(char::to_lowercase).take(LONGEST) {
        if plain.len() + c.len_utf8() > LONGEST_BYTES {
            break;
        }
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

/// The name of a journal without its ending: date, bike, rider and a short part of the seed, so that two
/// rides of one day in two branches differ.
#[must_use]
pub fn journal_stem(date: &str, bike: &str, rider: Option<&str>, seed: u64) -> String {
    joined(&[date, bike, rider.unwrap_or(""), &format!("{:04x}", seed & 0xFFFF)])
}

/// Whether a journal's name without its ending may be one of this bike and rider: with or without a part of
/// the seed, with or without numbers.
#[must_use]
pub fn is_stem_of(stem: &str, bike: &str, rider: Option<&str>) -> bool {
    const DATE: usize = "2026-05-16-".len();
    let ours = joined(&[bike, rider.unwrap_or("")]);
    let Some(rest) = stem.get(DATE..).and_then(|rest| rest.strip_prefix(&*ours)) else { return false };
    let mut parts = rest.split('-');
    let begins = parts.next() == Some("");
    let is_hex = |part: &str| part.len() == 4 && part.bytes().all(|byte| byte.is_ascii_hexdigit());
    begins && parts.all(|part| is_hex(part) || !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit()))
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
            journal_stem("2026-05-16", "Green trail bike", Some("Mo"), 0x1_3F2A),
            "2026-05-16-green-trail-bike-mo-3f2a"
        );
        assert_eq!(settings_stem("../../etc/passwd", Some("Żaneta")), "etc-passwd-żaneta");
        assert_eq!(settings_stem("!!", None), "bike");
        assert!(settings_stem(&"x".repeat(999), None).len() <= 40);
        let wide = "\u{20000}".repeat(60);
        let journal = journal_stem("2026-05-16", &wide, Some(&wide), 1);
        assert!(journal.len() + ".settings.toml.damaged-1".len() <= 255, "{journal}");
        assert!(is_stem_of(&journal, &wide, Some(&wide)));
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

    #[test]
    fn a_journal_is_known_by_its_name() {
        let is_ours = |stem: &str| is_stem_of(stem, "Green trail bike", Some("Mo"));
        assert!(is_ours("2026-05-16-green-trail-bike-mo"));
        assert!(is_ours("2026-05-16-green-trail-bike-mo-2"));
        assert!(is_ours("2026-05-16-green-trail-bike-mo-3f2a"));
        assert!(is_ours("2026-05-16-green-trail-bike-mo-0000-2"));
        assert!(!is_ours("2026-05-16-green-trail-bike-mona"));
        assert!(!is_ours("2026-05-16-green-trail-bike-mo-lee"));
        assert!(!is_ours("2026-05-16-green-trail-bike"));
        assert!(!is_ours("ż026-05-1"));
    }
}
