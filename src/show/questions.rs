//! Owns how a question is put: where the knob must stand first, then what to do and to compare
//! with, then the keys. It knows nothing of how the answer is read.

use crate::plan::{AdjusterId, Condition};
use crate::session::{Ask, Fit, How, News, Session};
use crate::vocabulary::{ANSWERS, AnswerWord, unit_word};

use super::ruler::ruler;
use super::wrap::wrapped;

/// A question in lines of at most `width` characters.
#[must_use]
pub fn question(session: &Session, ask: &Ask, width: usize) -> Vec<String> {
    let mut page = Page { lines: Vec::new(), width };
    match ask {
        Ask::Found(id) => found(session, *id, &mut page),
        Ask::Count(id) => {
            page.head(&format!("Count: {}", session.adjuster(*id).name()));
            page.text("Close it gently, then count out to fully open. How many are there?");
            page.text(&format!("Answer like: {}", counted_like(session, *id)));
        }
        Ask::Record(condition) => record(condition, &mut page),
        Ask::Say(text) => {
            page.head("Read this");
            page.text(text);
            page.text("Enter when it is done.");
        }
        Ask::Fit { fits, first } => fit(session, fits, *first, &mut page),
        Ask::Ride { laps, warm_up } => {
            let kind = if *warm_up { "Warm up" } else { "Ride" };
            page.head(&format!("{kind}: {laps} lap{}, no verdict", if *laps == 1 { "" } else { "s" }));
            page.text("Enter when they are ridden.");
        }
        Ask::Reference(place) => {
            page.head(&lap_title(session, place.adjuster));
            stands(session, place, &mut page);
            page.text("Ride the lap that the next ones are compared with.");
            feel(session, &mut page);
            to_go(session, &mut page);
            page.text("Enter when it is ridden.");
            page.keys(&[
                AnswerWord::Void,
                AnswerWord::Keep,
                AnswerWord::Undo,
                AnswerWord::Quit,
                AnswerWord::Help,
            ]);
        }
        Ask::Way(id) => {
            let rising = session.adjuster(*id).rising();
            page.head(&format!("{}: which way first?", session.adjuster(*id).name()));
            page.text(&format!("{}, {} or either", rising.word(), rising.opposite().word()));
        }
        Ask::Lap { fit, against, again } => lap(session, fit, *against, *again, &mut page),
    }
    page.lines
}

struct Page {
    lines: Vec<String>,
    width: usize,
}

impl Page {
    fn head(&mut self, text: &str) {
        self.lines.push(String::new());
        self.lines.extend(wrapped(text, self.width, "", ""));
    }

    fn text(&mut self, text: &str) {
        self.lines.extend(wrapped(text, self.width, "  ", ""));
    }

    /// Keys with their words, as many on a line as fit.
    fn keys(&mut self, words: &[AnswerWord]) {
        let mut line = String::new();
        for word in words {
            let key = format!("{} {}", word.key(), word.label());
            if !line.is_empty() && line.chars().count() + key.chars().count() + 4 > self.width {
                self.lines.push(format!("  {line}"));
                line.clear();
            }
            if !line.is_empty() {
                line += "  ";
            }
            line += &key;
        }
        self.lines.push(format!("  {line}"));
    }

    fn item(&mut self, text: &str) {
        self.lines.extend(wrapped(text, self.width, "  ", "  "));
    }
}

fn counted_like(session: &Session, id: AdjusterId) -> &'static str {
    use crate::physics::Unit;
    use crate::plan::Setup;
    match &session.adjuster(id).setup {
        Setup::Uncounted(uncounted) if uncounted.unit() == Unit::Turns => "2 1/2 turns",
        _ => "14 clicks",
    }
}

fn found(session: &Session, id: AdjusterId, page: &mut Page) {
    use crate::plan::Setup;
    page.head(&format!("As found: {}", session.adjuster(id).name()));
    match (&session.adjuster(id).setup, session.dial(id)) {
        (Setup::Uncounted(uncounted), _) => {
            let unit = unit_word(uncounted.unit(), false);
            let end = uncounted.counted().word();
            page.text(&format!("How many {unit} from {end} does it stand now?"));
        }
        (_, Some(dial)) if !dial.scale().all_names().is_empty() => {
            page.text(&format!("Where does it stand now: {}?", dial.scale().all_names().join(", ")));
        }
        (_, Some(dial)) => {
            let unit = dial.scale().unit().map_or("", |unit| unit_word(unit, false));
            let end = dial.scale().counted().map_or(String::new(), |end| format!(" from {}", end.word()));
            page.text(&format!("How many {unit}{end} does it stand now?"));
        }
        _ => {}
    }
    page.text("A number, or unknown.");
}

fn record(condition: &Condition, page: &mut Page) {
    page.head(&format!("Note down: {}", condition.name()));
    let units: Vec<_> = condition.units().into_iter().map(|unit| unit_word(unit, false)).collect();
    if units.is_empty() {
        page.text("A text in quotes, or unknown.");
    } else {
        page.text(&format!("A number with {}, or unknown.", units.join(" or ")));
    }
}

fn fit(session: &Session, fits: &[Fit], first: bool, page: &mut Page) {
    page.head(if first { "Set every adjuster" } else { "Set" });
    for place in fits {
        let name = session.adjuster(place.adjuster).name();
        let Some(dial) = session.dial(place.adjuster) else { continue };
        let found = session.found(place.adjuster).map_or(String::new(), |told| format!(" (found at {told})"));
        let change = place.from.and_then(|from| dial.change(from, place.to));
        let change = change.map_or(found, |change| format!(", {change} than now"));
        page.item(&format!("{name}: {}{change}", dial.scale().said_in_full(place.to)));
    }
    if first {
        page.text("Counted from closed: close it gently, then count out.");
    }
    page.text("Enter when it is done.");
}

