//! Owns the shape of what was read: every line of a file, with its words, phrases and places.
//! It knows nothing of whether it makes sense.

use std::borrow::Borrow;

use crate::physics::{Number, Quantity, Unit};
use crate::problem::{SourceId, Span, Told};
use crate::vocabulary::{
    self, Clause, Effort, End, Entry, Heading, Knob, Method, Part, PlaceWord, Recordable, Way,
};

/// One file, read.
#[derive(Debug, Clone)]
pub struct Tree {
    pub source: SourceId,
    pub lines: Vec<Line>,
}

/// One logical line: a line and those that go on from it.
#[derive(Debug, Clone)]
pub struct Line {
    pub span: Span,
    pub kind: LineKind,
    /// The byte from which it may not be read as it was meant, which is told.
    pub doubtful_from: Option<usize>,
}

/// What a logical line turned out to be.
#[derive(Debug, Clone)]
pub enum LineKind {
    /// Nothing but white space and comments.
    Blank,
    Heading(HeadingLine),
    Entry(EntryLine),
    /// A line that could not be read at all, which is told.
    Unread(Told),
}

/// A heading and what follows its word.
#[derive(Debug, Clone)]
pub struct HeadingLine {
    pub heading: Heading,
    pub word: Span,
    pub fields: Fields,
    /// Something on this line could not be read.
    pub broken: Option<Told>,
}

/// An entry with its phrases and clauses.
#[derive(Debug, Clone)]
pub struct EntryLine {
    pub entry: Entry,
    pub under: Heading,
    pub word: Span,
    pub fields: Fields,
    pub clauses: Vec<ClauseLine>,
    /// One of its own phrases could not be read.
    pub broken: Option<Told>,
    /// A clause could not be read at all, so one may be missing without fault.
    pub lost_clause: Option<Told>,
}

impl EntryLine {
    /// Whether something on this line could not be read, so that one of its clauses may be missing.
    #[must_use]
    pub fn may_lack_a_clause(&self) -> bool {
        let own = self.broken.or(self.lost_clause);
        own.is_some() || self.clauses.iter().any(|clause| clause.broken.is_some())
    }

    /// The first clause of a kind.
    #[must_use]
    pub fn clause(&self, clause: Clause) -> Option<&ClauseLine> {
        self.clauses.iter().find(|line| line.clause == clause)
    }
}

/// A clause and what follows its word.
#[derive(Debug, Clone)]
pub struct ClauseLine {
    pub clause: Clause,
    pub span: Span,
    pub fields: Fields,
    /// One of its phrases could not be read.
    pub broken: Option<Told>,
}

/// A number with its unit, where it has one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ValueNode {
    pub number: Number,
    pub unit: Option<Unit>,
    pub span: Span,
}

impl ValueNode {
    /// Number and unit together, where there is a unit.
    #[must_use]
    pub fn quantity(&self) -> Option<Quantity> {
        self.unit.map(|unit| Quantity { number: self.number, unit })
    }
}

/// A scale as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ScaleNode {
    /// `0 to 18 clicks`; `low` is absent in `18 clicks`.
    Range { low: Option<ValueNode>, high: ValueNode, by: Option<ValueNode> },
    /// `400 or 450 lb/in`: those before the last, and the last.
    Values { values: Vec<ValueNode>, last: ValueNode },
    /// `open or half or firm`.
    Names(Vec<(String, Span)>),
    /// `? clicks`.
    Unknown { unit: Unit },
}

/// A place on a scale as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PlaceNode {
    Value(ValueNode),
    Word(PlaceWord),
    /// A name of the scale.
    Name(String),
}

/// Where something starts: a place for everybody, or the first row of a table by weight.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StartNode {
    Place(PlaceNode),
    Row(RowNode),
}

/// A window of sag as it is written: its lower and its upper end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WindowNode {
    pub low: ValueNode,
    pub high: ValueNode,
}

