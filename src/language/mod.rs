//! Owns the way from text to tree: pieces, logical lines, phrases. Parsing never fails and loses
//! nothing; what cannot be read becomes a problem. It knows nothing of what a plan means.

mod amounts;
mod aside;
mod cut;
mod decode;
mod entries;
mod foreign;
mod headings;
mod lines;
mod parse;
mod parser;
mod phrases;
mod plain;
mod prefixes;
mod reader;
mod renewed;
mod scales;
mod strange;
mod token;
mod torn;
mod tree;
mod view;

pub use cut::tokens;
pub use decode::take_in;
pub use parse::{parse, uses};
pub use renewed::renewed;
pub use token::{Token, TokenKind, plain_text};
pub use tree::{
    BetweenNode, ClauseLine, EntryLine, Field, Fields, Gap, HeadingLine, Line, LineKind, Node, Phrase,
    PlaceNode, Placed, RecordedNode, RideNode, RowNode, ScaleNode, StartNode, TargetNode, Tree, ValueNode,
    WhatNode, WhichNode, WhomNode, WindowNode,
};
pub use view::{EntryView, HeadingView, clause, heading, laps, part, plan, rider, steps};
