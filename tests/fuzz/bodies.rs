//! What must hold for any bytes. Each function is run by the fuzzer with bytes of its own, and by
//! `tests/replay.rs` with those that are kept in `corpus`.

use std::ops::Range;
use std::sync::Arc;

use clickwise::check::{RestOfSet, check as check_set, check_part};
use clickwise::language::{
    ClauseLine, Fields, Line, LineKind, TokenKind, parse as read_tree, take_in, tokens, uses,
};
use clickwise::layout;
use clickwise::plan::{Plan, Setup};
use clickwise::problem::{Code, Problem, SourceId, Sources, Span, Text};
use clickwise::record::{
    Change, Entry, Head, Journal, NotSettings, Question, Record, Sheet, read_journal, read_settings,
    write_change, write_head, write_record, write_settings,
};
use clickwise::session::{Answer, Ask, Session, Typed, What, read_answers, standing};
use clickwise::set::{Allowed, over_budget};
use clickwise::show::{self, Look};
use clickwise::walk::prove;
use sha2::{Digest, Sha256};

/// Parts the files of a set from each other.
const BETWEEN_FILES: u8 = 0x1E;

/// A bike with a scale of every kind, for settings to be read for.
const SETTINGS_SET: &str = "\
bike \"B\"
part fork
  travel 160 mm
  air 44 to 120 psi, start 70 psi
  low-speed rebound 0 to 18 clicks, counted from closed
  high-speed rebound 0 to 3 turns, counted from open
  compression ? clicks
  adjuster \"bottoming resistance\" soft or mid or hard
part shock
  coil 400 or 450 or 500 lb/in, start 450 lb/in
  preload 0 to 4 mm
  rebound 1 to 12 clicks, start 3
rider \"R\"
  weight 70 kg
steps
  record \"ground\"
  set every rebound to start
";

/// Any bytes become text, and the text lines; each stands where it says.
pub fn parse(bytes: &[u8]) {
    let mut sources = Sources::default();
    let (id, mut problems) = take_in(&mut sources, "x.tune", bytes);
    let text = sources.get(id).text();
    let (tree, found) = read_tree(id, text);
    problems.extend(found);
    for problem in &problems {
        problem_stands(&sources, problem);
    }
    let mut at = tree.lines.first().map_or(text.len(), |line| line.span.start);
    assert!(text[..at].chars().all(|c| c == '\u{FEFF}'), "lost before the first line: {:?}", &text[..at]);
    for line in &tree.lines {
        assert_eq!(line.span.start, at, "a line does not begin where the one above ends");
        stands(&sources, line.span);
        line_stands(&sources, line);
        at = line.span.end;
    }
    assert_eq!(at, text.len(), "lost behind the last line");
    for (_, span) in uses(id, text) {
        stands(&sources, span);
    }
}

/// Any files are checked, and what is found can be told in every way; a plan that comes out is proven.
pub fn check(bytes: &[u8]) {
    let mut sources = Sources::default();
    let mut undecoded = Vec::new();
    for (index, file) in bytes.split(|byte| *byte == BETWEEN_FILES).enumerate().take(4) {
        let (_, problems) = take_in(&mut sources, &format!("{index}.tune"), file);
        undecoded.extend(problems);
    }
    let lacking = check_part(&sources, RestOfSet::Elsewhere);
    assert!(lacking.plan.is_none(), "a plan although a file is lacking");
    let checked = check_set(&sources);
    assert!(checked.plan.is_none() || !checked.has_errors(), "a plan although something is wrong");
    let is_said_why = checked.has_errors() || !checked.needs.is_empty();
    assert!(checked.plan.is_some() || is_said_why, "no plan, and nobody says why");
    let mut problems = undecoded;
    problems.extend(checked.problems);
    let mut proof = None;
    if let Some(plan) = checked.plan.map(Arc::new)
        && is_soon_walked(&plan)
    {
        let proven = prove(&plan);
        assert!(proven.ends && proven.within_range, "{proven:?}");
        let allowed = Allowed { laps: checked.laps_at, minutes: checked.minutes_at };
        problems.extend(over_budget(&plan, &proven, allowed));
        let _ = show::proof(&proven);
        proof = Some(proven);
    }
    for problem in problems.iter().chain(&lacking.problems) {
        problem_stands(&sources, problem);
    }
    for (width, colour, unicode) in [(38, false, false), (100, true, true)] {
        let shown = show::problems(&sources, &problems, Look { width, colour, unicode });
        let harmless = |c: char| matches!(c, '\n' | '\t') || (colour && c == '\u{1B}') || !c.is_control();
        assert!(shown.chars().all(harmless), "{shown:?}");
        let _ = show::in_short(&sources, &problems, width);
    }
    let _ = show::json_report(&[(&sources, &problems)], &checked.needs, proof.as_ref());
    let _ = show::sarif_report(&[(&sources, &problems)]);
}

