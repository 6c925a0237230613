//! Whole-program tests.

mod cli;
mod page;
mod printed;
mod program;
mod run;

mod published;
mod rooms;
mod saw_solid;
