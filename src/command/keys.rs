//! Owns standard input as the place where a person types: line by line, and how much was written since.

use std::io::{self, BufRead, Read};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::disk::LARGEST;

/// How many lines were written since something was typed: a process has one terminal.
static WRITTEN: AtomicUsize = AtomicUsize::new(0);

/// What was typed where a full screen stopped for Enter.
static AHEAD: Mutex<Option<String>> = Mutex::new(None);

/// How many lines were written since something was typed.
pub(super) fn written() -> usize {
    WRITTEN.load(Ordering::Relaxed)
}

/// So many more lines were written.
pub(super) fn write(lines: usize) {
    WRITTEN.fetch_add(lines, Ordering::Relaxed);
}

/// Waits for Enter. What else is typed is kept.
pub(super) fn stop() {
    let line = read_line().filter(|line| !line.trim().is_empty());
    if let (Some(line), Ok(mut ahead)) = (line, AHEAD.lock()) {
        *ahead = Some(line);
    }
}

/// What was typed where only Enter was waited for, once.
pub(super) fn typed_ahead() -> Option<String> {
    AHEAD.lock().ok()?.take()
}

/// All of standard input, as long as a file may be.
///
/// # Errors
/// If it cannot be read, or is longer.
pub(super) fn read_all() -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    io::stdin().lock().take(LARGEST + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST {
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, "it is bigger than 16 MB"));
    }
    Ok(bytes)
}

/// One line of standard input, decoded leniently and without a byte order mark; `None` at its end. What is
/// longer than any file that is read has no end that counts.
pub(super) fn read_line() -> Option<String> {
    WRITTEN.store(0, Ordering::Relaxed);
    let mut bytes = Vec::new();
    let mut input = io::stdin().lock();
    match input.by_ref().take(LARGEST).read_until(b'\n', &mut bytes) {
        Ok(0) | Err(_) => return None,
        Ok(_) => {}
    }
    if bytes.len() as u64 == LARGEST {
        let _ = input.skip_until(b'\n');
    }
    let line = String::from_utf8_lossy(&bytes);
    let line = line.strip_prefix('\u{FEFF}').unwrap_or(&line);
    Some(line.trim_end_matches(['\n', '\r']).to_owned())
}

/// Whether a line says yes.
pub(super) fn is_yes(line: &str) -> bool {
    matches!(line.trim().to_lowercase().as_str(), "y" | "yes")
}
