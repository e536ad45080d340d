//! Owns how each question is worded: what to type, an example, what Enter alone does.
//! It knows nothing of widths or screens, nor of what an answer changes.

use crate::physics::{Unit, decimal};
use crate::plan::{Setup, StartRule, Uncounted};
use crate::vocabulary::{AnswerWord, ENTRIES, End, Family, KNOBS, Knob, NONE, Part, capital, unit_word};

use super::taking::{silent_name, travel_entry};
use super::{Interview, Topic, judge};

/// A question in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    pub title: String,
    /// What to type.
    pub lines: Vec<Line>,
    /// What Enter alone does.
    pub enter: String,
}

/// A sentence of a question, and what could be typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    pub text: String,
    /// Empty where the sentence has none.
    pub example: String,
}

impl Line {
    /// A sentence without an example.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        Line { text: text.into(), example: String::new() }
    }

    fn with(text: &str, example: impl Into<String>) -> Self {
        Line { text: text.to_owned(), example: example.into() }
    }

    fn such_as(example: impl Into<String>) -> Self {
        Line::with("For example:", example)
    }
}

impl Question {
    fn new(title: impl Into<String>, lines: impl Into<Vec<Line>>, enter: impl Into<String>) -> Self {
        Question { title: capital(&title.into()), lines: lines.into(), enter: enter.into() }
    }
}

impl Interview {
    /// The question in words; `None` where nothing more is asked.
    #[must_use]
    pub fn question(&self) -> Option<Question> {
        let line_of = |knob: Knob| format!("{} {}", knob.word(), knob.example());
        let end = |end: End, how: &str| Line::text(format!("{}: {how}", end.word()));
        Some(match self.ask()? {
            Topic::Name => {
                let lines = [Line::text("Any name."), Line::such_as("Green trail bike")];
                Question::new("What is the bike called?", lines, silent_name())
            }
            Topic::Travel(part) => travel(*part),
            Topic::Spring(part) => {
                let lines = [
                    Line::with("Air, lowest to highest:", line_of(Knob::Air)),
                    Line::with("Coil, the springs you have:", line_of(Knob::Coil)),
                ];
                Question::new(format!("{part}: air or coil spring?"), lines, "skip this")
            }
            Topic::Adjusters(part) => adjusters(*part),
            Topic::Counted => {
                let lines = [
                    end(
                        End::Closed,
                        "turn it in gently until it stops, then count out. Most manuals do this.",
                    ),
                    end(End::Open, "turn it out gently until it stops, then count in."),
                ];
                Question::new("From which end do you count?", lines, End::Closed.word())
            }
            Topic::Range(part, knob) => self.range_question(*part, knob),
            Topic::Sag(part, knob) => self.sag_question(*part, knob),
            Topic::Start(part, knob) => self.start_question(*part, knob),
        })
    }

    fn range_question(&self, part: Part, knob: &Knob) -> Question {
        let enter = match self.silent_range(part, knob) {
            Some(_) if *knob == Knob::Pressure => format!("same as the {}; or type {NONE}", Part::FrontTyre),
            Some(says) if knob.may_be_counted() => format!("{says} (you count them before the first lap)"),
            Some(says) => says,
            None => "skip this".to_owned(),
        };
        let (clicks, turns) = (unit_word(Unit::Clicks), unit_word(Unit::Turns));
        let example = || Line::such_as(knob.example());
        let or_turns = |number| Line::with("or", format!("{number} {turns}"));
        let (asked, lines) = match knob {
            Knob::Air => (
                "lowest and highest pressure?",
                vec![example(), Line::text("The highest is the limit printed on the part.")],
            ),
            Knob::Coil => ("which springs do you have?", vec![example()]),
            Knob::Preload => ("how far does it go?", vec![example(), or_turns("2")]),
            Knob::Spacers => ("how many can it take?", vec![example()]),
            Knob::Lockout => ("which positions?", vec![Line::with("From open to closed:", knob.example())]),
            Knob::Pressure => ("lowest and highest pressure?", vec![example()]),
            _ => {
                let mut lines = vec![
                    Line::such_as(format!("18 {clicks} or 3 {turns}")),
                    Line::with("With a start setting:", format!("18 {clicks}, start 9")),
                ];
                if matches!(knob, Knob::Own(_)) {
                    lines.push(Line::with("Or named positions, softest first:", "soft or firm"));
                }
                ("how many clicks?", lines)
            }
        };
        Question::new(format!("{}: {asked}", title(part, knob)), lines, enter)
    }

    fn sag_question(&self, part: Part, knob: &Knob) -> Question {
        let enter = match judge::silent_sag(&self.draft, part, knob) {
            Some((low, high)) => {
                let percent = unit_word(Unit::Percent);
                format!("{} to {} {percent}, common practice", decimal(low), decimal(high))
            }
            None => "decide later".to_owned(),
        };
        let (share, length) =
            if part == Part::Shock { ("28 to 33 %", "15 to 18 mm") } else { ("18 to 22 %", "27 to 33 mm") };
        let lines = if self.draft.has_travel(part) {
            vec![Line::such_as(format!("{share} or {length}"))]
        } else {
            let moves = travel_entry(part).words();
            vec![
                Line::such_as(length),
                Line::text(format!("You can't use % because the {moves} isn't known.")),
            ]
        };
        Question::new(format!("{}: what target sag?", title(part, knob)), lines, enter)
    }

