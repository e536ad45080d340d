//! Owns the making of repairs in one text: several at once, those that touch each other left out. It knows nothing
//! of whether a repair helps.

use super::Fix;

/// A text with repairs made in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Repaired {
    pub text: String,
    /// The repairs that were made, from the top of the text.
    pub made: Vec<Made>,
}

/// One repair that was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Made {
    /// Which of the repairs that were given, from 0.
    pub index: usize,
    /// The byte at which what it writes begins in the repaired text.
    pub start: usize,
}

/// Makes repairs in a text. Of those that touch each other the first is made, of those that begin at one place the
/// shortest; one that does not fit the text is left out.
#[must_use]
pub fn repaired(whole: &str, fixes: &[&Fix]) -> Repaired {
    let fits = |(_, fix): &(usize, &&Fix)| whole.get(fix.span.start..fix.span.end).is_some();
    let mut fitting: Vec<(usize, &&Fix)> = fixes.iter().enumerate().filter(fits).collect();
    fitting.sort_by_key(|(_, fix)| (fix.span.start, fix.span.end));
    let mut repaired = Repaired { text: String::with_capacity(whole.len()), made: Vec::new() };
    let (mut at, mut last_start) = (0, None);
    for (index, fix) in fitting {
        if fix.span.start < at || last_start == Some(fix.span.start) {
            continue;
        }
        repaired.text += &whole[at..fix.span.start];
        repaired.made.push(Made { index, start: repaired.text.len() });
        repaired.text += &fix.text;
        (at, last_start) = (fix.span.end, Some(fix.span.start));
    }
    repaired.text += &whole[at..];
    repaired
}

#[cfg(test)]
mod tests {
    use super::super::{Sources, Span};
    use super::*;

    #[test]
    fn several_repairs_are_made_and_those_that_touch_left_out() {
        let text = "rebuond 0 to 1O clicks";
        let source = Sources::default().add("a.tune", text);
        let fix = |start, end, text: &str| Fix { span: Span { source, start, end }, text: text.to_owned() };
        let fixes = [
            fix(13, 15, "10"),
            fix(0, 7, "rebound"),
            fix(5, 9, "within the first"),
            fix(0, 7, "at the same place"),
            fix(22, 22, ", start 5"),
            fix(22, 99, "beyond the end"),
            fix(9, 3, "backwards"),
        ];
        let repaired = repaired(text, &fixes.iter().collect::<Vec<_>>());
        assert_eq!(repaired.text, "rebound 0 to 10 clicks, start 5");
        let made: Vec<_> = repaired.made.iter().map(|made| (made.index, made.start)).collect();
        assert_eq!(made, [(1, 0), (0, 13), (4, 22)]);
    }

    #[test]
    fn a_repair_is_never_made_within_a_character() {
        let source = Sources::default().add("a.tune", "ä");
        let fix = Fix { span: Span { source, start: 1, end: 2 }, text: "x".to_owned() };
        assert_eq!(repaired("ä", &[&fix]), Repaired { text: "ä".to_owned(), made: Vec::new() });
    }
}
