//! Owns the way from text to tree: pieces, logical lines, phrases. Parsing never fails and loses
//! nothing; what cannot be read becomes a problem. It knows nothing of what a plan means.

mod amounts;
mod aside;
mod cut;
mod decode;
mod entries;
mod foreign;
mod lines;
mod parse;
mod parser;
mod phrases;
mod plain;
mod prefixes;
mod reader;
mod scales;
mod strange;
mod token;
mod torn;
mod tree;

pub use cut::tokens;
pub use decode::take_in;
pub use parse::{parse, uses};
pub use token::{Token, TokenKind, plain_text};
pub use tree::{
    ClauseLine, EntryLine, Fields, HeadingLine, Line, LineKind, Node, PlaceNode, RecordedNode, RideNode,
    RowNode, ScaleNode, TargetNode, Tree, ValueNode, WhatNode, WhichNode,
};