/// A file without errors is set in the one layout: once is enough, and it means the same.
pub fn format(bytes: &[u8]) {
    let before = Meaning::of(bytes);
    if before.has_errors {
        return;
    }
    let now = laid_out(bytes);
    assert_eq!(comments(&now), comments(&String::from_utf8_lossy(bytes)), "a comment is lost:\n{now}");
    let after = Meaning::of(now.as_bytes());
    assert!(after == before, "another meaning:\n{now}\n{:?}\n{:?}", before.codes, after.codes);
    assert_eq!(laid_out(now.as_bytes()), now, "set twice is not set once");
}

/// Any bytes are read as a journal, as settings and as answers.
pub fn journal(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    if let Ok(journal) = read_journal(bytes) {
        assert!(journal.whole <= text.len());
        rides_on(&journal);
    }
    // what the checksums would keep from being read at all
    if let Ok(journal) = read_journal(sealed_anew(&text).as_bytes()) {
        rides_on(&journal);
    }
    settings(&text);
    for line in text.lines().take(40) {
        answers(line);
    }
}

/// Whether a plan is proven in a moment: few steps, short scales, and none that is counted in the ride.
fn is_soon_walked(plan: &Plan) -> bool {
    let short = |id| match &plan.bike().get(id).setup {
        Setup::Known(dial) | Setup::Unstarted(dial) => dial.scale().top() <= 20,
        Setup::Uncounted(_) => false,
    };
    plan.steps().len() <= 5 && plan.bike().len() <= 4 && plan.bike().ids().all(short)
}

fn stands(sources: &Sources, span: Span) {
    let text = sources.get(span.source).text();
    assert!(text.get(span.start..span.end).is_some(), "{span:?} in a text of {} bytes", text.len());
}

fn problem_stands(sources: &Sources, problem: &Problem) {
    let fix = problem.fix.as_ref().map(|fix| fix.span);
    let other = problem.other.as_ref().map(|other| other.0);
    for span in [problem.span].into_iter().chain(fix).chain(other) {
        let text = sources.get(span.source).text();
        assert!(text.get(span.start..span.end).is_some(), "{problem:?} in a text of {} bytes", text.len());
    }
}

fn line_stands(sources: &Sources, line: &Line) {
    let fields = |fields: &Fields| fields.0.iter().for_each(|(_, span)| stands(sources, *span));
    match &line.kind {
        LineKind::Blank | LineKind::Unread(_) => {}
        LineKind::Heading(heading) => {
            stands(sources, heading.word);
            fields(&heading.fields);
        }
        LineKind::Entry(entry) => {
            stands(sources, entry.word);
            fields(&entry.fields);
            for ClauseLine { span, fields: own, .. } in &entry.clauses {
                stands(sources, *span);
                fields(own);
            }
        }
    }
    if matches!(line.kind, LineKind::Blank | LineKind::Unread(_)) {
        return;
    }
    let pieces = tokens(line.span.source, sources.slice(line.span), line.span.start);
    let mut at = line.span.start;
    let between = |range: Range<usize>| {
        let text = &sources.get(line.span.source).text()[range];
        assert!(text.chars().all(|c| c.is_whitespace() || c == '\u{FEFF}'), "lost between pieces: {text:?}");
    };
    for token in &pieces {
        stands(sources, token.span);
        between(at..token.span.start);
        at = token.span.end;
    }
    between(at..line.span.end);
}

/// What a check of one file comes to; that commas are missing or too many is no matter of meaning.
#[derive(PartialEq)]
struct Meaning {
    plan: Option<Plan>,
    codes: Vec<Code>,
    needs: Vec<Text>,
    has_errors: bool,
}

