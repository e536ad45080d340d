//! Every text that a user can see, in one list: `tests/catalogue` prints it, so that a change of words can be read as a
//! difference. The rules of the wording that can be held by a test are held over it.

use std::path::PathBuf;

use crate::sentences::{is_sentence, literals, sources};
use crate::support::{Field, project};

/// The rooms whose texts are shown: all but those that `sentences` holds to have none.
const ROOMS: [&str; 9] =
    ["command", "show", "interview", "check", "language", "set", "disk", "vocabulary", "problem"];

const COMMANDS: [&str; 9] =
    ["new", "check", "format", "ride", "rehearse", "explain", "words", "demo", "pressure"];

/// A text and where it comes from.
struct Text {
    place: String,
    text: String,
}

/// A literal as it is shown: a line that goes on is one line.
fn shown(literal: &str) -> String {
    let mut lines = literal.split("\\\n");
    let first = lines.next().unwrap_or("").to_owned();
    let joined = lines.fold(first, |joined, line| joined + line.trim_start());
    joined.replace("\\n", "\n").replace("\\\"", "\"")
}

/// The sentences in the program's own sources.
fn of_sources() -> Vec<Text> {
    let (root, mut paths) = (project().join("src"), Vec::new());
    for room in ROOMS {
        sources(&root.join(room), &mut paths);
    }
    let of_path = |path: PathBuf| {
        let source = std::fs::read_to_string(&path).unwrap();
        let name = path.strip_prefix(&root).unwrap().display().to_string();
        let texts = literals(&source)
            .into_iter()
            .map(move |(_, text)| Text { place: name.clone(), text: shown(&text) });
        texts.filter(|text| is_sentence(&text.text)).collect::<Vec<_>>()
    };
    paths.into_iter().flat_map(of_path).collect()
}

/// The texts of the explanations, and what the help of each command says.
fn of_explanations() -> Vec<Text> {
    let codes = std::fs::read_to_string(project().join("grammar/codes.toml")).unwrap();
    let codes: toml::Table = toml::from_str(&codes).unwrap();
    let of_code = |(code, about): (&String, &toml::Value)| {
        let text = |key: &str| about.get(key).and_then(toml::Value::as_str).map(str::to_owned);
        let texts = [text("meaning"), text("why")];
        texts
            .into_iter()
            .flatten()
            .map(|text| Text { place: format!("explain {code}"), text })
            .collect::<Vec<_>>()
    };
    codes.iter().flat_map(of_code).collect()
}

fn of_help() -> Vec<Text> {
    let field = Field::new();
    let mut texts = vec![Text { place: "--help".to_owned(), text: field.run(&["--help"]).ends(0).out }];
    for command in COMMANDS {
        let text = field.run(&[command, "--help"]).ends(0).out;
        texts.push(Text { place: format!("{command} --help"), text });
    }
    texts
}

/// The files with texts that are written by hand or printed, and what the program said in the cases.
fn of_files() -> Vec<Text> {
    let mut names = vec!["README.md".to_owned(), "grammar/words.md".to_owned()];
    for (folder, ending) in [
        ("plans", ".tune"),
        ("tests/check", ".snap"),
        ("tests/ride", ".snap"),
        ("tests/flagship", ".snap"),
        ("tests/rehearsal", ".snap"),
    ] {
        let files = std::fs::read_dir(project().join(folder)).unwrap();
        let files = files.map(|entry| entry.unwrap().file_name().into_string().unwrap());
        let mut files: Vec<_> = files.filter(|name| name.ends_with(ending)).collect();
        files.sort();
        names.extend(files.into_iter().map(|name| format!("{folder}/{name}")));
    }
    let of_name = |name: String| {
        let text = std::fs::read_to_string(project().join(&name)).unwrap();
        Text { place: name, text }
    };
    names.into_iter().map(of_name).collect()
}

/// `CLICKWISE_CATALOGUE=FILE` writes the whole list there.
#[test]
fn the_catalogue_has_every_kind_of_text() {
    let all: Vec<Text> =
        [of_sources(), of_explanations(), of_help(), of_files()].into_iter().flatten().collect();
    let each = |Text { place, text }: &Text| format!("== {place}\n{}\n", text.trim_end());
    let printed = all.iter().map(each).collect::<Vec<_>>().join("\n");
    if let Some(file) = std::env::var_os("CLICKWISE_CATALOGUE") {
        std::fs::write(file, &printed).unwrap();
    }
    for known in
        ["Press Enter when done", "did you mean", "Nothing to change", "Usage: clickwise ride", "## Units"]
    {
        assert!(printed.contains(known), "{known}");
    }
    assert!(of_sources().len() > 600, "{}", of_sources().len());
}

