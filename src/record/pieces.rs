//! Owns how a journal's bytes are cut into pieces, each up to the line with its checksum, and which text a
//! checksum is over: line ends do not count, nor blank lines and comments before a piece.

use std::ops::Range;

use super::chain::{carried, seal};

/// A piece of a journal: its head or one record, as far as the line with its checksum.
#[derive(Debug, Clone)]
pub(super) struct Piece<'a> {
    /// Everything from the end of the piece before, in bytes of the file.
    pub place: Range<usize>,
    /// The line on which it begins, from 1.
    pub line: usize,
    /// What it says, without the line of its checksum; blank lines and comments before it are left out.
    /// `None` if that is no text.
    pub body: Option<String>,
    /// The checksum that it carries.
    pub carried: &'a str,
    /// The same with its line ends as they are in the file.
    as_it_is: Option<String>,
}

impl Piece<'_> {
    /// Whether the piece follows from a checksum.
    pub fn follows(&self, before: &str) -> bool {
        let fits = |body: &String| seal(before, body) == self.carried;
        self.body.as_ref().is_some_and(fits) || self.as_it_is.as_ref().is_some_and(fits)
    }
}

/// A journal's bytes, cut.
pub(super) struct Pieces<'a> {
    pub pieces: Vec<Piece<'a>>,
    /// Where the rest begins: what comes after the last checksum.
    pub rest: usize,
}

/// Whether a line is blank or a comment: a person's, which says nothing to the program.
pub(super) fn is_remark(line: &[u8]) -> bool {
    let text = line.trim_ascii();
    text.is_empty() || text.starts_with(b"#")
}

/// How long the blank lines and comments are with which bytes begin, and how many lines they are.
pub(super) fn remarks(bytes: &[u8]) -> (usize, usize) {
    let remarks = bytes.split_inclusive(|byte| *byte == b'\n').take_while(|line| is_remark(line));
    remarks.fold((0, 0), |(length, lines), line| (length + line.len(), lines + 1))
}

/// The text that a checksum is over. A record begins with one empty line, a head with none.
fn body(bytes: &[u8], is_head: bool) -> Option<String> {
    let text = str::from_utf8(&bytes[remarks(bytes).0..]).ok()?;
    Some(if is_head { text.to_owned() } else { format!("\n{text}") })
}

/// Cuts a journal into its pieces. A byte order mark at the start belongs to none.
pub(super) fn cut(bytes: &[u8]) -> Pieces<'_> {
    let mark = if bytes.starts_with(b"\xEF\xBB\xBF") { 3 } else { 0 };
    let mut pieces = Vec::new();
    let (mut begin, mut begin_line, mut at) = (mark, 1, mark);
    for (index, line) in bytes[mark..].split_inclusive(|byte| *byte == b'\n').enumerate() {
        let end = at;
        at += line.len();
        let Some(carried) = carried(line) else { continue };
        let as_it_is = body(&bytes[begin..end], pieces.is_empty());
        let plain = as_it_is.as_ref().map(|text| text.replace("\r\n", "\n"));
        let as_it_is = as_it_is.filter(|text| text.contains('\r'));
        let line = begin_line + remarks(&bytes[begin..end]).1;
        pieces.push(Piece { place: begin..at, line, body: plain, carried, as_it_is });
        begin = at;
        begin_line = index + 2;
    }
    Pieces { pieces, rest: begin }
}
