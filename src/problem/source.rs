//! Owns the texts that were read and the way from a byte to a line and a column.
//! It knows nothing of what stands in them.

/// Which of the [`Sources`] a span lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(usize);

impl SourceId {
    /// Which one it is, from 0, in the order in which they were added.
    #[must_use]
    pub fn index(self) -> usize {
        self.0
    }
}

/// A stretch of bytes of one source, `start..end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Span {
    pub source: SourceId,
    pub start: usize,
    pub end: usize,
}

impl Span {
    /// The stretch from the beginning of `self` to the end of `last`.
    #[must_use]
    pub fn to(self, last: Span) -> Span {
        Span { end: last.end.max(self.start), ..self }
    }

    /// The first character of this stretch of a text.
    #[must_use]
    pub fn first(self, text: &str) -> Span {
        let first = text.get(self.start..self.end).and_then(|text| text.chars().next());
        Span { end: self.start + first.map_or(0, char::len_utf8), ..self }
    }

    /// The empty place right behind this stretch.
    #[must_use]
    pub fn after(self) -> Span {
        Span { start: self.end, ..self }
    }
}

/// Line and column, both counted from 1; a column is one character unless [`Columns`] says otherwise. A line
/// ends behind its line feed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    pub line: usize,
    pub column: usize,
}

/// What a column counts. People count characters; editors and other programs count what their texts are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Columns {
    /// One for each Unicode character, a combining mark among them.
    Characters,
    /// One for each byte of UTF-8.
    Utf8,
    /// One for each unit of UTF-16: two for a character beyond the first 65,536.
    Utf16,
}

impl Columns {
    fn of(self, c: char) -> usize {
        match self {
            Columns::Characters => 1,
            Columns::Utf8 => c.len_utf8(),
            Columns::Utf16 => c.len_utf16(),
        }
    }

    fn of_all(self, text: &str) -> usize {
        match self {
            Columns::Characters => text.chars().count(),
            Columns::Utf8 => text.len(),
            Columns::Utf16 => text.chars().map(char::len_utf16).sum(),
        }
    }
}

/// One text with the name under which the user knows it.
#[derive(Debug, Clone)]
pub struct Source {
    name: String,
    text: String,
    /// How many lines end before each block of the text.
    ended: Vec<usize>,
}

/// How many bytes of a text are counted through for a place.
const BLOCK: usize = 1024;

impl Source {
    fn new(name: String, text: String) -> Self {
        let blocks = text.as_bytes().chunks(BLOCK).scan(0, |ended, block| {
            let before = *ended;
            *ended += line_feeds(block);
            Some(before)
        });
        let ended = blocks.collect();
        Source { name, text, ended }
    }

    /// The name under which the user knows it, usually a path.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The line and column of a byte; a byte beyond the end counts as the end, one within a character as the
    /// character's first.
    #[must_use]
    pub fn place(&self, byte: usize) -> Place {
        self.place_in(byte, Columns::Characters)
    }

    /// The same, with the column counted in one of several ways.
    #[must_use]
    pub fn place_in(&self, byte: usize, columns: Columns) -> Place {
        let byte = self.text.floor_char_boundary(byte);
        let before = &self.text[..byte];
        // a place at the very end may lie behind the last block
        let block = (byte / BLOCK).min(self.ended.len().saturating_sub(1));
        let ended =
            self.ended.get(block).map_or(0, |ended| ended + line_feeds(&before.as_bytes()[block * BLOCK..]));
        let (line, start) = (ended + 1, before.rfind('\n').map_or(0, |at| at + 1));
        Place { line, column: columns.of_all(&self.text[start..byte]) + 1 }
    }

    /// The byte of a place. A column within a character counts as its first, one beyond the line as the end of
    /// the line, before what ends it; a line beyond the text counts as the end of the text, and 0 as 1.
    #[must_use]
    pub fn byte(&self, place: Place, columns: Columns) -> usize {
        let Some(start) = self.line_start(place.line) else { return self.text.len() };
        let line = self.text[start..].split('\n').next().unwrap_or("");
        let mut left = place.column.saturating_sub(1);
        for (at, c) in line.char_indices() {
            let width = columns.of(c);
            if left < width {
                return start + at;
            }
            left -= width;
        }
        let end = if left == 0 { line.len() } else { line.strip_suffix('\r').unwrap_or(line).len() };
        start + end
    }

    /// The byte at which a line begins, counted from 1; `None` if there are not so many.
    fn line_start(&self, line: usize) -> Option<usize> {
        let before = line.saturating_sub(1);
        // the last block before which too few lines have ended
        let block = self.ended.partition_point(|ended| *ended < before).saturating_sub(1);
        let mut left = before - self.ended.get(block).copied().unwrap_or(0);
        let mut start = block * BLOCK;
        while left > 0 {
            let feed = self.text.as_bytes()[start..].iter().position(|byte| *byte == b'\n')?;
            start += feed + 1;
            left -= 1;
        }
        Some(start)
    }
}

fn line_feeds(bytes: &[u8]) -> usize {
    bytes.iter().map(|byte| usize::from(*byte == b'\n')).sum()
}

