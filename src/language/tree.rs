//! Owns the shape of what was read: every line of a file, with its words, phrases and places.
//! It knows nothing of whether it makes sense.

use std::borrow::Borrow;

use crate::physics::{Number, Quantity, Unit};
use crate::problem::{SourceId, Span};
use crate::vocabulary::{
    Clause, Effort, End, Entry, Heading, Knob, Method, Part, PlaceWord, Recordable, Way,
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
    /// A line that could not be read at all; its problem is told.
    Unread,
}

/// A heading and what follows its word.
#[derive(Debug, Clone)]
pub struct HeadingLine {
    pub heading: Heading,
    pub word: Span,
    pub fields: Fields,
    /// Something on this line could not be read, and that is told already.
    pub broken: bool,
}

/// An entry with its phrases and clauses.
#[derive(Debug, Clone)]
pub struct EntryLine {
    pub entry: Entry,
    pub under: Heading,
    pub word: Span,
    pub fields: Fields,
    pub clauses: Vec<ClauseLine>,
    /// One of its own phrases could not be read, and that is told already.
    pub broken: bool,
    /// A clause could not be read at all, so one may be missing without fault.
    pub lost_clause: bool,
}

impl EntryLine {
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
    pub broken: bool,
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
    /// `400 or 450 lb/in`.
    Values(Vec<ValueNode>),
    /// `open or half or closed`.
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

/// One phrase of a line; the large ones are boxed, as a file may have very many lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Node {
    Text(String),
    Number(Box<Number>),
    Value(Box<ValueNode>),
    Part(Part),
    Knob(Knob),
    Scale(Box<ScaleNode>),
    Place(Box<PlaceNode>),
    Row(Box<RowNode>),
    End(End),
    Window(Box<(ValueNode, ValueNode)>),
    Way(Way),
    Which(WhichNode),
    Everything,
    Method(Method),
    Effort(Effort),
    YesNo(bool),
    Settings,
    Ride(Box<RideNode>),
    Recorded(RecordedNode),
    Target(Box<TargetNode>),
    Between(Box<(PlaceNode, PlaceNode)>),
}

macro_rules! field {
    ($($name:ident $node:ident $kind:ty;)*) => {
        $(
            #[doc = concat!("The first `", stringify!($node), "` phrase, with its place.")]
            #[must_use]
            pub fn $name(&self) -> Option<(&$kind, Span)> {
                self.0.iter().find_map(|(node, span)| match node {
                    Node::$node(value) => Some((Borrow::<$kind>::borrow(value), *span)),
                    _ => None,
                })
            }
        )*
    };
}

/// The phrases of a line or clause that could be read, in order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Fields(pub Vec<(Node, Span)>);

impl Fields {
    field! {
        text Text String;
        value Value ValueNode;
        number Number Number;
        part Part Part;
        knob Knob Knob;
        scale Scale ScaleNode;
        place Place PlaceNode;
        row Row RowNode;
        end End End;
        way Way Way;
        which Which WhichNode;
        method Method Method;
        effort Effort Effort;
        yes_no YesNo bool;
        ride Ride RideNode;
        recorded Recorded RecordedNode;
        target Target TargetNode;
    }
}
