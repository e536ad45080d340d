//! Owns the bike: its parts and adjusters, in the order in which the file names them.
//! It knows nothing of steps or rides.

use super::{Dial, Scale, Uncounted};
use crate::physics::{Number, Unit};
use crate::search::Direction;
use crate::vocabulary::{End, Family, Knob, Part, Way};

/// An adjuster of one bike. Only the bike gives these out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AdjusterId(usize);

impl AdjusterId {
    /// Its place in the bike's order, from 0.
    #[must_use]
    pub fn index(self) -> usize {
        self.0
    }
}

/// Whether an adjuster's positions are known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Setup {
    Known(Dial),
    /// Its positions are known, and where it starts is asked at the beginning of the ride: the dial's
    /// own start means nothing yet.
    Unstarted(Dial),
    /// Counted at the beginning of the ride.
    Uncounted(Uncounted),
}

impl Setup {
    /// Its scale, where its positions are known.
    #[must_use]
    pub fn scale(&self) -> Option<&Scale> {
        match self {
            Setup::Known(dial) | Setup::Unstarted(dial) => Some(dial.scale()),
            Setup::Uncounted(_) => None,
        }
    }

    /// The unit of its numbers; `None` where its positions have names.
    #[must_use]
    pub fn unit(&self) -> Option<Unit> {
        match self {
            Setup::Known(dial) | Setup::Unstarted(dial) => dial.scale().unit(),
            Setup::Uncounted(uncounted) => Some(uncounted.unit()),
        }
    }

    /// The same with another step, in positions.
    #[must_use]
    pub fn with_step(self, step: u32) -> Self {
        match self {
            Setup::Known(dial) => Setup::Known(dial.with_step(step)),
            Setup::Unstarted(dial) => Setup::Unstarted(dial.with_step(step)),
            Setup::Uncounted(uncounted) => Setup::Uncounted(uncounted.with_step(step)),
        }
    }

    /// So many positions, as an amount: `2 clicks`, `1/2 turn`.
    #[must_use]
    pub fn amount(&self, positions: u32) -> String {
        match self {
            Setup::Known(dial) | Setup::Unstarted(dial) => dial.scale().amount(positions),
            Setup::Uncounted(uncounted) => {
                let number = uncounted.by() * crate::physics::Number::from_integer(positions.into());
                let unit = uncounted.unit();
                format!("{} {}", unit.figure(number), crate::vocabulary::unit_word_behind(number, unit))
            }
        }
    }

    /// From which end its numbers count, where that is a question.
    #[must_use]
    pub fn counted(&self) -> Option<End> {
        match self {
            Setup::Known(dial) | Setup::Unstarted(dial) => dial.scale().counted(),
            Setup::Uncounted(uncounted) => Some(uncounted.counted()),
        }
    }
}

/// One adjuster.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Adjuster {
    pub part: Part,
    pub knob: Knob,
    pub setup: Setup,
}

impl Adjuster {
    /// Its whole name: `fork low-speed compression`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{} {}", self.part, self.knob.word())
    }

    /// Whether changing it takes a workshop's time: another coil, another number of spacers.
    #[must_use]
    pub fn is_slow(&self) -> bool {
        matches!(self.knob, Knob::Coil | Knob::Spacers)
    }

    /// What it acts on.
    #[must_use]
    pub fn family(&self) -> Family {
        self.knob.family()
    }

    /// What going up in positions is called.
    #[must_use]
    pub fn rising(&self) -> Way {
        match &self.setup {
            Setup::Known(dial) | Setup::Unstarted(dial) => dial.way(Direction::Up),
            Setup::Uncounted(uncounted) => uncounted.rising(),
        }
    }

    /// The direction of a way; `None` where this adjuster does not go that way at all.
    #[must_use]
    pub fn direction(&self, way: Way) -> Option<Direction> {
        match self.rising() {
            rising if rising == way => Some(Direction::Up),
            rising if rising.opposite() == way => Some(Direction::Down),
            _ => None,
        }
    }
}

/// What is known of a part besides its adjusters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PartFacts {
    pub part: Part,
    /// How far it can move, in mm: the travel of a fork, the stroke of a shock.
    pub travel: Option<Number>,
    /// How finely its sag is read, in mm, where the file says it.
    pub measured_to: Option<Number>,
}

impl PartFacts {
    /// How finely its sag is read, in mm: what the file says, else 1 mm on a fork and 0.5 mm on a
    /// shock (common practice, no source).
    #[must_use]
    pub fn reading_error(&self) -> Number {
        let silent = if self.part == Part::Fork { Number::new(1, 1) } else { Number::new(1, 2) };
        self.measured_to.unwrap_or(silent)
    }
}

/// A bike and all its adjusters.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bike {
    name: String,
    adjusters: Vec<Adjuster>,
    parts: Vec<PartFacts>,
}

impl Bike {
    /// A bike without adjusters yet.
    #[must_use]
    pub fn new(name: String, parts: Vec<PartFacts>) -> Self {
        Bike { name, adjusters: Vec::new(), parts }
    }

    /// Adds an adjuster, behind those in the file's order, and gives its id.
    pub fn add(&mut self, adjuster: Adjuster) -> AdjusterId {
        self.adjusters.push(adjuster);
        AdjusterId(self.adjusters.len() - 1)
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What is known of a part, where it is declared.
    #[must_use]
    pub fn facts(&self, part: Part) -> Option<PartFacts> {
        self.parts.iter().find(|facts| facts.part == part).copied()
    }

    /// Every adjuster, in the file's order.
    pub fn ids(&self) -> impl DoubleEndedIterator<Item = AdjusterId> + ExactSizeIterator + use<> {
        (0..self.adjusters.len()).map(AdjusterId)
    }

    /// How many adjusters it has.
    #[must_use]
    pub fn len(&self) -> usize {
        self.adjusters.len()
    }

    /// Whether it has none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.adjusters.is_empty()
    }

    /// The adjuster of a part with this name, where there is one.
    #[must_use]
    pub fn find(&self, part: Part, knob: &Knob) -> Option<AdjusterId> {
        let found = self.adjusters.iter().position(|other| other.part == part && other.knob == *knob);
        found.map(AdjusterId)
    }

    /// The same bike with another setup of one adjuster.
    #[must_use]
    pub fn with(mut self, id: AdjusterId, setup: Setup) -> Self {
        if let Some(adjuster) = self.adjusters.get_mut(id.0) {
            adjuster.setup = setup;
        }
        self
    }

    /// The adjuster of an id that this bike gave out.
    #[must_use]
    #[expect(
        clippy::indexing_slicing,
        reason = "a bike alone gives out its ids, and no adjuster is taken away"
    )]
    pub fn get(&self, id: AdjusterId) -> &Adjuster {
        &self.adjusters[id.0]
    }
}
