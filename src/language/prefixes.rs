//! Owns the marks that stand before lines that were copied from elsewhere: those of a quoted mail, of a list, the
//! numbers of lines. They are told once for a whole file, and the lines are read as if they were not there.

use crate::problem::{Code, Problem, SourceId, Span};
use crate::vocabulary::{HEADINGS, Heading, Way, joins, openers, part_named, several, unit_named};

/// A text whose marks are blank, as long as it was; and what is said of them.
pub(super) struct Unmarked {
    pub text: String,
    pub problem: Problem,
}

/// The text without marks before its lines; `None` where there are none.
pub(super) fn unmarked(source: SourceId, text: &str) -> Option<Unmarked> {
    let mut marks: Vec<(usize, usize)> = Vec::new();
    let mut at = 0;
    let mut run = Run::default();
    let mut lines = text.split_inclusive('\n').peekable();
    while let Some(line) = lines.next() {
        let indent = line.len() - line.trim_start_matches([' ', '\t', '\u{FEFF}']).len();
        let length = if line[indent..].starts_with(|c: char| c.is_ascii_alphabetic() || c == '#') {
            run = Run::default();
            0
        } else {
            let is_counted = run.goes_on(line, lines.peek().copied());
            mark(&line[indent..], is_counted)
        };
        if length > 0 {
            marks.push((at + indent, at + indent + length));
        }
        at += line.len();
    }
    let (&(first, first_end), &(_, end)) = (marks.first()?, marks.last()?);
    let (mut right, mut blank) = (String::new(), text.get(..first)?.to_owned());
    let mut from = first;
    for (start, end) in &marks {
        let between = text.get(from..*start)?;
        right += between;
        blank += between;
        blank += &" ".repeat(end - start);
        from = *end;
    }
    blank += text.get(from..)?;
    let mark = text.get(first..first_end)?.trim_end();
    let span = Span { source, start: first, end: first_end };
    let problem = match marks.len() {
        1 => {
            let message = format!("this line begins with `{mark}`, which is not part of the language");
            Problem::pointing(Code::LineMarked, span, message)
        }
        count => {
            let lines = several(count, "line");
            let message =
                format!("{lines} begin with marks like `{mark}`, which are not part of the language");
            Problem::new(Code::LineMarked, span, message)
        }
    };
    let problem = problem
        .help("take out the marks at the start of the lines: they come from an e-mail or a list")
        .fix_at(Span { source, start: first, end }, right);
    Some(Unmarked { text: blank, problem })
}

/// Lines that are numbered one after the other.
#[derive(Default)]
struct Run {
    last: Option<u32>,
}

impl Run {
    /// Whether a line's number follows that of the line before, or the next line's follows it.
    fn goes_on(&mut self, line: &str, next: Option<&str>) -> bool {
        let number = number_of(line);
        let follows =
            |number: Option<u32>, last: Option<u32>| number.is_some() && number == last.map(|last| last + 1);
        let goes_on = follows(number, self.last) || follows(next.and_then(number_of), number);
        self.last = number;
        goes_on
    }
}

/// The number with which a line begins, where what is behind it could not go on from the line above.
fn number_of(line: &str) -> Option<u32> {
    let (number, rest) = line.trim_start().split_once([' ', '\t'])?;
    let number = number.parse().ok().filter(|number| *number < 100_000)?;
    (!may_go_on(rest.trim_start())).then_some(number)
}

/// Whether a number may belong to what is behind it: a unit, a way, the rest of a row or a range. `at most` opens
/// a line of a plan.
fn may_go_on(rest: &str) -> bool {
    let mut words = rest.split(|c: char| c.is_whitespace() || c == ',').map(str::to_lowercase);
    let word = words.next().unwrap_or_default();
    let is_word = word.starts_with(|c: char| c.is_alphabetic());
    let next = words.find(|word| !word.is_empty()).unwrap_or_default();
    let at_most = word == "at" && next == "most";
    // `lap 4 min`, and no number of laps
    let is_unit = unit_named(&word).is_some() && !next.starts_with(|c: char| c.is_ascii_digit());
    let goes_on = joins(&word) || Way::ALL.iter().any(|way| way.word() == word);
    !is_word || is_unit || goes_on && !at_most
}

