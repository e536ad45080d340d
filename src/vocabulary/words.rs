//! Owns headings, entries and clauses: which word may open a line or a clause, under which
//! heading, and what must follow. It knows nothing of how the phrases that follow are read.

use std::sync::LazyLock;

use super::{KNOBS, OWN, PARTS};
use crate::physics::Kind;
pub use crate::search::{Effort, Method};

/// What a section of a file is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Heading {
    Plan,
    Bike,
    Rider,
    Part,
    Trail,
    Steps,
    Use,
    Language,
}

/// The entries that may stand under a heading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Entry {
    Author,
    Method,
    Effort,
    SecondQuestion,
    AtMost,
    Change,
    Needs,
    Weight,
    Lap,
    WarmUp,
    GoodFor,
    Travel,
    Stroke,
    ReadTo,
    Adjuster,
    Say,
    Ride,
    Record,
    Set,
    Measure,
    Tune,
    Revisit,
    Confirm,
}

/// The clauses that may follow an entry, parted by commas.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Clause {
    Step,
    Start,
    Row,
    Counted,
    Sag,
    Begin,
    Within,
    AtMost,
    Method,
    Feel,
    Between,
    Blind,
    Pairs,
    IfFitted,
}

/// A phrase that must stand at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slot {
    Text,
    Number,
    Value(&'static [Kind]),
    PartName,
    Knob,
    Scale,
    /// A place, or rows of a value at a weight.
    Start,
    /// One more row of a table begun before.
    Row,
    End,
    Window,
    Way,
    Which,
    WhichOrEverything,
    Method,
    Effort,
    YesNo,
    Settings,
    RideLength,
    Recorded,
    /// `to` a place, or so much one way.
    Target,
    Between,
}

impl Method {
    /// All methods.
    pub const ALL: [Method; 3] = [Method::Bracket, Method::CrossOut, Method::Narrow];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Method::Bracket => "bracket",
            Method::CrossOut => "cross-out",
            Method::Narrow => "narrow",
        }
    }
}

impl Effort {
    /// All efforts.
    pub const ALL: [Effort; 3] = [Effort::Quick, Effort::Usual, Effort::Thorough];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Effort::Quick => "quick",
            Effort::Usual => "usual",
            Effort::Thorough => "thorough",
        }
    }
}

/// One heading of the vocabulary.
#[derive(Debug)]
pub struct HeadingRow {
    pub heading: Heading,
    pub word: &'static str,
    pub form: &'static [Slot],
    pub meaning: &'static str,
    /// A line to paste.
    pub example: &'static str,
}

/// One entry of the vocabulary.
#[derive(Debug)]
pub struct EntryRow {
    pub entry: Entry,
    pub under: Heading,
    /// Its opening words; empty where the first phrase itself opens it (an adjuster's name).
    pub words: &'static str,
    pub form: &'static [Slot],
    pub clauses: &'static [Clause],
    pub meaning: &'static str,
    /// A line to paste.
    pub example: &'static str,
}

/// One clause of the vocabulary.
#[derive(Debug)]
pub struct ClauseRow {
    pub clause: Clause,
    /// Its opening words; empty where a number opens it.
    pub words: &'static str,
    pub form: &'static [Slot],
    pub meaning: &'static str,
}

macro_rules! headings {
    ($($heading:ident $word:literal $form:expr, $meaning:literal, $example:literal;)*) => {
        /// Every heading.
        pub const HEADINGS: &[HeadingRow] = &[
            $(HeadingRow {
                heading: Heading::$heading, word: $word, form: $form, meaning: $meaning, example: $example,
            },)*
        ];
    };
}

macro_rules! entries {
    ($($entry:ident $under:ident $words:literal $form:expr, $clauses:expr, $meaning:literal, $example:literal;)*) => {
        /// Every entry.
        pub const ENTRIES: &[EntryRow] = &[
            $(EntryRow {
                entry: Entry::$entry, under: Heading::$under, words: $words, form: $form,
                clauses: $clauses, meaning: $meaning, example: $example,
            },)*
        ];
    };
}

macro_rules! clauses {
    ($($clause:ident $words:literal $form:expr, $meaning:literal;)*) => {
        /// Every clause.
        pub const CLAUSES: &[ClauseRow] = &[
            $(ClauseRow {
                clause: Clause::$clause, words: $words, form: $form, meaning: $meaning,
            },)*
        ];
    };
}

