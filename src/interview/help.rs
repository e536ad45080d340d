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
                "The name goes in the file and becomes the file's name. If it is also a key, such as h, \
                    put it in quotes."
                    .to_owned(),
            ],
            Topic::Travel(part) => travel(*part),
            Topic::Spring(part) => springs(*part),
            Topic::Adjusters(part) => adjusters(*part),
            Topic::Counted => vec![
                "Turn an adjuster gently to fully closed. If you call that 0, you count from closed; if it \
                    is your highest number, you count from open."
                    .to_owned(),
                "All clicks and turns are then counted that way, unless a line says otherwise.".to_owned(),
            ],
            Topic::Range(_, knob) => range(knob),
            Topic::Sag(..) => vec![
                "Sag is how far the fork or shock sinks under your weight, in full kit, standing on the \
                    pedals."
                    .to_owned(),
                "Give a range: you can't hit one exact figure.".to_owned(),
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
            AnswerWord::Quit => "stop here and print what you have so far",
            _ => row.meaning,
        };
        format!("{} {}: {meaning}", row.key, row.label)
    })
    .collect()
}

fn travel(part: Part) -> Vec<String> {
    let what = match travel_entry(part) {
        Entry::Stroke => {
            "The stroke is how far the shock itself compresses. It is printed on the shock or in the manual."
        }
        _ => "You'll find the travel in the manual of the fork or bike.",
    };
    let unknown = AnswerWord::Unknown.word();
    vec![
        what.to_owned(),
        "Sag in % is worked out from it.".to_owned(),
        format!("Type {unknown} to carry on without it, or {NONE} if the bike has none."),
    ]
}

fn springs(part: Part) -> Vec<String> {
    let mut lines = meanings(|knob| knob.is_spring() && knob.belongs_to(part));
    lines.push("The highest pressure is the limit printed on the part.".to_owned());
    lines.push("For coils, list the one on the bike and any others you can get.".to_owned());
    lines.push(format!("Just {}: you'll be asked for its range next.", Knob::Air.word()));
    lines
}

fn adjusters(part: Part) -> Vec<String> {
    let mut lines = meanings(|knob| !knob.is_spring() && knob.belongs_to(part));
    lines.push("High- and low-speed damping has two knobs, often one inside the other.".to_owned());
    let clicks = unit_word(Unit::Clicks);
    lines.push(format!("You can add a range after a name: `{} 18 {clicks}, start 9`", Knob::Rebound.word()));
    lines.push(format!("{NONE}: it has no adjusters."));
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
        lines.push("Turn it gently to fully closed, then count the clicks to fully open.".to_owned());
        lines.push(format!(
            "`{NOT_COUNTED} {clicks}`, `{NOT_COUNTED} {turns}`: you count them when you start riding the \
                plan."
        ));
        lines.push(format!("Parts of a turn: `2 1/2 {turns}`"));
    }
    if *knob == Knob::Lockout {
        lines.push("Use the names on the lever or in the manual, softest first.".to_owned());
    }
    lines.push("You can add more after a comma:".to_owned());
    let clauses = adjuster_clauses().filter(|clause| match clause {
        Clause::Sag => knob.is_spring(),
        Clause::Counted => knob.may_be_counted(),
        _ => true,
    });
    let rows = clauses.map(Clause::row).filter(|row| !row.words.is_empty());
    lines.extend(rows.map(|row| format!("{}: {}", row.words, row.meaning)));
    lines.push(format!("{NONE}: the bike hasn't got one."));
    lines
}

fn start(knob: &Knob) -> Vec<String> {
    let mut lines = vec![
        "The setting to start from: what the manual says, or what is on the bike now.".to_owned(),
        "To start by rider weight, give two or more weights, lightest first. For weights in between, \
            clickwise works out the start."
            .to_owned(),
    ];
    if !matches!(knob.family(), Family::Spring | Family::Tyre) {
        let places = PLACES.iter().filter(|row| row.0.can_start());
        lines.extend(places.map(|row| format!("{}: {}", row.1, row.2)));
    }
    lines
}
