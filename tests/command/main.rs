//! The native command from outside: its words, its files, and the sheet it prints.
//!
//! Every test runs the built binary; expectations come from the fixed description of
//! the command and of the sheet, or from the formula that a log was invented by.

mod days;
mod invent;
mod run;
mod schema;
mod shape;
mod words;
