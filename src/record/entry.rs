//! Owns the reading of one piece of a journal whose checksum is right: its head, or one record. It knows
//! nothing of the chain.

use serde::Deserialize;

use crate::language::plain_text;
use crate::session::{Answer, QuestionKind, Said, Stated, Typed, What, read_answers};
use crate::vocabulary::AnswerWord;

use super::Question;
use super::journal::{Change, Entry, FORMAT, Head, Record, Start};
use super::spellings;

#[derive(Deserialize)]
struct FileText {
    name: String,
    text: Vec<String>,
}

#[derive(Deserialize)]
struct HeadText {
    format: u32,
    plan: String,
    bike: String,
    rider: Option<String>,
    #[serde(alias = "began")]
    started: toml::value::Datetime,
    seed: u64,
    starts: Vec<Start>,
    #[serde(flatten)]
    set: ChangeText,
}

#[derive(Deserialize)]
struct AnswerText {
    number: u32,
    lap: u32,
    time: toml::value::Datetime,
    question: Question,
    answer: String,
    note: Option<String>,
}

#[derive(Deserialize)]
struct ChangeText {
    files: Vec<FileText>,
    from: Option<FileText>,
    #[serde(default)]
    recount: bool,
    fingerprint: String,
}

#[derive(Deserialize)]
struct EntryText {
    answer: Option<Vec<AnswerText>>,
    change: Option<Vec<ChangeText>>,
}

fn set_of(set: ChangeText) -> Change {
    let whole = |file: FileText| (file.name, file.text.join("\n"));
    Change {
        files: set.files.into_iter().map(whole).collect(),
        from: set.from.map(whole),
        recount: set.recount,
        fingerprint: set.fingerprint,
    }
}

/// The head that a text says; `None` if it says none of this format.
pub(super) fn read_head(text: &str) -> Option<Head> {
    let head: HeadText = toml::from_str(text).ok()?;
    (head.format == FORMAT).then(|| Head {
        plan: head.plan,
        bike: head.bike,
        rider: head.rider,
        started: head.started.to_string(),
        seed: head.seed,
        starts: head.starts,
        set: set_of(head.set),
    })
}

/// Whether an answer is the name of a setting that was no answer when it was written: today it would be in quotes.
fn is_name_of_once(question: &Question, answer: &str) -> bool {
    AnswerWord::is_new(answer) && spellings::question_of(&question.ask) == Some(QuestionKind::Before)
}

/// The record that a text says; `None` if it says none.
pub(super) fn read_entry(text: &str) -> Option<Entry> {
    let entry: EntryText = toml::from_str(text).ok()?;
    if let Some(change) = entry.change {
        let change = change.into_iter().next()?;
        return Some(Entry::Change(set_of(change)));
    }
    let answer = entry.answer?.into_iter().next()?;
    let what = match answer.answer.as_str() {
        text if text == What::Note.to_string() => What::Note,
        text if is_name_of_once(&answer.question, text) => {
            What::Answer(Answer::Told(Stated::Name(text.to_owned())))
        }
        text if text.starts_with('"') => What::Answer(Answer::Text(plain_text(text).to_owned())),
        text => match read_answers(text).ok()?.into_iter().next()? {
            Typed::Said(said) => said.what,
            _ => return None,
        },
    };
    Some(Entry::Answer(Record {
        number: answer.number,
        lap: answer.lap,
        time: answer.time.to_string(),
        question: answer.question,
        said: Said { what, note: answer.note },
    }))
}