/// How many bytes of a line, without its indent, are a mark and the space behind it.
fn mark(line: &str, is_counted: bool) -> usize {
    let rest = line.trim_start_matches(['>', ' ']);
    if line.starts_with('>') && !line.starts_with(">>>>>>>") {
        return line.len() - rest.len();
    }
    let behind = |length: usize| {
        let rest = &line[length..];
        let spaces = rest.len() - rest.trim_start_matches([' ', '\t']).len();
        (spaces > 0 && rest[spaces..].starts_with(|c: char| c.is_alphabetic())).then_some(length + spaces)
    };
    for mark in ["- ", "* ", "+ ", "| ", "\u{2022} ", "\u{2013} ", "\u{2014} ", "\u{B7} ", "[ ] ", "[x] "] {
        if line.starts_with(mark)
            && let Some(length) = behind(mark.trim_end().len())
        {
            return length;
        }
    }
    numbered(line, is_counted, behind).unwrap_or(0)
}

/// The same of a number: with a mark behind it always, else where a word follows that opens a line and is no unit.
fn numbered(line: &str, is_counted: bool, behind: impl Fn(usize) -> Option<usize>) -> Option<usize> {
    let digits = line.len() - line.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    // no line has the number 0
    if digits == 0 || digits > 4 || line.starts_with('0') {
        return None;
    }
    if line[digits..].starts_with(['.', ')', ':']) {
        return behind(digits + 1);
    }
    let length = behind(digits)?;
    if is_counted {
        return Some(length);
    }
    let word = line[length..].split(|c: char| c.is_whitespace() || c == ',').next()?.to_lowercase();
    let opens = Heading::named(&word).is_some()
        || HEADINGS.iter().any(|row| openers(row.heading).contains(&word.as_str()))
        || part_named(&word, None).is_some();
    (opens && !may_go_on(&line[length..])).then_some(length)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Sources;

    #[test]
    fn marks_are_taken_out_and_nothing_moves() {
        let mut sources = Sources::default();
        for (text, right) in [
            ("> bike \"B\"\n> part fork\n", "bike \"B\"\npart fork\n"),
            (">> bike \"B\"\n\n> > part fork\n", "bike \"B\"\n\npart fork\n"),
            ("1. tune every rebound\n2. ride 2 laps\n", "tune every rebound\nride 2 laps\n"),
            ("steps\n - say \"a - b\"\n", "steps\n say \"a - b\"\n"),
            ("\u{2022} part fork", "part fork"),
            ("3 tune every rebound", "tune every rebound"),
            ("3 plan \"P\"\n4 at most 3 laps\n5 change 2 min", "plan \"P\"\nat most 3 laps\nchange 2 min"),
        ] {
            let id = sources.add("a.tune", text);
            let unmarked = unmarked(id, text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(unmarked.text.len(), text.len());
            let fix = unmarked.problem.fix.unwrap();
            let mut fixed = text.to_owned();
            fixed.replace_range(fix.span.start..fix.span.end, &fix.text);
            assert_eq!(fixed, right);
        }
        for text in [
            "rebound 0 to\n 18 clicks",
            "4 spacers",
            "start 12 at 60 kg,\n 7 at 90 kg",
            "start 6 at 60 kg,\n 7 at 75 kg,\n 8 at 90 kg,\n 9 at 95 kg",
            "set fork rebound\n 2 clicks slower\nset shock rebound\n 3 clicks slower",
            "coil 1 or\n 2 or\n 3 lb/in",
            "2 laps",
            "-5 C",
            "- ",
            ">>>>>>> theirs",
            "# > quoted",
            "say \"x\n- y\"",
        ] {
            let id = sources.add("a.tune", text);
            let is_none = unmarked(id, text).is_none();
            assert!(is_none || text.starts_with("say"), "{text}");
        }
    }
}
