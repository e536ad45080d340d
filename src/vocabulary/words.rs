//! Owns the table of headings, entries and clauses: which word may open a line or a clause, under which
//! heading, and what must follow. From it come the words' kinds, their rows here, and the view of a line
//! that has been read (`language::view`). It knows nothing of how the phrases that follow are read.

use crate::physics::Kind;

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
    /// A way, and the word `first`, which may be left out.
    WayFirst,
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

/// A slot of a form, with the kinds of units that it takes.
macro_rules! slot {
    ($slot:ident) => {
        Slot::$slot
    };
    ($slot:ident $($kind:ident)+) => {
        Slot::$slot(&[$(Kind::$kind),+])
    };
}

/// Gives every heading to a macro: its word, what follows it by name, its meaning and a line to paste.
macro_rules! heading_table {
    ($to:ident) => {
        $to! {
            Plan "plan" { title: Text } "a plan, by its title", "plan \"First visit\"";
            Bike "bike" { name: Text } "a bike, by its name", "bike \"My bike\"";
            Rider "rider" { name: Text } "the rider, by name", "rider \"Mo\"";
            Part "part" { part: PartName } "a part of the bike with adjusters", "part fork";
            Loop "loop" { name: Text } "the loop you ride again and again", "loop \"Mill loop\"";
            Steps "steps" {} "what to do, in order", "steps";
            Use "use" { file: Text } "includes another file", "use \"bike.tune\"";
            Language "language" { edition: Number } "the version of the language", "language 1";
        }
    };
}

/// Gives every entry, by its heading, to a macro: its opening words (none where the first phrase itself opens
/// it: an adjuster's name), what follows by name, the clauses that may follow, its meaning and a line to paste.
macro_rules! entry_table {
    ($to:ident) => {
        $to! {
            Plan plan {
                Author "author" { name: Text } {}
                    "who wrote the plan", "author \"Harbour Hill coaching\"";
                Method "method" { method: Method } {}
                    "how every `tune` line searches, unless that line says otherwise", "method bracket";
                Effort "effort" { effort: Effort } {}
                    "how sure you want to be", "effort normal";
                CompareTwice "compare twice" { asked: YesNo } {}
                    "whether a lap is compared with two earlier laps, or with one", "compare twice yes";
                AtMost "at most" { most: Value [Laps Time] } {}
                    "the most laps or hours for the whole session", "at most 36 laps";
                Change "change" { time: Value [Time] } {}
                    "how long it takes to change a setting", "change 2 min";
                Needs "needs" { settings: Settings } {}
                    "start from saved settings (--from)", "needs settings";
            }
            Rider rider {
                Weight "weight" { weight: Value [Mass] } {}
                    "the rider's weight in full kit", "weight 78 kg";
            }
            Loop laps {
                Lap "lap" { time: Value [Time] } {}
                    "how long one lap takes", "lap 4 min";
                WarmUp "warm-up" { laps: Value [Laps] } {}
                    "laps before the first one you judge", "warm-up 2 laps";
                GoodFor "good for" { time: Value [Time] } {}
                    "how long you can pause before a new baseline lap", "good for 2 h";
            }
            Part part {
                Travel "travel" { length: Value [Length] } {}
                    "the fork's travel", "travel 150 mm";
                Stroke "stroke" { length: Value [Length] } {}
                    "the shock's stroke (not the wheel travel)", "stroke 55 mm";
                MeasuredTo "measured to" { length: Value [Length] } {}
                    "how finely you measure sag", "measured to 1 mm";
                Adjuster "" { knob: Knob, scale: Scale } { step: Step, start: Start, rows: Row many, counted: Counted, sag: Sag }
                    "an adjuster and its range", "rebound 0 to 18 clicks";
            }
            Steps steps {
                Say "say" { text: Text } {}
                    "shows a message", "say \"Check tyre pressures first.\"";
                Ride "ride" { length: RideLength } {}
                    "laps you don't judge", "ride 2 laps";
                Record "record" { what: Recorded } {}
                    "asks for something once and saves it with the settings", "record temperature";
                Set "set" { which: Which, target: Target } { if_fitted: IfFitted }
                    "sets an adjuster", "set every lockout to open";
                Measure "measure" { which: Which } { if_fitted: IfFitted }
                    "finds the right pressure or spring by measuring sag", "measure every spring";
                Tune "tune" { which: Which } { first_way: Try, within: Within, at_most: AtMost, method: Method, feel: Feel, if_fitted: IfFitted }
                    "finds the best setting by comparing laps", "tune every rebound";
                Revisit "revisit" { which: Which } { if_fitted: IfFitted }
                    "checks a setting you have tuned, in fewer laps", "revisit every rebound";
                Confirm "confirm" { which: WhichOrEverything } { between: Between, blind: Blind, pairs: Pairs, if_fitted: IfFitted }
                    "pairs of laps, start setting against new setting", "confirm everything, blind, 5 pairs";
            }
        }
    };
}

