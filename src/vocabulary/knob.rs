//! Owns the parts of a bike, the adjusters on them, and what turning one is called.
//! It knows nothing of ranges or positions.

use std::fmt;

use crate::physics::Kind;
use crate::search::Direction;

/// A part that carries adjusters. The order is the order of work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    Fork,
    Shock,
    FrontTyre,
    RearTyre,
}

/// The parts in the order of work, with their words, other spellings and meaning.
pub const PARTS: &[(Part, &str, &[&str], &str)] = &[
    (Part::Fork, "fork", &[], "the suspension fork, at the front"),
    (Part::Shock, "shock", &[], "the shock absorber, at the rear"),
    (Part::FrontTyre, "front tyre", &["front tire"], "the tyre at the front"),
    (Part::RearTyre, "rear tyre", &["rear tire"], "the tyre at the rear"),
];

impl Part {
    /// The words that stand for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        PARTS.iter().find(|row| row.0 == self).map_or("", |row| row.1)
    }
}

impl fmt::Display for Part {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What an adjuster acts on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    Spring,
    Rebound,
    Compression,
    Lockout,
    Tyre,
    Own,
}

/// An adjuster's name within its part. The order is low-speed before high-speed.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Knob {
    Air,
    Coil,
    Preload,
    Spacers,
    Rebound,
    LowRebound,
    HighRebound,
    Compression,
    LowCompression,
    HighCompression,
    Lockout,
    Pressure,
    /// `adjuster "bottoming resistance"`.
    Own(String),
}

/// One adjuster of the vocabulary.
#[derive(Debug)]
pub struct KnobRow {
    pub knob: Knob,
    pub word: &'static str,
    pub also: &'static [&'static str],
    pub meaning: &'static str,
}

macro_rules! knobs {
    ($($knob:ident $word:literal $also:expr, $meaning:literal;)*) => {
        /// Every adjuster that has a name of its own in the language.
        pub const KNOBS: &[KnobRow] = &[
            $(KnobRow { knob: Knob::$knob, word: $word, also: $also, meaning: $meaning },)*
        ];
    };
}

knobs! {
    Air "air" &[], "the air pressure of an air spring";
    Coil "coil" &[], "the coil spring, by its rate";
    Preload "preload" &[], "how far the coil is compressed before you get on";
    Spacers "spacers" &[], "volume spacers in an air spring";
    Rebound "rebound" &[], "damping as the suspension extends";
    LowRebound "low-speed rebound" &["lsr"], "rebound damping at low shaft speeds";
    HighRebound "high-speed rebound" &["hsr"], "rebound damping at high shaft speeds";
    Compression "compression" &[], "damping as the suspension is compressed";
    LowCompression "low-speed compression" &["lsc"], "compression damping at low shaft speeds";
    HighCompression "high-speed compression" &["hsc"], "compression damping at high shaft speeds";
    Lockout "lockout" &[], "a lever that makes the suspension firm for climbing";
    Pressure "pressure" &[], "the pressure of a tyre";
}