    fn start_question(&self, part: Part, knob: &Knob) -> Question {
        let setup = judge::setup(&self.draft, part, knob);
        let (example, light, heavy) = examples(knob, setup.as_ref());
        let kilograms = unit_word(Unit::Kilogram);
        let rows = format!("{light} at 60 {kilograms}, {heavy} at 90 {kilograms}");
        let names = setup.as_ref().and_then(Setup::scale).is_some_and(|scale| scale.unit().is_none());
        let mut lines = vec![Line::such_as(example)];
        if !names {
            lines.push(Line::with("or, by rider weight:", rows));
        }
        let enter = setup.map_or("decide later".to_owned(), |setup| silent_start(knob, &setup));
        let asked = match knob {
            Knob::Air | Knob::Pressure => "what pressure to start with?",
            Knob::Coil => "which spring to start with?",
            Knob::Spacers => "how many to start with?",
            _ => "what setting to start with?",
        };
        Question::new(format!("{}: {asked}", title(part, knob)), lines, enter)
    }
}

/// An adjuster's name; a tyre has but one adjuster.
fn title(part: Part, knob: &Knob) -> String {
    if *knob == Knob::Pressure { part.to_string() } else { format!("{part} {}", knob.word()) }
}

fn travel(part: Part) -> Question {
    let row = ENTRIES.iter().find(|row| row.entry == travel_entry(part));
    let example = row.map_or("", |row| row.example.strip_prefix(row.words).unwrap_or(row.example).trim());
    let unknown = AnswerWord::Unknown.word();
    if part == Part::Shock {
        let lines = [
            Line::such_as(format!("{example} or {unknown}")),
            Line::text("This is the shock's own stroke, not the rear wheel travel."),
        ];
        Question::new(format!("{part}: how long is its stroke?"), lines, format!("no {part}"))
    } else {
        let lines = [Line::such_as(example), Line::text(format!("or {NONE} for a rigid fork"))];
        Question::new(format!("{part}: how much travel?"), lines, "not known")
    }
}

fn adjusters(part: Part) -> Question {
    let short = |plain: &Knob| {
        let halves = KNOBS.iter().filter(move |row| row.knob.plain().as_ref() == Some(plain));
        halves.filter_map(|row| row.also.first()).map(|short| short.to_uppercase()).collect::<Vec<_>>()
    };
    let split = |plain: &Knob| Line::text(format!("{}, or {}", plain.word(), short(plain).join(" and ")));
    let (rebound, lockout) = (Knob::Rebound.word(), Knob::Lockout.word());
    let example = format!("{rebound}, {}, {lockout}", short(&Knob::Compression).join(", "));
    let lines = [
        Line::such_as(example),
        Line::text("Choose from:"),
        split(&Knob::Rebound),
        split(&Knob::Compression),
        Line::text(format!("{lockout}, {}, {}", Knob::Preload.word(), Knob::Spacers.word())),
        Line::with("your own, in quotes:", "\"bottoming resistance\""),
    ];
    Question::new(format!("{part}: which adjusters?"), lines, format!("just {rebound}"))
}

/// Three places on an adjuster as they could be typed: one, and those for a light and a heavy rider.
fn examples(knob: &Knob, setup: Option<&Setup>) -> (String, String, String) {
    let damps = matches!(knob.family(), Family::Rebound | Family::Compression);
    // what is known is given by its position; a number that is not counted yet by the end it counts from
    let counts_open = matches!(setup, Some(Setup::Uncounted(uncounted)) if uncounted.counted() == End::Open);
    let falling = damps && !counts_open;
    let ordered =
        |low: String, mid: String, high: String| if falling { (mid, high, low) } else { (mid, low, high) };
    if let Some(scale) = setup.and_then(Setup::scale) {
        let top = scale.top();
        let said = |position: u32| scale.said(position);
        return ordered(said(top / 3), said(top.div_ceil(2)), said(top - top / 3));
    }
    let unit = setup.and_then(Setup::unit).unwrap_or(Unit::Clicks);
    let said = |number: &str| format!("{number} {}", unit_word(unit));
    if unit == Unit::Turns {
        ordered(said("1 1/4"), said("1 1/2"), said("2"))
    } else {
        ordered(said("7"), said("9"), said("12"))
    }
}

/// Where an adjuster starts when its line is silent, in words.
fn silent_start(knob: &Knob, setup: &Setup) -> String {
    let damps = !matches!(knob.family(), Family::Spring | Family::Tyre);
    match setup {
        Setup::Unstarted(_) => "you'll be asked when you ride".to_owned(),
        Setup::Uncounted(uncounted) => uncounted_start(uncounted),
        Setup::Known(dial) => {
            let (at, said) = (dial.start(), dial.scale().said_in_full(dial.start()));
            let word = match at {
                _ if !damps || dial.scale().unit().is_none() => String::new(),
                at if at == dial.end(End::Open) => format!("{}, ", fully(End::Open)),
                at if at == dial.middle() => "the middle, ".to_owned(),
                _ => String::new(),
            };
            format!("{word}{said}")
        }
    }
}

fn uncounted_start(uncounted: &Uncounted) -> String {
    match uncounted.start_rule() {
        StartRule::End(end) => fully(end),
        _ => "the middle, when you have counted".to_owned(),
    }
}

fn fully(end: End) -> String {
    format!("fully {}", end.word())
}
