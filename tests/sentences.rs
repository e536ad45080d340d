//! The core has no sentences: session, search, walk, plan and record hold facts, and the words in which people are told
//! of them are made above. So a text can be changed without touching a rider's files, or what a ride does.

use std::path::{Path, PathBuf};

use crate::support::project;

/// The rooms that say nothing to people.
const SILENT: [&str; 5] = ["session", "search", "walk", "plan", "record"];

/// How questions are spelt in journals. Files are made of such words, and nobody changes them.
const KEYS: [&str; 8] = [
    "in it now",
    "spring not right",
    "which way first",
    "trial lap offered",
    "trial lap ridden",
    "proof lap offered",
    "first lap of a pair",
    "which lap was better",
];

pub fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found.sort();
}

/// Where a literal that begins with quotes ends, and what is in it.
fn literal(text: &str) -> (&str, usize) {
    let mut escaped = false;
    let end = text.char_indices().skip(1).find(|(_, c)| {
        let ends = *c == '"' && !escaped;
        escaped = *c == '\\' && !escaped;
        ends
    });
    let end = end.map_or(text.len(), |(at, _)| at);
    (&text[1..end], (end + 1).min(text.len()))
}

/// The texts in a source, with the lines on which they begin: none of its comments, tests and reasons for a lint.
pub fn literals(source: &str) -> Vec<(usize, String)> {
    let source = source.split("#[cfg(test)]").next().unwrap();
    let (mut at, mut found) = (0, Vec::new());
    while let Some(c) = source[at..].chars().next() {
        let rest = &source[at..];
        if rest.starts_with("//") {
            at += rest.find('\n').unwrap_or(rest.len());
        } else if let Some(raw) = rest.strip_prefix("r#\"") {
            let end = raw.find("\"#").unwrap();
            found.push((at, raw[..end].to_owned()));
            at += end + 5;
        } else if rest.starts_with("'\"'") || rest.starts_with("'\\") {
            at += 1 + rest[1..].find('\'').map_or(0, |end| end.max(1)) + 1;
        } else if c == '"' {
            let (text, length) = literal(rest);
            if !source[..at].ends_with("reason = ") {
                found.push((at, text.to_owned()));
            }
            at += length;
        } else {
            at += c.len_utf8();
        }
    }
    found.into_iter().map(|(at, text)| (source[..at].matches('\n').count() + 1, text)).collect()
}

/// Whether a text looks like a piece of a sentence: three words of small letters in a row, or two with a mark at the
/// end. What is put in where the program runs counts as a word.
pub fn is_sentence(text: &str) -> bool {
    let plain = text.replace("\\n", "\n").replace("\\\"", "");
    let mut words = Vec::new();
    for word in plain.split([' ', '\n']) {
        let bare = word.trim_matches(['`', '(', ')', ',', ';', ':', '.', '!', '?', '\'']);
        let is_word = bare.len() > 1 && bare.chars().all(|c| c.is_lowercase() || c == '\'' || c == '-')
            || bare == "a"
            || bare.starts_with('{') && bare.ends_with('}') && !words.is_empty();
        if is_word {
            words.push(bare.to_owned());
        } else {
            words.clear();
        }
        let told = words.iter().filter(|word| !word.starts_with('{')).count();
        if told >= 3 || told == 2 && words.len() >= 2 && word.ends_with(['.', ',', ';', ':', '!', '?']) {
            return true;
        }
    }
    false
}

#[test]
fn the_core_has_no_sentences() {
    let root = project().join("src");
    let (mut paths, mut all, mut told) = (Vec::new(), Vec::new(), Vec::new());
    for room in SILENT {
        sources(&root.join(room), &mut paths);
    }
    for path in paths {
        let source = std::fs::read_to_string(&path).unwrap();
        let name = path.strip_prefix(&root).unwrap().display();
        for (line, text) in literals(&source) {
            if is_sentence(&text) && !KEYS.contains(&text.as_str()) {
                told.push(format!("{name}:{line}: {text}"));
            }
            all.push(text);
        }
    }
    assert!(told.is_empty(), "what people read is worded in `show`: {told:#?}");
    for key in KEYS {
        assert!(all.iter().any(|text| text == key), "`{key}` is in no file any more");
    }
}

/// What would be found, and what would not.
#[test]
fn sentences_are_told_from_keys() {
    for sentence in [
        "you have not ridden a lap yet",
        "the disk is full",
        "`{told}` is not a sag reading{why}",
        "was saved at {then}, but its range in this bike's file is {}",
        "it is a folder",
        "count again; then go",
        "is gone.\\nDo it again",
    ] {
        assert!(is_sentence(sentence), "{sentence}");
    }
    for key in [
        "felt best",
        "stopped early",
        "{} {}",
        "{low} to {high}",
        "pair {pair}, lap {}",
        "started = {}\\nseed = {}\\n",
    ] {
        assert!(!is_sentence(key), "{key}");
    }
    let source = "a('\"'); // \"in a comment it is\"\nb(\"one \\\"two\\\"\", 'x', '\\'', \"three\"); #[allow(x, reason = \"why it is so\")]\n#[cfg(test)]\nc(\"in a test it is\")";
    let found = [(2, "one \\\"two\\\"".to_owned()), (2, "three".to_owned())];
    assert_eq!(literals(source), found);
}
