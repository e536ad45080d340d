//! Owns the way from bytes to text. Whatever the bytes are, a text comes of them; what is wrong
//! with them becomes a problem. It knows nothing of lines or words.

use crate::problem::{Code, Problem, SourceId, Sources, Span};

use super::foreign::foreign;

/// Takes the bytes of a file in as a source. Bytes that are no UTF-8 text are replaced, and told, as is a
/// file that is something else than a plan, bike or rider.
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
        let (message, help) = guess(bytes, error.valid_up_to());
        problems.push(Problem::new(Code::EncodingUnknown, span, message).help(help));
        return (id, problems);
    }
    if let Some(foreign) = foreign(name, text) {
        let end = text.lines().next().map_or(0, str::len);
        let span = Span { source: id, start: 0, end };
        let message = format!("this is {}, not a plan, bike or rider", foreign.what);
        problems.push(Problem::new(Code::FileForeign, span, message).help(foreign.help));
        return (id, problems);
    }
    if let Some(at) = text
        .bytes()
        .zip(text.bytes().skip(1).chain([b'\n']))
        .position(|pair| pair.0 == b'\r' && pair.1 != b'\n')
    {
        let span = Span { source: id, start: at, end: at + 1 };
        problems.push(
            Problem::new(Code::LineEnd, span, "the line endings are in an old style, so lines run together")
                .help("save it again with a modern text editor"),
        );
    }
    if text
        .lines()
        .all(|line| line.trim().trim_start_matches('\u{FEFF}').is_empty() || line.trim().starts_with('#'))
    {
        let span = Span { source: id, start: 0, end: 0 };
        problems.push(
            Problem::new(Code::FileEmpty, span, "this file is empty")
                .help("the smallest bike is:\n\nbike \"My bike\"\npart fork\n  rebound 0 to 18 clicks"),
        );
    }
    (id, problems)
}

/// What the bytes of pictures begin with: PNG, JPEG, GIF, TIFF, `WebP`.
const PICTURES: [&[u8]; 6] = [b"\x89PNG", b"\xFF\xD8\xFF", b"GIF8", b"II*\0", b"MM\0*", b"RIFF"];

/// What bytes that are no UTF-8 from `at` on seem to be, and what to do.
fn guess(bytes: &[u8], at: usize) -> (String, &'static str) {
    let no_text = "write your plan in a plain text editor and save it as UTF-8";
    let encoded = "save it again with UTF-8 encoding";
    if bytes.starts_with(b"PK\x03\x04") {
        let what = "this is a zip file or a word-processor document, not plain text";
        (what.to_owned(), no_text)
    } else if bytes.starts_with(b"%PDF-") {
        ("this is a PDF document, not a text file".to_owned(), no_text)
    } else if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        ("this file is UTF-16, not UTF-8".to_owned(), encoded)
    } else if PICTURES.iter().any(|begin| bytes.starts_with(begin)) {
        ("this is a picture, not text".to_owned(), no_text)
    } else {
        let byte = bytes.get(at).copied().unwrap_or(0);
        // in Windows-1252 the bytes from A0 on are the characters of the same number
        let alike = if byte >= 0xA0 {
            format!("; in Windows-1252 it would be `{}`", char::from(byte))
        } else {
            String::new()
        };
        (format!("this is not UTF-8 text (byte {byte:02X}){alike}"), encoded)
    }
}