/// Words that are said no more: for each of these things the program has another one. With each the texts in which it
/// is right, by a part of them.
const SAID_NO_MORE: [(&str, &[&str]); 41] = [
    ("second person", &[]),
    ("as found", &[]),
    ("found setting", &[]),
    ("in it now", &[]),
    ("stands at", &[]),
    ("settles at", &[]),
    ("is taken", &[]),
    ("kept at", &[]),
    ("no ride", &[]),
    ("this ride", &[]),
    ("whole ride", &[]),
    // two lines of a plan
    ("open ride", &["to open ride"]),
    ("the ride goes on", &[]),
    ("written:", &[]),
    ("kept:", &[]),
    ("second question", &[]),
    ("proof lap", &[]),
    ("reference lap", &[]),
    ("verdict", &[]),
    ("window", &[]),
    ("aimed at", &[]),
    ("a tune", &[]),
    ("the tune", &[]),
    ("tunes", &[]),
    ("repair", &[]),
    ("repairs", &[]),
    ("take back", &[]),
    ("taken back", &[]),
    ("by lot", &[]),
    ("drawn", &[]),
    ("set aside", &[]),
    ("clause", &[]),
    ("clauses", &[]),
    ("entry", &[]),
    ("edition", &[]),
    ("later format", &[]),
    ("split circuit", &[]),
    // of a session that can begin; a weight is in full kit
    ("ready to ride", &["Ready to ride.", "{}: ready to ride."]),
    // the title of a case
    ("torn", &["Torn"]),
    ("stance", &[]),
    ("files of the set", &[]),
];

/// Whether a text has words, and not within others.
fn says(text: &str, words: &str) -> bool {
    let text = text.to_lowercase();
    let inside = |c: char| c.is_alphanumeric() || "-_".contains(c);
    text.match_indices(words).any(|(at, _)| {
        let (before, after) = (&text[..at], &text[at + words.len()..]);
        let goes_on = words.ends_with(char::is_alphanumeric) && after.starts_with(inside);
        !(before.ends_with(inside) || goes_on)
    })
}

