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

    /// Short texts, one a line; on a wide screen two, where both are short enough.
    pub fn items(&mut self, texts: &[String]) {
        const WIDE: usize = 96;
        let half = self.width / 2 - 2;
        let is_short = |text: &String| self.width >= WIDE && text.chars().count() <= half;
        let mut rest = texts;
        while let [left, more @ ..] = rest {
            rest = more;
            match more {
                [right, more @ ..] if is_short(left) && is_short(right) => {
                    self.lines.push(format!("  {left:<half$}  {right}"));
                    rest = more;
                }
                _ => self.lines.extend(wrapped(left, self.width, "  ", "  ")),
            }
        }
    }

    /// What can be typed, each with what it is short for: as much as fits on one line, then that there is more. A word
    /// without a key is in backticks, so that it is not read as one with what follows.
    pub fn choices<'a>(&mut self, choices: impl IntoIterator<Item = (&'a str, &'a str)>) {
        let said = |(key, label): (&str, &str)| match key {
            "" => format!("`{label}`"),
            key => format!("{key} {label}"),
        };
        let mut choices: Vec<String> = choices.into_iter().map(said).collect();
        let more = said((AnswerWord::Help.key(), "more"));
        let width = |choices: &[String]| {
            let figures: usize = choices.iter().map(|choice| choice.chars().count() + 2).sum();
            figures.saturating_sub(2)
        };
        if width(&choices) + 2 > self.width {
            choices.pop();
            while choices.len() > 1 && width(&choices) + 4 + more.len() > self.width {
                choices.pop();
            }
            choices.push(more);
        }
        self.lines.push(format!("  {}", choices.join("  ")));
    }
}
