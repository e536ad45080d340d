//! Owns how things look on a screen: problems, questions, cautions, the settings in words. It gives
//! lines; it prints nothing and knows nothing of the terminal but its width.

mod problems;
mod questions;
mod ruler;
mod settings;
mod wrap;

pub use problems::{Look, problems};
pub use questions::{cautions, help, news, question};
pub use settings::settings;
pub use wrap::{clean, wrapped};