fn lap_title(session: &Session, id: AdjusterId) -> String {
    format!("Lap {}: {}", session.laps().len() + 1, session.adjuster(id).name())
}

/// Where the knob must stand, and how that differs from now.
fn stands(session: &Session, place: &Fit, page: &mut Page) {
    let Some(dial) = session.dial(place.adjuster) else { return };
    let change = place.from.and_then(|from| dial.change(from, place.to));
    let change = change.map_or("as now".to_owned(), |change| format!("{change} than now"));
    page.item(&format!("{}, {change}", dial.scale().said_in_full(place.to)));
}

fn feel(session: &Session, page: &mut Page) {
    if let Some(feel) = session.feel() {
        page.text(feel);
    }
}

fn to_go(session: &Session, page: &mut Page) {
    if let Some(laps) = session.laps_to_go() {
        page.text(&format!("at most {laps} lap{} to go for this adjuster", if laps == 1 { "" } else { "s" }));
    }
}

fn lap(session: &Session, place: &Fit, against: u32, again: bool, page: &mut Page) {
    let id = place.adjuster;
    page.head(&lap_title(session, id));
    stands(session, place, page);
    let Some(dial) = session.dial(id) else { return };
    let earlier = session.lap_at(against).map_or(String::new(), |lap| format!("lap {lap}, at "));
    let once_more = if again { "Ride it once more." } else { "Ride it." };
    page.text(&format!("{once_more} How was it against {earlier}{}?", dial.scale().said(against)));
    feel(session, page);
    page.text(&ruler(dial, against, place.to, page.width.saturating_sub(2)));
    to_go(session, page);
    page.keys(&[AnswerWord::Better, AnswerWord::Worse, AnswerWord::Same, AnswerWord::CannotTell]);
    page.keys(&[
        AnswerWord::Void,
        AnswerWord::Used,
        AnswerWord::Keep,
        AnswerWord::Undo,
        AnswerWord::Quit,
        AnswerWord::Help,
    ]);
}

/// What can be answered, a line for each key.
#[must_use]
pub fn help(width: usize) -> Vec<String> {
    let rows = ANSWERS.iter().filter(|row| !row.key.is_empty());
    let mut lines: Vec<String> = rows
        .flat_map(|row| wrapped(&format!("{}  {}: {}", row.key, row.label, row.meaning), width, "  ", "   "))
        .collect();
    lines.extend(wrapped("A note goes in quotes behind an answer: worse \"harsh\"", width, "  ", "   "));
    lines.extend(wrapped("Another setting than asked: used 6: better", width, "  ", "   "));
    lines
}

/// What has come up, in lines.
#[must_use]
pub fn news(session: &Session, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for news in session.news() {
        lines.extend(wrapped(&told(session, news), width, "", "  "));
    }
    if !lines.is_empty() {
        lines.insert(0, String::new());
    }
    lines
}

fn told(session: &Session, news: &News) -> String {
    let name = |id: &AdjusterId| session.adjuster(*id).name();
    let said = |id: &AdjusterId, at: u32| {
        session.dial(*id).map_or(String::new(), |dial| dial.scale().said_in_full(at))
    };
    match news {
        News::Settled { adjuster, at, how: How::FeltBest } => {
            format!("{} settles at {}.", name(adjuster), said(adjuster, *at))
        }
        News::Settled { adjuster, at, .. } => {
            format!("{} stays at {}, not finished.", name(adjuster), said(adjuster, *at))
        }
        News::KeptForLaps(adjuster) => {
            format!("The plan's laps are used up: {} is kept as it stands.", name(adjuster))
        }
        News::RideCut { asked, ridden } => {
            format!("The plan's laps are used up: {ridden} of {asked} laps are ridden.")
        }
        News::StoppedAtEnd { adjuster, at } => {
            format!("{} stops at its end, {}.", name(adjuster), said(adjuster, *at))
        }
        News::StartCut { adjuster, at } => format!(
            "The start of {} in the file lies beyond this count; it starts at {}.",
            name(adjuster),
            said(adjuster, *at)
        ),
        News::TimeUsedUp => {
            "By the plan's own times for laps and changes, its time is used up. The ride goes on.".to_owned()
        }
        News::LapVoid => {
            "That setting does not lie beyond the last one, so the lap cannot be compared: it is void."
                .to_owned()
        }
    }
}

/// What is said before the first change; common practice, no source.
#[must_use]
pub fn cautions(width: usize) -> Vec<String> {
    const CAUTIONS: [&str; 8] = [
        "Stay within the limits printed on the part; this program cannot see them.",
        "Axle, stem and mount bolts to the printed torque before riding.",
        "Turn adjusters gently; never force them at an end.",
        "First lap after a change: slow and in control.",
        "Do not read or type while moving.",
        "Stop when tired or when conditions change. Leaks, knocking, a stuck or oily part: stop and see a workshop.",
        "Never open a gas-charged damper; that is workshop work.",
        "Local trail rules and licensed service come first.",
    ];
    let mut lines = vec![String::new(), "Before you ride".to_owned()];
    for caution in CAUTIONS {
        lines.extend(wrapped(&format!("- {caution}"), width, "", "  "));
    }
    lines
}
