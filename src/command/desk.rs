//! Owns a ride at its desk: the ride, its clock, and the pen with which every answer is written down and flushed before
//! the next question is put. What an answer means is the ride's.

use std::io;
use std::path::PathBuf;

use crate::disk;
use crate::engine::{NotTaken, Ride, in_words};
use crate::record::Change;
use crate::session::{Said, Session};
use crate::show;

use super::Exit;
use super::clock::Clock;
use super::pause;
use super::pen::Pen;
use super::screen::Screen;

/// A ride under way.
pub(super) struct Desk {
    pub ride: Ride,
    pen: Option<Pen>,
    clock: Clock,
}

impl Desk {
    /// A ride, written down with a pen where there is one.
    pub fn new(ride: Ride, pen: Option<Pen>, clock: Clock) -> Self {
        Desk { ride, pen, clock }
    }

    /// The ride at this moment.
    pub fn session(&self) -> &Session {
        self.ride.session()
    }

    /// Takes an answer: written down and flushed first, then counted.
    ///
    /// # Errors
    /// Where it does not fit or cannot be written down; the ride is then as it was.
    pub fn take(&mut self, said: Said) -> Result<(), NotTaken<io::Error>> {
        let (now, pen) = (self.clock.now(), &mut self.pen);
        self.ride.take_written(said, &now, |book, addition| match pen {
            Some(pen) => pen.append(book, addition),
            None => Ok(()),
        })
    }

    /// Writes down that the files have changed.
    ///
    /// # Errors
    /// Where that cannot be written down; the journal is then as it was.
    pub fn change(&mut self, change: &Change) -> io::Result<()> {
        let pen = &mut self.pen;
        self.ride.change(change, |book, addition| match pen {
            Some(pen) => pen.append(book, addition),
            None => Ok(()),
        })
    }

    /// What is said of a pause since the last answer, if it is so long that laps can't be compared.
    pub fn pause(&self) -> Option<String> {
        self.ride.long_pause(&self.clock.now()).map(pause::told)
    }

    /// Makes sure that the journal still has every answer, and gives where it is; `None` if there is none.
    ///
    /// # Errors
    /// If it is gone and cannot be written again; that is said.
    pub fn keep_all(&mut self, screen: Screen) -> Result<Option<PathBuf>, Exit> {
        let Some((pen, book)) = self.pen.as_mut().zip(self.ride.book()) else { return Ok(None) };
        pen.keep_all(book).map_err(|error| {
            let path = pen.path().display();
            screen.say(&format!("{path}: the journal can't be saved: {}.", disk::in_words(&error)));
            Exit::Disk
        })?;
        Ok(Some(pen.path().to_owned()))
    }
}

/// Tells why an answer was not taken at this moment of a ride, and gives how the run ends if it ends here.
pub(super) fn tell(not_taken: &NotTaken<io::Error>, session: &Session, said: &Said, screen: Screen) -> Exit {
    match not_taken {
        NotTaken::Unfit(mismatch) => {
            screen.say(&show::mismatch(session, mismatch));
            Exit::Errors
        }
        NotTaken::OtherInJournal { recorded } => {
            screen.say(&format!(
                "Your answers differ from the journal: it has `{recorded}` here, you give `{}`. Start your \
                    list with the answers already saved.",
                in_words(said)
            ));
            Exit::Errors
        }
        NotTaken::Unwritten(error) => {
            screen.say(&format!(
                "Write this answer down: {}. The journal can't be saved: {}.",
                in_words(said),
                disk::in_words(error)
            ));
            Exit::Disk
        }
    }
}
