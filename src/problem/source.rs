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

/// Line and column, both counted from 1; a column is one character.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    pub line: usize,
    pub column: usize,
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

    /// The line and column of a byte; a byte beyond the end counts as the end.
    #[must_use]
    pub fn place(&self, byte: usize) -> Place {
        let byte = self.text.floor_char_boundary(byte);
        let before = &self.text[..byte];
        // a place at the very end may lie behind the last block
        let block = (byte / BLOCK).min(self.ended.len().saturating_sub(1));
        let ended =
            self.ended.get(block).map_or(0, |ended| ended + line_feeds(&before.as_bytes()[block * BLOCK..]));
        let (line, start) = (ended + 1, before.rfind('\n').map_or(0, |at| at + 1));
        Place { line, column: self.text[start..byte].chars().count() + 1 }
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
}