/// One row of a start table: a place's value at a weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RowNode {
    pub value: ValueNode,
    pub weight: ValueNode,
    pub span: Span,
}

/// What a selector asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhatNode {
    Knob(Knob),
    Spring,
}

/// A selector as it is written; `part` is absent in `every`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WhichNode {
    pub part: Option<Part>,
    pub what: WhatNode,
}

/// What `confirm` asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhomNode {
    Everything,
    Which(WhichNode),
}

/// Two places that are compared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BetweenNode {
    pub one: PlaceNode,
    pub other: PlaceNode,
}

/// What `set` asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TargetNode {
    To(PlaceNode),
    By(ValueNode, Way),
}

/// What `record` asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RecordedNode {
    Word(Recordable),
    Own { name: String, unit: Option<Unit> },
}

/// How far `ride` goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RideNode {
    WarmUp,
    Laps(ValueNode),
}

macro_rules! nodes {
    ($($slot:ident $kept:ty, $kind:ty;)*) => {
        /// One phrase of a line, named by its slot; the large ones are boxed, as a file may have very many lines.
        #[derive(Debug, Clone, PartialEq, Eq)]
        pub enum Node { $($slot($kept),)* }

        /// What each slot gives.
        pub(super) mod given {
            use super::*;
            $(pub type $slot = $kind;)*
        }

        $(impl Phrase for $kind {
            fn of(node: &Node) -> Option<&Self> {
                if let Node::$slot(kept) = node { Some(Borrow::<$kind>::borrow(kept)) } else { None }
            }
        })*
    };
}

/// What a slot can give: one kind for one slot.
pub trait Phrase: Sized {
    /// The phrase of this kind that a node is.
    fn of(node: &Node) -> Option<&Self>;
}

nodes! {
    Text String, String;
    Number Box<Number>, crate::physics::Number;
    Value Box<ValueNode>, ValueNode;
    PartName Part, Part;
    Knob Knob, vocabulary::Knob;
    Scale Box<ScaleNode>, ScaleNode;
    Start Box<StartNode>, StartNode;
    Row Box<RowNode>, RowNode;
    End End, vocabulary::End;
    Window Box<WindowNode>, WindowNode;
    WayFirst Way, vocabulary::Way;
    Which WhichNode, WhichNode;
    WhichOrEverything WhomNode, WhomNode;
    Method Method, vocabulary::Method;
    Effort Effort, vocabulary::Effort;
    YesNo bool, bool;
    Settings (), ();
    RideLength Box<RideNode>, RideNode;
    Recorded RecordedNode, RecordedNode;
    Target Box<TargetNode>, TargetNode;
    Between Box<BetweenNode>, BetweenNode;
}

/// A phrase with its place.
pub type Placed<'a, T> = (&'a T, Span);

/// Why a phrase is not there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gap {
    /// It could not be read, which is told.
    Told(Told),
    /// Nothing was told of it; its line is here.
    Untold(Span),
}

/// A phrase that the form of its line asks for.
pub type Field<'a, T> = Result<Placed<'a, T>, Gap>;

/// The phrases of a line or clause that could be read, in the order of its form: the first that cannot be
/// read ends them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Fields(pub Vec<(Node, Span)>);

impl Fields {
    /// The first phrase of a kind.
    #[must_use]
    pub fn first<T: Phrase>(&self) -> Option<Placed<'_, T>> {
        self.0.iter().find_map(|(node, span)| T::of(node).map(|phrase| (phrase, *span)))
    }

    /// The phrase at a place of the form. What is missing was told where the line is broken.
    pub(super) fn at<T: Phrase>(&self, place: usize, broken: Option<Told>, line: Span) -> Field<'_, T> {
        let read = self.0.get(place).and_then(|(node, span)| T::of(node).map(|phrase| (phrase, *span)));
        read.ok_or(broken.map_or(Gap::Untold(line), Gap::Told))
    }
}
