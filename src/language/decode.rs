//! Owns the way from bytes to text. Whatever the bytes are, a text comes of them; what is wrong
//! with them becomes a problem. It knows nothing of lines or words.

use crate::problem::{Code, Problem, SourceId, Sources, Span};

/// Takes the bytes of a file in as a source. Bytes that are no UTF-8 text are replaced, and told.
pub fn take_in(sources: &mut Sources, name: &str, bytes: &[u8]) -> (SourceId, Vec<Problem>) {
    let valid = std::str::from_utf8(bytes);
    let text = String::from_utf8_lossy(bytes).into_owned();
    let id = sources.add(name, text);
    let text = sources.get(id).text();
    let mut problems = Vec::new();
    if let Err(error) = valid {
        let start = error.valid_up_to().min(text.len());
        let end = text[start..].chars().next().map_or(start, |c| start + c.len_utf8());
        let span = Span { source: id, start, end };
        problems.push(
            Problem::new(
                Code::EncodingUnknown,
                span,
                format!("{}, so it cannot be read as text", guess(bytes)),
            )
            .help("save it as UTF-8 text"),
        );
        return (id, problems);
    }
    if let Some(at) = text
        .bytes()
        .zip(text.bytes().skip(1).chain([b'\n']))
        .position(|pair| pair.0 == b'\r' && pair.1 != b'\n')
    {
        let span = Span { source: id, start: at, end: at + 1 };
        problems.push(
            Problem::new(
                Code::LineEnd,
                span,
                "a carriage return stands here without a line feed, so lines run together",
            )
            .help("save the file with the usual line ends"),
        );
    }
    if text
        .lines()
        .all(|line| line.trim().trim_start_matches('\u{FEFF}').is_empty() || line.trim().starts_with('#'))
    {
        let span = Span { source: id, start: 0, end: 0 };
        problems.push(
            Problem::new(Code::FileEmpty, span, "nothing is in this file yet")
                .help("the smallest bike is:\n\nbike \"My bike\"\npart fork\n  rebound 0 to 18 clicks"),
        );
    }
    (id, problems)
}

/// What bytes that are no UTF-8 seem to be.
fn guess(bytes: &[u8]) -> &'static str {
    if bytes.starts_with(b"PK\x03\x04") {
        "this is a zip archive, or a document of an office program"
    } else if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        "this is UTF-16"
    } else if bytes.starts_with(b"\x89PNG") || bytes.starts_with(b"\xFF\xD8\xFF") {
        "this is a picture"
    } else {
        "here stands a byte that is not UTF-8"
    }
}
