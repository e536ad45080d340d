//! Plans that nobody would think of, drawn from a number: in the language, with every kind of step in every order.
//! Most of them have a theme, as what only few kinds of steps come to together is drawn too seldom otherwise.

/// Numbers that look drawn and are the same on every run.
pub struct Drawn(pub u64);

impl Drawn {
    /// The drawing of one plan among many.
    pub fn of(number: u64) -> Self {
        Drawn(number.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5bf0_3635)
    }

    fn below(&mut self, below: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % below
    }

    fn one<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[usize::try_from(self.below(all.len() as u64)).unwrap()]
    }

    fn one_in(&mut self, chances: u64) -> bool {
        self.below(chances) == 0
    }
}

/// A kind of step.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Say,
    Record,
    RecordSettings,
    Ride,
    SetTo,
    SetBy,
    SetEvery,
    Tune,
    TuneEvery,
    Revisit,
    Confirm,
    Measure,
    SetSpring,
    SetSpringBy,
    TuneSpring,
    RevisitSpring,
}

/// What plans are about: each a few kinds of steps, the more often named the more often drawn.
const THEMES: [&[Kind]; 6] = {
    use Kind::*;
    [
        &[
            Say,
            Record,
            RecordSettings,
            Ride,
            SetTo,
            SetTo,
            SetBy,
            SetEvery,
            Tune,
            Tune,
            Tune,
            TuneEvery,
            Revisit,
            Revisit,
            Confirm,
            Confirm,
            Measure,
            SetSpring,
            TuneSpring,
            RevisitSpring,
        ],
        // what has moved since a tune
        &[Tune, Tune, SetTo, SetBy, Ride, Revisit, Revisit],
        // what is fitted, and what was ridden last
        &[Tune, SetTo, SetTo, SetBy, Say, Ride],
        &[Measure, TuneSpring, SetSpring, SetSpringBy, Ride, Tune, Confirm],
        // on which of two settings pairs end
        &[Confirm, Confirm, SetTo, SetBy, Tune, Say, SetSpring],
        // how the bike was found
        &[RecordSettings, SetTo, Tune, Confirm, SetSpring, Ride],
    ]
};

/// An adjuster of a drawn bike.
#[derive(Clone)]
struct Knob {
    name: &'static str,
    /// Clicks from 0 to this, or a spring's own places.
    top: u64,
    ways: [&'static str; 2],
}

impl Knob {
    fn is_spring(&self) -> bool {
        self.name.ends_with("coil") || self.name.ends_with("air")
    }

    /// How much it is at a place of its own.
    fn value(&self, place: u64) -> String {
        match self.name {
            "fork coil" | "shock coil" => format!("{} lb/in", 400 + 50 * place),
            "fork air" | "shock air" => format!("{} psi", 60 + place),
            _ => format!("{place} clicks"),
        }
    }
}

/// A drawn bike: one or two adjusters, sometimes a third, sometimes springs.
struct Bike {
    text: String,
    knobs: Vec<Knob>,
    springs: Vec<Knob>,
}

impl Bike {
    fn knob(&mut self, drawn: &mut Drawn, name: &'static str, ways: [&'static str; 2]) {
        let top = if drawn.one_in(5) { 10 + drawn.below(5) } else { 1 + drawn.below(6) };
        self.text += &format!(" {} 0 to {top} clicks", name.split_once(' ').unwrap().1);
        if !drawn.one_in(4) {
            self.text += &format!(", start {}", drawn.below(top + 1));
        }
        if drawn.one_in(3) {
            self.text += &format!(", step {} clicks", 1 + drawn.below(top.min(3)));
        }
        self.text += "\n";
        self.knobs.push(Knob { name, top, ways });
    }