/// All texts of one run, in the order in which they were named.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    all: Vec<Source>,
}

impl Sources {
    /// Takes a text in and gives the id that its spans carry.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> SourceId {
        self.all.push(Source::new(name.into(), text.into()));
        SourceId(self.all.len() - 1)
    }

    /// The source of an id that this collection gave out.
    #[must_use]
    pub fn get(&self, id: SourceId) -> &Source {
        &self.all[id.0]
    }

    /// All sources in order, with their ids.
    pub fn iter(&self) -> impl Iterator<Item = (SourceId, &Source)> {
        self.all.iter().enumerate().map(|(index, source)| (SourceId(index), source))
    }

    /// The text of a span; empty where the span lies outside.
    #[must_use]
    pub fn slice(&self, span: Span) -> &str {
        self.get(span.source).text.get(span.start..span.end).unwrap_or("")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_first_character_is_whole() {
        let mut sources = Sources::default();
        let source = sources.add("a.tune", "a\u{201C}b");
        let first = |start, end| {
            let span = Span { source, start, end };
            sources.slice(span.first(sources.get(source).text()))
        };
        assert_eq!((first(0, 5), first(1, 5), first(5, 5)), ("a", "\u{201C}", ""));
    }

    #[test]
    fn a_place_counts_lines_and_characters_from_one() {
        let mut sources = Sources::default();
        let id = sources.add("a.tune", "ab\näö x\n");
        let source = sources.get(id);
        assert_eq!(source.place(0), Place { line: 1, column: 1 });
        assert_eq!(source.place(8), Place { line: 2, column: 4 });
        assert_eq!(source.place(99), Place { line: 3, column: 1 });
    }

    /// A line for each thing that counts otherwise in one of the ways: an emoji, an umlaut, a tab, a combining
    /// mark, both line ends, and a lone carriage return, which ends none.
    const MIXED: &str = "a\u{1F6B5}b\r\n\tä\u{301}x\n\r\n\u{1F468}\u{200D}\u{1F469}\rend";

    const ALL: [Columns; 3] = [Columns::Characters, Columns::Utf8, Columns::Utf16];

    fn with(text: &str, look: impl Fn(&Source)) {
        let mut sources = Sources::default();
        let id = sources.add("a.tune", text);
        look(sources.get(id));
    }

    #[test]
    fn columns_are_counted_in_three_ways() {
        with(MIXED, |source| {
            let columns = |byte| ALL.map(|columns| source.place_in(byte, columns).column);
            // behind the emoji
            assert_eq!(columns(5), [3, 6, 4]);
            // behind tab, umlaut and combining mark
            let x = MIXED.find('x').unwrap();
            assert_eq!((source.place(x).line, columns(x)), (2, [4, 6, 4]));
            let end = MIXED.find("end").unwrap();
            assert_eq!((source.place(end).line, columns(end)), (4, [5, 13, 7]));
            // within a character
            assert_eq!(columns(3), [2, 2, 2]);
        });
    }

    #[test]
    fn every_place_leads_back_to_its_byte() {
        let long = format!("{}\n{MIXED}\n", "ö\u{1F6B5}\r\n".repeat(BLOCK)).repeat(2);
        for text in ["", "\n", "\r\n", MIXED, &long, &"x".repeat(3 * BLOCK), &"\n".repeat(3 * BLOCK)] {
            with(text, |source| {
                let bytes = (0..=text.len()).filter(|byte| text.is_char_boundary(*byte));
                for byte in bytes.step_by(1 + text.len() / 997) {
                    for columns in ALL {
                        assert_eq!(source.byte(source.place_in(byte, columns), columns), byte);
                    }
                }
            });
        }
    }

    #[test]
    fn absurd_places_are_cut_to_the_text() {
        with(MIXED, |source| {
            let byte = |line, column, columns| source.byte(Place { line, column }, columns);
            for columns in ALL {
                assert_eq!((byte(0, 0, columns), byte(1, 0, columns)), (0, 0));
                // what ends a line is no part of it
                let ends =
                    [6, MIXED.find("\n\r").unwrap(), MIXED.find("\r\n\u{1F468}").unwrap(), MIXED.len()];
                assert_eq!([1, 2, 3, 4].map(|line| byte(line, usize::MAX, columns)), ends);
                assert_eq!([5, 99, usize::MAX].map(|line| byte(line, 1, columns)), [MIXED.len(); 3]);
                assert_eq!(source.place_in(usize::MAX, columns), source.place_in(MIXED.len(), columns));
            }
            // the second half of a surrogate pair, and bytes within the emoji
            assert_eq!([1, 2, 3, 4].map(|column| byte(1, column, Columns::Utf16)), [0, 1, 1, 5]);
            assert_eq!([2, 3, 4, 5, 6].map(|column| byte(1, column, Columns::Utf8)), [1, 1, 1, 1, 5]);
        });
        with("", |source| assert_eq!(source.byte(Place { line: 7, column: 7 }, Columns::Utf16), 0));
    }
}
