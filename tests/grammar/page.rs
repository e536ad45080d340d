//! The page of the grammar: a text that tells how a file is built, and the rules, section by section.

use clickwise::vocabulary::{CLAUSES, ENTRIES, HEADINGS, HeadingRow, capital};

use super::ebnf::{Printer, wrapped};
use super::rules::{Rules, clause_rule, entry_rule, goes_on_rule, heading_rule};

const HEAD: &str = r"# The grammar of the tune language

Written in the EBNF of the XML recommendation: `?` is at most once, `*` any number of times, `+` at
least once, `|` is or; `[a-z]` is one of these characters, `[^a-z]` any other character, `#x9` the
character with this number. A note in `/* */` says what the rule after it leaves out.

The words come from the vocabulary of the program, the phrases from `tune.pest`. Tests hold both to
the program: it reads lines drawn from this grammar without a complaint, and a line that it reads
without a complaint is in this grammar, but for a few differences that are listed in
`tests/grammar/known.rs`.

The grammar does not say what a line means, or whether it makes sense: `air 90 to 40 psi` is a line,
and `check` says that it runs backwards. `words.md` says what each word means.

";

const LINES: &str = r#"## A file and its lines

A file is text in UTF-8. A line begins with a **heading**, or with an **entry** of the heading above
it. After an entry there may be **clauses**, each after a comma, in any order, and each at most
once; only rows can be many.

* Words are read in upper and lower case. White space at the beginning of a line means nothing.
* White space between two pieces can be left out where they are two without it, as in `75psi`.
  Between two words it can't.
* A comment is from `#` to the end of its line. It is at the beginning of a line or after white
  space.
* A line goes on in the line below if that begins with a comma, a number, `?` or a word of
  `goes_on_...`, or with a word that is nearly one of these and begins no line. So a clause can be
  on a line of its own, and the comma before it on either line. Blank lines and comments can come
  between.
* Every clause needs its comma, except `if fitted`. A comma with nothing after it is one too many.
  `check` warns of both, and `check --fix` repairs them.
* `check` tells of a line that is not in the grammar and goes on with the next. If a line breaks off
  and goes on below in any other way, `check` says so too.
* Of two words in brackets, as in `("try" | "begin")`, the second is that of an earlier version.
  So is `usual` for `normal`. `format` and `check --fix` write the words of today.
* `use "bike.tune"` takes in another file, as if it were named on the command line.
* A line can have up to 10,000 bytes, and a file up to 100,000 lines.

"#;

/// Printed with what the lines lead to.
const SPACE: [&str; 5] = ["gap", "comment", "space", "newline", "blank"];

/// Stands for a space at which a line is not broken.
const WHOLE: &str = "\u{1}";

pub fn page(rules: &Rules) -> String {
    let printer = Printer::of(&rules.all);
    let mut page = Page { rules, printer, text: HEAD.to_owned() + LINES };
    page.lines();
    for row in HEADINGS.iter().filter(|row| row.heading.has_entries()) {
        page.heading(row);
    }
    page.phrases();
    page.words();
    page.pieces();
    page.text
}

struct Page<'a> {
    rules: &'a Rules,
    printer: Printer<'a>,
    text: String,
}