    /// An air or coil spring, whose start is asked for where its line does not say it.
    fn spring(&mut self, drawn: &mut Drawn, names: [&'static str; 2]) {
        let (name, scale, top) = match drawn.below(6) {
            0 => (names[0], "400 or 450 or 500 lb/in, start 450 lb/in", 2),
            1 => (names[0], "400 or 450 lb/in, start 450 lb/in", 1),
            2 => (names[0], "400 or 450 lb/in", 1),
            3 => (names[1], "60 to 64 psi, step 1 psi, start 61 psi", 4),
            4 => (names[1], "60 to 62 psi, step 2 psi", 2),
            _ => (names[1], "60 to 63 psi, step 2 psi, start 62 psi", 3),
        };
        let sag = if name.starts_with("fork") { ", sag 15 to 25 %" } else { "" };
        self.text += &format!(" {} {scale}{sag}\n", name.split_once(' ').unwrap().1);
        self.springs.push(Knob { name, top, ways: ["firmer", "softer"] });
    }

    fn drawn(drawn: &mut Drawn, theme: &[Kind]) -> Self {
        let springs = theme.contains(&Kind::SetSpring);
        let text = String::from("bike \"B\"\npart fork\n travel 160 mm\n");
        let mut bike = Bike { text, knobs: Vec::new(), springs: Vec::new() };
        bike.knob(drawn, "fork rebound", ["faster", "slower"]);
        if !drawn.one_in(if springs { 3 } else { 6 }) {
            bike.knob(drawn, "fork low-speed compression", ["softer", "firmer"]);
        }
        if springs && drawn.one_in(2) {
            bike.spring(drawn, ["fork coil", "fork air"]);
        }
        let shock = (drawn.one_in(3), springs && drawn.one_in(4));
        if shock.0 || shock.1 {
            bike.text += "part shock\n";
        }
        if shock.0 {
            bike.knob(drawn, "shock rebound", ["faster", "slower"]);
        }
        if shock.1 {
            bike.spring(drawn, ["shock coil", "shock air"]);
        }
        bike
    }
}

fn place(drawn: &mut Drawn, knob: &Knob) -> String {
    match drawn.below(7) {
        0 => "start".to_owned(),
        1 if !knob.is_spring() => drawn.one(&["open", "closed", "middle"]).to_string(),
        6 => "before".to_owned(),
        _ => knob.value(drawn.below(knob.top + 1)),
    }
}

fn tune(drawn: &mut Drawn, knob: &Knob) -> String {
    let mut step = format!("tune {}", knob.name);
    if drawn.one_in(2) {
        step += &format!(", begin {}", drawn.one(&knob.ways));
    }
    if drawn.one_in(3) {
        step += &format!(", within {} positions", 1 + drawn.below(knob.top.min(3)));
    }
    if !drawn.one_in(6) {
        step += &format!(", at most {} laps", 1 + drawn.below(4));
    }
    if drawn.one_in(4) {
        step += ", feel \"Does it follow the roots?\"";
    }
    match drawn.below(16) {
        0 if !knob.is_spring() => step += ", method cross-out",
        1 if !knob.is_spring() => step += ", method narrow",
        2 => step += ", method bracket",
        _ => {}
    }
    step
}

fn confirm(drawn: &mut Drawn, bike: &Bike) -> String {
    let springs = if drawn.one_in(3) { bike.springs.as_slice() } else { &[] };
    let knob = drawn.one(if springs.is_empty() { &bike.knobs } else { springs });
    let mut step = match drawn.below(8) {
        0 => "confirm everything".to_owned(),
        1 | 2 => format!("confirm {}", knob.name),
        3 => "confirm every rebound".to_owned(),
        4 => {
            let (one, other) = (place(drawn, knob), place(drawn, knob));
            let all = knob.name.split_once(' ').unwrap().1;
            format!("confirm every {all}, between {one} and {other}")
        }
        _ => format!("confirm {}, between {} and {}", knob.name, place(drawn, knob), place(drawn, knob)),
    };
    if drawn.one_in(3) {
        step += ", blind";
    }
    step + &format!(", {} pairs", 1 + drawn.below(2))
}

fn by(drawn: &mut Drawn, knob: &Knob) -> String {
    let count = 1 + drawn.below(knob.top.min(3));
    format!("set {} {count} positions {}", knob.name, drawn.one(&knob.ways))
}

/// A step; one of springs becomes one of knobs where there are none.
fn step(drawn: &mut Drawn, bike: &Bike, theme: &[Kind]) -> String {
    let knob = drawn.one(&bike.knobs);
    let spring = if bike.springs.is_empty() { knob } else { drawn.one(&bike.springs) };
    match drawn.one(theme) {
        Kind::Say => "say \"Now\"".to_owned(),
        Kind::Record => {
            drawn.one(&["record temperature", "record altitude", "record \"tyre\" in psi"]).to_string()
        }
        Kind::RecordSettings => "record settings".to_owned(),
        Kind::Ride => drawn.one(&["ride 1 lap", "ride 2 laps", "ride warm-up"]).to_string(),
        Kind::SetTo => format!("set {} to {}", knob.name, place(drawn, knob)),
        Kind::SetBy => by(drawn, knob),
        Kind::SetEvery => "set every rebound to start".to_owned(),
        Kind::Tune => tune(drawn, knob),
        Kind::TuneEvery => "tune every rebound, at most 2 laps".to_owned(),
        Kind::Revisit => format!("revisit {}", knob.name),
        Kind::Confirm => confirm(drawn, bike),
        Kind::Measure if bike.springs.is_empty() => format!("revisit {}", knob.name),
        Kind::Measure => "measure every spring".to_owned(),
        Kind::SetSpring => format!("set {} to {}", spring.name, place(drawn, spring)),
        Kind::SetSpringBy => by(drawn, spring),
        Kind::TuneSpring => tune(drawn, spring),
        Kind::RevisitSpring => format!("revisit {}", spring.name),
    }
}

/// A plan in the language; not every one of them can be ridden.
pub fn text(drawn: &mut Drawn) -> String {
    // every second one is of everything
    let theme = if drawn.one_in(2) { THEMES[0] } else { *drawn.one(&THEMES[1..]) };
    let bike = Bike::drawn(drawn, theme);
    let mut text = String::from("plan \"P\"\n change 2 min\nloop \"T\"\n warm-up 1 lap\n");
    if !drawn.one_in(12) {
        text += " lap 4 min\n";
    }
    text += &bike.text;
    text += "steps\n";
    // how the bike was found, which a place may mean
    if drawn.one_in(2) {
        text += " record settings\n";
    }
    for _ in 0..2 + drawn.below(7) {
        text += &format!(" {}\n", step(drawn, &bike, theme));
    }
    text
}