headings! {
    Plan "plan" &[Slot::Text], "a plan, by its title", "plan \"First visit\"";
    Bike "bike" &[Slot::Text], "a bike, by its name", "bike \"My bike\"";
    Rider "rider" &[Slot::Text], "the rider, by name", "rider \"Mo\"";
    Part "part" &[Slot::PartName], "a part of the bike that carries adjusters", "part fork";
    Trail "trail" &[Slot::Text], "the loop that is ridden again and again", "trail \"Mill loop\"";
    Steps "steps" &[], "what is done, in this order", "steps";
    Use "use" &[Slot::Text], "takes in another file of the set", "use \"bike.tune\"";
    Language "language" &[Slot::Number], "the edition of the language", "language 1";
}

entries! {
    Author Plan "author" &[Slot::Text], &[], "who wrote the plan", "author \"Harbour Hill coaching\"";
    Method Plan "method" &[Slot::Method], &[], "how every tune searches, unless it says otherwise", "method bracket";
    Effort Plan "effort" &[Slot::Effort], &[], "how much certainty the search is to give", "effort usual";
    SecondQuestion Plan "second question" &[Slot::YesNo], &[], "whether a lap may be compared twice", "second question yes";
    AtMost Plan "at most" &[Slot::Value(&[Kind::Laps, Kind::Time])], &[], "the most laps, or hours, of the whole ride", "at most 36 laps";
    Change Plan "change" &[Slot::Value(&[Kind::Time])], &[], "how long one change of settings takes", "change 2 min";
    Needs Plan "needs" &[Slot::Settings], &[], "the ride must start from recorded settings", "needs settings";
    Weight Rider "weight" &[Slot::Value(&[Kind::Mass])], &[], "the rider's weight, ready to ride", "weight 78 kg";
    Lap Trail "lap" &[Slot::Value(&[Kind::Time])], &[], "how long one lap takes", "lap 4 min";
    WarmUp Trail "warm-up" &[Slot::Value(&[Kind::Laps])], &[], "laps before the first verdict", "warm-up 2 laps";
    GoodFor Trail "good for" &[Slot::Value(&[Kind::Time])], &[], "how long laps can be compared when the ride pauses", "good for 2 h";
    Travel Part "travel" &[Slot::Value(&[Kind::Length])], &[], "how far the fork can move", "travel 150 mm";
    Stroke Part "stroke" &[Slot::Value(&[Kind::Length])], &[], "how far the shock can move", "stroke 55 mm";
    ReadTo Part "read to" &[Slot::Value(&[Kind::Length])], &[], "how finely sag is read", "read to 1 mm";
    Adjuster Part "" &[Slot::Knob, Slot::Scale], &[Clause::Step, Clause::Start, Clause::Row, Clause::Counted, Clause::Sag], "an adjuster and its range", "rebound 0 to 18 clicks";
    Say Steps "say" &[Slot::Text], &[], "shows a text", "say \"Check tyre pressures first.\"";
    Ride Steps "ride" &[Slot::RideLength], &[], "laps without a verdict", "ride 2 laps";
    Record Steps "record" &[Slot::Recorded], &[], "asks for something once and keeps it with the settings", "record temperature";
    Set Steps "set" &[Slot::Which, Slot::Target], &[Clause::IfFitted], "has an adjuster put somewhere", "set every lockout to open";
    Measure Steps "measure" &[Slot::Which], &[Clause::IfFitted], "finds a spring by its sag", "measure every spring";
    Tune Steps "tune" &[Slot::Which], &[Clause::Begin, Clause::Within, Clause::AtMost, Clause::Method, Clause::Feel, Clause::IfFitted], "finds the best setting by a verdict a lap", "tune every rebound";
    Revisit Steps "revisit" &[Slot::Which], &[Clause::IfFitted], "a second, short look at what was tuned", "revisit every rebound";
    Confirm Steps "confirm" &[Slot::WhichOrEverything], &[Clause::Between, Clause::Blind, Clause::Pairs, Clause::IfFitted], "pairs of laps, start against found", "confirm everything, blind, 5 pairs";
}

clauses! {
    Step "step" &[Slot::Value(&[Kind::Clicks, Kind::Turns, Kind::Spacers, Kind::Pressure, Kind::SpringRate, Kind::Length, Kind::Positions])], "how far one change goes";
    Start "start" &[Slot::Start], "where it stands at first";
    Row "" &[Slot::Row], "one more start, at another weight";
    Counted "counted from" &[Slot::End], "from which end its numbers count";
    Sag "sag" &[Slot::Window], "the sag that is aimed at";
    Begin "begin" &[Slot::Way], "which way comes first";
    Within "within" &[Slot::Value(&[Kind::Clicks, Kind::Turns, Kind::Spacers, Kind::Pressure, Kind::SpringRate, Kind::Length, Kind::Positions])], "how far about where it stands";
    AtMost "at most" &[Slot::Value(&[Kind::Laps])], "the most laps for each adjuster";
    Method "method" &[Slot::Method], "how this tune searches";
    Feel "feel" &[Slot::Text], "what the rider attends to";
    Between "between" &[Slot::Between], "which two places are compared";
    Blind "blind" &[], "the rider does not know which is fitted";
    Pairs "" &[Slot::Value(&[Kind::Pairs])], "how many pairs of laps";
    IfFitted "if fitted" &[], "passes over what the bike does not have";
}

