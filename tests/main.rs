//! All tests that use the program from outside, or several rooms at once.

mod acceptance;
mod bytes;
mod cases;
mod house;
mod interrupted;
mod kiefer;
mod outside;
mod properties;
mod readme;
mod support;
mod terminal;
