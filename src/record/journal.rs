//! Owns the journal's text: a head and one record for each answered question, chained by checksums,
//! read back to its last whole record. It knows nothing of the disk.

use serde::{Deserialize, Serialize};

use crate::language::plain_text;
use crate::session::{Answer, Said, Typed, What, read_answers};

use super::Question;
use super::chain::{carried, check, check_line};

/// The format of the journals that this program writes and reads.
const FORMAT: u32 = 1;

/// Where an adjuster starts, as the set says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Start {
    pub adjuster: String,
    pub start: String,
}

/// What a journal begins with: whose ride it is, and the whole set it follows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    pub plan: String,
    pub bike: String,
    pub rider: Option<String>,
    pub began: String,
    pub seed: u64,
    pub starts: Vec<Start>,
    pub set: Change,
}

/// A set of files: the one at the beginning, or the one that took its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Name and text of each file.
    pub files: Vec<(String, String)>,
    /// Name and text of the settings that the ride begins from, where it does.
    pub from: Option<(String, String)>,
    /// Every count is made again.
    pub recount: bool,
    pub fingerprint: String,
}

/// One answered question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Record {
    /// From 1.
    pub number: u32,
    /// How many laps had been ridden once this was answered.
    pub lap: u32,
    pub time: String,
    pub question: Question,
    pub said: Said,
}

/// One record of a journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    Answer(Record),
    Change(Change),
}

/// A journal as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Journal {
    pub head: Head,
    pub entries: Vec<Entry>,
    /// The last checksum; the next record's builds on it.
    pub check: String,
    /// How many bytes are whole.
    pub whole: usize,
    /// What stands behind the last whole record: a torn one.
    pub torn: String,
    /// The last record lacks its line end.
    pub unended: bool,
}

/// Why a journal cannot be gone on with.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Damage {
    /// Not even the head is whole.
    #[error("no whole beginning of a journal stands in it")]
    NoHead,
    /// A record does not follow from what stands before it.
    #[error("line {line}: {record} does not match its checksum: it was changed by hand or is damaged")]
    Changed { line: usize, record: String },
    /// It matches its checksum and is still no record of this format.
    #[error("line {line}: what stands there cannot be read by this version of the program")]
    Unreadable { line: usize },
}

#[derive(Serialize, Deserialize)]
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
    began: toml::value::Datetime,
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

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A text's lines, one string each, so that a journal reads well in a comparison.
fn write_file(name: &str, text: &str) -> String {
    let mut out = format!("{{ name = {}, text = [\n", quoted(name));
    for line in text.split('\n') {
        out += &format!("    {},\n", quoted(line));
    }
    out + "  ] }"
}

fn write_set(set: &Change) -> String {
    let mut out = String::from("files = [\n");
    for (name, text) in &set.files {
        out += &format!("  {},\n", write_file(name, text));
    }
    out += "]\n";
    if let Some((name, text)) = &set.from {
        out += &format!("from = {}\n", write_file(name, text));
    }
    if set.recount {
        out += "recount = true\n";
    }
    out + &format!("fingerprint = {}\n", quoted(&set.fingerprint))
}

fn sealed(before: &str, text: String) -> (String, String) {
    let check = check(before, &text);
    (text + &check_line(&check), check)
}

/// The text of a head and its checksum.
#[must_use]
pub fn write_head(head: &Head) -> (String, String) {
    let mut out =
        format!("format = {FORMAT}\nplan = {}\nbike = {}\n", quoted(&head.plan), quoted(&head.bike));
    if let Some(rider) = &head.rider {
        out += &format!("rider = {}\n", quoted(rider));
    }
    out += &format!("began = {}\nseed = {}\nstarts = [\n", head.began, head.seed);
    for start in &head.starts {
        out +=
            &format!("  {{ adjuster = {}, start = {} }},\n", quoted(&start.adjuster), quoted(&start.start));
    }
    out += "]\n";
    out += &write_set(&head.set);
    sealed("", out)
}

/// The text of an answer's record, after a checksum, and its own checksum.
#[must_use]
pub fn write_record(record: &Record, before: &str) -> (String, String) {
    let answer = record.said.what.to_string();
    let question =
        toml::Value::try_from(&record.question).map_or(String::new(), |question| question.to_string());
    let mut out = format!(
        "\n[[answer]]\nnumber = {}\nlap = {}\ntime = {}\nquestion = {question}\nanswer = {}\n",
        record.number,
        record.lap,
        record.time,
        quoted(&answer)
    );
    if let Some(note) = &record.said.note {
        out += &format!("note = {}\n", quoted(note));
    }
    sealed(before, out)
}

/// The text of the record of a changed set, after a checksum, and its own checksum.
#[must_use]
pub fn write_change(change: &Change, before: &str) -> (String, String) {
    sealed(before, format!("\n[[change]]\n{}", write_set(change)))
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

fn read_head(text: &str) -> Option<Head> {
    let head: HeadText = toml::from_str(text).ok()?;
    (head.format == FORMAT).then(|| Head {
        plan: head.plan,
        bike: head.bike,
        rider: head.rider,
        began: head.began.to_string(),
        seed: head.seed,
        starts: head.starts,
        set: set_of(head.set),
    })
}

fn read_entry(text: &str) -> Option<Entry> {
    let entry: EntryText = toml::from_str(text).ok()?;
    if let Some(change) = entry.change {
        let change = change.into_iter().next()?;
        return Some(Entry::Change(set_of(change)));
    }
    let answer = entry.answer?.into_iter().next()?;
    let what = match answer.answer.as_str() {
        text if text == What::Note.to_string() => What::Note,
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

/// Whether bytes are the beginning of a journal, however short.
#[must_use]
pub fn begins_a_journal(bytes: &[u8]) -> bool {
    let first = format!("format = {FORMAT}\n");
    first.as_bytes().starts_with(bytes) || bytes.starts_with(first.as_bytes())
}

/// Reads a journal up to its last whole record. A torn tail is given apart; a record that is whole
/// but does not follow is damage.
///
/// # Errors
/// Where the head is not whole, or a record was changed.
pub fn read_journal(bytes: &[u8]) -> Result<Journal, Damage> {
    let text = String::from_utf8_lossy(bytes);
    let mut before = String::new();
    let mut head = None;
    let mut entries = Vec::new();
    let (mut begin, mut begin_line, mut at) = (0, 1, 0);
    let mut unended = false;
    for (index, line) in text.split_inclusive('\n').enumerate() {
        at += line.len();
        let Some(carried) = carried(line) else { continue };
        let body = &text[begin..at - line.len()];
        if check(&before, body) != carried {
            let record = if head.is_none() {
                "the beginning".to_owned()
            } else {
                format!("record {}", entries.len() + 1)
            };
            return Err(Damage::Changed { line: begin_line, record });
        }
        if head.is_none() {
            head = Some(read_head(body).ok_or(Damage::Unreadable { line: begin_line })?);
        } else {
            entries.push(read_entry(body).ok_or(Damage::Unreadable { line: begin_line })?);
        }
        carried.clone_into(&mut before);
        begin = at;
        begin_line = index + 2;
        unended = !line.ends_with('\n');
    }
    let head = head.ok_or(Damage::NoHead)?;
    Ok(Journal { head, entries, check: before, whole: begin, torn: text[begin..].to_owned(), unended })
}
