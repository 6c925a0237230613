//! Whole-program tests.

mod bad_files;
mod cli;
mod measured;
mod page;
mod printed;
mod program;
mod readme;
mod run;

mod published;
mod rooms;
mod saw_solid;
