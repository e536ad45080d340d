//! Owns simulated riders, who answer the questions of a real session. They are models: no human
//! data is behind them. They know nothing of files or screens.

mod rider;

pub use rider::Rider;
