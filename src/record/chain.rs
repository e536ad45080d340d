//! Owns the checksums that chain a journal's records. A record that is cut, changed, added or left
//! out breaks the chain. They guard against accidents, not against a forger.

use std::fmt::Write;

use sha2::{Digest, Sha256};

/// How many hexadecimal digits a checksum has.
const DIGITS: usize = 16;

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// The checksum over a record's text and the checksum before it.
pub(super) fn seal(before: &str, text: &str) -> String {
    let mut hash = Sha256::new();
    hash.update(before.as_bytes());
    hash.update(b"\n");
    hash.update(text.as_bytes());
    hex(&hash.finalize())[..DIGITS].to_owned()
}

/// The key of a checksum, and what it was once.
const KEYS: [&str; 2] = ["seal", "check"];

/// The line that carries a checksum.
pub(super) fn seal_line(seal: &str) -> String {
    format!("seal = \"{seal}\"\n")
}

/// The checksum that a line carries, if it is such a line, whole.
pub(super) fn carried(line: &[u8]) -> Option<&str> {
    let line = str::from_utf8(line).ok()?;
    let line = line.trim_end_matches(['\r', '\n']);
    let seal =
        KEYS.iter().find_map(|key| line.strip_prefix(key))?.strip_prefix(" = \"")?.strip_suffix('"')?;
    let whole = seal.len() == DIGITS && seal.bytes().all(|byte| byte.is_ascii_hexdigit());
    whole.then_some(seal)
}

/// The fingerprint of a set: its files' names and texts, in order.
#[must_use]
pub fn fingerprint<'a>(files: impl IntoIterator<Item = (&'a str, &'a str)>) -> String {
    let mut hash = Sha256::new();
    for (name, text) in files {
        for part in [name, text] {
            hash.update((part.len() as u64).to_le_bytes());
            hash.update(part.as_bytes());
        }
    }
    hex(&hash.finalize())
}
