//! Owns the reports for machines: the problems of a set as JSON, and as SARIF 2.1.0. Columns count
//! characters from 1; an end is the place behind the last character.

use serde::{Serialize, Serializer};
use serde_json::{Value, json};

use crate::physics::float;
use crate::problem::{Code, Fix, Problem, Severity, Sources, Span, Text, explanations};
use crate::walk::Proof;

/// The name under which this program reports.
const NAME: &str = env!("CARGO_PKG_NAME");
const VERSION: &str = env!("CARGO_PKG_VERSION");

/// The most problems that a report has: nobody reads on, and a broken file has as many as bytes.
const MOST: usize = 1_000;

/// The problems of a set, with its sources.
pub type OfSet<'a> = (&'a Sources, &'a [Problem]);

/// All problems as one JSON document, with the proof of the plan where there is one, else null. After 1,000 of
/// them it says how many more there are.
#[must_use]
pub fn json_report(sets: &[OfSet<'_>], needs: &[Text], proof: Option<&Proof>) -> String {
    #[derive(Serialize)]
    struct Report<'a> {
        problems: Each<'a>,
        #[serde(skip_serializing_if = "is_nought")]
        more: usize,
        needs: &'a [Text],
        proof: Option<Value>,
    }
    let (problems, more) = (Each { sets, one }, more(sets));
    let proof = proof.map(|proof| {
        json!({
            "ends": proof.ends,
            "within_range": proof.within_range,
            "worst_laps": proof.worst_laps,
            "worst_minutes": proof.worst_minutes.and_then(float),
            "sequences": proof.sequences.to_string(),
        })
    });
    pretty(&Report { problems, more, needs, proof })
}

/// Every problem in turn; there may be very many, and they need not stand in memory as values together.
struct Each<'a> {
    sets: &'a [OfSet<'a>],
    one: fn(&Sources, &Problem) -> Value,
}

/// How many problems are left out.
fn more(sets: &[OfSet<'_>]) -> usize {
    sets.iter().map(|(_, problems)| problems.len()).sum::<usize>().saturating_sub(MOST)
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde asks with a reference")]
fn is_nought(number: &usize) -> bool {
    *number == 0
}

impl Serialize for Each<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let all = self
            .sets
            .iter()
            .flat_map(|(sources, problems)| problems.iter().map(move |problem| (sources, problem)));
        serializer.collect_seq(all.take(MOST).map(|(sources, problem)| (self.one)(sources, problem)))
    }
}

fn pretty(value: &impl Serialize) -> String {
    serde_json::to_string_pretty(value).unwrap_or_default() + "\n"
}

struct Region {
    line: usize,
    column: usize,
    end_line: usize,
    end_column: usize,
}

fn region(sources: &Sources, span: Span) -> Region {
    let source = sources.get(span.source);
    let (begin, end) = (source.place(span.start), source.place(span.end.max(span.start)));
    Region { line: begin.line, column: begin.column, end_line: end.line, end_column: end.column }
}

fn one(sources: &Sources, problem: &Problem) -> Value {
    let at = region(sources, problem.span);
    let mut value = json!({
        "code": problem.code.name(),
        "severity": problem.severity.word(),
        "file": sources.get(problem.span.source).name(),
        "line": at.line,
        "column": at.column,
        "end_line": at.end_line,
        "end_column": at.end_column,
        "message": problem.message,
        "help": problem.help,
    });
    if let (Some(fix), Some(object)) = (&problem.fix, value.as_object_mut()) {
        object.insert("fix".to_owned(), fixed(sources, fix));
    }
    value
}

fn fixed(sources: &Sources, fix: &Fix) -> Value {
    let at = region(sources, fix.span);
    json!({
        "line": at.line,
        "column": at.column,
        "end_line": at.end_line,
        "end_column": at.end_column,
        "text": fix.text,
    })
}

/// All problems as a SARIF 2.1.0 log with one run. Source: OASIS, Static Analysis Results Interchange Format
/// 2.1.0. After 1,000 of them `more` in the properties of the run says how many more there are.
#[must_use]
pub fn sarif_report(sets: &[OfSet<'_>]) -> String {
    #[derive(Serialize)]
    struct Log<'a> {
        #[serde(rename = "$schema")]
        schema: &'static str,
        version: &'static str,
        runs: [Run<'a>; 1],
    }
    #[derive(Serialize)]
    #[serde(rename_all = "camelCase")]
    struct Run<'a> {
        tool: Value,
        column_kind: &'static str,
        results: Each<'a>,
        #[serde(skip_serializing_if = "Option::is_none")]
        properties: Option<Value>,
    }
    let tool = json!({ "driver": { "name": NAME, "version": VERSION, "rules": rules() } });
    let results = Each { sets, one: result };
    let properties = Some(more(sets)).filter(|more| *more > 0).map(|more| json!({ "more": more }));
    pretty(&Log {
        schema: "https://json.schemastore.org/sarif-2.1.0.json",
        version: "2.1.0",
        runs: [Run { tool, column_kind: "unicodeCodePoints", results, properties }],
    })
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

fn rules() -> Vec<Value> {
    let explained = explanations();
    let rule = |code: &Code| {
        let (meaning, why) =
            explained.get(code.name()).map_or(("", ""), |found| (found.meaning.as_str(), found.why.as_str()));
        json!({
            "id": code.name(),
            "shortDescription": { "text": meaning },
            "fullDescription": { "text": format!("{meaning} {why}") },
            "defaultConfiguration": { "level": level(code.severity()) },
        })
    };
    Code::ALL.iter().map(rule).collect()
}

fn result(sources: &Sources, problem: &Problem) -> Value {
    let text = problem
        .help
        .as_ref()
        .map_or(problem.message.to_string(), |help| format!("{}; {help}", problem.message));
    let mut result = json!({
        "ruleId": problem.code.name(),
        "ruleIndex": Code::ALL.iter().position(|code| *code == problem.code),
        "level": level(problem.severity),
        "message": { "text": text },
        "locations": [{ "physicalLocation": place(sources, problem.span) }],
    });
    let Some(object) = result.as_object_mut() else { return result };
    if let Some((span, label)) = problem.other.as_deref() {
        let related = json!([{ "physicalLocation": place(sources, *span), "message": { "text": label } }]);
        object.insert("relatedLocations".to_owned(), related);
    }
    if let Some(fix) = &problem.fix {
        let replacement = json!({
            "deletedRegion": sarif_region(&region(sources, fix.span)),
            "insertedContent": { "text": fix.text },
        });
        let change =
            json!({ "artifactLocation": artifact(sources, fix.span), "replacements": [replacement] });
        object.insert("fixes".to_owned(), json!([{ "artifactChanges": [change] }]));
    }
    result
}

fn place(sources: &Sources, span: Span) -> Value {
    json!({ "artifactLocation": artifact(sources, span), "region": sarif_region(&region(sources, span)) })
}

fn sarif_region(at: &Region) -> Value {
    json!({ "startLine": at.line, "startColumn": at.column, "endLine": at.end_line, "endColumn": at.end_column })
}

/// A file's path as a URI reference: everything but plain characters is written as `%XX`.
fn artifact(sources: &Sources, span: Span) -> Value {
    let mut uri = String::new();
    for byte in sources.get(span.source).name().replace('\\', "/").bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            uri += &format!("%{byte:02X}");
        }
    }
    json!({ "uri": uri })
}
