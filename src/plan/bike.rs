//! Owns the bike: its parts and adjusters, in the order in which the file names them.
//! It knows nothing of steps or rides.

use super::{Dial, Uncounted};
use crate::physics::Quantity;
use crate::search::Direction;
use crate::vocabulary::{Family, Knob, Part, Way};

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
    /// Counted at the beginning of the ride.
    Uncounted(Uncounted),
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

    /// What it acts on.
    #[must_use]
    pub fn family(&self) -> Family {
        self.knob.family()
    }

    /// What going up in positions is called.
    #[must_use]
    pub fn rising(&self) -> Way {
        match &self.setup {
            Setup::Known(dial) => dial.way(Direction::Up),
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
    pub travel: Option<Quantity>,
    pub stroke: Option<Quantity>,
    pub read_to: Option<Quantity>,
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

    /// Its parts.
    #[must_use]
    pub fn parts(&self) -> &[PartFacts] {
        &self.parts
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

    /// The adjuster of an id that this bike gave out.
    #[must_use]
    pub fn get(&self, id: AdjusterId) -> &Adjuster {
        &self.adjusters[id.0]
    }
}
