//! Owns the reading of a journal in which a merge kept the records of two branches that went on with the
//! same ride: both chains begin at one record. A merge may leave out of the second what the first of its
//! lines has in common with the other's.

use super::chain::seal;
use super::entry::read_entry;
use super::journal::Entry;
use super::pieces::{Pieces, remarks};

/// How many lines a merge may have left out of a record.
const MOST_LINES: usize = 12;

/// The longest record of which lines may have been left out, in bytes.
const LONGEST: usize = 64 * 1024;

/// A ride that went on in two branches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fork {
    /// How many of the records both branches have.
    pub shared: usize,
    /// The whole journal of the branch that comes first in the file.
    pub ours: String,
    /// The whole journal of the other branch.
    pub theirs: String,
    /// The records of the other branch alone. None if its records are all the first branch's: they are in
    /// the file twice.
    pub their_entries: Vec<Entry>,
}

/// What was read of a journal of two branches.
pub(super) struct Forked {
    /// The last checksum of the branch that comes first.
    pub seal: String,
    /// Its records from the first that does not follow in the file.
    pub our_entries: Vec<Entry>,
    pub fork: Fork,
}

/// One branch.
struct Branch {
    seal: String,
    /// What its records say, from the fork on, with the lines that were left out.
    bodies: Vec<String>,
    /// All of its records as text.
    text: String,
}

impl Branch {
    /// Takes a record if it follows, with lines of the other branch's records before it if need be.
    fn takes(&mut self, body: &str, carried: &str, as_it_is: &str, others: &[String]) -> bool {
        let Some(whole) = completed(&self.seal, body, carried, others) else { return false };
        carried.clone_into(&mut self.seal);
        if whole == body {
            self.text += as_it_is;
        } else {
            self.text += &format!("{whole}seal = \"{carried}\"\n");
        }
        self.bodies.push(whole);
        true
    }
}

/// A record's text, completed by the first lines of another's, so that it follows from a checksum.
fn completed(before: &str, body: &str, carried: &str, others: &[String]) -> Option<String> {
    if seal(before, body) == carried {
        return Some(body.to_owned());
    }
    if body.len() > LONGEST {
        return None;
    }
    // the empty line at the beginning is the program's own
    let lines = body.strip_prefix('\n').unwrap_or(body);
    others.iter().rev().find_map(|other| {
        let ends = other.match_indices('\n').map(|(at, _)| at + 1).skip(1).take(MOST_LINES);
        ends.map(|end| format!("{}{lines}", &other[..end])).find(|whole| seal(before, whole) == carried)
    })
}

/// Reads a journal from its piece `good` on, the first that does not follow, as one of two branches. `None`
/// if some record follows in neither.
pub(super) fn read(bytes: &[u8], cut: &Pieces, good: usize) -> Option<Forked> {
    let pieces = &cut.pieces;
    let text = |from: usize, to: usize| String::from_utf8_lossy(&bytes[from..to]).into_owned();
    // comments at the end are the first branch's; half a record is not for this room to judge
    if cut.rest + remarks(&bytes[cut.rest..]).0 != bytes.len() {
        return None;
    }
    let bodies: Vec<String> = pieces[..good].iter().filter_map(|piece| piece.body.clone()).collect();
    let first = &pieces[good];
    let body = first.body.as_deref()?;
    let shared = (0..good - 1).rev().find(|shared| {
        completed(pieces[*shared].carried, body, first.carried, &bodies[shared + 1..]).is_some()
    })?;
    let fork = pieces[shared].place.end;
    let mut ours = Branch {
        seal: pieces[good - 1].carried.to_owned(),
        bodies: bodies[shared + 1..].to_vec(),
        text: text(0, first.place.start),
    };
    let mut theirs =
        Branch { seal: pieces[shared].carried.to_owned(), bodies: Vec::new(), text: text(0, fork) };
    let known = ours.bodies.len();
    for piece in &pieces[good..] {
        let body = piece.body.as_deref()?;
        let as_it_is = text(piece.place.start, piece.place.end);
        let taken = ours.takes(body, piece.carried, &as_it_is, &theirs.bodies)
            || theirs.takes(body, piece.carried, &as_it_is, &ours.bodies);
        if !taken {
            return None;
        }
    }
    ours.text += &text(cut.rest, bytes.len());
    if ours.bodies.starts_with(&theirs.bodies) {
        theirs.bodies.clear();
    }
    let entries = |bodies: &[String]| bodies.iter().map(|body| read_entry(body)).collect::<Option<Vec<_>>>();
    Some(Forked {
        seal: ours.seal,
        our_entries: entries(&ours.bodies[known..])?,
        fork: Fork { shared, ours: ours.text, theirs: theirs.text, their_entries: entries(&theirs.bodies)? },
    })
}
