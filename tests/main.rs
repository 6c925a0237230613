//! Whole-program tests.

mod bad_files;
mod cli;
mod emulated;
mod measured;
mod over;
mod page;
mod printed;
mod program;
mod readme;
mod run;
mod running;

mod published;
mod rooms;
mod saw_solid;
