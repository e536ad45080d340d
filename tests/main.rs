//! All tests that use the program from outside, or several rooms at once.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "a test may fail loudly and touch the world"
)]

mod acceptance;
mod accidents;
mod bytes;
mod cases;
mod chambers;
mod chances;
mod codes;
mod ends;
mod flagship;
mod format;
mod house;
mod includes;
mod interrupted;
mod kiefer;
mod methods;
mod new;
mod numbers;
mod outside;
mod pairs;
mod physics;
mod pressure;
mod properties;
mod readme;
mod rehearse;
mod replay;
mod reports;
mod restart;
mod searches;
mod slips;
mod springs;
mod starts;
mod support;
mod tables;
mod terminal;
mod walk;
mod watch;