/// Gives every clause to a macro: its opening words (none where a number opens it), what follows by name, its
/// meaning.
macro_rules! clause_table {
    ($to:ident) => {
        $to! {
            Step "step" { size: Value [Clicks Turns Spacers Pressure SpringRate Length Positions] } "how big one change is";
            Start "start" { start: Start } "the setting to start from";
            Row "" { row: Row } "a start for another weight";
            Counted "counted from" { end: End } "which end you count from";
            Sag "sag" { window: Window } "the target sag";
            Try "try" { way: WayFirst } "which way to try first, as in `try faster first`";
            Within "within" { far: Value [Clicks Turns Spacers Pressure SpringRate Length Positions] } "how far to search either side of its setting now";
            AtMost "at most" { laps: Value [Laps] } "the most laps for each adjuster";
            Method "method" { method: Method } "how this line searches";
            Feel "feel" { text: Text } "what to pay attention to";
            Between "between" { places: Between } "the two settings to compare";
            Blind "blind" {} "the rider doesn't know which setting is on the bike";
            Pairs "" { pairs: Value [Pairs] } "number of pairs of laps";
            IfFitted "if fitted" {} "skips the step if the bike doesn't have it";
        }
    };
}

pub(crate) use {clause_table, entry_table, heading_table};

macro_rules! headings {
    ($($heading:ident $word:literal { $($field:ident: $slot:ident $([$($kind:ident)+])?),* }
        $meaning:literal, $example:literal;)*) => {
        /// What a section of a file is about.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Heading { $($heading,)* }

        /// Every heading, in the order of their numbers.
        pub const HEADINGS: &[HeadingRow] = &[
            $(HeadingRow {
                heading: Heading::$heading, word: $word, form: &[$(slot!($slot $($($kind)+)?)),*],
                meaning: $meaning, example: $example,
            },)*
        ];
    };
}

macro_rules! entries {
    ($($heading:ident $module:ident { $($entry:ident $words:literal
        { $($field:ident: $slot:ident $([$($kind:ident)+])?),* }
        { $($clause_field:ident: $clause:ident $($many:ident)?),* }
        $meaning:literal, $example:literal;)* })*) => {
        /// The entries that may stand under a heading.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Entry { $($($entry,)*)* }

        /// Every entry, in the order of their numbers.
        pub const ENTRIES: &[EntryRow] = &[
            $($(EntryRow {
                entry: Entry::$entry, under: Heading::$heading, words: $words,
                form: &[$(slot!($slot $($($kind)+)?)),*], clauses: &[$(Clause::$clause),*],
                meaning: $meaning, example: $example,
            },)*)*
        ];
    };
}

macro_rules! clauses {
    ($($clause:ident $words:literal { $($field:ident: $slot:ident $([$($kind:ident)+])?),* }
        $meaning:literal;)*) => {
        /// The clauses that may follow an entry, parted by commas.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Clause { $($clause,)* }

        /// Every clause, in the order of their numbers.
        pub const CLAUSES: &[ClauseRow] = &[
            $(ClauseRow {
                clause: Clause::$clause, words: $words, form: &[$(slot!($slot $($($kind)+)?)),*],
                meaning: $meaning,
            },)*
        ];
    };
}

heading_table!(headings);
entry_table!(entries);
clause_table!(clauses);
