//! Owns the recognition of files that are something else than a plan, bike or rider: this program's own
//! journals and settings, web pages, data. It looks at the name and the first lines, and knows nothing of
//! how a plan is read.

/// What a file is instead, and what to do about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Foreign {
    pub what: &'static str,
    pub help: &'static str,
}

const TUNE: &str = "write a plan in a text file of its own whose name ends in `.tune`";

const SETTINGS: Foreign = Foreign {
    what: "a settings file of clickwise",
    help: "to start a session from it, run `clickwise ride PLAN BIKE RIDER --from` with this file's name",
};

const JOURNAL: Foreign = Foreign {
    what: "the journal of a session",
    help: "to carry on with it, run `clickwise ride` with the plan, bike and rider of that ride",
};

const fn other(what: &'static str) -> Foreign {
    Foreign { what, help: TUNE }
}

/// What files are by the ending of their names. Endings that say nothing certain are left out.
const ENDINGS: [(&str, &str); 25] = [
    ("toml", "a TOML file"),
    ("md", "a Markdown page"),
    ("markdown", "a Markdown page"),
    ("rst", "a documentation page"),
    ("json", "a JSON file"),
    ("jsonl", "a JSON file"),
    ("yaml", "a YAML file"),
    ("yml", "a YAML file"),
    ("ini", "a configuration file"),
    ("cfg", "a configuration file"),
    ("lock", "a lock file"),
    ("csv", "a table"),
    ("tsv", "a table"),
    ("html", "a web page"),
    ("htm", "a web page"),
    ("css", "a web page's styles"),
    ("xml", "an XML file"),
    ("svg", "a picture"),
    ("rtf", "a word-processor document"),
    ("tex", "a LaTeX document"),
    ("rs", "a program's source"),
    ("py", "a program's source"),
    ("js", "a program's source"),
    ("sh", "a script"),
    ("log", "a log"),
];

/// What a text begins with, without the blank at its beginning, where that tells what it is.
const BEGINNINGS: [(&str, &str); 7] = [
    ("PK\u{3}\u{4}", "a zip file or a word-processor document"),
    ("{\\rtf", "a word-processor document"),
    ("%PDF-", "a PDF document"),
    ("<", "a web page, or another file with tags"),
    ("{", "a JSON file"),
    ("#!", "a script"),
    ("---", "a YAML file"),
];

/// How many lines tell whether a file is one of this program's own.
const FIRST_LINES: usize = 12;

/// What a file is, where it is certainly no plan, bike or rider.
pub(super) fn foreign(name: &str, text: &str) -> Option<Foreign> {
    let text = text.trim_start_matches('\u{FEFF}').trim_start();
    if let Some(own) = own(text) {
        return Some(own);
    }
    // the marks of a merge are told by themselves
    let begins = |beginning: &str| text.starts_with(beginning) && !text.starts_with("<<<<<<<");
    if let Some((_, what)) = BEGINNINGS.iter().find(|(beginning, _)| begins(beginning)) {
        return Some(other(what));
    }
    if text.lines().any(|line| line.starts_with("```")) {
        return Some(other("a Markdown page"));
    }
    if is_yaml(text) {
        return Some(other("a YAML file"));
    }
    if text.lines().next().is_some_and(is_table) {
        return Some(other("a configuration file"));
    }
    let ending = name.rsplit(['/', '\\']).next()?.rsplit_once('.')?.1.to_lowercase();
    ENDINGS.iter().find(|(known, _)| *known == ending).map(|(_, what)| other(what))
}

/// Keys with a colon on every line, two of them with nothing behind them but what is under them.
fn is_yaml(text: &str) -> bool {
    let lines = || text.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
    let is_key = |line: &str| {
        let key = line.trim_start_matches("- ").split_once(':').map(|(key, _)| key);
        key.is_some_and(|key| !key.is_empty() && key.chars().all(|c| c.is_alphanumeric() || "-_".contains(c)))
    };
    let opens = |line: &str| line.ends_with(':') && is_key(line);
    lines().filter(|line| opens(line)).count() > 1
        && lines().all(|line| is_key(line) || line.starts_with("- "))
}

/// The head of a table, `[bike]`.
fn is_table(line: &str) -> bool {
    let inner = line.trim_end().strip_prefix('[').and_then(|rest| rest.strip_suffix(']'));
    inner.is_some_and(|name| name.starts_with(|c: char| c.is_alphabetic() || c == '['))
}

/// A journal or settings file: both begin with a format, written as nobody writes a plan.
fn own(text: &str) -> Option<Foreign> {
    let lines = || text.lines().map(str::trim_end).filter(|line| !line.is_empty() && !line.starts_with('#'));
    let format = |line: &str| {
        let number = line.strip_prefix("format")?.trim_start().strip_prefix('=')?.trim();
        (!number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit())).then_some(())
    };
    lines().take(FIRST_LINES).find_map(format)?;
    let journal = |line: &str| line.starts_with("[[answer]]") || line.starts_with("starts = [");
    Some(if lines().any(journal) { JOURNAL } else { SETTINGS })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_another_kind_of_file_is_named() {
        for (name, text, what) in [
            ("b.settings.toml", "format = 1\nbike = \"B\"\n", SETTINGS.what),
            ("b.tune", "\u{FEFF}# mine\r\nformat = 1\r\nbike = \"B\"\r\n", SETTINGS.what),
            ("b", "<<<<<<< ours\nformat = 1\n=======\n", SETTINGS.what),
            ("r.ride.toml", "format = 1\nplan = \"P\"\nstarts = [\n", JOURNAL.what),
            ("notes.md", "bike \"B\"\n", "a Markdown page"),
            ("README", "# A bike\n\n```tune\nbike \"B\"\n```\n", "a Markdown page"),
            ("a.tune", "<!DOCTYPE html>", "a web page, or another file with tags"),
            ("a.tune", "{\"bike\": 1}", "a JSON file"),
            ("notes.TOML", "x = 1\n", "a TOML file"),
            ("a.tune", "[bike]\nname = \"B\"\n", "a configuration file"),
            ("a.tune", "bike: B\npart:\n  - fork:\n      rebound: 0 to 18 clicks\n", "a YAML file"),
            ("a.tune", "PK\u{3}\u{4}\u{14}", "a zip file or a word-processor document"),
        ] {
            assert_eq!(foreign(name, text).map(|foreign| foreign.what), Some(what), "{name}: {text}");
        }
    }

    #[test]
    fn what_may_be_a_plan_is_read() {
        for (name, text) in [
            ("b.tune", "bike = \"B\"\n"),
            ("b.txt", "format\n"),
            ("b", ""),
            ("bikes.d/b", "rider \"R\"\n"),
            ("b.tune", "format = my own\n"),
            ("b.tune", "[x] bike \"B\"\n[ ] part fork\n"),
            ("b.tune", "bike: \"B\"\npart: fork\n"),
            ("b.tune", "steps:\n  - tune every rebound\n  - ride 2 laps\n"),
            ("b.tune", "rider:\n  weight: 80 kg\n"),
            ("b.tune", "bike \"B\"\nsteps:\n  tune every rebound\n"),
            ("b.tune", "<<<<<<< ours\nbike \"B\"\n=======\n"),
        ] {
            assert_eq!(foreign(name, text), None, "{name}: {text}");
        }
    }
}