impl Heading {
    /// Its row in the vocabulary.
    #[must_use]
    pub fn row(self) -> &'static HeadingRow {
        HEADINGS.iter().find(|row| row.heading == self).unwrap_or(&HEADINGS[0])
    }

    /// Whether entries may follow it.
    #[must_use]
    pub fn has_entries(self) -> bool {
        ENTRIES.iter().any(|row| row.under == self)
    }
}

impl Entry {
    /// The words that open it; empty where its first phrase does.
    #[must_use]
    pub fn words(self) -> &'static str {
        ENTRIES.iter().find(|row| row.entry == self).map_or("", |row| row.words)
    }
}

impl Clause {
    /// Its row in the vocabulary.
    #[must_use]
    pub fn row(self) -> &'static ClauseRow {
        CLAUSES.iter().find(|row| row.clause == self).unwrap_or(&CLAUSES[0])
    }
}

/// The words inside phrases that never open a line of their own.
const CONNECTING: &[&str] = &["to", "or", "by", "at", "and", "in", "from"];

/// Whether a word joins the parts of a phrase and opens no line of its own, but for `at most`.
#[must_use]
pub fn joins(word: &str) -> bool {
    CONNECTING.contains(&word)
}

fn first_word(words: &str) -> &str {
    words.split(' ').next().unwrap_or("")
}

/// First words that open a line under a heading, and those that go on from one.
type FirstWords = (Vec<&'static str>, Vec<&'static str>);

/// For each heading, in the order of [`HEADINGS`]. They are looked at for every line of a file.
static FIRST_WORDS: LazyLock<Vec<FirstWords>> =
    LazyLock::new(|| HEADINGS.iter().map(|row| (opening(row.heading), going_on(row.heading))).collect());

fn first_words(heading: Heading) -> Option<&'static FirstWords> {
    FIRST_WORDS.get(HEADINGS.iter().position(|row| row.heading == heading)?)
}

/// The first words that open an entry under a heading.
#[must_use]
pub fn openers(heading: Heading) -> &'static [&'static str] {
    first_words(heading).map_or(&[], |words| &words.0)
}

/// The first words with which a line under a heading goes on from the line above.
#[must_use]
pub fn continuers(heading: Heading) -> &'static [&'static str] {
    first_words(heading).map_or(&[], |words| &words.1)
}

fn opening(heading: Heading) -> Vec<&'static str> {
    let mut words = Vec::new();
    for row in ENTRIES.iter().filter(|row| row.under == heading) {
        if row.words.is_empty() {
            words.push(OWN);
            for knob in KNOBS {
                words.extend(std::iter::once(knob.word).chain(knob.also.iter().copied()));
            }
        } else {
            words.push(row.words);
        }
    }
    let mut firsts: Vec<_> = words.into_iter().map(first_word).collect();
    firsts.sort_unstable();
    firsts.dedup();
    firsts
}

/// The entries under a heading by their whole words, for a message.
#[must_use]
pub fn entry_words(heading: Heading) -> Vec<&'static str> {
    let rows = ENTRIES.iter().filter(|row| row.under == heading);
    let mut words: Vec<_> = rows.map(|row| row.words).filter(|words| !words.is_empty()).collect();
    if heading == Heading::Part {
        words.extend(KNOBS.iter().map(|knob| knob.word));
        words.push("adjuster \"...\"");
    }
    words
}

fn going_on(heading: Heading) -> Vec<&'static str> {
    let openers = opening(heading);
    let clauses = ENTRIES
        .iter()
        .filter(|row| row.under == heading)
        .flat_map(|row| row.clauses)
        .map(|clause| first_word(clause.row().words))
        .filter(|word| !word.is_empty());
    let connecting = CONNECTING.iter().copied().filter(|word| !openers.contains(word));
    let mut words: Vec<_> = clauses.chain(connecting).collect();
    words.sort_unstable();
    words.dedup();
    words
}

/// The part that opens with these two words (the second only where it is needed).
#[must_use]
pub fn part_named(first: &str, second: Option<&str>) -> Option<(super::Part, usize)> {
    let both = second.map(|second| format!("{first} {second}"));
    PARTS.iter().find_map(|&(part, word, also, _)| {
        let spellings = std::iter::once(word).chain(also.iter().copied());
        spellings.into_iter().find_map(|spelling| {
            if spelling == first {
                Some((part, 1))
            } else {
                (Some(spelling) == both.as_deref()).then_some((part, 2))
            }
        })
    })
}