impl Meaning {
    fn of(bytes: &[u8]) -> Self {
        let mut sources = Sources::default();
        let (id, mut problems) = take_in(&mut sources, "x.tune", bytes);
        let lacks_files = !uses(id, sources.get(id).text()).is_empty();
        let checked =
            if lacks_files { check_part(&sources, RestOfSet::Elsewhere) } else { check_set(&sources) };
        problems.extend(checked.problems);
        let has_errors = problems.iter().any(Problem::is_error);
        let mut codes: Vec<Code> = problems.iter().map(|problem| problem.code).collect();
        codes.retain(|code| !matches!(code, Code::CommaMissing | Code::CommaExtra));
        codes.sort_unstable();
        Meaning { plan: checked.plan, codes, needs: checked.needs, has_errors }
    }
}

fn laid_out(bytes: &[u8]) -> String {
    let mut sources = Sources::default();
    let (id, _) = take_in(&mut sources, "x.tune", bytes);
    let text = sources.get(id).text();
    layout::format(&read_tree(id, text).0, text)
}

fn comments(text: &str) -> Vec<String> {
    let mut sources = Sources::default();
    let id: SourceId = sources.add("x.tune", text);
    let tokens = tokens(id, text, 0);
    let comments = tokens.iter().filter(|token| token.kind == TokenKind::Comment);
    comments.map(|token| sources.slice(token.span).trim().to_owned()).collect()
}

/// A journal with each of its checksums made right.
fn sealed_anew(text: &str) -> String {
    let (mut out, mut body, mut before) = (String::new(), String::new(), String::new());
    for line in text.split_inclusive('\n') {
        if !["seal = \"", "check = \""].iter().any(|key| line.starts_with(key)) {
            body += line;
            continue;
        }
        let hash = Sha256::digest(format!("{before}\n{body}"));
        let first = hash.iter().take(8).fold(0_u64, |first, byte| (first << 8) | u64::from(*byte));
        before = format!("{first:016x}");
        out += &format!("{body}seal = \"{before}\"\n");
        body.clear();
    }
    out + &body
}

/// A journal that can be read is the same when it is written anew, and its ride can be followed.
fn rides_on(journal: &Journal) {
    let (mut text, mut check) = write_head(&journal.head);
    for entry in &journal.entries {
        let (more, next) = match entry {
            Entry::Answer(record) => write_record(record, &check),
            Entry::Change(change) => write_change(change, &check),
        };
        text += &more;
        check = next;
    }
    let again = read_journal(text.as_bytes()).unwrap_or_else(|damage| panic!("{damage:?}\n{text}"));
    assert_eq!(again.head, journal.head);
    assert_eq!(again.entries, journal.entries);
    let last = journal.entries.iter().rev().find_map(|entry| match entry {
        Entry::Change(change) => Some(change),
        Entry::Answer(_) => None,
    });
    let last = last.unwrap_or(&journal.head.set);
    if let Some(plan) = plan_of(last) {
        follow(&Arc::new(plan), journal);
    }
}

/// The plan of a set that a journal keeps, as the ride begins it.
fn plan_of(set: &Change) -> Option<Plan> {
    let mut sources = Sources::default();
    for (name, text) in &set.files {
        sources.add(name.clone(), text.clone());
    }
    let mut plan = check_set(&sources).plan?;
    if let Some((_, text)) = &set.from {
        let recorded = read_settings(text, plan.bike()).ok()?;
        plan = plan.starting_from(&recorded.kept).ok()?.plan;
    }
    Some(if set.recount { plan.recounted() } else { plan })
}

/// A question is the same when it is read from its written form, even if it is spelt otherwise.
fn is_read(session: &Session, ask: &Ask) {
    let written = Question::of(session, ask);
    assert!(written.is(session, ask), "{written:?}");
    let otherwise = Question { ask: written.ask.to_uppercase(), ..written };
    // a list may have an adjuster with the name of another in its own
    assert!(otherwise.is(session, ask) || matches!(ask, Ask::Fit { .. }), "{otherwise:?}");
}

