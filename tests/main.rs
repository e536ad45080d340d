//! All tests that use the program from outside, or several rooms at once.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a test may fail loudly and touch the world"
)]

mod acceptance;
mod accidents;
mod alone;
mod bounded;
mod branches;
mod bytes;
mod cases;
mod chambers;
mod chances;
mod codes;
mod complaints;
mod costs;
mod counted;
mod disks;
mod earlier;
mod ends;
mod engine;
mod faults;
mod flagship;
mod format;
mod grammar;
mod house;
mod includes;
mod input;
mod interrupted;
mod journal;
mod journals;
mod keys;
mod kiefer;
mod many;
mod methods;
mod misjudged;
mod needs;
mod new;
mod numbers;
mod outside;
mod pairs;
mod paths;
mod physics;
mod pressure;
mod properties;
mod pure;
mod questions;
mod random_plans;
mod readme;
mod rehearse;
mod replay;
mod reports;
mod restart;
mod searches;
mod sentences;
mod set;
mod settled;
mod slips;
mod springs;
mod starts;
mod stops;
mod support;
mod tables;
mod terminal;
mod texts;
mod thread;
mod typing;
mod walk;
mod watch;
mod year;
