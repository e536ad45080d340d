//! Owns the journal's text as it is written: a head and one record for each answered question, chained
//! by checksums. It knows nothing of the disk, nor of how a journal is read back.

use serde::{Deserialize, Serialize};

use crate::session::Said;

use super::Question;
use super::chain::{seal, seal_line};

/// The format of the journals that this program writes and reads.
pub(super) const FORMAT: u32 = 1;

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
    pub started: String,
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
    let seal = seal(before, &text);
    (text + &seal_line(&seal), seal)
}

/// The text of a head and its checksum.
#[must_use]
pub fn write_head(head: &Head) -> (String, String) {
    let mut out =
        format!("format = {FORMAT}\nplan = {}\nbike = {}\n", quoted(&head.plan), quoted(&head.bike));
    if let Some(rider) = &head.rider {
        out += &format!("rider = {}\n", quoted(rider));
    }
    out += &format!("started = {}\nseed = {}\nstarts = [\n", head.started, head.seed);
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
