//! Owns the questions about a bike and the bike file that comes of the answers, as a pure fold.
//! What may be answered is the checker's to say: each answer is tried in the file. It knows nothing
//! of terminals or files on a disk.

mod ask;
mod draft;
mod fold;
mod help;
mod judge;
mod reading;
mod spelling;
mod taking;
mod words;

pub use ask::Topic;
pub use fold::{Interview, Refusal};
pub use words::{Line, Question};