/// Answers as far as they fit, question by question; then the settings.
fn follow(plan: &Arc<Plan>, journal: &Journal) {
    let records: Vec<&Record> = journal
        .entries
        .iter()
        .filter_map(|entry| match entry {
            Entry::Answer(record) => Some(record),
            Entry::Change(_) => None,
        })
        .collect();
    let log: Vec<What> = records.iter().map(|record| record.said.what.clone()).collect();
    let mut session = Session::begin(Arc::clone(plan), journal.head.seed);
    for index in standing(&log) {
        if let Some(ask) = session.ask() {
            let recorded = &records[index].question;
            let _ = recorded.is(&session, &ask);
            let _ = (show::recorded(recorded), show::asked(&session, &ask));
            is_read(&session, &ask);
            let _ = show::what_to_do(&session, &session.wanted(&ask));
        }
        let What::Answer(answer) = &log[index] else { continue };
        match session.answer(answer) {
            Ok(next) => session = next,
            Err(mismatch) => {
                let _ = show::mismatch(&session, &mismatch);
                break;
            }
        }
        let _ = show::news(&session, 60);
    }
    let _ = show::standing(&session, 60);
    let outcome = session.so_far();
    let _ = show::settings(plan, &outcome, 60);
    let sheet = Sheet {
        plan,
        outcome: &outcome,
        saved: &journal.head.started,
        journal: Some("j.ride.toml"),
        earlier: None,
    };
    let written = write_settings(None, &sheet).unwrap_or_else(|reason| panic!("{reason:?}"));
    match read_settings(&written, plan.bike()) {
        Ok(recorded) => {
            assert!(recorded.strangers.is_empty(), "{:?} in\n{written}", recorded.strangers);
            let restart = plan.starting_from(&recorded.kept);
            assert!(restart.is_ok(), "{restart:?} from\n{written}");
        }
        Err(NotSettings::Nothing) => {}
        Err(reason) => panic!("{reason:?}:\n{written}"),
    }
}

/// A text as the settings of a bike: to begin from, and to write into.
fn settings(text: &str) {
    let mut sources = Sources::default();
    sources.add("set.tune", SETTINGS_SET);
    let plan = Arc::new(check_set(&sources).plan.unwrap_or_else(|| panic!("the set of settings is unsound")));
    if let Ok(recorded) = read_settings(text, plan.bike())
        && let Ok(restart) = plan.starting_from(&recorded.kept)
    {
        let session = Session::begin(Arc::new(restart.plan.clone()), 0);
        assert!(session.ask().is_some());
        let _ = restart.plan.recounted();
    }
    let session = Session::begin(Arc::clone(&plan), 0);
    let session = session.answer(&Answer::Text("dry".to_owned())).unwrap_or(session);
    let outcome = session.so_far();
    let sheet = Sheet {
        plan: &plan,
        outcome: &outcome,
        saved: "2026-05-16T14:05:00+02:00",
        journal: Some("j"),
        earlier: None,
    };
    let Ok(written) = write_settings(Some(text), &sheet) else { return };
    let recorded = read_settings(&written, plan.bike());
    assert!(recorded.is_ok(), "{recorded:?} of\n{written}");
    assert_eq!(write_settings(Some(&written), &sheet), Ok(written), "written twice is not written once");
}

/// What can be read as an answer is the same when it is read from a journal.
fn answers(line: &str) {
    let Ok(typed) = read_answers(line) else { return };
    let set = Change { files: Vec::new(), from: None, recount: false, fingerprint: String::new() };
    let time = "2026-05-16T14:05:00+02:00".to_owned();
    let head = Head {
        plan: String::new(),
        bike: String::new(),
        rider: None,
        started: time.clone(),
        seed: 0,
        starts: Vec::new(),
        set,
    };
    for typed in typed {
        let Typed::Said(said) = typed else { continue };
        let question = Question {
            ask: "lap".to_owned(),
            adjuster: None,
            about: None,
            from: None,
            to: None,
            against: None,
        };
        let record = Record { number: 1, lap: 1, time: time.clone(), question, said };
        let (mut text, check) = write_head(&head);
        text += &write_record(&record, &check).0;
        let journal = read_journal(text.as_bytes()).unwrap_or_else(|damage| panic!("{damage:?}\n{text}"));
        assert_eq!(journal.entries, [Entry::Answer(record)], "{line}");
    }
}