#[test]
fn each_thing_is_called_by_its_one_name() {
    let mut wrong = Vec::new();
    for Text { place, text } in [of_sources(), of_explanations(), of_help(), of_files()].into_iter().flatten()
    {
        let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for (words, right) in SAID_NO_MORE {
            let rest = right.iter().fold(joined.clone(), |text, part| text.replace(part, ""));
            if says(&rest, words) {
                wrong.push(format!("{place}: `{words}`: {}", joined.chars().take(120).collect::<String>()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(says("The Drawn order", "drawn") && !says("withdrawn, drawn-out", "drawn"));
}

/// The sentences of a text, as far as their ends can be told; a line of a list is one.
fn sentences(text: &str) -> Vec<String> {
    let paragraphs = text.split("\n\n").flat_map(|paragraph| paragraph.split("\n* "));
    let mut sentences = Vec::new();
    for paragraph in paragraphs.map(|text| text.split_whitespace().collect::<Vec<_>>().join(" ")) {
        let mut begin = 0;
        for (at, mark) in paragraph.match_indices(['.', '?', '!']) {
            if paragraph[at + mark.len()..].starts_with(' ') {
                sentences.push(paragraph[begin..=at].trim().to_owned());
                begin = at + mark.len();
            }
        }
        sentences.push(paragraph[begin..].trim().to_owned());
    }
    sentences
}

/// The texts of a page without its blocks, tables and headings.
fn prose(page: &str) -> String {
    let text = std::fs::read_to_string(project().join(page)).unwrap();
    let outside = text.split("```").step_by(2).collect::<Vec<_>>().join("\n\n");
    outside.lines().filter(|line| !line.starts_with(['#', '|'])).collect::<Vec<_>>().join("\n")
}

#[test]
fn no_sentence_has_more_than_25_words() {
    let pages = ["README.md", "grammar/methods.md", "grammar/reference.md"];
    let pages = pages.map(|page| Text { place: page.to_owned(), text: prose(page) });
    let mut long = Vec::new();
    for Text { place, text } in of_sources().into_iter().chain(of_explanations()).chain(pages) {
        // the examples of the help are commands
        for sentence in sentences(&text).into_iter().filter(|text| !text.starts_with("Examples:")) {
            let words = sentence.split(' ').filter(|word| word.contains(char::is_alphanumeric)).count();
            if words > 25 {
                long.push(format!("{words} {place}: {sentence}"));
            }
        }
    }
    assert!(long.is_empty(), "{long:#?}");
}

/// How a message says itself what to do.
const ORDERS: [&str; 9] =
    ["put ", "take out ", "write ", "keep ", "add ", "move ", "give ", "join ", "start "];

/// Each kind of problem says what to do: in its help, or itself.
#[test]
fn no_problem_is_told_without_what_to_do() {
    let codes = std::fs::read_to_string(project().join("grammar/codes.toml")).unwrap();
    let codes: toml::Table = toml::from_str(&codes).unwrap();
    let (mut silent, mut told) = (Vec::new(), 0);
    for (code, about) in &codes {
        let Some(bad) = about.get("bad").and_then(toml::Value::as_str) else { continue };
        let mut sources = clickwise::problem::Sources::default();
        sources.add("x.tune", bad);
        let problems = clickwise::check::check(&sources).problems;
        for problem in problems.iter().filter(|problem| problem.code.name() == code) {
            told += 1;
            if problem.help.is_none() && !ORDERS.iter().any(|order| problem.message.starts_with(order)) {
                silent.push(format!("{code}: {}", problem.message));
            }
        }
    }
    assert!(silent.is_empty(), "{silent:#?}");
    assert!(told > 60, "{told}");
}

/// What is in backticks and is neither a command, nor a line, an option, an answer or a word of the language.
const OTHERWISE: [&str; 10] = [
    // marks on the screen, a slash that is refused, a number that is refused
    ">",
    "=",
    "\\\\",
    "1 000",
    // an answer with words that become a note, as a terminal takes it
    "worse harsh in the rocks",
    // the beginning of a line
    "adjuster \"bottoming resistance\"",
    "cargo install --path .",
    "clickwise --help",
    ", ",
    ".gitattributes",
];

/// What is set off in backticks in a text.
fn in_backticks(text: &str) -> Vec<String> {
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    joined.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

fn is_line(text: &str) -> bool {
    use crate::grammar::recogniser::complaints;
    use clickwise::vocabulary::HEADINGS;
    let under = |begin: &str| complaints(&format!("{begin}{text}")).is_empty();
    let lines = HEADINGS.iter().map(|row| format!("{}\n", row.example));
    let phrases = [
        "steps\ntune every rebound, ",
        "steps\ntune every rebound ",
        "steps\ntune ",
        "steps\nconfirm everything, ",
        "part fork\nrebound 18 clicks, ",
        "part fork\nrebound ",
        "steps\nset every rebound ",
        "part fork\nair 44 to 120 psi ",
        "part fork\nair 44 to 120 psi, sag ",
        "part fork\nair 44 to 120 psi, start ",
        "part fork\n",
    ];
    under("") || lines.into_iter().any(|begin| under(&begin)) || phrases.into_iter().any(under)
}

fn is_answer(text: &str) -> bool {
    use clickwise::session::{Answer, Typed, What, read_answers};
    let is_known = |typed: &Typed| match typed {
        Typed::Said(said) => !matches!(
            &said.what,
            What::Note | What::Answer(Answer::Told(clickwise::session::Stated::Name(_)) | Answer::Text(_))
        ),
        Typed::Quit | Typed::Help | Typed::Another => true,
    };
    read_answers(text).is_ok_and(|answers| !answers.is_empty() && answers.iter().all(is_known))
}

#[test]
fn what_can_be_typed_can_be_typed() {
    let help: Vec<(String, String)> =
        of_help().into_iter().map(|Text { place, text }| (place, text)).collect();
    let words = std::fs::read_to_string(project().join("grammar/words.md")).unwrap();
    let has_options = |text: &str, of: &str| {
        let mut options = text.split([' ', ',']).filter(|word| word.starts_with("--"));
        options.all(|option| help.iter().any(|(place, help)| place.starts_with(of) && says(help, option)))
    };
    let is_command = |text: &str| {
        let command = text.strip_prefix("clickwise ").unwrap_or(text);
        let first = command.split(' ').next().unwrap_or("");
        (COMMANDS.contains(&first) && has_options(text, first))
            || (text.starts_with("--") && has_options(text, ""))
    };
    let is_word = |text: &str| says(&words, &text.to_lowercase());
    let is_file = |text: &str| [".tune", ".toml", "FILE.", "/"].iter().any(|part| text.contains(part));
    let mut wrong = Vec::new();
    let pages = ["README.md", "grammar/words.md", "grammar/methods.md", "grammar/reference.md"];
    let pages = pages.map(|page| Text { place: page.to_owned(), text: prose(page) });
    for Text { place, text } in of_sources().into_iter().chain(of_explanations()).chain(pages) {
        for typed in in_backticks(&text).into_iter().filter(|text| !text.contains('{')) {
            let fits = is_command(&typed)
                || is_word(&typed)
                || is_file(&typed)
                || typed.starts_with("git ")
                || is_answer(&typed)
                || is_line(&typed)
                || OTHERWISE.contains(&typed.as_str());
            if !fits {
                wrong.push(format!("{place}: `{typed}`"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// What is shown to be copied has the words of today.
#[test]
fn examples_have_the_words_of_today() {
    let codes = std::fs::read_to_string(project().join("grammar/codes.toml")).unwrap();
    let codes: toml::Table = toml::from_str(&codes).unwrap();
    let of_codes = codes.values().flat_map(|about| ["bad", "good"].map(|key| about.get(key)));
    let mut examples: Vec<String> =
        of_codes.flatten().filter_map(toml::Value::as_str).map(str::to_owned).collect();
    examples
        .extend(of_files().into_iter().filter(|text| text.place.starts_with("plans/")).map(|text| text.text));
    let readme = std::fs::read_to_string(project().join("README.md")).unwrap();
    examples
        .extend(readme.split("```tune\n").skip(1).map(|rest| rest.split("```").next().unwrap().to_owned()));
    assert!(examples.len() > 150, "{}", examples.len());
    for example in examples {
        let mut sources = clickwise::problem::Sources::default();
        let id = sources.add("x.tune", example.as_str());
        let (tree, _) = clickwise::language::parse(id, &example);
        assert_eq!(clickwise::language::renewed(&tree, &example), None);
    }
}