impl Page<'_> {
    fn begin(&mut self, title: &str, text: &str) {
        self.text += &format!("## {title}\n\n{text}\n\n```ebnf\n");
    }

    fn end(&mut self) {
        self.text += "```\n\n";
    }

    fn rule(&mut self, name: &str, wide: bool) {
        self.text += &self.printer.rule(name, self.rules.notes.get(name), wide);
    }

    fn lines(&mut self) {
        self.text += "```ebnf\n";
        self.text += "line ::= heading | entry | blank | unread\n";
        for name in ["heading", "entry", "blank", "unread"] {
            self.rule(name, false);
        }
        for row in HEADINGS.iter().filter(|row| !row.heading.has_entries()) {
            self.rule(&heading_rule(row.heading), false);
        }
        for row in HEADINGS.iter().filter(|row| row.heading.has_entries()) {
            self.rule(&goes_on_rule(row.heading), false);
        }
        self.end();
    }

    fn heading(&mut self, row: &HeadingRow) {
        let examples = ENTRIES.iter().filter(|entry| entry.under == row.heading).map(|entry| entry.example);
        let examples: Vec<_> = examples.map(|one| format!("`{}`", one.replace(' ', WHOLE))).collect();
        let examples = examples.join(", ");
        let text = format!("{}: `{}`. Below it: {examples}.", capital(row.meaning), row.example);
        let text = wrapped(&text, "").replace(WHOLE, " ");
        self.begin(row.word, text.trim_end());
        self.rule(&heading_rule(row.heading), false);
        self.rule(&entry_rule(row.heading), true);
        for clause in CLAUSES {
            let mut first = ENTRIES.iter().filter(|entry| entry.clauses.contains(&clause.clause));
            if first.next().is_some_and(|entry| entry.under == row.heading) {
                self.rule(&clause_rule(clause.clause), false);
            }
        }
        self.end();
    }

    /// All rules that lines lead to.
    fn reached(&self) -> Vec<String> {
        let mut reached: Vec<String> = ["heading", "entry", "unfit_start"].map(str::to_owned).to_vec();
        reached.extend(SPACE.map(str::to_owned));
        let mut at = 0;
        while at < reached.len() {
            for name in self.printer.shows(&reached[at]) {
                if !reached.contains(&name) {
                    reached.push(name);
                }
            }
            at += 1;
        }
        reached
    }

    /// Where the phrases begin in `tune.pest`.
    fn first_phrase(&self) -> usize {
        self.rules.phrases.iter().position(|name| name == "gap").unwrap_or_default()
    }

    fn phrases(&mut self) {
        let reached = self.reached();
        self.begin("Phrases", "What follows the first word of a line or a clause.");
        let is_phrase = |name: &&String| {
            !self.rules.classes.contains(name) && !SPACE.contains(&name.as_str()) && reached.contains(name)
        };
        let phrases: Vec<String> =
            self.rules.phrases[self.first_phrase()..].iter().filter(is_phrase).cloned().collect();
        // phrases of which each is an amount in some units
        let listed = |name: &String| phrases.contains(name) || self.rules.phrases.contains(name);
        let lines = ["heading", "entry", "line"];
        let of_lines = |name: &&String| {
            name.ends_with("_heading")
                || name.ends_with("_entry")
                || name.ends_with("_clause")
                || lines.contains(&name.as_str())
        };
        let amounts: Vec<String> = reached
            .iter()
            .filter(|name| !listed(name) && !of_lines(name) && !self.rules.classes.contains(name))
            .cloned()
            .collect();
        for name in phrases.iter().chain(&amounts) {
            self.rule(name, false);
        }
        self.end();
    }

    fn words(&mut self) {
        let reached = self.reached();
        self.begin("Words", "Written in upper or lower case.");
        for name in self.rules.classes.iter().filter(|name| reached.contains(name)) {
            self.rule(name, false);
        }
        self.end();
    }

    fn pieces(&mut self) {
        let reached = self.reached();
        let text = "The rules above leave out the gap between two pieces. LETTER, MARK and NUMBER are general categories\n\
                    of Unicode, WHITE_SPACE is one of its properties.";
        self.begin("Pieces", text);
        self.rule("gap", false);
        let is_piece = |name: &&String| reached.contains(name);
        let pieces: Vec<_> =
            self.rules.phrases[..self.first_phrase()].iter().filter(is_piece).cloned().collect();
        for name in pieces {
            self.rule(&name, false);
        }
        self.end();
        self.text.truncate(self.text.trim_end().len());
        self.text.push('\n');
    }
}
