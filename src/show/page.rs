//! Owns the filling of a screen: headings, texts, items and keys, broken to a width.

use crate::vocabulary::AnswerWord;

use super::wrap::wrapped;

/// A screen that is being filled.
pub(super) struct Page {
    pub lines: Vec<String>,
    pub width: usize,
}

impl Page {
    pub fn new(width: usize) -> Self {
        Page { lines: Vec::new(), width }
    }

    /// A heading after an empty line.
    pub fn head(&mut self, text: &str) {
        self.lines.push(String::new());
        self.lines.extend(wrapped(text, self.width, "", "  "));
    }

    pub fn text(&mut self, text: &str) {
        self.lines.extend(wrapped(text, self.width, "  ", ""));
    }

    /// A text whose further lines are indented.
    pub fn item(&mut self, text: &str) {
        self.lines.extend(wrapped(text, self.width, "  ", "  "));
    }

    /// Keys with their words, as many on a line as fit.
    pub fn keys(&mut self, words: &[AnswerWord]) {
        let mut line = String::new();
        for word in words {
            let key = format!("{} {}", word.key(), word.label()).trim_start().to_owned();
            if !line.is_empty() && line.chars().count() + key.chars().count() + 4 > self.width {
                self.lines.push(format!("  {line}"));
                line.clear();
            }
            if !line.is_empty() {
                line += "  ";
            }
            line += &key;
        }
        self.lines.push(format!("  {line}"));
    }
}
