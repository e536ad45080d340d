//! Owns what is said of a question when help is asked for. It knows nothing of widths or screens.

use crate::physics::Unit;
use crate::vocabulary::{
    ANSWERS, AnswerWord, Clause, Entry, Family, KNOBS, Knob, NONE, NOT_COUNTED, PLACES, Part, unit_word,
};

use super::reading::adjuster_clauses;
use super::taking::travel_entry;
use super::{Interview, Topic};

impl Interview {
    /// What can be answered to the present question, a paragraph each.
    #[must_use]
    pub fn help(&self) -> Vec<String> {
        let mut help = self.ask().map_or(Vec::new(), |ask| match ask {
            Topic::Name => vec![
                "The name stands in the file, and the file is called by it. A name that is one of the keys goes in quotes."
                    .to_owned(),
            ],
            Topic::Travel(part) => travel(*part),
            Topic::Spring(part) => springs(*part),
            Topic::Adjusters(part) => adjusters(*part),
            Topic::Counted => vec![
                "Close an adjuster gently. Where your numbers are then 0, they count from closed; where they are at their most, from open."
                    .to_owned(),
                "All numbers of clicks and turns are then read so, unless a line says otherwise.".to_owned(),
            ],
            Topic::Range(_, knob) => range(knob),
            Topic::Sag(..) => vec![
                "Sag is how far the part sinks under the rider, ready to ride and standing on the pedals.".to_owned(),
                "It is aimed at with a window, since no spring is hit to the point.".to_owned(),
            ],
            Topic::Start(_, knob) => start(knob),
        });
        help.extend(keys());
        help
    }
}

/// The keys that every question takes, a paragraph each.
fn keys() -> Vec<String> {
    let keys = [AnswerWord::Undo, AnswerWord::Quit, AnswerWord::Help];
    let rows = ANSWERS.iter().filter(|row| keys.contains(&row.answer));
    rows.map(|row| {
        let meaning = match row.answer {
            AnswerWord::Quit => "stops here; the text so far is printed",
            _ => row.meaning,
        };
        format!("{} {}: {meaning}", row.key, row.label)
    })
    .collect()
}

fn travel(part: Part) -> Vec<String> {
    let what = match travel_entry(part) {
        Entry::Stroke => {
            "The stroke is how far the shock itself can be pressed together. It is printed on the shock or in the manual."
        }
        _ => "The travel stands in the manual of the fork or of the bike.",
    };
    let unknown = AnswerWord::Unknown.word();
    vec![
        what.to_owned(),
        "Sag in % is a share of it.".to_owned(),
        format!("{unknown}: the part is asked about all the same. {NONE}: there is none."),
    ]
}

fn springs(part: Part) -> Vec<String> {
    let mut lines = meanings(|knob| knob.is_spring() && knob.belongs_to(part));
    lines.push("The most air is the limit printed on the part.".to_owned());
    lines.push("Of coils name the one fitted and those that you can get.".to_owned());
    lines.push(format!("{} alone: its range is asked next.", Knob::Air.word()));
    lines
}

fn adjusters(part: Part) -> Vec<String> {
    let mut lines = meanings(|knob| !knob.is_spring() && knob.belongs_to(part));
    lines.push("A split one has two knobs, one inside or under the other.".to_owned());
    let clicks = unit_word(Unit::Clicks);
    lines.push(format!("A range may follow a name:  {} 18 {clicks}, start 9", Knob::Rebound.word()));
    lines.push(format!("{NONE}: it has no adjuster."));
    lines
}

/// The adjusters of the vocabulary that are meant, with their short words and meanings.
fn meanings(meant: impl Fn(&Knob) -> bool) -> Vec<String> {
    let rows = KNOBS.iter().filter(|row| meant(&row.knob));
    rows.map(|row| {
        let short = row.also.first().map_or(String::new(), |short| format!(" ({})", short.to_uppercase()));
        format!("{}{short}: {}", row.word, row.meaning)
    })
    .collect()
}

fn range(knob: &Knob) -> Vec<String> {
    let mut lines = Vec::new();
    if knob.may_be_counted() {
        let (clicks, turns) = (unit_word(Unit::Clicks), unit_word(Unit::Turns));
        lines.push("Close it gently, then count out to fully open.".to_owned());
        lines.push(format!("{NOT_COUNTED} {clicks}, {NOT_COUNTED} {turns}: counted when the ride begins."));
        lines.push(format!("Parts of a turn:  2 1/2 {turns}"));
    }
    if *knob == Knob::Lockout {
        lines.push("Name the positions as the lever or the manual does, the softest first.".to_owned());
    }
    lines.push("More may follow behind a comma:".to_owned());
    let clauses = adjuster_clauses().filter(|clause| match clause {
        Clause::Sag => knob.is_spring(),
        Clause::Counted => knob.may_be_counted(),
        _ => true,
    });
    let rows = clauses.map(Clause::row).filter(|row| !row.words.is_empty());
    lines.extend(rows.map(|row| format!("{}: {}", row.words, row.meaning)));
    lines.push(format!("{NONE}: it is left out."));
    lines
}

fn start(knob: &Knob) -> Vec<String> {
    let mut lines = vec![
        "Where the ride begins: what the manual says, or what is fitted now.".to_owned(),
        "By rider weight it takes two rows or more, the lightest first; between them it is reckoned."
            .to_owned(),
    ];
    if !matches!(knob.family(), Family::Spring | Family::Tyre) {
        let places = PLACES.iter().filter(|row| row.0.can_start());
        lines.extend(places.map(|row| format!("{}: {}", row.1, row.2)));
    }
    lines
}