impl Knob {
    /// What its positions may be counted or measured in; none where they have names only.
    #[must_use]
    pub fn kinds(&self) -> &'static [Kind] {
        match self {
            Knob::Air | Knob::Pressure => &[Kind::Pressure],
            Knob::Coil => &[Kind::SpringRate],
            Knob::Preload => &[Kind::Length, Kind::Turns, Kind::Clicks],
            Knob::Spacers => &[Kind::Spacers],
            Knob::Lockout => &[],
            Knob::Own(_) => {
                &[Kind::Clicks, Kind::Turns, Kind::Spacers, Kind::Pressure, Kind::SpringRate, Kind::Length]
            }
            _ => &[Kind::Clicks, Kind::Turns],
        }
    }

    /// Whether its positions may have names instead of numbers.
    #[must_use]
    pub fn may_have_names(&self) -> bool {
        !matches!(self.family(), Family::Spring | Family::Tyre)
    }

    /// Whether it may be counted at the beginning of the ride.
    #[must_use]
    pub fn may_be_counted(&self) -> bool {
        matches!(self.family(), Family::Rebound | Family::Compression | Family::Own)
    }

    /// A scale as it could be written.
    #[must_use]
    pub fn example(&self) -> &'static str {
        match self {
            Knob::Air => "44 to 120 psi",
            Knob::Coil => "400 or 450 or 500 lb/in",
            Knob::Preload => "0 to 4 mm",
            Knob::Spacers => "0 to 4 spacers",
            Knob::Lockout => "open or half or firm",
            Knob::Pressure => "1.4 to 2.2 bar",
            _ => "0 to 18 clicks",
        }
    }

    /// Whether a part of the bike can have it: tyres have a pressure, fork and shock all else.
    #[must_use]
    pub fn belongs_to(&self, part: Part) -> bool {
        let tyre = matches!(part, Part::FrontTyre | Part::RearTyre);
        matches!(self, Knob::Own(_)) || tyre == (*self == Knob::Pressure)
    }

    /// Whether its sag can be measured: it is a spring that carries the rider.
    #[must_use]
    pub fn is_spring(&self) -> bool {
        matches!(self, Knob::Air | Knob::Coil)
    }

    /// What it acts on.
    #[must_use]
    pub fn family(&self) -> Family {
        match self {
            Knob::Air | Knob::Coil | Knob::Preload | Knob::Spacers => Family::Spring,
            Knob::Rebound | Knob::LowRebound | Knob::HighRebound => Family::Rebound,
            Knob::Compression | Knob::LowCompression | Knob::HighCompression => Family::Compression,
            Knob::Lockout => Family::Lockout,
            Knob::Pressure => Family::Tyre,
            Knob::Own(_) => Family::Own,
        }
    }

    /// Its name, as it is written and said.
    #[must_use]
    pub fn word(&self) -> &str {
        match self {
            Knob::Own(name) => name,
            known => KNOBS.iter().find(|row| row.knob == *known).map_or("", |row| row.word),
        }
    }

    /// Whether a step that names `asked` means this adjuster: itself; for plain `rebound` and
    /// `compression` also the split pair; and a plain adjuster answers for `low-speed`, never for
    /// `high-speed`.
    #[must_use]
    pub fn answers_to(&self, asked: &Knob) -> bool {
        use Knob::{Compression, HighCompression, HighRebound, LowCompression, LowRebound, Rebound};
        self == asked
            || matches!(
                (asked, self),
                (Rebound, LowRebound | HighRebound)
                    | (Compression, LowCompression | HighCompression)
                    | (LowRebound, Rebound)
                    | (LowCompression, Compression)
            )
    }

    /// The plain adjuster of which this is half of a split circuit.
    #[must_use]
    pub fn plain(&self) -> Option<Knob> {
        match self {
            Knob::LowRebound | Knob::HighRebound => Some(Knob::Rebound),
            Knob::LowCompression | Knob::HighCompression => Some(Knob::Compression),
            _ => None,
        }
    }
}

/// What a change is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Way {
    Faster,
    Slower,
    Firmer,
    Softer,
}

impl Way {
    /// All of them.
    pub const ALL: [Way; 4] = [Way::Faster, Way::Slower, Way::Firmer, Way::Softer];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Way::Faster => "faster",
            Way::Slower => "slower",
            Way::Firmer => "firmer",
            Way::Softer => "softer",
        }
    }

    /// What it does, in a line.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        match self {
            Way::Faster => "less rebound damping",
            Way::Slower => "more rebound damping",
            Way::Firmer => "a firmer spring or tyre, or more compression damping",
            Way::Softer => "a softer spring or tyre, or less compression damping",
        }
    }

    /// What an adjuster is at the end that this way leads to.
    #[must_use]
    pub fn end(self) -> &'static str {
        match self {
            Way::Faster => "fast",
            Way::Slower => "slow",
            Way::Firmer => "firm",
            Way::Softer => "soft",
        }
    }

    /// The one character that is short for it where only a way is asked for.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Way::Faster | Way::Firmer => "f",
            Way::Slower | Way::Softer => "s",
        }
    }

    /// The other way about.
    #[must_use]
    pub fn opposite(self) -> Way {
        match self {
            Way::Faster => Way::Slower,
            Way::Slower => Way::Faster,
            Way::Firmer => Way::Softer,
            Way::Softer => Way::Firmer,
        }
    }

    /// Whether it goes toward open: faster and softer do.
    #[must_use]
    pub fn opens(self) -> bool {
        matches!(self, Way::Faster | Way::Softer)
    }

    /// The direction that opens, where positions rise this way.
    #[must_use]
    pub fn opening(self) -> Direction {
        if self.opens() { Direction::Up } else { Direction::Down }
    }
}

impl Family {
    /// What moving toward open is called: rebound goes faster, all else softer.
    #[must_use]
    pub fn opening(self) -> Way {
        if self == Family::Rebound { Way::Faster } else { Way::Softer }
    }
}

/// One end of an adjuster.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum End {
    Open,
    Closed,
}

impl End {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            End::Open => "open",
            End::Closed => "closed",
        }
    }
}
