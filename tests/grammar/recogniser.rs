//! Says of a text whether the grammar recognises it, line by line, and whether the parser complains of it.
//! The lines are cut by the rules of the grammar, without the parser.

use clickwise::language::parse;
use clickwise::problem::{Code, Severity, Sources};
use clickwise::vocabulary::{
    CLAUSES, Clause, HEADINGS, Heading, continuers, nearest, openers, opens_no_more, part_named,
};
use pest_meta::optimizer::optimize;
use pest_vm::Vm;

use super::rules::{Rules, clause_rule, entry_rule, goes_on_rule, heading_rule};

/// A line as the grammar cuts it: the heading above it, and its text with the line ends in it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cut {
    pub under: Option<Word>,
    pub text: String,
}

/// The word of a heading.
pub type Word = &'static str;

pub struct Recogniser {
    vm: Vm,
}

impl Recogniser {
    pub fn of(rules: &Rules) -> Self {
        Recogniser { vm: Vm::new(optimize(rules.all.clone())) }
    }

    /// What the beginning of a text is by this rule.
    fn begins<'a>(&'a self, rule: &'a str, text: &'a str) -> Option<&'a str> {
        self.vm.parse(rule, text).ok().and_then(|mut pairs| pairs.next()).map(|pair| pair.as_str())
    }

    /// Whether the grammar holds that nobody can see a character.
    pub fn is_hidden(&self, c: char) -> bool {
        self.vm.parse("hidden", &c.to_string()).is_ok()
    }

    /// The heading below which the next line is, where a line begins with a heading, or with an entry under `under`.
    fn opens(&self, text: &str, under: Option<Heading>) -> Option<Heading> {
        let word = self.begins("word", text)?.to_lowercase();
        Heading::named(&word).or_else(|| under.filter(|under| openers(*under).contains(&word.as_str())))
    }

    /// Whether a line that opens nothing goes on from one above it under a heading: it begins as the grammar says,
    /// or with a word that is nearly such a one and begins no line anywhere.
    pub fn goes_on(&self, text: &str, under: Heading) -> bool {
        if self.begins(&goes_on_rule(under), text).is_some() {
            return true;
        }
        let Some(word) = self.begins("word", text).map(str::to_lowercase) else { return false };
        let mut headings = HEADINGS.iter().map(|row| row.heading);
        let elsewhere = headings.any(|heading| openers(heading).contains(&word.as_str()));
        let here = openers(under).iter().copied().chain(HEADINGS.iter().map(|row| row.word));
        let words = here.chain(continuers(under).iter().copied()).filter(|word| !opens_no_more(word));
        let meant = nearest(&word, words);
        !elsewhere
            && part_named(&word, None).is_none()
            && meant.is_some_and(|meant| continuers(under).contains(&meant))
    }

    /// The lines of a text that are not blank.
    pub fn cut(&self, text: &str) -> Vec<Cut> {
        let mut lines: Vec<Cut> = Vec::new();
        let (mut under, mut blank) = (None, String::new());
        for physical in text.trim_start_matches('\u{FEFF}').split_inclusive('\n') {
            if self.vm.parse("blank", physical).is_ok() {
                blank += physical;
                continue;
            }
            let content = physical.trim_start();
            let opens = self.opens(content, under);
            let on = under.is_some_and(|under| self.goes_on(content, under));
            match lines.last_mut() {
                Some(last) if opens.is_none() && on => {
                    last.text += &blank;
                    last.text += physical;
                }
                _ => {
                    let above = under.map(|under: Heading| under.row().word);
                    lines.push(Cut { under: above, text: physical.to_owned() });
                    under = opens.or(under);
                }
            }
            blank.clear();
        }
        lines
    }

    /// Whether a line is one of the grammar, below the heading of this word.
    ///
    /// # Errors
    /// What it is not.
    pub fn line(&self, line: &Cut) -> Result<(), String> {
        let pairs = self.vm.parse("line", &line.text).map_err(|error| error.to_string())?;
        let names: Vec<&str> = pairs.flatten().map(|pair| pair.as_rule()).collect();
        if names.contains(&"unread") {
            return Err("is no line".to_owned());
        }
        let under = |row: &&clickwise::vocabulary::HeadingRow| Some(row.word) == line.under;
        let entries = HEADINGS.iter().find(under).map(|row| entry_rule(row.heading));
        let is_heading = HEADINGS.iter().any(|row| names.contains(&heading_rule(row.heading).as_str()));
        if !is_heading && entries.is_none_or(|entries| !names.contains(&entries.as_str())) {
            return Err("is an entry of another heading".to_owned());
        }
        for row in CLAUSES.iter().filter(|row| row.clause != Clause::Row) {
            let name = clause_rule(row.clause);
            if names.iter().filter(|other| **other == name).count() > 1 {
                return Err(format!("has {name} twice"));
            }
        }
        Ok(())
    }

    /// Whether all lines of a text are of the grammar.
    pub fn recognises(&self, text: &str) -> Result<(), String> {
        self.cut(text).iter().try_for_each(|line| {
            self.line(line).map_err(|why| format!("{:?} under {:?} {why}", line.text, line.under))
        })
    }
}

/// What the parser complains of, by code. Notes tell of what is as it should be.
pub fn complaints(text: &str) -> Vec<Code> {
    let mut sources = Sources::default();
    let id = sources.add("x.tune", text);
    let (_, problems) = parse(id, text);
    problems.iter().filter(|one| one.code.severity() != Severity::Note).map(|one| one.code).collect()
}
